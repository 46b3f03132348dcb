package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// edge is a piece of a chain with what its distance needs at every place worked out beforehand. It gives what Seg gives,
// to the last bit; most of a check's time goes into it.
type edge struct {
	a, b   r2.Vec
	d      r2.Vec  // from a to b
	len2   float64 // its length squared
	c      r2.Vec  // centre of an arc
	r      float64 // radius of an arc, 0 for a line
	from   r2.Vec  // the ends of an arc from its centre, anticlockwise
	to     r2.Vec
	most   bool // the arc is more than half a turn
	up     bool // b lies above a
	cw     bool
	inside bool // points on an arc's chord count to its cap
}

// edges prepares a chain.
func (ch Chain) edges() []edge {
	out := make([]edge, len(ch))
	for i, s := range ch {
		e := edge{a: s.A, b: s.B, d: r2.Sub(s.B, s.A), c: s.C, r: s.R, cw: s.CW, up: s.B.Y > s.A.Y}
		e.len2 = r2.Norm2(e.d)
		e.from, e.to = r2.Sub(s.A, s.C), r2.Sub(s.B, s.C)
		if s.CW {
			e.from, e.to = e.to, e.from
		}
		x := r2.Cross(e.from, e.to)
		e.most = !(x > 0 || x == 0 && r2.Dot(e.from, e.to) <= 0)
		e.inside = s.inCap(0)
		out[i] = e
	}
	return out
}

// dist2 is the square of the distance from p.
func (e *edge) dist2(p r2.Vec) float64 {
	if e.r == 0 {
		k := min(max(r2.Dot(r2.Sub(p, e.a), e.d)/e.len2, 0), 1)
		return r2.Norm2(r2.Sub(p, r2.Add(e.a, r2.Scale(k, e.d))))
	}
	v := r2.Sub(p, e.c)
	first, last := r2.Cross(e.from, v) >= 0, r2.Cross(v, e.to) >= 0
	if first && last || e.most && (first || last) {
		if n := r2.Norm2(v); n > 0 {
			return r2.Norm2(r2.Sub(p, r2.Add(e.c, r2.Scale(e.r/math.Sqrt(n), v))))
		}
	}
	return min(r2.Norm2(r2.Sub(p, e.a)), r2.Norm2(r2.Sub(p, e.b)))
}

// crossed tells whether p's verdict turns over at this piece, as in Chain.Inside.
func (e *edge) crossed(p r2.Vec) bool {
	over := (e.a.Y > p.Y) != (e.b.Y > p.Y)
	if !over && e.r == 0 {
		return false
	}
	x := r2.Cross(e.d, r2.Sub(p, e.a))
	turn := over && (e.up && x > 0 || !e.up && x < 0)
	if e.r > 0 && r2.Norm2(r2.Sub(p, e.c)) <= e.r*e.r {
		turn = turn != (x == 0 && e.inside || x != 0 && (x > 0) == e.cw)
	}
	return turn
}

// farther tells that the whole line or circle of the piece is farther from p than far, whose square is far2, rounding or not.
func (e *edge) farther(p r2.Vec, far, far2 float64) bool {
	if e.r == 0 {
		x := e.d.X*(p.Y-e.a.Y) - e.d.Y*(p.X-e.a.X)
		return x*x > far2*e.len2
	}
	vx, vy := p.X-e.c.X, p.Y-e.c.Y
	n, out := vx*vx+vy*vy, e.r+far
	if n > out*out {
		return true
	}
	in := e.r - far
	return in > 0 && n < in*in
}

// distTo is the distance from p to the nearest of the pieces.
func distTo(edges []edge, p r2.Vec) float64 {
	best, far, far2 := math.Inf(1), math.Inf(1), math.Inf(1)
	for i := range edges {
		if e := &edges[i]; !e.farther(p, far, far2) {
			if d := e.dist2(p); d < best {
				best, far2 = d, d*(1+1e-9)+1e-18
				far = math.Sqrt(far2)
			}
		}
	}
	return math.Sqrt(best)
}

// depth is the exact distance from p to some pieces of a closed chain, negative where p lies in the area of the whole.
func depth(some, whole []edge, p r2.Vec) float64 {
	if holds(whole, p) {
		return -distTo(some, p)
	}
	return distTo(some, p)
}

// holds tells whether p lies in the area of a closed chain.
func holds(edges []edge, p r2.Vec) (in bool) {
	for i := range edges {
		if edges[i].crossed(p) {
			in = !in
		}
	}
	return in
}
