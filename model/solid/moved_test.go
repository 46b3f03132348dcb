package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A solid that was moved has the field of the first, moved, in every Boolean, and bounds that moved along; the first stays.
func TestMoved(t *testing.T) {
	block := func(x0, x1 float64) *Solid {
		b, err := NewBlock(r3.Vec{X: x0, Y: -1, Z: -1}, r3.Vec{X: x1, Y: 1, Z: 1}, "a")
		if err != nil {
			t.Fatal(err)
		}
		return New(b, AlongX)
	}
	rod := New(NewRod(0.4, -3, 3, "b", "c"), AcrossY.At(r3.Vec{X: 0.2, Z: 0.1}))
	s := Cut(Join(block(-1, 1), rod), Common(rod, block(0, 2)))
	by := r3.Vec{X: 0.3, Y: -4.5, Z: 1.25}
	m := s.Moved(by)
	r := rand.New(rand.NewPCG(3, 5))
	for range 5000 {
		p := r3.Vec{X: 6 * (r.Float64() - 0.5), Y: 10 * (r.Float64() - 0.5), Z: 6 * (r.Float64() - 0.5)}
		if a, b := s.Eval(p), m.Eval(r3.Add(p, by)); math.Abs(a-b) > 1e-12 {
			t.Fatalf("%v: %.15f, moved %.15f", p, a, b)
		}
	}
	a, b := s.Bounds(), m.Bounds()
	if r3.Norm(r3.Sub(r3.Add(a.Min, by), b.Min)) > 1e-12 || r3.Norm(r3.Sub(r3.Add(a.Max, by), b.Max)) > 1e-12 {
		t.Errorf("bounds %v, moved %v", a, b)
	}
}
