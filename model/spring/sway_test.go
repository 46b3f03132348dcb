package spring

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The walk along the strip solves the full system (1 + c Q h) k = k0, Q[i][j] = q[max(i, j)], for pressing and for drawing loads.
func TestSwayAgainstDenseEquations(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, force := range []float64{-1500, -200, 300, 4000} {
		n := 80
		cut := func() []float64 { return make([]float64, n) }
		w := &sway{c: cut(), q: cut(), h: cut(), unit: cut()}
		a, k := mat.NewDense(n, n, nil), cut()
		for i := range n {
			w.c[i], w.h[i] = 1/(11000+3000*r.Float64()), 0.3*r.Float64()
			w.q[i] = force * (0.2*r.Float64() + float64(n-i)/float64(n))
			k[i] = r.NormFloat64()
		}
		w.left = w.walk(1, w.unit)
		for i := range n {
			for j := range n {
				a.Set(i, j, w.c[i]*w.h[j]*w.q[max(i, j)])
			}
			a.Set(i, i, 1+a.At(i, i))
		}
		want := mat.NewVecDense(n, nil)
		if err := want.SolveVec(a, mat.NewVecDense(n, append([]float64(nil), k...))); err != nil {
			t.Fatal(err)
		}
		w.solve(k)
		for i := range k {
			if d := math.Abs(k[i] - want.AtVec(i)); d > 1e-11 {
				t.Fatalf("%g N mm, segment %d: off by %g", force, i, d)
			}
		}
	}
}
