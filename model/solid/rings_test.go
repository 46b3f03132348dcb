package solid

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// A ball needs 4.84 r/e facets when they are equilateral triangles with their corners on it, e the chord: each covers
// (3 sqrt(3)/4) rho^2 of it, rho^2 = 2 e/r being the square of its circumradius over r, and 4 pi is to be covered. Rings
// of corners cannot all match: they take 1.30 to 1.48 times as many, as measured here.
func TestBallsHaveFewFacets(t *testing.T) {
	for _, c := range []struct{ r, chord float64 }{{1, 0.01}, {1, 0.005}, {0.4, 0.005}, {2, 0.005}, {10, 0.005}} {
		for name, ball := range map[string]*Revolve{"of one piece": wholeBall(c.r), "of two halves": roundEnded(c.r, 0, 0, true)} {
			f := ball.Facet(Chord{c.chord, c.chord}, nil)
			n := 0
			for _, g := range f.Facets {
				n += len(g.V) - 2
			}
			if share := float64(n) / (4.84 * c.r / c.chord); share > 1.5 {
				t.Errorf("ball %s, radius %g, chord %g: %d triangles, %.2f times the ideal number, want 1.5 at most", name, c.r, c.chord, n, share)
			} else if share < 1 { // impossible within the chord
				t.Errorf("ball %s, radius %g, chord %g: only %d triangles", name, c.r, c.chord, n)
			}
		}
	}
}

// Rods and cones have the fewest strips that the chord allows: ceil(pi/acos(1 - e/r)).
func TestRodsHaveFewestFacets(t *testing.T) {
	for _, c := range []struct {
		name string
		rod  *Revolve
		r    float64
		ends int
	}{
		{"rod", NewRod(1.3, 0, 1, "rod", "end"), 1.3, 2},
		{"thin rod", NewRod(0.03, 0, 1, "rod", "end"), 0.03, 2},
		{"rod thinner than the chord", NewRod(0.002, 0, 1, "rod", "end"), 0.002, 2},
		{"cone", turnedLines(r2.Vec{}, r2.Vec{X: 1.3}, r2.Vec{Y: 0.6}), 1.3, 1},
		{"cup", turnedLines(r2.Vec{}, r2.Vec{X: 0.4}, r2.Vec{X: 1.3, Y: 0.6}, r2.Vec{Y: 0.6}), 1.3, 2},
		{"two cones", turnedLines(r2.Vec{Y: -1}, r2.Vec{X: 1.3}, r2.Vec{Y: 0.6}), 1.3, 0},
	} {
		const chord = 0.004
		f := c.rod.Facet(Chord{chord, chord}, nil)
		strips := int(math.Max(3, math.Ceil(math.Pi/math.Acos(1-math.Min(chord/c.r, 1))-1e-9)))
		faces := len(c.rod.rim) - c.ends // curved ones
		if want := faces*strips + c.ends; len(f.Facets) != want {
			t.Errorf("%s: %d facets, want %d", c.name, len(f.Facets), want)
		}
	}
}

// Only convex solids are made of rings; any other is left to wedges.
func TestRingsAreForConvexSolids(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 1))
	w := Chord{0.01, 0.01}
	for _, b := range allBodies(t, r, 1) {
		if v, ok := b.shape.(*Revolve); ok {
			if _, ok := v.rings(w, nil); ok != b.convex {
				t.Errorf("%s: of rings: %v", b.name, ok)
			}
		}
	}
}

// The angle between the corners of a profile's rings, against the geometry that it comes from.
func TestMainStep(t *testing.T) {
	const e = 0.004
	within := Chord{e, 3 * e}
	p := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	sagitta := func(r, turn float64) float64 { return r * (1 - math.Cos(turn/2)) }
	rod, cone := NewRod(1.3, 0, 1, "rod", "end"), turnedLines(p(0, 0), p(1.3, 0), p(0.7, 1), p(0, 1))
	for name, v := range map[string]*Revolve{"rod": rod, "cone, at its wide end": cone} {
		if got := sagitta(1.3, v.mainStep(within)); math.Abs(got-e) > 1e-12 {
			t.Errorf("%s: %g mm off, want %g", name, got, e)
		}
		near := *v
		near.reach = 0.5
		if got := sagitta(0.5, near.mainStep(within)); math.Abs(got-e) > 1e-12 {
			t.Errorf("%s within 0.5 mm of its axis: %g mm off there, want %g", name, got, e)
		}
	}
	if got := NewRod(0.001, 0, 1, "rod", "end").mainStep(within); got != 2*math.Pi/3 {
		t.Errorf("rod thinner than the chord: %g rad, want a triangle's", got)
	}
	// At a ball's equator, two corners this far apart are the side of an equilateral triangle that is at most 3 e off.
	side := wholeBall(1.3).mainStep(within)
	height := 1.3 * math.Sqrt(1-math.Pow(2*math.Sin(side/2), 2)/3) // of the triangle's plane above the middle: its circumradius is side/sqrt(3)
	if off := 1.3 - height; off > 3*e || off < 0.9*3*e {
		t.Errorf("ball: a triangle %g mm off, want at most, and nearly, %g", off, 3*e)
	}
	// A rounded edge shares its chord with the arc.
	if got := sagitta(1.3, roundedRod(t, 1.3, 2, 0, 0.3).mainStep(within)); got > e+1e-12 || got < 0.3*e {
		t.Errorf("rounded rod: %g mm off, want at most %g", got, e)
	}
}

// What others of its axis cut down is never faceted finer than alone.
func TestReachMakesNothingFiner(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 3))
	for _, b := range convexBodies(t, r, 1) {
		near := *b.shape.(*Revolve)
		near.reach = 0.3 * near.box.Max.X
		all, cut := b.shape.Facet(Chord{0.01, 0.01}, nil), near.Facet(Chord{0.01, 0.01}, nil)
		if len(cut.Facets) > len(all.Facets) {
			t.Errorf("%s: %d facets when cut down, %d alone", b.name, len(cut.Facets), len(all.Facets))
		}
	}
}

// A shallow cap of a ball is one cell of few facets, whatever its height in chords.
func TestShallowCaps(t *testing.T) {
	for _, chords := range []float64{0.1, 0.5, 1, 2, 3, 5} {
		const chord = 0.01
		if f := capOf(1, math.Acos(1-chords*chord)).Facet(Chord{chord, chord}, nil); len(f.Cells) != 1 {
			t.Errorf("cap %g chords high: %d cells", chords, len(f.Cells))
		}
	}
}

// ringOf is a ring with corners at directions, radians.
func ringOf(f *Faceted, r, z float64, phi ...float64) ring { return f.ring(r2.Vec{X: r, Y: z}, phi) }

// evenRing has n corners, the first at an angle.
func evenRing(f *Faceted, r, z float64, n int, from float64) ring {
	var phi []float64
	for i := range n {
		phi = append(phi, from+2*math.Pi*float64(i)/float64(n))
	}
	return ringOf(f, r, z, phi...)
}

// Strips between any two rings close with flat ends, use every corner, face outwards, and stand out where the rings lie on
// a ball.
func TestJoinedRings(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 2))
	for range 300 {
		n, m := 3+r.IntN(40), 3+r.IntN(40)
		low, high := -0.9+0.8*r.Float64(), 0.1+0.8*r.Float64() // heights on a ball of radius 1
		if r.IntN(4) == 0 {
			m = n
		}
		turn := 2 * math.Pi * r.Float64() * float64(r.IntN(2))
		var f Faceted
		a := evenRing(&f, math.Sqrt(1-low*low), low, n, 0)
		b := evenRing(&f, math.Sqrt(1-high*high), high, m, turn)
		foot, top := ringOf(&f, 0, low), ringOf(&f, 0, high)
		f.join(0, foot, a)
		f.join(1, a, b)
		f.join(2, b, top)
		name := fmt.Sprintf("%d corners at %.3f, %d at %.3f turned by %.3f", n, low, m, high, turn)
		if err := f.closes(); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		seen := map[int32]bool{}
		for _, g := range f.Facets {
			for _, v := range g.V {
				seen[v] = true
			}
			out := r3.Vec{Z: -1} // of the end at the foot
			switch g.Face {
			case 1:
				p := f.Pts[g.V[0]]
				out = r3.Vec{X: p.X, Y: p.Y}
			case 2:
				out = r3.Vec{Z: 1}
			}
			if n > 6 && m > 6 && r3.Dot(out, g.Plane.N) <= 0 {
				t.Fatalf("%s: a facet of face %d looks inwards", name, g.Face)
			}
		}
		if len(seen) != n+m {
			t.Errorf("%s: %d corners used of %d", name, len(seen), n+m)
		}
		if !f.locallyConvex() {
			t.Errorf("%s: the strip does not stand out", name)
		}
	}
}

// Rings that meet in an apex, above or below.
func TestRingsWithApex(t *testing.T) {
	var f Faceted
	low, mid, high := ringOf(&f, 0, -1), evenRing(&f, 1, 0, 7, 0.2), ringOf(&f, 0, 2)
	f.join(0, low, mid)
	f.join(1, mid, high)
	if err := f.closes(); err != nil {
		t.Fatal(err)
	}
	want := 7.0 / 2 * math.Sin(2*math.Pi/7) // area of the heptagon, times the heights over three
	if got := f.volume(); math.Abs(got-want*3/3) > 1e-12 || len(f.Facets) != 14 {
		t.Errorf("%d facets with a volume of %g, want 14 with %g", len(f.Facets), got, want)
	}
}

// Local convexity sees a dent of a few 1e-12 mm, and none where facets are flush.
func TestLocallyConvexSeesDents(t *testing.T) {
	for _, c := range []struct {
		lift float64 // of the middle of the upper ring's chord side, mm
		want bool
	}{{0.1, true}, {0, true}, {-1e-9, false}, {-0.1, false}} {
		// A pyramid over a square, its apex lifted from the plane of the square: flat or hollow where it is not above it.
		var f Faceted
		f.Pts = []r3.Vec{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}, {Z: c.lift}}
		for i := range int32(4) {
			f.add(0, i, (i+1)%4, 4)
		}
		if got := f.locallyConvex(); got != c.want {
			t.Errorf("apex lifted by %g mm: convex %v", c.lift, got)
		}
	}
}

// A ring of corners is put where a contact asks for it, and only on a ball.
func TestCollared(t *testing.T) {
	low, high := r2.Vec{Y: -1}, r2.Vec{Y: 1}
	ball := Seg{A: low, B: high, R: 1, Tag: "ball"}
	parts := ball.collared([]r3.Vec{{X: 1}})
	if len(parts) != 2 || r2.Norm(r2.Sub(parts[0].B, r2.Vec{X: 1})) > 1e-15 || parts[0].A != low || parts[1].A != parts[0].B || parts[1].B != high || parts[1].R != 1 {
		t.Errorf("ball with a ring at its equator: %v", parts)
	}
	if parts := ball.collared(nil); len(parts) != 1 || parts[0] != ball {
		t.Errorf("ball without: %v", parts)
	}
	ring := Seg{A: r2.Vec{X: 1, Y: -1}, B: r2.Vec{X: 1, Y: 1}, C: r2.Vec{X: 1}, R: 1}
	if parts := ring.collared([]r3.Vec{{X: 1}}); len(parts) != 1 {
		t.Errorf("ring: %v", parts)
	}
	half := Seg{A: r2.Vec{X: 1}, B: high, R: 1} // begins at the equator
	if parts := half.collared([]r3.Vec{{X: 1}}); len(parts) != 1 {
		t.Errorf("half a ball: %v", parts)
	}
}

func TestNearest(t *testing.T) {
	phi := []float64{0.1, 2, 4, 6.2}
	for _, c := range []struct {
		a    float64
		want int
	}{{0.2, 0}, {6.28, 3}, {2*math.Pi + 0.11, 0}, {3.1, 2}, {-0.1, 3}, {-2.2, 2}} {
		if got := nearest(phi, c.a); got != c.want {
			t.Errorf("nearest to %g: %d, want %d", c.a, got, c.want)
		}
	}
}
