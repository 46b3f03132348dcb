package spring

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// sway is what loads do by moving with the shape that they bend: the moment in segment i changes by -h Q a unit of curvature in segment
// j, where Q is the sum of arm times force along it, seen from the further out of the two. It stiffens what is drawn long
// and softens what is pressed, up to buckling. nil where that is too little to count.
//
// The moments' change y obeys y[i+1] - y[i] = (q[i+1] - q[i]) times the turn of all segments up to i, so it is found in one walk from the
// block outwards, twice: once for the curvatures given, once for a unit of the unknown change at the block.
type sway struct {
	c, q, h  []float64 // give in bending, 1/(N mm2); arm times force, N mm; length, mm; of each segment
	unit     []float64 // curvatures by a unit of y at the block
	left     float64   // what that unit leaves at the tip, where y is to be q times the whole turn
	singular bool
}

// little is the part of a curvature by which loads must at least change it to be looked at; rounds of iteration find the rest.
const little = 0.02

func (s *shape) newSway(ls []load) *sway {
	n := len(s.f.segs)
	room := make([]float64, 4*n)
	w := &sway{q: room[:n], c: room[n : 2*n], h: room[2*n : 3*n], unit: room[3*n:]}
	for k := range ls {
		p := s.at(ls[k].at)
		for i := 0; i <= ls[k].at.seg; i++ {
			w.q[i] += r2.Dot(r2.Sub(p, s.on(i, 0.5)), ls[k].force)
		}
	}
	most := 0.0
	for i := range n {
		w.c[i], w.h[i] = s.f.segs[i].c.mm, s.f.segs[i].h
		most += math.Abs(w.q[i]) * w.c[i] * w.h[i]
	}
	if most < little {
		return nil
	}
	w.left = w.walk(1, w.unit)
	w.singular = math.Abs(w.left) < 1e-12
	return w
}

// walk goes outwards with y at the block and turns k, the curvatures that standing loads give, into those of loads that move along;
// it returns by how much y at the tip is not what it must be there.
func (w *sway) walk(y float64, k []float64) float64 {
	turn, n := 0.0, len(k)
	for i := range k {
		if i > 0 {
			y += (w.q[i] - w.q[i-1]) * turn
		}
		k[i] -= w.c[i] * y
		turn += w.h[i] * k[i]
	}
	return y - w.q[n-1]*turn
}

// solve turns curvatures that loads would give if they stood still into those that they give as they move along.
func (w *sway) solve(k []float64) {
	if w == nil || w.singular {
		return
	}
	y := -w.walk(0, k) / w.left
	for i := range k {
		k[i] += y * w.unit[i]
	}
}
