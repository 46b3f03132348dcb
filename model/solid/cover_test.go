package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// tangle is a solid of many primitives under all three operations, differences within differences included.
func tangle(r *rand.Rand, n int) *Solid {
	spin := func() Pose {
		a, b := 2*math.Pi*r.Float64(), math.Pi*r.Float64()
		x := r3.Vec{X: math.Cos(a), Y: math.Sin(a)}
		y := r3.Vec{X: -math.Sin(a) * math.Cos(b), Y: math.Cos(a) * math.Cos(b), Z: math.Sin(b)}
		return Pose{O: r3.Vec{X: 12 * r.Float64(), Y: 12 * r.Float64(), Z: 6 * r.Float64()}, X: x, Y: y, Z: r3.Cross(x, y)}
	}
	part := func() *Solid {
		switch r.IntN(3) {
		case 0:
			return New(NewRod(0.2+r.Float64(), -1, 1+r.Float64(), "rod", "end"), spin())
		case 1:
			return New(NewRing(1+r.Float64(), 0.2+0.5*r.Float64(), "ring"), spin())
		}
		b, err := NewBlock(r3.Vec{}, r3.Vec{X: 1 + r.Float64(), Y: 1 + r.Float64(), Z: 1 + r.Float64()}, "side")
		if err != nil {
			panic(err)
		}
		return New(b, spin())
	}
	var all []*Solid
	for range n {
		all = append(all, part())
	}
	for len(all) > 1 {
		var next []*Solid
		for len(all) > 0 {
			k := min(2+r.IntN(6), len(all))
			if k == 1 {
				next, all = append(next, all[0]), nil
				break
			}
			switch r.IntN(4) {
			case 0:
				next = append(next, Cut(all[0], all[1:k]...))
			case 1:
				next = append(next, Join(append([]*Solid{Common(all[:2]...)}, all[2:k]...)...))
			default:
				next = append(next, Join(all[:k]...))
			}
			all = all[k:]
		}
		all = next
	}
	return all[0]
}

// The value is the whole tree's to the last bit, near and far, inside and outside the cubes, in whatever order places
// are asked for; and the face that decides is always among those that are near.
func TestCoverAgreesWithTheWholeTree(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 7))
	for _, n := range []int{1, 2, 7, 60, 300} {
		s := tangle(r, n)
		c, fresh := NewCover(s, 0.1), NewCover(s, 0.1)
		b := s.Bounds()
		for i := range 3000 {
			d := r3.Sub(b.Max, b.Min)
			p := r3.Add(b.Min, r3.Vec{X: d.X * (1.2*r.Float64() - 0.1), Y: d.Y * (1.2*r.Float64() - 0.1), Z: d.Z * (1.2*r.Float64() - 0.1)})
			if q, _, ok := s.Witness(p); ok && i%2 == 0 {
				p = q
			}
			if i%100 == 0 {
				fresh = NewCover(s, 0.1)
			}
			want := s.Eval(p)
			if got := c.Eval(p); got != want || fresh.Eval(p) != want {
				t.Fatalf("%d primitives, at %v: %g, and %g when asked anew; the whole tree says %g", n, p, got, fresh.Eval(p), want)
			}
			if size := r.Float64() * 0.2; c.On(p, size) != (math.Abs(want) <= size) || c.Metal(p) != (want < 0) || !c.On(p, math.Abs(want)) {
				t.Fatalf("%d primitives, at %v: within %g %v, metal %v; the whole tree says %g", n, p, size, c.On(p, size), c.Metal(p), want)
			}
		}
	}
}

// What Look says of a ball holds at points of the primitive's surface drawn within it: where it is hidden it is not the
// solid's, where it is clear it is, and where it is mixed and stops being the solid's another primitive is near.
func TestCoverLook(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 8))
	seen := map[Sight]int{}
	for _, n := range []int{2, 7, 60, 300} {
		s := tangle(r, n)
		c, walls := NewCover(s, 0.1), s.Walls()
		for range 6000 {
			w := walls[r.IntN(len(walls))]
			u, v := w.U[0]+(w.U[1]-w.U[0])*r.Float64(), w.V[0]+(w.V[1]-w.V[0])*r.Float64()
			reach := 0.3 * r.Float64()
			p := w.At(u, v)
			var view View
			c.Look(p, reach, w.Leaf, &view)
			sight, near := view.Ball, view.Near
			seen[sight]++
			if on := math.Abs(s.Eval(p)) <= 1e-9; view.Here == Hidden && on || view.Here == Clear && math.Abs(c.Dist(w.Leaf, p)) < 1e-9 && !on {
				t.Fatalf("%d primitives: leaf %d is %v at %v, but the solid is %g there", n, w.Leaf, view.Here, p, s.Eval(p))
			}
			for range 8 {
				q := w.At(u+(2*r.Float64()-1)*0.7*reach/w.SpeedU, v+(2*r.Float64()-1)*0.7*reach/w.SpeedV)
				if math.Abs(c.Dist(w.Leaf, q)) > 1e-9 {
					continue // beyond the primitive's own face
				}
				on := math.Abs(s.Eval(q)) <= 1e-9
				if sight == Hidden && on || sight == Clear && !on || sight == Mixed && !on && len(near) == 0 {
					t.Fatalf("%d primitives: leaf %d is %v within %g, near are %v, but at %v the solid is %g", n, w.Leaf, sight, reach, near, q, s.Eval(q))
				}
			}
		}
	}
	if seen[Hidden] < 100 || seen[Clear] < 100 || seen[Mixed] < 100 {
		t.Errorf("hidden, clear, mixed: %v, want at least 100 each", seen)
	}
}

func BenchmarkCoverEval(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 7))
	s := tangle(r, 300)
	var at []r3.Vec
	for len(at) < 4096 {
		p := r3.Vec{X: 13 * r.Float64(), Y: 13 * r.Float64(), Z: 7 * r.Float64()}
		if q, _, ok := s.Witness(p); ok {
			at = append(at, q)
		}
	}
	for name, eval := range map[string]func(r3.Vec) float64{"whole": s.Eval, "pruned": NewCover(s, 0.1).Eval} {
		b.Run(name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				eval(at[i%len(at)])
			}
		})
	}
}
