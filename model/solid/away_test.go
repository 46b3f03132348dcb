package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// shapes has every kind of carrier: planes, cylinders, cones with and without apex, balls, rings, hollow ones too.
func shapes(t testing.TB) []*Solid {
	t.Helper()
	at := Pose{O: r3.Vec{X: 1, Y: 2, Z: 3}, X: r3.Vec{X: 0.6, Y: 0.8}, Y: r3.Vec{Z: 1}, Z: r3.Vec{X: 0.8, Y: -0.6}}
	block, err := NewBlock(r3.Vec{X: -1, Y: -2, Z: 0}, r3.Vec{X: 1, Y: 1, Z: 2}, "side")
	if err != nil {
		t.Fatal(err)
	}
	side := func(p, q r2.Vec, round float64) Side { return Side{P: p, Q: q, Round: round, Tag: "side"} }
	a, b, c, d := r2.Vec{X: -2, Y: -1}, r2.Vec{X: 2, Y: -1}, r2.Vec{X: 1.5, Y: 1}, r2.Vec{X: -2, Y: 1.2}
	outline, err := Outline(side(a, b, 0.3), side(b, c, 0), side(c, d, 0.4), side(d, a, 0.2))
	if err != nil {
		t.Fatal(err)
	}
	p := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	hollow := Chain{ // a spool: a hollow quarter ring, a ball's cap, cones out and in
		{A: p(0, -1), B: p(2, -0.6), Tag: "cone"}, {A: p(2, -0.6), B: p(1, 0.4), C: p(2, 0.4), R: 1, CW: true, Tag: "hollow"},
		{A: p(1, 0.4), B: p(0.5, 1), Tag: "cone"}, {A: p(0.5, 1), B: p(0, 1.5), C: p(0, 1), R: 0.5, Tag: "ball"}, {A: p(0, 1.5), B: p(0, -1), Tag: "axis"},
	}
	return []*Solid{New(block, at), New(NewPrism(outline, -1, 2, "end"), at), New(NewRevolve(hollow), at), New(NewRing(2, 0.5, "ring"), at)}
}

// Every point of a wall lies on its carrier and, unless the wall reaches beyond its face, on the solid; parameters move
// it no faster than they say; and every point of the surface lies on a wall.
func TestWallsLieOnTheirFaces(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 9))
	for _, s := range shapes(t) {
		on, total := 0, 0
		walls := s.Walls()
		for _, w := range walls {
			at := func() (u, v float64) {
				return w.U[0] + (w.U[1]-w.U[0])*r.Float64(), w.V[0] + (w.V[1]-w.V[0])*r.Float64()
			}
			for range 500 {
				u, v := at()
				x, y := at()
				p, q := w.At(u, v), w.At(x, y)
				if d, _ := w.On.Off(p); math.Abs(d) > 1e-12 {
					t.Fatalf("face %d: %v is %g off its carrier", w.Face, p, d)
				}
				if way := math.Hypot(w.SpeedU*(u-x), w.SpeedV*(v-y)); r3.Norm(r3.Sub(p, q)) > way*(1+1e-9) {
					t.Fatalf("face %d: from %v to %v is more than %g", w.Face, p, q, way)
				}
				total++
				if math.Abs(s.Eval(p)) < 1e-9 {
					on++
				} else if !w.Round {
					t.Fatalf("face %d: %v is beyond it", w.Face, p)
				}
			}
		}
		if on < total/2 {
			t.Errorf("only %d of %d points of walls lie on the surface", on, total)
		}
		for range 300 {
			q, face, ok := s.Witness(r3.Vec{X: 1 + 3*r.NormFloat64(), Y: 2 + 3*r.NormFloat64(), Z: 3 + 3*r.NormFloat64()})
			if !ok {
				continue
			}
			found := false
			for _, w := range walls {
				d, _ := w.On.Off(q)
				found = found || w.Face == face && math.Abs(d) < 1e-9
			}
			if !found {
				t.Errorf("no wall has %v of face %d", q, face)
			}
		}
	}
}

// The bound is no less than the distance of any of many points of the triangle, and no more than the slack above the
// greatest of them and what lies between them.
func TestAwayBoundsTheDistance(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 10))
	const slack = 1e-4
	for _, s := range shapes(t) {
		for _, w := range s.Walls() {
			c := w.On
			for i := range 400 {
				// Facets as a mesh has them, corners on or near the wall, long and short, and now and then a segment.
				size := math.Exp(-5 * r.Float64())
				u, v := w.U[0]+(w.U[1]-w.U[0])*r.Float64(), w.V[0]+(w.V[1]-w.V[0])*r.Float64()
				var tri [3]r3.Vec
				for k := range tri {
					off := r3.Scale(1e-3*float64(i%3), r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64()})
					tri[k] = r3.Add(w.At(u+size*(r.Float64()-0.5)/w.SpeedU, v+size*(r.Float64()-0.5)/w.SpeedV), off)
				}
				if i%10 == 0 {
					tri[2] = tri[1]
				}
				if d, _ := c.Off(tri[0]); math.Abs(d-c.Gap(tri[0])) > 1e-13 {
					t.Fatalf("face %d: gap of %v is %g, want %g", w.Face, tri[0], c.Gap(tri[0]), d)
				}
				bound, at := c.Away(tri, slack)
				most := 0.0
				const n = 40
				for a := range n + 1 {
					for b := range n + 1 - a {
						d, _ := c.Off(mixed(tri, float64(a)/n, float64(b)/n))
						most = max(most, math.Abs(d))
					}
				}
				here, _ := c.Off(at)
				if bound < most-1e-12 || math.Abs(here) > bound+1e-12 {
					t.Fatalf("face %d, triangle %v: bound %g, but %g is reached, and %g at %v", w.Face, tri, bound, most, here, at)
				}
				if bound > most+2*slack+0.02*most {
					t.Errorf("face %d, triangle %v: bound %g, only %g is reached", w.Face, tri, bound, most)
				}
			}
		}
	}
}

// A strip of a cylinder of radius r that spans the angle a stands r(1-cos(a/2)) off, and the facet of a ball whose
// corners lie on a circle of radius h stands r-sqrt(r2-h2) off.
func TestAwayClosedForms(t *testing.T) {
	rod := New(NewRod(2, 0, 5, "rod", "end"), Upright).Carriers()[1]
	a := 0.3
	p := func(w, z float64) r3.Vec { return r3.Vec{X: 2 * math.Cos(w), Y: 2 * math.Sin(w), Z: z} }
	got, _ := rod.Away([3]r3.Vec{p(0, 0), p(a, 0), p(0, 5)}, 0)
	if want := 2 * (1 - math.Cos(a/2)); math.Abs(got-want) > 1e-14 {
		t.Errorf("strip: %g, want %g", got, want)
	}
	ball := Carrier{dir: r3.Vec{Z: 1}, round: true, radius: 1.5}
	h := 0.4
	q := func(w float64) r3.Vec {
		return r3.Vec{X: h * math.Cos(w), Y: h * math.Sin(w), Z: math.Sqrt(1.5*1.5 - h*h)}
	}
	got, _ = ball.Away([3]r3.Vec{q(0), q(2), q(4)}, 0)
	if want := 1.5 - math.Sqrt(1.5*1.5-h*h); math.Abs(got-want) > 1e-14 {
		t.Errorf("ball: %g, want %g", got, want)
	}
}

// Where two carriers cross Meet gives a point of both, the nearest one if both are flat; near tangency it says no.
func TestMeet(t *testing.T) {
	z, x := Carrier{dir: r3.Vec{Z: 1}}, Carrier{dir: r3.Vec{X: 1}}
	if q, sine, ok := Meet(r3.Vec{X: 1, Y: 2, Z: 3}, &z, &x); !ok || q != (r3.Vec{Y: 2}) || sine != 1 {
		t.Errorf("planes: %v, %g, %v", q, sine, ok)
	}
	rod := New(NewRod(2, 0, 5, "rod", "end"), Upright).Carriers()[1]
	q, _, ok := Meet(r3.Vec{X: 1.5, Y: 1, Z: 0.1}, &rod, &x)
	if d, _ := rod.Off(q); !ok || math.Abs(q.X) > 1e-9 || math.Abs(d) > 1e-9 {
		t.Errorf("rod and plane: %v, %v", q, ok)
	}
	flank := Carrier{dir: r3.Vec{X: 1}, point: r3.Vec{X: 2}}
	if _, _, ok := Meet(r3.Vec{X: 2, Y: 0.001, Z: 1}, &rod, &flank); ok {
		t.Error("a plane that touches the rod is said to cross it")
	}
	cone := turned(Seg{B: r2.Vec{X: 1, Y: 1}})
	if q, _, ok := Meet(r3.Vec{X: 0.1, Y: 0.1, Z: 0.1}, &cone, &z); ok {
		t.Errorf("a plane through the tip of a cone is said to cross it, at %v", q)
	}
	if q, _, ok := Meet(r3.Vec{X: 0.5, Y: 0.1, Z: 0.4}, &cone, &x); ok && r3.Norm(q) < 1e-5 || !ok {
		t.Errorf("a plane along the axis of a cone crosses it at %v, %v", q, ok)
	}
}
