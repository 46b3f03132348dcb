package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Revolve is a chain in the half-plane (distance from the axis, z) turned once round its local z axis: cylinders, cones,
// balls, rings. Its distance is exact, because the nearest point of a full turn lies in the point's own half-plane.
type Revolve struct {
	chain Chain // anticlockwise, X >= 0
	rim   Chain // the pieces that are surface: those not on the axis
	face  []int // of each piece of rim
	tags  []string
	box   r3.Box
}

// NewRevolve turns a chain round. Pieces that lie on the axis close the chain and are not surface.
func NewRevolve(ch Chain) *Revolve {
	b := ch.bounds()
	r := b.Max.X
	v := &Revolve{chain: ch, box: r3.Box{Min: r3.Vec{X: -r, Y: -r, Z: b.Min.Y}, Max: r3.Vec{X: r, Y: r, Z: b.Max.Y}}}
	for i, s := range ch {
		v.tags = append(v.tags, s.Tag)
		if !onAxis(s) {
			v.rim, v.face = append(v.rim, s), append(v.face, i)
		}
	}
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
	r := math.Hypot(p.X, p.Y)
	if r == 0 {
		return r2.Vec{Y: p.Z}, r3.Vec{X: 1}
	}
	return r2.Vec{X: r, Y: p.Z}, r3.Vec{X: p.X / r, Y: p.Y / r}
}

// Dist is the exact signed distance.
func (v *Revolve) Dist(p r3.Vec) float64 {
	q, _ := half(p)
	c, _ := v.rim.Closest(q)
	d := r2.Norm(r2.Sub(q, c))
	if v.chain.Inside(q) {
		return -d
	}
	return d
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

// Facet cuts the solid into wedges round the axis, each a convex cell for every convex cell of the profile. Corners lie
// on the surface.
func (v *Revolve) Facet(within Chord) Faceted {
	chord := within.Single / 2
	for _, s := range v.rim {
		if s.R > 0 {
			chord = within.Double / 2
		}
	}
	pts, from := v.chain.polygon(chord)
	n := int(math.Max(3, math.Ceil(math.Pi/math.Acos(1-math.Min(chord/v.box.Max.X, 1)))))
	cells := convexCells(pts)
	var f Faceted
	for k := range n {
		w := wedge{angle(k, n), angle(k+1, n)}
		for i := range pts {
			w.facet(&f, from[i], pts[i], pts[(i+1)%len(pts)])
		}
		for _, c := range cells {
			f.Cells = append(f.Cells, w.cell(pts, c))
		}
	}
	return f
}

// angle is the sine and cosine of step k of n, the same for k = 0 and k = n.
func angle(k, n int) r2.Vec {
	sin, cos := math.Sincos(2 * math.Pi * float64(k%n) / float64(n))
	return r2.Vec{X: cos, Y: sin}
}

// wedge is the space between two half-planes.
type wedge struct{ a, b r2.Vec }

func on(half, at r2.Vec) r3.Vec { return r3.Vec{X: half.X * at.X, Y: half.Y * at.X, Z: at.Y} }

// facet adds the strip that the edge from p to q sweeps, unless it lies on the axis.
func (w wedge) facet(f *Faceted, face int, p, q r2.Vec) {
	switch {
	case p.X == 0 && q.X == 0:
	case p.X == 0:
		f.add(face, on(w.a, p), on(w.b, q), on(w.a, q))
	case q.X == 0:
		f.add(face, on(w.a, p), on(w.b, p), on(w.a, q))
	default:
		f.add(face, on(w.a, p), on(w.b, p), on(w.b, q), on(w.a, q))
	}
}

// cell is the convex piece of the wedge over a convex cell of the profile.
func (w wedge) cell(pts []r2.Vec, cell []int) []Plane {
	planes := []Plane{
		{N: r3.Vec{X: w.a.Y, Y: -w.a.X}},
		{N: r3.Vec{X: -w.b.Y, Y: w.b.X}},
	}
	var f Faceted
	for k, i := range cell {
		w.facet(&f, 0, pts[i], pts[cell[(k+1)%len(cell)]])
	}
	for _, g := range f.Facets {
		planes = append(planes, g.Plane)
	}
	return planes
}
