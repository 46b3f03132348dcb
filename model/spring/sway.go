package spring

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// sway is what loads do by moving with the shape that they bend: the moment in segment i changes by -h Q a unit of curvature in segment
// j, where Q is the sum of arm times force along it, seen from the further out of the two. It stiffens what is drawn long
// and softens what is pressed, up to buckling. nil where that is too little to count.
type sway struct{ lu mat.LU }

// little is the part of a curvature by which loads must at least change it to be looked at; rounds of iteration find the rest.
const little = 0.02

func (s *shape) newSway(ls []load) *sway {
	n := len(s.f.segs)
	q, most := make([]float64, n), 0.0
	for k := range ls {
		p := s.at(ls[k].at)
		for i := 0; i <= ls[k].at.seg; i++ {
			q[i] += r2.Dot(r2.Sub(p, s.on(i, 0.5)), ls[k].force)
		}
	}
	for i := range q {
		most += math.Abs(q[i]) * s.f.segs[i].c.mm * s.f.segs[i].h
	}
	if most < little {
		return nil
	}
	a := mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			a.Set(i, j, s.f.segs[i].c.mm*s.f.segs[j].h*q[max(i, j)])
		}
		a.Set(i, i, 1+a.At(i, i))
	}
	w := &sway{}
	w.lu.Factorize(a)
	return w
}

// solve turns curvatures that loads would give if they stood still into those that they give as they move along.
func (w *sway) solve(k []float64) {
	if w == nil {
		return
	}
	v := mat.NewVecDense(len(k), nil)
	if err := w.lu.SolveVecTo(v, false, mat.NewVecDense(len(k), k)); err != nil {
		if _, close := err.(mat.Condition); !close {
			return
		}
	}
	copy(k, v.RawVector().Data)
}
