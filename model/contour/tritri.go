package contour

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// triangle is a facet by its corners, anticlockwise from outside.
type triangle [3]r3.Vec

func (t triangle) normal() r3.Vec { return r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])) }

// meets tells whether two closed triangles have a point in common, and gives one (rounded; the answer itself is
// exact). Touching counts. Neither may be degenerate.
//
// If the planes differ, the common part is a segment whose ends lie on the border of one triangle; if not, either a
// corner lies in the other triangle or borders cross. So it is enough to try each edge against the other triangle.
func (t triangle) meets(u triangle) (r3.Vec, bool) {
	st, apart := u.sides(t)
	if apart {
		return r3.Vec{}, false
	}
	su, apart := t.sides(u)
	if apart {
		return r3.Vec{}, false
	}
	for i := range 3 {
		j := (i + 1) % 3
		if at, yes := u.cutBy(t[i], t[j], st[i], st[j]); yes {
			return at, true
		}
		if at, yes := t.cutBy(u[i], u[j], su[i], su[j]); yes {
			return at, true
		}
	}
	return r3.Vec{}, false
}

// meetsBeyondCorner tells whether triangles that share the corner t[0] = u[0] have more than that corner in common.
// The common part is convex and contains the corner, so it reaches the far edge of one of the two.
func (t triangle) meetsBeyondCorner(u triangle) (r3.Vec, bool) {
	s1, s2 := orient3(u[0], u[1], u[2], t[1]), orient3(u[0], u[1], u[2], t[2])
	if s1*s2 > 0 {
		return r3.Vec{}, false // but for the corner t lies strictly on one side of u
	}
	if at, yes := u.cutBy(t[1], t[2], s1, s2); yes {
		return at, true
	}
	s1, s2 = orient3(t[0], t[1], t[2], u[1]), orient3(t[0], t[1], t[2], u[2])
	return t.cutBy(u[1], u[2], s1, s2)
}

// foldsOnto tells whether the triangle on edge ab with far corner c and the one with far corner d lie over each other.
// If they are not in one plane only the edge is common.
func foldsOnto(a, b, c, d r3.Vec) bool {
	if orient3(a, b, c, d) != 0 {
		return false
	}
	axis, side := flattening(triangle{a, b, c})
	return side == orient2(flat(a, axis), flat(b, axis), flat(d, axis))
}

// sides gives for each corner of u its side of the plane of t; apart if all lie strictly on one side.
func (t triangle) sides(u triangle) (s [3]int, apart bool) {
	for i, p := range u {
		s[i] = orient3(t[0], t[1], t[2], p)
	}
	return s, s[0] != 0 && s[0] == s[1] && s[1] == s[2]
}

// cutBy tells whether the closed segment pq, whose ends lie on sides sp, sq of the plane of t, meets t.
func (t triangle) cutBy(p, q r3.Vec, sp, sq int) (r3.Vec, bool) {
	if sp*sq > 0 {
		return r3.Vec{}, false
	}
	if sp == 0 && sq == 0 {
		return t.cutInPlane(p, q)
	}
	above, below := false, false
	for i := range 3 {
		s := orient3(p, q, t[i], t[(i+1)%3])
		above, below = above || s > 0, below || s < 0
	}
	if above && below {
		return r3.Vec{}, false
	}
	return t.pierced(p, q), true
}

// pierced is the point of the segment pq in the plane of t, rounded.
func (t triangle) pierced(p, q r3.Vec) r3.Vec {
	n := t.normal()
	hp, hq := math.Abs(r3.Dot(n, r3.Sub(p, t[0]))), math.Abs(r3.Dot(n, r3.Sub(q, t[0])))
	if hp+hq == 0 {
		return p
	}
	return lerp(p, q, hp/(hp+hq))
}

// cutInPlane is cutBy for a segment in the plane of t.
func (t triangle) cutInPlane(p, q r3.Vec) (r3.Vec, bool) {
	axis, turn := flattening(t)
	a := [3][2]float64{flat(t[0], axis), flat(t[1], axis), flat(t[2], axis)}
	p2, q2 := flat(p, axis), flat(q, axis)
	if covers(a, turn, p2) {
		return p, true
	}
	if covers(a, turn, q2) {
		return q, true
	}
	for i := range 3 {
		b, c := a[i], a[(i+1)%3]
		s, r := orient2(p2, q2, b), orient2(p2, q2, c)
		u, v := orient2(b, c, p2), orient2(b, c, q2)
		// Four zeros are two segments in one line: then another edge of t is crossed at its corner.
		if s*r <= 0 && u*v <= 0 && (s != 0 || r != 0) {
			return lerp(p, q, crossedAt(p2, q2, b, c)), true
		}
	}
	return r3.Vec{}, false
}

// crossedAt is the parameter along pq where it crosses bc, rounded.
func crossedAt(p, q, b, c [2]float64) float64 {
	area := func(a [2]float64) float64 {
		return math.Abs((c[0]-b[0])*(a[1]-b[1]) - (c[1]-b[1])*(a[0]-b[0]))
	}
	if sum := area(p) + area(q); sum > 0 {
		return area(p) / sum
	}
	return 0
}

// covers tells whether the closed plane triangle a, turning as turn says, contains p.
func covers(a [3][2]float64, turn int, p [2]float64) bool {
	for i := range 3 {
		if orient2(a[i], a[(i+1)%3], p)*turn < 0 {
			return false
		}
	}
	return turn != 0
}

// flattening chooses the axis along which t is seen broadest, and how its corners then turn.
func flattening(t triangle) (axis, turn int) {
	n := t.normal()
	size := [3]float64{math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)}
	for i := 1; i < 3; i++ {
		if size[i] > size[axis] {
			axis = i
		}
	}
	for range 3 { // rounding can flatten a needle on its broadest side only by chance, yet the answer must be exact
		if turn = orient2(flat(t[0], axis), flat(t[1], axis), flat(t[2], axis)); turn != 0 {
			return axis, turn
		}
		axis = (axis + 1) % 3
	}
	return axis, 0
}

// flat drops one coordinate and keeps the turn as seen from the positive end of that axis.
func flat(v r3.Vec, axis int) [2]float64 {
	switch axis {
	case 0:
		return [2]float64{v.Y, v.Z}
	case 1:
		return [2]float64{v.Z, v.X}
	}
	return [2]float64{v.X, v.Y}
}

func lerp(p, q r3.Vec, t float64) r3.Vec { return r3.Add(p, r3.Scale(t, r3.Sub(q, p))) }
