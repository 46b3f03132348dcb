package catch

import "math"

// Cantilever is the bending stress of round wire, held at one end, whose other end is pushed aside by off: 3 E d off/(2 L^2), MPa
// (W. C. Young, Roark's Formulas for Stress and Strain, table of straight beams, end load: y = W l^3/(3 E I), M = W l; from
// memory). e is Young's modulus in MPa; lengths in mm.
func Cantilever(e, wire, off, length float64) float64 {
	return 3 * e * wire * off / (2 * length * length)
}

// Inertia is the second moment of area of round wire, pi d^4/64, mm4.
func Inertia(wire float64) float64 { return math.Pi * math.Pow(wire, 4) / 64 }

// Spread is what half a loop does when its waist is pushed aside, in bending, small deflections. Tension and shear of the wire
// are left out: they give less than a hundredth here.
type Spread struct {
	Stiff  float64 // N of push at the waist for each mm that it gives
	Moment float64 // greatest bending moment, N mm, for each N
	Round  float64 // radius of the middle line there, 0 on a straight
	At     Point
}

// spread computes half a loop, held at the start of its path, whose far end stays on the axis of symmetry and does not turn: there a
// moment and a force along V are unknown. By Castigliano's second theorem the deflections are integrals of moments; the
// moment is linear in U, so Gauss's rule takes them as exactly as floats go. waist is the place in the path, mm from its start,
// where the push acts along V; ei is E I, N mm2.
func (p Path) spread(waist, ei float64) Spread {
	end, _ := p.End()
	at := p.at(waist)
	var i0, i1, i2, j0, j1, k float64 // integrals of 1, e, e^2, w, w e, w^2: e to the end, w to the waist
	p.integrate(waist, func(q Point, before bool, ds float64) {
		e, w := end.U-q.U, 0.0
		if before {
			w = at.U - q.U
		}
		i0, i1, i2 = i0+ds, i1+e*ds, i2+e*e*ds
		j0, j1, k = j0+w*ds, j1+w*e*ds, k+w*w*ds
	})
	// No turn and no way at the end: i0 m + i1 n + j0 = 0, i1 m + i2 n + j1 = 0.
	det := i0*i2 - i1*i1
	m, n := (i1*j1-i2*j0)/det, (i1*j0-i0*j1)/det
	s := Spread{Stiff: ei / (m*j0 + n*j1 + k)}
	p.each(waist, func(piece Piece, q Point, before bool) {
		b := m + n*(end.U-q.U)
		if before {
			b += at.U - q.U
		}
		if math.Abs(b) > s.Moment {
			s.Moment, s.Round, s.At = math.Abs(b), piece.Radius, q
		}
	})
	return s
}

// at is the place so far along the path.
func (p Path) at(s float64) Point {
	for _, piece := range p {
		if s <= piece.Length {
			q, _ := piece.At(s)
			return q
		}
		s -= piece.Length
	}
	q, _ := p.End()
	return q
}

// gauss are abscissae and weights of Gauss's rule of five points, on 0 to 1 (M. Abramowitz, I. A. Stegun, Handbook of
// Mathematical Functions, table 25.4).
var gauss = [5][2]float64{
	{0.5, 0.5688888888888889 / 2},
	{0.5 - 0.5384693101056831/2, 0.4786286704993665 / 2}, {0.5 + 0.5384693101056831/2, 0.4786286704993665 / 2},
	{0.5 - 0.9061798459386640/2, 0.2369268850561891 / 2}, {0.5 + 0.9061798459386640/2, 0.2369268850561891 / 2},
}

// runs is into how many equal parts a piece is cut; with five points each the error of an arc's integral is below 1e-9.
const runs = 16

// split gives the pieces cut at the waist, and whether each lies before it.
func (p Path) split(waist float64, use func(piece Piece, before bool)) {
	for _, piece := range p {
		if waist <= 0 || waist >= piece.Length {
			use(piece, waist > 0)
			waist -= piece.Length
			continue
		}
		first, second := piece, piece
		first.Length, second.Length = waist, piece.Length-waist
		second.From, second.Heading = piece.At(waist)
		use(first, true)
		use(second, false)
		waist -= piece.Length
	}
}

func (p Path) integrate(waist float64, use func(q Point, before bool, ds float64)) {
	p.split(waist, func(piece Piece, before bool) {
		step := piece.Length / runs
		for i := range runs {
			for _, g := range gauss {
				q, _ := piece.At((float64(i) + g[0]) * step)
				use(q, before, g[1]*step)
			}
		}
	})
}

// each visits places along the path, the ends of all pieces among them.
func (p Path) each(waist float64, use func(piece Piece, q Point, before bool)) {
	p.split(waist, func(piece Piece, before bool) {
		for i := range runs + 1 {
			q, _ := piece.At(float64(i) / runs * piece.Length)
			use(piece, q, before)
		}
	})
}

// Curved is by how much the stress at the inside of a curved round wire exceeds that of a straight one: Winkler's bar, whose
// neutral line lies at (R + sqrt(R^2 - r^2))/2 for a round section (S. Timoshenko, Strength of Materials, part II, curved
// bars; from memory). round is the radius of the middle line, 0 for a straight.
func Curved(round, wire float64) float64 {
	if round == 0 {
		return 1
	}
	r := wire / 2
	e := round - (round+math.Sqrt(round*round-r*r))/2
	return (r - e) * r / (4 * e * (round - r))
}
