package motion

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
)

func v(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// block is a box about the origin with those sides.
func block(x, y, z float64) *solid.Block {
	b, err := solid.NewBlock(v(-x/2, -y/2, -z/2), v(x/2, y/2, z/2), "block")
	if err != nil {
		panic(err)
	}
	return b
}

// ball is a half circle turned round.
func ball(r float64) solid.Shape {
	return solid.NewRevolve(solid.Chain{
		{A: xy(0, -r), B: xy(0, r), C: xy(0, 0), R: r, Tag: "ball"},
		{A: xy(0, r), B: xy(0, -r), Tag: "axis"},
	})
}

// askew is a pose turned about an odd axis.
func askew(move r3.Vec) solid.Pose {
	return About(0.7, r3.Vec{}, r3.Unit(v(1, 2, 3)), move)
}

// holds asks that a gap's bounds hold the true distance and lie within the tolerance.
func holds(t *testing.T, g Gap, want, tolerance float64) {
	t.Helper()
	if g.Overlap || g.Stopped {
		t.Fatalf("%+v, want a distance of %v", g, want)
	}
	if g.Lower > want+1e-9 || g.Upper < want-1e-9 {
		t.Errorf("bounds %.9f and %.9f do not hold %.9f", g.Lower, g.Upper, want)
	}
	if g.Upper-g.Lower > tolerance+1e-12 {
		t.Errorf("bounds %.9f and %.9f are %.9f apart, at most %v", g.Lower, g.Upper, g.Upper-g.Lower, tolerance)
	}
	if d := r3.Norm(r3.Sub(g.P, g.Q)); math.Abs(d-g.Upper) > 1e-12 {
		t.Errorf("the points are %.9f apart, not %.9f", d, g.Upper)
	}
}

// Distances known in closed form, to 0.001 mm.
func TestLeastClosedForms(t *testing.T) {
	up := solid.Upright
	slab := solid.New(block(10, 13, 3), up)
	slot := solid.Cut(slab, solid.New(block(20, 4, 1), up))
	bored := solid.Cut(solid.New(block(6, 6, 4), up), solid.New(solid.NewRod(1.5, -9, 9, "bore", "end"), up))
	notched := solid.Cut(slab, solid.New(block(4, 4, 1), up.At(v(5, 6.5, 1.5))))
	rod := func(r float64) *solid.Solid { return solid.New(solid.NewRod(r, -8, 8, "rod", "end"), up) }
	edge := About(math.Pi/4, r3.Vec{}, v(1, 0, 0), r3.Vec{})
	for _, c := range []struct {
		name string
		a, b *solid.Solid
		at   solid.Pose // of a
		want float64
	}{
		{"two balls", solid.New(ball(1.2), up), solid.New(ball(0.7), up), up.At(v(1, 2, 2)), 3 - 1.9},
		{"ball over box", solid.New(ball(1.2), up), slab, up.At(v(1, 2, 3)), 3 - 1.5 - 1.2},
		{"ball beside corner", solid.New(ball(1), up), slab, up.At(v(7, 8.5, 3.5)), math.Sqrt(12) - 1},
		{"faces 0.05 apart", slab, slab, up.At(v(0.3, 0.2, 3.05)), 0.05},
		{"edges", slab, slab, up.At(v(10.3, 0, 3.4)), 0.5},
		{"corners", slab, slab, up.At(v(10.2, 13.3, 3.6)), 0.7},
		// Turned by 45 degrees about x the lowest edge is (13+3)/2 / sqrt2 below the middle.
		{"edge over face", slab, slab, edge.At(v(0, 0, 1.5+8/math.Sqrt2+0.1)), 0.1},
		{"tongue in slot", solid.New(block(8, 3.86, 0.8), up), slot, up.At(v(0, 0.01, 0.02)), 0.06},
		{"pin in bore", rod(1.4), bored, up.At(v(0.03, 0.04, 0)), 0.05},
		{"pin, tilted in bore", rod(1), bored, About(0.1, r3.Vec{}, v(1, 0, 0), r3.Vec{}), tiltedPin(1, 1.5, 2, 0.1)},
		{"crossing rods", rod(0.5), solid.New(solid.NewRod(0.5, -8, 8, "rod", "end"), About(math.Pi/2, r3.Vec{}, v(0, 1, 0), v(0, 2, 0))), up, 1},
		{"ring round rod", rod(1), solid.New(solid.NewRing(2, 0.8, "ring"), up), up.At(v(0.05, 0, 0)), 0.15},
		{"ball in a hollow corner", solid.New(ball(0.4), up), notched, up.At(v(4, 5, 1.6)), math.Hypot(0.5, 0.1) - 0.4}, // from the rim
	} {
		t.Run(c.name, func(t *testing.T) {
			g := LeastOf([]Placed{{NewBody(c.a), c.at}}, NewBody(c.b), Options{Most: 200_000})
			t.Logf("%.6f to %.6f mm in %d steps", g.Lower, g.Upper, g.Steps)
			holds(t, g, c.want, 0.001)
			for _, p := range []struct {
				s  *solid.Solid
				at r3.Vec
			}{{c.a, c.at.Local(g.P)}, {c.b, g.Q}} {
				if f := p.s.Eval(p.at); math.Abs(f) > 1e-8 {
					t.Errorf("a point that is no surface: %v, %g", p.at, f)
				}
			}
		})
	}
}

// tiltedPin is the least distance between a bore of radius bore, as long as 2h, and a pin tilted about its middle: at the bore's rim.
// In the plane square to the bore at height h the pin is an ellipse with half axes r/cos and r, its centre h tan off; the foot of a rim's point
// on the pin is the least of |cross(point, axis)| - r over the rim.
func tiltedPin(r, bore, h, tilt float64) float64 {
	axis := v(0, -math.Sin(tilt), math.Cos(tilt))
	least := math.Inf(1)
	for i := range 200000 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 200000)
		least = min(least, r3.Norm(r3.Cross(v(bore*c, bore*s, h), axis))-r)
	}
	return least
}

// Random boxes askew: the distance of convex solids is what projecting to and fro between them comes to
// (W. Cheney, A. A. Goldstein, Proximity maps for convex sets, 1959).
func TestLeastRandomBoxes(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	num := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	apart, through := 0, 0
	for range 60 {
		a, b := block(num(1, 6), num(1, 6), num(0.2, 3)), block(num(1, 6), num(1, 6), num(0.2, 3))
		at := About(num(0, 3), r3.Vec{}, r3.Unit(v(num(-1, 1), num(-1, 1), num(-1, 1))), v(num(-5, 5), num(-5, 5), num(-5, 5)))
		q := v(0, 0, 0)
		for range 20000 {
			p := at.World(inBox(a, at.Local(q)))
			q = inBox(b, p)
		}
		p := at.World(inBox(a, at.Local(q)))
		want := r3.Norm(r3.Sub(p, q))
		g := LeastOf([]Placed{{NewBody(solid.New(a, solid.Upright)), at}}, NewBody(solid.New(b, solid.Upright)), Options{})
		if want < 1e-3 {
			if through++; !g.Overlap && g.Lower > 1e-3 {
				t.Errorf("boxes that meet: %+v", g)
			}
			continue
		}
		apart++
		holds(t, g, want, 0.001)
	}
	if apart < 20 || through < 5 {
		t.Errorf("only %d apart and %d that meet", apart, through)
	}
}

func inBox(b *solid.Block, p r3.Vec) r3.Vec {
	box := b.Bounds()
	c := func(x, lo, hi float64) float64 { return min(max(x, lo), hi) }
	return v(c(p.X, box.Min.X, box.Max.X), c(p.Y, box.Min.Y, box.Max.Y), c(p.Z, box.Min.Z, box.Max.Z))
}

// Overlap is proven by a point in both metals; of balls and slabs the greatest depth is known.
func TestOverlap(t *testing.T) {
	up := solid.Upright
	slab := solid.New(block(10, 13, 3), up)
	for _, c := range []struct {
		name  string
		a, b  *solid.Solid
		at    solid.Pose
		depth float64 // the greatest there is
	}{
		{"balls", solid.New(ball(1), up), solid.New(ball(1), up), up.At(v(1.2, 0.9, 0)), 0.25},
		{"slabs by a thousandth", slab, slab, up.At(v(0.3, 0.4, 2.999)), 0.0005},
		{"slabs, askew", slab, slab, askew(v(0, 0, 3)), 0},
		{"ball within a slab", solid.New(ball(0.5), up), slab, up.At(v(1, 1, 0.1)), 0.5},
		{"slab round a ball", slab, solid.New(ball(0.5), up), up.At(v(1, 1, 0.1)), 0.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := LeastOf([]Placed{{NewBody(c.a), c.at}}, NewBody(c.b), Options{})
			if !g.Overlap || g.Depth <= 0 {
				t.Fatalf("%+v", g)
			}
			in := -max(c.a.Eval(c.at.Local(g.P)), c.b.Eval(g.P))
			if math.Abs(in-g.Depth) > 1e-12 {
				t.Errorf("the point lies %.9f deep, said is %.9f", in, g.Depth)
			}
			if c.depth > 0 && (g.Depth > c.depth+1e-9 || g.Depth < 0.9*c.depth) {
				t.Errorf("depth %.6f, greatest %.6f", g.Depth, c.depth)
			}
		})
	}
}

// A search with a limit stops there, and says no more than it knows.
func TestLimit(t *testing.T) {
	slab := solid.New(block(10, 13, 3), solid.Upright)
	at := func(gap float64) Gap {
		return LeastOf([]Placed{{NewBody(slab), askew(v(0, 0, 0)).At(v(0, 0, 12+gap))}}, NewBody(slab), Options{Limit: 0.5})
	}
	far := at(3)
	if far.Lower < 0.5 {
		t.Errorf("%+v", far)
	}
	if touch, sure := far.Touch(0.5); touch || !sure {
		t.Errorf("%+v touches within 0.5", far)
	}
}

// A touch outside the expected places is found, with its place; within them it does not count.
func TestExpectedPlaces(t *testing.T) {
	floor := solid.New(block(20, 10, 1), solid.Upright.At(v(0, 0, -0.5)))
	foot := solid.New(solid.NewRod(0.5, -4, 4, "rod", "end"), About(math.Pi/2, r3.Vec{}, v(1, 0, 0), v(-3, 0, 0.499)))
	other := solid.New(solid.NewRod(0.5, -4, 4, "rod", "end"), About(math.Pi/2, r3.Vec{}, v(1, 0, 0), v(4, 0, 0.52)))
	a := []Placed{{NewBody(foot), solid.Upright}, {NewBody(other), solid.Upright}}
	search := func(at ...Place) Gap { return LeastOf(a, NewBody(floor), Options{Expected: at}) }

	if g := search(); !g.Overlap || math.Abs(g.P.X+3) > 0.1 || g.Depth > 0.001 {
		t.Errorf("the foot goes 0.001 mm into the floor at x = -3: %+v", g)
	}
	if g := search(Place{X: 4, R: 0.3}); !g.Overlap {
		t.Errorf("a place elsewhere excuses the touch: %+v", g)
	}
	// Beside the place the foot has left the floor by 0.499 - sqrt(0.25 - 0.3^2), more than the other's gap of 0.02.
	holds(t, search(Place{X: -3, R: 0.3}), 0.02, 0.001)
	if g := search(Place{X: -3, R: 0.02}); !g.Overlap {
		t.Errorf("the foot is in the floor for 0.03 mm on either side, the place holds 0.02: %+v", g)
	}
	g := search(Place{X: -3, R: 0.3})
	if touch, sure := g.Touch(0.05); !touch || !sure || math.Abs(g.P.X-4) > 0.2 {
		t.Errorf("0.02 mm is nearer than the 0.05 wanted: %+v", g)
	}
}

// The whole relaxed tongue in the box of three locks: what their meshes say, to the meshes' tolerance. Locks with pads are symmetric: half
// of the tongue is enough.
func TestRelaxedTongueAgainstMeshes(t *testing.T) {
	for _, sets := range sizes() {
		l := lockOf(t, sets...)
		box, tongue := must(l.Box(clasp.Finished)), must(l.Tongue(clasp.Finished))
		const tolerance = 0.002
		mesh := func(s *solid.Solid) *contour.Tree {
			m, err := contour.Of(s, tolerance)
			if err != nil {
				t.Fatal(err)
			}
			return contour.NewTree(m)
		}
		want, _, _ := contour.Distance(mesh(tongue), mesh(box))
		for _, half := range []bool{false, true} {
			g := Least(tongue, box, Options{Half: half})
			if g.Lower > want+2*tolerance || g.Upper < want-2*tolerance || g.Upper-g.Lower > 0.001+1e-12 {
				t.Errorf("%v: %.6f to %.6f, by meshes %.6f", sets, g.Lower, g.Upper, want)
			}
			t.Logf("%v, half %v: %.5f to %.5f mm in %d steps, by meshes %.5f", sets, half, g.Lower, g.Upper, g.Steps, want)
		}
	}
}

// Answers do not depend on what a body was asked before, nor on which goroutine asks.
func TestSameAnswers(t *testing.T) {
	l := lockOf(t, locks[1]...)
	box, tongue := must(l.Box(clasp.Finished)), must(l.Tongue(clasp.Finished))
	o := Options{Tolerance: 0.01}
	first := Least(tongue, box, o)
	a, b := NewBody(tongue), NewBody(box)
	for _, x := range []float64{1, 0.3, 0, 0.02} {
		LeastOf([]Placed{{a, solid.Upright.At(v(-x, 0, 0))}}, b, Options{})
	}
	if g := LeastOf([]Placed{{a, solid.Upright}}, b, o); g != first {
		t.Errorf("asked again %+v, at first %+v", g, first)
	}
	done := make(chan Gap)
	for range 4 {
		go func() { done <- Least(tongue, box, o) }()
	}
	for range 4 {
		if g := <-done; g != first {
			t.Errorf("side by side %+v, at first %+v", g, first)
		}
	}
}

func BenchmarkLeast(b *testing.B) {
	l := lockOf(b, locks[1]...)
	box, tongue := NewBody(must(l.Box(clasp.Finished))), NewBody(must(l.Tongue(clasp.Finished)))
	for b.Loop() {
		LeastOf([]Placed{{tongue, solid.Upright}}, box, Options{Tolerance: 0.01, Half: true})
	}
}
