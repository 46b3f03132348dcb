package solid

import (
	"maps"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Revolve is a chain in the half-plane (distance from the axis, z) turned once round its local z axis: cylinders, cones,
// balls, rings. Its distance is exact, because the nearest point of a full turn lies in the point's own half-plane.
type Revolve struct {
	chain Chain  // anticlockwise, X >= 0
	rim   Chain  // the pieces that are surface: those not on the axis
	face  []int  // of each piece of rim
	edges []edge // of the chain
	bare  []edge // of the rim
	tags  []string
	box   r3.Box
	reach float64 // corners of facets need not be finer than for this radius
}

// NewRevolve turns a chain round. Pieces that lie on the axis close the chain and are not surface.
func NewRevolve(ch Chain) *Revolve {
	b := ch.bounds()
	r := b.Max.X
	v := &Revolve{chain: ch, reach: math.Inf(1), box: r3.Box{Min: r3.Vec{X: -r, Y: -r, Z: b.Min.Y}, Max: r3.Vec{X: r, Y: r, Z: b.Max.Y}}}
	for i, s := range ch {
		v.tags = append(v.tags, s.Tag)
		if !onAxis(s) {
			v.rim, v.face = append(v.rim, s), append(v.face, i)
		}
	}
	v.edges, v.bare = ch.edges(), v.rim.edges()
	return v
}

// NewRing is a torus: wire of radius wire whose centre line has radius ring.
func NewRing(ring, wire float64, tag string) *Revolve {
	c := r2.Vec{X: ring}
	out, in := r2.Vec{X: ring + wire}, r2.Vec{X: ring - wire}
	return NewRevolve(Chain{{A: out, B: in, C: c, R: wire, Tag: tag}, {A: in, B: out, C: c, R: wire, Tag: tag}})
}

// NewRod is a cylinder of radius r from lo to hi along z.
func NewRod(r, lo, hi float64, tag, ends string) *Revolve {
	a, b, c, d := r2.Vec{Y: lo}, r2.Vec{X: r, Y: lo}, r2.Vec{X: r, Y: hi}, r2.Vec{Y: hi}
	return NewRevolve(Chain{{A: a, B: b, Tag: ends}, {A: b, B: c, Tag: tag}, {A: c, B: d, Tag: ends}, {A: d, B: a, Tag: ends}})
}

func onAxis(s Seg) bool { return s.R == 0 && s.A.X == 0 && s.B.X == 0 }

// half is a point's place in its half-plane, and the unit direction away from the axis.
func half(p r3.Vec) (q r2.Vec, out r3.Vec) {
	r := math.Sqrt(p.X*p.X + p.Y*p.Y)
	if r == 0 {
		return r2.Vec{Y: p.Z}, r3.Vec{X: 1}
	}
	return r2.Vec{X: r, Y: p.Z}, r3.Vec{X: p.X / r, Y: p.Y / r}
}

// Dist is the exact signed distance.
func (v *Revolve) Dist(p r3.Vec) float64 {
	return depth(v.bare, v.edges, r2.Vec{X: math.Sqrt(p.X*p.X + p.Y*p.Y), Y: p.Z})
}

// Closest is the nearest point of the surface and the piece of the chain that it lies on.
func (v *Revolve) Closest(p r3.Vec) (r3.Vec, int) {
	q, out := half(p)
	c, i := v.rim.Closest(q)
	return r3.Vec{X: out.X * c.X, Y: out.Y * c.X, Z: c.Y}, v.face[i]
}

// Bounds contains the solid.
func (v *Revolve) Bounds() r3.Box { return v.box }

// Faces names the pieces of the chain.
func (v *Revolve) Faces() []string { return v.tags }

// Carriers lists the surface that each piece is part of.
func (v *Revolve) Carriers() []Carrier {
	var out []Carrier
	for _, s := range v.chain {
		out = append(out, turned(s))
	}
	return out
}

// turned is the carrier of a piece turned round the z axis.
func turned(s Seg) Carrier {
	c := Carrier{dir: r3.Vec{Z: 1}, round: true}
	if s.R > 0 {
		c.at, c.radius = s.C, s.R
		if s.CW {
			c.radius = -s.R
		}
		return c
	}
	d := r2.Unit(r2.Sub(s.B, s.A))
	c.at, c.normal = s.A, r2.Vec{X: d.Y, Y: -d.X}
	return c
}

// Facet gives facets with corners on the surface. A convex solid is one cell; any other is cut into wedges round the axis.
func (v *Revolve) Facet(within Chord, at contacts) Faceted {
	if f, ok := v.rings(within, at); ok {
		return f
	}
	return v.wedges(within, at)
}

// step is the angle that a chord spans which leaves a circle of radius r by as much as chord.
func step(chord, r float64) float64 { return 2 * math.Acos(1-math.Min(chord/r, 1)) }

// turns divides the full turn by steps of at most step, with edges at the contacts of all faces.
func turns(step float64, at contacts) []float64 {
	breaks := []float64{}
	for _, face := range slices.Sorted(maps.Keys(at)) {
		for _, d := range at[face] {
			breaks = append(breaks, math.Mod(math.Atan2(d.Y, d.X)+2*math.Pi, 2*math.Pi))
		}
	}
	if len(breaks) == 0 {
		return evenly(0, 2*math.Pi, nil, math.Min(step, 2*math.Pi/3))
	}
	sort.Float64s(breaks)
	for breaks[len(breaks)-1]-breaks[0] > 2*math.Pi-sameAngle { // the first once more
		breaks = breaks[:len(breaks)-1]
	}
	return evenly(breaks[0], breaks[0]+2*math.Pi, breaks[1:], math.Min(step, 2*math.Pi/3))
}

// wedges cuts the solid into wedges, each a convex cell for every convex cell of the profile.
func (v *Revolve) wedges(within Chord, at contacts) Faceted {
	turn := step(within.Single, v.box.Max.X)
	if slices.ContainsFunc(v.rim, func(s Seg) bool { return s.R > 0 }) {
		turn = math.Min(turn, step(turnShare*within.Double, v.box.Max.X))
	}
	pts, from := v.profile(within.Double, turn)
	phi := turns(turn, at)
	w := wedger{pts: pts, n: int32(len(pts))}
	for _, a := range phi {
		for _, q := range pts {
			w.point(turnTo(a, q))
		}
	}
	cells := convexCells(pts)
	for k := range phi {
		a, b := int32(k)*w.n, int32((k+1)%len(phi))*w.n
		for i := range w.n {
			w.strip(&w.Faceted, from[i], a, b, i, (i+1)%w.n)
		}
		for _, c := range cells {
			w.Cells = append(w.Cells, w.cell(a, b, phi[k], phi[(k+1)%len(phi)], c))
		}
	}
	return w.Faceted
}

// turnShare is the part of the chord that facets of a ring may use round the axis, at its outer side; what is left there,
// and more elsewhere, is for their length round the wire. Between a half and four fifths it makes little difference.
const turnShare = 0.7

// profile is the chain's points and the piece that each edge belongs to, for facets that span turn round the axis. A
// facet leaves a ring of radius rho, where its normal is at an angle to the radius, by about rho |cos| turn^2/8 round the
// axis; the arc may use the rest.
func (v *Revolve) profile(chord, turn float64) (pts []r2.Vec, from []int) {
	const fine = 256
	for i, s := range v.chain {
		pts, from = append(pts, s.A), append(from, i)
		if s.R == 0 {
			continue
		}
		start, angle := s.sweep()
		way := func(k float64) float64 {
			t := angle * k / fine
			if s.CW {
				t = -t
			}
			return start + t
		}
		var need [fine + 1]float64 // how many steps it takes to get so far
		for k := range fine {
			mid := way(float64(k) + 0.5)
			used := s.on(mid).X * math.Abs(math.Cos(mid)) * turn * turn / 8
			need[k+1] = need[k] + angle/fine/step(math.Max(0.95*chord-used, chord/8), s.R)
		}
		n := math.Ceil(need[fine])
		k := 1
		for done := 1.0; done < n; done++ {
			goal := need[fine] * done / n
			for need[k] < goal {
				k++
			}
			pts, from = append(pts, s.on(way(float64(k-1)+(goal-need[k-1])/(need[k]-need[k-1])))), append(from, i)
		}
	}
	return pts, from
}

func turnTo(a float64, q r2.Vec) r3.Vec {
	sin, cos := math.Sincos(a)
	return r3.Vec{X: cos * q.X, Y: sin * q.X, Z: q.Y}
}

// wedger builds wedges; the profile's n points stand in a row for each half-plane.
type wedger struct {
	Faceted
	pts []r2.Vec
	n   int32
}

// strip adds what the edge from profile point i to j sweeps between two half-planes, whose rows begin at a and b, unless
// it lies on the axis.
func (w *wedger) strip(f *Faceted, face int, a, b, i, j int32) {
	switch p, q := w.pts[i], w.pts[j]; {
	case p.X == 0 && q.X == 0:
	case p.X == 0:
		f.add(face, a+i, b+j, a+j)
	case q.X == 0:
		f.add(face, a+i, b+i, a+j)
	default:
		f.add(face, a+i, b+i, b+j, a+j)
	}
}

// cell is the convex piece of a wedge over a convex cell of the profile.
func (w *wedger) cell(a, b int32, from, to float64, cell []int) Cell {
	sinA, cosA := math.Sincos(from)
	sinB, cosB := math.Sincos(to)
	c := Cell{Planes: []Plane{{N: r3.Vec{X: sinA, Y: -cosA}}, {N: r3.Vec{X: -sinB, Y: cosB}}}}
	f := Faceted{Pts: w.Pts}
	for k, i := range cell {
		w.strip(&f, 0, a, b, int32(i), int32(cell[(k+1)%len(cell)]))
		c.Corner = append(c.Corner, a+int32(i), b+int32(i))
	}
	for _, g := range f.Facets {
		c.Planes = append(c.Planes, g.Plane)
	}
	return c
}
