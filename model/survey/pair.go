package survey

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// pair is two points of the surface that face each other through a medium.
type pair struct {
	p, q  r3.Vec
	faces [2]int // that they lie on
	size  float64
}

// pairAt makes the pair of a line from p in direction d of that length; ok is false where one end does not face the
// other squarely or something stands between.
func (m *medium) pairAt(p, d r3.Vec, size float64) (pair, bool) {
	q := along(p, d, size)
	far, ok := m.faces(q, d)
	if !ok {
		return pair{}, false
	}
	near, ok := m.faces(p, r3.Scale(-1, d))
	if !ok || r3.Dot(near.away, far.away) > -m.opposed {
		return pair{}, false
	}
	return pair{p, q, [2]int{near.face, far.face}, size}, true
}

// settles is the last step of shorten, mm; the size is then off by far less, since it changes slowly where it is least,
// and by no more than twice this where the place is held by an edge.
const settles = 1e-5

// mostRounds ends shorten where a pair creeps along; few take a tenth of it.
const mostRounds = 500

// shorten moves both ends of a pair over their faces, as long as they are surface, to where they are nearest to each
// other: by trial steps of one end, the other or both, in turned directions, with step halved when none helps.
func (m *medium) shorten(a pair, step float64) pair {
	move := mover{m: m, best: a, on: [2]*solid.Carrier{&m.carriers[a.faces[0]], &m.carriers[a.faces[1]]}}
	move.square = move.dot(a.p, a.q) >= m.opposed
	move.feet()
	for k := 0; step > settles && k < mostRounds; k++ {
		move.gain = 1e-4 * step
		if !move.round(step, 0.7*float64(k)) {
			step /= 2
		}
	}
	return m.checked(move.best, a)
}

// checked is the pair if its ends still face each other with nothing between, else what it came from.
func (m *medium) checked(b, from pair) pair {
	if b.size >= from.size {
		return b
	}
	if b.size < skinDeep {
		return from // it ran together where its faces meet
	}
	d := r3.Scale(1/b.size, r3.Sub(b.q, b.p))
	if _, ok := m.pairAt(b.p, d, b.size); !ok {
		return from
	}
	if t, ok := m.cross(b.p, d, b.size*0.999); ok && t < b.size*0.999 {
		return from
	}
	return b
}

type mover struct {
	m      *medium
	best   pair
	on     [2]*solid.Carrier
	square bool    // the faces, not their edge, face each other
	gain   float64 // mm that a step must win
}

// dot is the cosine between the faces' normals, taken positive.
func (v *mover) dot(p, q r3.Vec) float64 {
	_, a := v.on[0].Off(p)
	_, b := v.on[1].Off(q)
	return math.Abs(r3.Dot(a, b))
}

// try takes a pair if it is shorter and on the surface.
func (v *mover) try(p, q r3.Vec) bool {
	size := apart(p, q)
	if size >= v.best.size-v.gain || size == 0 {
		return false
	}
	if v.square && v.dot(p, q) < v.m.opposed {
		return false
	}
	if !v.m.c.On(p, touching) || !v.m.c.On(q, touching) || !v.m.in(r3.Scale(0.5, r3.Add(p, q))) {
		return false
	}
	v.best.p, v.best.q, v.best.size = p, q, size
	return true
}

// feet drops each end onto the other's face.
func (v *mover) feet() bool {
	a := v.try(v.best.p, v.on[1].Foot(v.best.p))
	return v.try(v.on[0].Foot(v.best.q), v.best.q) || a
}

// round tries steps of both ends, in twelve directions each.
func (v *mover) round(step, turn float64) bool {
	better := false
	_, n := v.on[0].Off(v.best.p)
	x, y := across(n)
	for k := range 12 {
		sin, cos := math.Sincos(turn + float64(k)*math.Pi/6)
		d := r3.Add(r3.Scale(step*cos, x), r3.Scale(step*sin, y))
		p, q := v.on[0].Foot(r3.Add(v.best.p, d)), v.on[1].Foot(r3.Add(v.best.q, d))
		if v.try(p, q) || v.try(p, v.on[1].Foot(p)) || v.try(v.on[0].Foot(q), q) ||
			v.try(p, v.best.q) || v.try(v.best.p, q) {
			better = true
			v.feet()
		}
	}
	return better
}
