package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Carrier is the whole surface that a face is part of: a plane, or what a line or a circle sweeps when it is turned
// round an axis (cylinder, cone, ball, ring).
type Carrier struct {
	point, dir r3.Vec  // a point of the plane and its normal, or a point of the axis and its direction
	round      bool    // turned round the axis
	at, normal r2.Vec  // in the half-plane: a point of the line and its normal, or the circle's centre
	radius     float64 // of the circle, negative when the face looks towards its centre; 0 for a line
}

// Off is the signed distance of p from the carrier, mm, positive on the outer side, and the unit direction in which it
// grows.
func (c Carrier) Off(p r3.Vec) (d float64, n r3.Vec) {
	v := r3.Sub(p, c.point)
	along := r3.Dot(v, c.dir)
	if !c.round {
		return along, c.dir
	}
	out := r3.Sub(v, r3.Scale(along, c.dir))
	r := math.Sqrt(r3.Norm2(out))
	if r > 0 {
		out = r3.Scale(1/r, out)
	}
	d, g := c.offHalf(r2.Sub(r2.Vec{X: r, Y: along}, c.at))
	return d, r3.Add(r3.Scale(g.X, out), r3.Scale(g.Y, c.dir))
}

// offHalf is Off in the half-plane, for a place seen from the line's point or the circle's centre.
func (c Carrier) offHalf(q r2.Vec) (d float64, g r2.Vec) {
	if c.radius == 0 {
		return r2.Dot(q, c.normal), c.normal
	}
	size := math.Sqrt(r2.Norm2(q))
	if size == 0 {
		return -c.radius, r2.Vec{}
	}
	sign := math.Copysign(1, c.radius)
	return sign * (size - math.Abs(c.radius)), r2.Scale(sign/size, q)
}

// Curved says whether the carrier is anything but a plane.
func (c Carrier) Curved() bool { return c.round && !(c.radius == 0 && c.normal.X == 0) }

func (m Pose) carrier(c Carrier) Carrier {
	c.point, c.dir = m.World(c.point), m.Turn(c.dir)
	return c
}

// Carriers lists the carrier of every face of the solid, numbered as in Tags.
func (s *Solid) Carriers() []Carrier {
	var out []Carrier
	if s.op == Leaf {
		for _, c := range s.shape.Carriers() {
			out = append(out, s.pose.carrier(c))
		}
		return out
	}
	for _, k := range s.kids {
		out = append(out, k.Carriers()...)
	}
	return out
}

// Carriers lists the carriers of the prism's faces. The cylinder of an arc is a line turned round the arc's centre.
func (p *Prism) Carriers() []Carrier {
	var out []Carrier
	for _, s := range p.chain {
		d := r2.Unit(r2.Sub(s.B, s.A))
		c := Carrier{point: p.at(s.A, 0), dir: r3.Vec{X: d.Y, Y: -d.X}}
		if s.R > 0 {
			c = Carrier{point: p.at(s.C, 0), dir: r3.Vec{Z: 1}, round: true, at: r2.Vec{X: s.R}, normal: r2.Vec{X: 1}}
		}
		out = append(out, c)
	}
	return append(out, Carrier{point: r3.Vec{Z: p.lo}, dir: r3.Vec{Z: -1}}, Carrier{point: r3.Vec{Z: p.hi}, dir: r3.Vec{Z: 1}})
}

// Carriers lists the planes of the box's faces, numbered -x, +x, -y, +y, -z, +z.
func (b *Block) Carriers() []Carrier {
	lo, hi := b.Bounds().Min, b.Bounds().Max
	return []Carrier{
		{point: lo, dir: r3.Vec{X: -1}}, {point: hi, dir: r3.Vec{X: 1}},
		{point: lo, dir: r3.Vec{Y: -1}}, {point: hi, dir: r3.Vec{Y: 1}},
		{point: lo, dir: r3.Vec{Z: -1}}, {point: hi, dir: r3.Vec{Z: 1}},
	}
}

// settled is how near a point must be to each carrier to count as lying on all of them, mm. Where two carriers are
// tangent to each other, as a crown's arcs are, the point is brought onto one of them and must come this near to the
// other: half a rounding to float32.
const (
	settled = 1e-10
	tangent = 5e-7
)

// Settle moves a point to where carriers meet, each time by the least step that brings it onto all their tangent planes
// (Newton's method, least norm); it takes at most three carriers that cross, and converges quadratically. ok is false
// when the point does not settle.
func Settle(p r3.Vec, cs []Carrier) (q r3.Vec, ok bool) {
	q = p
	d, n := make([]float64, len(cs)), make([]r3.Vec, len(cs))
	for range 20 {
		for i, c := range cs {
			d[i], n[i] = c.Off(q)
		}
		step, crossing := leastStep(n, d)
		if onAll(d, crossing) {
			return q, true
		}
		q = r3.Sub(q, step)
	}
	return p, false
}

func onAll(d []float64, crossing []bool) bool {
	for i, v := range d {
		if math.Abs(v) > tangent || crossing[i] && math.Abs(v) > settled {
			return false
		}
	}
	return true
}

// leastStep is the shortest v with n[i].v = d[i], by orthogonalising the normals one after the other. Those within about
// 1 degree of what is there already add nothing; crossing tells which did.
func leastStep(n []r3.Vec, d []float64) (step r3.Vec, crossing []bool) {
	var basis []r3.Vec
	crossing = make([]bool, len(n))
	for i := range n {
		e := n[i]
		for _, b := range basis {
			e = r3.Sub(e, r3.Scale(r3.Dot(e, b), b))
		}
		size := math.Sqrt(r3.Norm2(e))
		if size < 0.02 {
			continue
		}
		crossing[i] = true
		rest := d[i] - r3.Dot(n[i], step)
		e = r3.Scale(1/size, e)
		step = r3.Add(step, r3.Scale(rest/size, e))
		basis = append(basis, e)
	}
	return step, crossing
}

// TurnedRound is the axis that the carrier is turned round: a point of it and its direction. ok is false for a plane.
func (c Carrier) TurnedRound() (point, dir r3.Vec, ok bool) { return c.point, c.dir, c.round }

// Cylinder is the axis and the radius of a carrier that is a cylinder.
func (c Carrier) Cylinder() (point, dir r3.Vec, r float64, ok bool) {
	return c.point, c.dir, c.at.X, c.round && c.radius == 0 && c.normal.Y == 0 && c.at.X > 0
}
