package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Gap is the signed distance of p from the carrier, mm, as Off gives it but for rounding, without its direction.
func (c *Carrier) Gap(p r3.Vec) float64 {
	v := r3.Sub(p, c.point)
	along := r3.Dot(v, c.dir)
	if !c.round {
		return along
	}
	x := math.Sqrt(r3.Norm2(r3.Sub(v, r3.Scale(along, c.dir)))) - c.at.X
	y := along - c.at.Y
	if c.radius == 0 {
		return float64(x*c.normal.X) + float64(y*c.normal.Y)
	}
	return math.Copysign(1, c.radius) * (math.Sqrt(float64(x*x)+float64(y*y)) - math.Abs(c.radius))
}

// Foot is the point of the carrier nearest to p, to rounding.
func (c *Carrier) Foot(p r3.Vec) r3.Vec {
	d, n := c.Off(p)
	return r3.Sub(p, r3.Scale(d, n))
}

// Axis tells whether the carrier is nothing but the axis of a turned profile.
func (c *Carrier) Axis() bool { return c.round && c.radius == 0 && c.at.X == 0 && c.normal.Y == 0 }

// Away is how far a triangle lies from the carrier at most, mm, and a point of the triangle where it is furthest or
// nearly so. For planes, cylinders and balls it is exact, in closed form; for cones and rings it is an upper bound,
// proven, and taken no further than needed to be within slack (mm) of the truth, if that can be had in a few steps. A
// segment is a triangle with two equal corners. Rounding is left aside: it stays below 1e-13 mm for models of some tens
// of mm.
func (c *Carrier) Away(t [3]r3.Vec, slack float64) (most float64, at r3.Vec) {
	most, at = c.corners(t)
	switch {
	case !c.Curved(): // the distance from a plane is linear, so a corner is furthest
	case c.radius == 0 && c.normal.Y == 0: // the distance from an axis is convex: corners are furthest, one place nearest
		if p := c.nearAxis(t); c.below(p) > most {
			return c.below(p), p
		}
	case c.radius == 0:
		return c.awayCone(t, most, at, slack, 6)
	case c.at.X == 0: // likewise the distance from a centre
		if p := nearestInTriangle(c.centre(), t); c.below(p) > most {
			return c.below(p), p
		}
	default:
		return c.awayRing(t, most, at, slack, 10)
	}
	return most, at
}

func (c *Carrier) below(p r3.Vec) float64 { return math.Abs(c.Gap(p)) }

func (c *Carrier) centre() r3.Vec { return r3.Add(c.point, r3.Scale(c.at.Y, c.dir)) }

// nearAxis is the point of a triangle nearest to the axis: the nearest one to a point, seen along the axis.
func (c *Carrier) nearAxis(t [3]r3.Vec) r3.Vec {
	var seen [3]r3.Vec
	for i, p := range t {
		v := r3.Sub(p, c.point)
		seen[i] = r3.Sub(v, r3.Scale(r3.Dot(v, c.dir), c.dir))
	}
	u, v := weights(r3.Vec{}, seen)
	return mixed(t, u, v)
}

func nearestInTriangle(p r3.Vec, t [3]r3.Vec) r3.Vec {
	u, v := weights(p, t)
	return mixed(t, u, v)
}

func mixed(t [3]r3.Vec, u, v float64) r3.Vec {
	return r3.Add(t[0], r3.Add(r3.Scale(u, r3.Sub(t[1], t[0])), r3.Scale(v, r3.Sub(t[2], t[0]))))
}

// weights gives the point t0 + u(t1-t0) + v(t2-t0) of a triangle nearest to p: the foot in its plane where that lies
// within, else the nearest point of a side. The triangle may be flat.
func weights(p r3.Vec, t [3]r3.Vec) (u, v float64) {
	a, b, w := r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]), r3.Sub(p, t[0])
	aa, ab, bb, wa, wb := r3.Norm2(a), r3.Dot(a, b), r3.Norm2(b), r3.Dot(w, a), r3.Dot(w, b)
	if det := aa*bb - ab*ab; det > 1e-14*aa*bb {
		u, v = (wa*bb-wb*ab)/det, (wb*aa-wa*ab)/det
		if u >= 0 && v >= 0 && u+v <= 1 {
			return u, v
		}
	}
	best := math.Inf(1)
	try := func(x, y float64) {
		if d := r3.Norm2(r3.Sub(w, r3.Add(r3.Scale(x, a), r3.Scale(y, b)))); d < best {
			best, u, v = d, x, y
		}
	}
	try(part(wa, aa), 0)
	try(0, part(wb, bb))
	k := part(wb-wa-ab+aa, bb-2*ab+aa) // from t1 to t2
	try(1-k, k)
	return u, v
}

// part is x/length2 held between 0 and 1.
func part(x, length2 float64) float64 {
	if !(length2 > 0) {
		return 0
	}
	return min(max(x/length2, 0), 1)
}

// awayCone bounds the distance from a cone. Along a triangle it is the convex function distance from the axis times a
// constant, plus a linear one; so it, or its reverse, is nowhere above its greatest corner and nowhere below any of its
// tangent planes, and these are least in a corner. Of four tangent planes the best counts; where that is not enough, the
// triangle is halved. most and at are the corners' values.
func (c *Carrier) awayCone(t [3]r3.Vec, most float64, at r3.Vec, slack float64, halvings int) (float64, r3.Vec) {
	sign := math.Copysign(1, c.normal.X)
	bound, reached := math.Inf(1), 0.0
	for i := range 4 {
		p := r3.Scale(1.0/3, r3.Add(t[0], r3.Add(t[1], t[2])))
		if i < 3 {
			p = r3.Scale(0.5, r3.Add(t[i], t[(i+1)%3]))
		}
		d, n := c.Off(p)
		if -sign*d > reached {
			reached = -sign * d
			if reached > most {
				at = p
			}
		}
		under := 0.0
		for _, v := range t {
			under = max(under, -sign*(d+r3.Dot(n, r3.Sub(v, p))))
		}
		bound = min(bound, under)
	}
	if bound <= max(most, reached)+slack || halvings == 0 {
		return max(most, bound), at
	}
	return c.halves(t, func(h [3]r3.Vec) (float64, r3.Vec) {
		m, p := c.corners(h)
		return c.awayCone(h, m, p, slack, halvings-1)
	})
}

func (c *Carrier) corners(t [3]r3.Vec) (most float64, at r3.Vec) {
	for _, p := range t {
		if d := c.below(p); d >= most {
			most, at = d, p
		}
	}
	return most, at
}

// halves cuts a triangle through its longest side and gives the greater of what both parts give.
func (c *Carrier) halves(t [3]r3.Vec, of func([3]r3.Vec) (float64, r3.Vec)) (float64, r3.Vec) {
	long, length := 0, -1.0
	for i := range 3 {
		if d := r3.Norm2(r3.Sub(t[(i+1)%3], t[i])); d > length {
			long, length = i, d
		}
	}
	p, q, r := t[long], t[(long+1)%3], t[(long+2)%3]
	mid := r3.Scale(0.5, r3.Add(p, q))
	a, at := of([3]r3.Vec{p, mid, r})
	if b, bt := of([3]r3.Vec{mid, q, r}); b > a {
		return b, bt
	}
	return a, at
}

// awayRing bounds the distance from a ring. Its second derivatives along a unit vector are at most k, the greater of 1
// over the distance from the circle of centres and 1 over that from the axis, taken at their least over the ball round
// the triangle; within a ball of radius R round it a function then leaves its linear interpolant by at most k R2/2.
// Where that is not enough the triangle is halved.
func (c *Carrier) awayRing(t [3]r3.Vec, most float64, at r3.Vec, slack float64, halvings int) (float64, r3.Vec) {
	mid, r := ballRound(t)
	v := r3.Sub(mid, c.point)
	along := r3.Dot(v, c.dir)
	out := r3.Norm(r3.Sub(v, r3.Scale(along, c.dir)))
	core := math.Hypot(out-c.at.X, along-c.at.Y)
	k := max(1/(core-r), 1/(out-r))
	if core <= r || out <= r {
		k = math.Inf(1)
	}
	d := c.below(mid)
	if d > most {
		at = mid
	}
	bound := min(most+0.5*k*r*r, d+r)
	if bound <= max(most, d)+slack || halvings == 0 {
		return max(bound, most), at
	}
	return c.halves(t, func(h [3]r3.Vec) (float64, r3.Vec) {
		m, p := c.corners(h)
		return c.awayRing(h, m, p, slack, halvings-1)
	})
}

// ballRound is a ball that holds a triangle: the least one.
func ballRound(t [3]r3.Vec) (mid r3.Vec, r float64) {
	for i := range 3 {
		a, b, c := t[i], t[(i+1)%3], t[(i+2)%3]
		m := r3.Scale(0.5, r3.Add(a, b))
		if s := r3.Norm(r3.Sub(b, a)) / 2; r3.Norm(r3.Sub(c, m)) <= s*(1+1e-12) {
			return m, s * (1 + 1e-12)
		}
	}
	// All angles are sharp: the circle through the corners.
	a, b := r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])
	n := r3.Cross(a, b)
	m := r3.Add(r3.Scale(r3.Norm2(a), r3.Cross(b, n)), r3.Scale(r3.Norm2(b), r3.Cross(n, a)))
	m = r3.Scale(0.5/r3.Norm2(n), m)
	return r3.Add(t[0], m), r3.Norm(m) * (1 + 1e-12)
}

// tip tells whether p lies within 1e-5 mm of the tip of a cone, where it has no one direction.
func (c *Carrier) tip(p r3.Vec) bool {
	if !c.round || c.radius != 0 || c.normal.X == 0 || c.normal.Y == 0 {
		return false
	}
	v := r3.Sub(p, c.point)
	return r3.Norm2(r3.Sub(v, r3.Scale(r3.Dot(v, c.dir), c.dir))) < 1e-10
}

// Meet moves p to where two carriers cross, as Settle does, and gives the sine of the angle between them there. ok is
// false where they are within about 1 degree of tangent, at the tip of a cone, and where p does not settle.
func Meet(p r3.Vec, a, b *Carrier) (q r3.Vec, sine float64, ok bool) {
	q = p
	for range 12 {
		da, na := a.Off(q)
		db, nb := b.Off(q)
		cos := r3.Dot(na, nb)
		det := 1 - cos*cos
		if det < leastSine*leastSine {
			return p, 0, false
		}
		if math.Abs(da) <= settled && math.Abs(db) <= settled {
			return q, math.Sqrt(det), !a.tip(q) && !b.tip(q)
		}
		q = r3.Sub(q, r3.Add(r3.Scale((da-cos*db)/det, na), r3.Scale((db-cos*da)/det, nb)))
	}
	return p, 0, false
}

// leastSine is the sine of the angle below which carriers count as tangent, as in leastStep.
const leastSine = 0.02
