package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// medium is what is measured through: the metal of a solid or the air round it.
type medium struct {
	*skin
	c       *solid.Cover
	metal   bool
	opposed float64 // cosine of how far faces may be from facing each other squarely
}

// in tells whether p lies in the medium.
func (m *medium) in(p r3.Vec) bool { return m.c.Metal(p) == m.metal }

// free is the radius of a ball round p that the field proves to lie in the medium; it is negative outside.
func (m *medium) free(p r3.Vec) float64 {
	if m.metal {
		return -m.c.Eval(p)
	}
	return m.c.Eval(p)
}

// into is the direction from a patch into the medium.
func (m *medium) into(a *patch) r3.Vec {
	if m.metal {
		return r3.Scale(-1, a.n)
	}
	return a.n
}

const (
	skinDeep  = 1e-3 // mm; where a line that starts on a face begins to be traced. Thinner walls are not seen
	mostSteps = 100
)

// cross goes from a point of the surface in direction d, into the medium, and tells how far it is to where the line
// leaves it, if that is nearer than far.
func (m *medium) cross(p, d r3.Vec, far float64) (t float64, ok bool) {
	if m.free(along(p, d, far/2)) >= far/2 {
		return far, false // a ball from here to there is free
	}
	t = skinDeep
	for range mostSteps {
		f := m.free(along(p, d, t))
		if f <= touching/10 {
			return t, t > skinDeep
		}
		if t += f; t >= far {
			return far, false
		}
	}
	return far, false
}

// side is a face through a point with its normal away from the medium.
type side struct {
	face int
	away r3.Vec
}

// sidesAt lists the faces through a point of the surface, three at most, tangent ones once. hollow tells whether the
// medium fills more than half of the room round an edge or corner.
//
// Which way is out is asked in the sectors between the faces: where crossing one face alone changes the medium, that
// face counts as crossed outwards or inwards, and the majority holds.
func (m *medium) sidesAt(p r3.Vec) (sides []side, hollow bool) {
	for _, face := range m.facesAt(m.c, p) {
		_, n := m.carriers[face].Off(p)
		tangent := func(s side) bool { return r3.Norm2(r3.Cross(s.away, n)) < leastSine*leastSine }
		if len(sides) < 3 && !slices.ContainsFunc(sides, tangent) {
			sides = append(sides, side{face, n})
		}
	}
	const far = 10 * beside
	sectors := 1 << len(sides)
	var in [8]bool
	count := 0
	for k := range sectors {
		q := p
		for i, s := range sides {
			q = along(q, s.away, far*float64(2*(k>>i&1)-1))
		}
		if in[k] = m.in(q); in[k] {
			count++
		}
	}
	for i := range sides {
		votes := 0
		for k := range sectors {
			if in[k] != in[k^1<<i] && in[k] == (k>>i&1 == 1) {
				votes++ // beyond the face, along its normal, is the medium
			} else if in[k] != in[k^1<<i] {
				votes--
			}
		}
		if votes > 0 {
			sides[i].away = r3.Scale(-1, sides[i].away)
		}
	}
	return sides, 2*count > sectors
}

// faces finds the face that a line which leaves the medium at p in direction d meets most squarely, with its normal; in
// a hollow edge any direction between the normals counts. ok is false where that is not square enough.
func (m *medium) faces(p, d r3.Vec) (s side, ok bool) {
	sides, hollow := m.sidesAt(p)
	best := math.Inf(-1)
	for _, t := range sides {
		if c := r3.Dot(t.away, d); c > best {
			best, s = c, t
		}
	}
	if hollow {
		for i := range sides {
			for j := range i {
				if n, c := between(sides[i].away, sides[j].away, d); c > best {
					best, s.away = c, n
				}
			}
		}
	}
	return s, best >= m.opposed
}

// between is the unit vector between a and b that is nearest to d, and the cosine of the angle to it.
func between(a, b, d r3.Vec) (n r3.Vec, cos float64) {
	square := r3.Cross(a, b)
	n, cos = a, r3.Dot(a, d)
	if c := r3.Dot(b, d); c > cos {
		n, cos = b, c
	}
	size := r3.Norm2(square)
	if size < leastSine*leastSine {
		return n, cos
	}
	flat := r3.Sub(d, r3.Scale(r3.Dot(d, square)/size, square))
	if r3.Dot(r3.Cross(a, flat), square) < 0 || r3.Dot(r3.Cross(flat, b), square) < 0 || r3.Norm2(flat) < 1e-12 {
		return n, cos
	}
	n = unit(flat)
	return n, r3.Dot(n, d)
}
