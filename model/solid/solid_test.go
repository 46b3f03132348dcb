package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func mustOutline(t testing.TB, sides ...Side) Chain {
	t.Helper()
	ch, err := Outline(sides...)
	if err != nil {
		t.Fatal(err)
	}
	return ch
}

// stadium is a rectangle a x b (b the full height) with one end fully round.
func rectangle(t testing.TB, w, h, round, out float64) Chain {
	side := func(x0, y0, x1, y1 float64) Side {
		return Side{P: r2.Vec{X: x0, Y: y0}, Q: r2.Vec{X: x1, Y: y1}, Round: round, Out: out, Tag: "s"}
	}
	return mustOutline(t, side(0, 0, w, 0), side(w, 0, w, h), side(w, h, 0, h), side(0, h, 0, 0))
}

func TestOutlineArea(t *testing.T) {
	for _, c := range []struct {
		name                string
		w, h, round, out, a float64
		pieces              int
	}{
		{"sharp", 4, 3, 0, 0, 12, 4},
		{"rounded: w h - (4 - pi) r^2", 4, 3, 0.5, 0, 12 - (4-math.Pi)*0.25, 8},
		{"moved outwards", 4, 3, 0, 0.1, 4.2 * 3.2, 4},
		{"hollow, moved inwards", 4, 3, 0, -0.1, 3.8 * 2.8, 4},
		{"two half rounds: the short sides vanish", 4, 2, 1, 0, 2*2 + math.Pi, 6},
	} {
		ch := rectangle(t, c.w, c.h, c.round, c.out)
		if len(ch) != c.pieces || math.Abs(ch.Area()-c.a) > 1e-12 {
			t.Errorf("%s: %d pieces, area %.12f; want %d, %.12f", c.name, len(ch), ch.Area(), c.pieces, c.a)
		}
	}
}

func TestOutlineRefusesARoundThatDoesNotFit(t *testing.T) {
	side := func(x0, y0, x1, y1 float64) Side {
		return Side{P: r2.Vec{X: x0, Y: y0}, Q: r2.Vec{X: x1, Y: y1}, Round: 1.01, Tag: "s"}
	}
	if _, err := Outline(side(0, 0, 4, 0), side(4, 0, 4, 2), side(4, 2, 0, 2), side(0, 2, 0, 0)); err == nil {
		t.Error("a round of 1.01 mm on a side of 2 mm was accepted")
	}
}

// ell is an L with a hollow round in its inner corner and one outer round: lines and both kinds of arcs.
func ell(t testing.TB) Chain {
	s := func(x0, y0, x1, y1, r float64) Side {
		return Side{P: r2.Vec{X: x0, Y: y0}, Q: r2.Vec{X: x1, Y: y1}, Round: r, Tag: "s"}
	}
	return mustOutline(t, s(0, 0, 4, 0, 0.7), s(4, 0, 4, 1.5, 0), s(4, 1.5, 1.5, 1.5, 0.6), s(1.5, 1.5, 1.5, 4, 0), s(1.5, 4, 0, 4, 0.3), s(0, 4, 0, 0, 0))
}

func TestChainDistAgainstDensePoints(t *testing.T) {
	ch := ell(t)
	pts, _ := ch.polygon(1e-7, nil)
	edges := ch.edges()
	r := rand.New(rand.NewPCG(1, 2))
	for range 400 {
		p := r2.Vec{X: 6*r.Float64() - 1, Y: 6*r.Float64() - 1}
		best := math.Inf(1)
		inside := false
		for i, a := range pts {
			b := pts[(i+1)%len(pts)]
			d := r2.Sub(b, a)
			k := min(max(r2.Dot(r2.Sub(p, a), d)/r2.Norm2(d), 0), 1)
			best = min(best, r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(k, d)))))
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				inside = !inside
			}
		}
		want := best
		if inside {
			want = -best
		}
		if got := depth(edges, edges, p); math.Abs(got-want) > 2e-7 {
			t.Fatalf("at %v: %g, dense polygon says %g", p, got, want)
		}
	}
}

// samples are the solids that the properties are tried on.
func samples(t testing.TB) map[string]*Solid {
	b, err := NewBlock(r3.Vec{X: -1, Y: -2, Z: -3}, r3.Vec{X: 2, Y: 1, Z: 0.5}, "b")
	if err != nil {
		t.Fatal(err)
	}
	box := New(b, Upright)
	prism := New(NewPrism(ell(t), -1, 2, "end"), AcrossY)
	turned := New(NewPrism(ell(t), 0, 3, "end"), Pose{O: r3.Vec{X: 1, Y: -1}, X: r3.Vec{X: 0.6, Y: 0.8}, Y: r3.Vec{X: -0.8, Y: 0.6}, Z: r3.Vec{Z: 1}})
	ring := New(NewRing(2, 0.7, "ring"), Pose{O: r3.Vec{Y: 0.3}, X: r3.Vec{X: 1}, Y: r3.Vec{Y: 0.6, Z: 0.8}, Z: r3.Vec{Y: -0.8, Z: 0.6}})
	rod := New(NewRod(0.9, -2, 1.5, "rod", "end"), AlongX)
	return map[string]*Solid{"ring": ring, "rod": rod, "rings": Cut(Join(ring, rod), box), "block": box, "prism": prism, "turned": turned,
		"union": Join(box, prism), "common": Common(box, turned), "cut": Cut(prism, box, turned)}
}

func TestFieldIsOneLipschitzAndTheWitnessIsOnTheSurface(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for name, s := range samples(t) {
		b := s.Bounds()
		at := func() r3.Vec {
			f := func(lo, hi float64) float64 { return lo - 1 + (hi-lo+2)*r.Float64() }
			return r3.Vec{X: f(b.Min.X, b.Max.X), Y: f(b.Min.Y, b.Max.Y), Z: f(b.Min.Z, b.Max.Z)}
		}
		tags, far := len(s.Tags()), 0
		for range 3000 {
			p, q := at(), at()
			if d := math.Abs(s.Eval(p)-s.Eval(q)) - r3.Norm(r3.Sub(p, q)); d > 1e-12 {
				t.Fatalf("%s: slope over 1 between %v and %v by %g", name, p, q, d)
			}
			w, face, ok := s.Witness(p)
			if !ok { // allowed far away, but never near the surface, where meshes are proven
				far++
				continue
			}
			p = r3.Add(w, r3.Vec{X: 0.02 * r.NormFloat64(), Y: 0.02 * r.NormFloat64(), Z: 0.02 * r.NormFloat64()})
			w, face, ok = s.Witness(p)
			if !ok || math.Abs(s.Eval(w)) > onSurface || face < 0 || face >= tags {
				t.Fatalf("%s: witness of %v is %v, field %g, face %d of %d, ok %v", name, p, w, s.Eval(w), face, tags, ok)
			}
			if d := r3.Norm(r3.Sub(p, w)); d < math.Abs(s.Eval(p))-1e-9 {
				t.Fatalf("%s: |f| %g exceeds a true distance %g at %v", name, math.Abs(s.Eval(p)), d, p)
			}
		}
		if far > 300 {
			t.Errorf("%s: %d of 3000 far points without a witness", name, far)
		}
	}
}

func TestPrimitivesAreExact(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, name := range []string{"block", "prism", "turned", "ring", "rod"} {
		s := samples(t)[name]
		for range 2000 {
			p := r3.Vec{X: 10*r.Float64() - 5, Y: 10*r.Float64() - 5, Z: 10*r.Float64() - 5}
			w, _, _ := s.Witness(p) // one projection: the nearest point in closed form
			if d := r3.Norm(r3.Sub(p, w)); math.Abs(d-math.Abs(s.Eval(p))) > 1e-9 {
				t.Fatalf("%s at %v: field %g, nearest point at %g", name, p, s.Eval(p), d)
			}
		}
	}
}

// A rectangle's prism against sdfx's box, a library that this package did not write.
func TestPrismAgainstSdfxBox(t *testing.T) {
	s := New(NewPrism(rectangle(t, 4, 3, 0, 0), 0, 2, "end"), Upright)
	box, err := sdf.Box3D(v3.Vec{X: 4, Y: 3, Z: 2}, 0)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(7, 8))
	for range 3000 {
		p := r3.Vec{X: 8*r.Float64() - 2, Y: 7*r.Float64() - 2, Z: 6*r.Float64() - 2}
		if got, want := s.Eval(p), box.Evaluate(v3.Vec{X: p.X - 2, Y: p.Y - 1.5, Z: p.Z - 1}); math.Abs(got-want) > 1e-12 {
			t.Fatalf("at %v: %g, sdfx %g", p, got, want)
		}
	}
}

func TestConvexCellsFillThePolygon(t *testing.T) {
	pts, _ := ell(t).polygon(0.005, nil)
	sum := 0.0
	for _, c := range convexCells(pts) {
		if !convex(pts, c) {
			t.Errorf("cell %v is not convex", c)
		}
		for k := 1; k+1 < len(c); k++ {
			sum += turn(pts[c[0]], pts[c[k]], pts[c[k+1]]) / 2
		}
	}
	want := 0.0
	for i, p := range pts {
		want += r2.Cross(p, pts[(i+1)%len(pts)]) / 2
	}
	if math.Abs(sum-want) > 1e-12 {
		t.Errorf("cells cover %.12f of %.12f", sum, want)
	}
}

func TestTraceStopsAtTheSurface(t *testing.T) {
	s := samples(t)["block"]
	if d := s.Trace(r3.Vec{X: 5}, r3.Vec{X: -1}, 9); math.Abs(d-3) > 1e-6 {
		t.Errorf("from x 5 to the face at x 2: %g", d)
	}
	if d := s.Trace(r3.Vec{X: 5}, r3.Vec{X: 1}, 9); d != 9 {
		t.Errorf("away from it: %g, want the limit 9", d)
	}
}

// Rods against sdfx's cylinder, rings against the textbook distance of a torus.
func TestRevolvesAgainstOthers(t *testing.T) {
	rod, ring := NewRod(0.9, -1, 1, "rod", "end"), NewRing(2, 0.7, "ring")
	cyl, err := sdf.Cylinder3D(2, 0.9, 0)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(9, 10))
	for range 3000 {
		p := r3.Vec{X: 6*r.Float64() - 3, Y: 6*r.Float64() - 3, Z: 4*r.Float64() - 2}
		if got, want := rod.Dist(p), cyl.Evaluate(v3.Vec{X: p.X, Y: p.Y, Z: p.Z}); math.Abs(got-want) > 1e-12 {
			t.Fatalf("rod at %v: %g, sdfx %g", p, got, want)
		}
		want := math.Hypot(math.Hypot(p.X, p.Y)-2, p.Z) - 0.7
		if got := ring.Dist(p); math.Abs(got-want) > 1e-12 {
			t.Fatalf("ring at %v: %g, want %g", p, got, want)
		}
	}
}

func TestCarriersHoldTheirFaces(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for name, s := range samples(t) {
		cs := s.Carriers()
		if len(cs) != len(s.Tags()) {
			t.Fatalf("%s: %d carriers for %d faces", name, len(cs), len(s.Tags()))
		}
		for range 500 {
			w, face, ok := s.Witness(r3.Vec{X: 6*r.Float64() - 3, Y: 6*r.Float64() - 3, Z: 6*r.Float64() - 3})
			if d, _ := cs[face].Off(w); ok && math.Abs(d) > 1e-8 {
				t.Fatalf("%s: a witness on face %d is %g mm off its carrier", name, face, d)
			}
		}
	}
}

func BenchmarkEval(b *testing.B) {
	s := samples(b)["cut"]
	for b.Loop() {
		s.Eval(r3.Vec{X: 0.3, Y: 0.2, Z: 0.1})
	}
}
