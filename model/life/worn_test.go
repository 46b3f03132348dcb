package life

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-4*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %.6g, by hand %.6g", what, got, want)
	}
}

// plain has shoulders of 4 mm on both sides of the notch.
var plain = Catch{Engagement: 0.5, Chamfer: 0.1, Width: 8, Thick: 0.5, Lip: 1.1, LipDepth: 0.6, EndPlay: 0.15, Travel: 0.6, Release: 6, Wear: 0.1}

// By hand, 100 N on the plain catch, 0.1 mm worn off each. Corner over the edge 0.5 - 0.1 - 2 x 0.1 = 0.2, less the round 0.1 is a flat of 0.1 by 8 mm:
// 0.8 mm2, 100/0.8 = 125 MPa. Shoulders 0.5 - 0.1 = 0.4 thick: 100/(8 x 0.4) = 31.25. Lip 1.0 thick and 0.5 deep, a cantilever with the load at its
// end (Roark, beams, case 1a; section modulus b t2/6): M = 50 N mm, W = 8 x 1/6 = 1.3333 mm3, 37.5 MPa. The tab: 6 N for 0.6 mm, 0.4 mm are left: 4 N.
func TestWornByHand(t *testing.T) {
	w := plain.Worn()
	near(t, "bears", w.Bears, 0.2)
	near(t, "flat", w.Flat, 0.1)
	near(t, "area", w.Area, 0.8)
	near(t, "slope", w.Slope, 0)
	near(t, "end play", w.EndPlay, 0.35)
	near(t, "release", w.Release, 4)
	s := plain.Under(100)
	near(t, "bearing", s.Bearing, 125)
	near(t, "shear", s.Shear, 31.25)
	near(t, "lip", s.Lip, 37.5)
	// A tongue of 250 MPa in a box of 150: crushed at 150/1.25 = 120 N, sheared at 250/(1.73205 x 0.3125) = 461.88, the lip bends at 150/0.375 = 400.
	pull, what := plain.Held(Yields{250, 150})
	near(t, "held", pull, 120)
	if what != "the shoulders are crushed" {
		t.Errorf("first to give: %s", what)
	}
	near(t, "needed", plain.Needed(100), 125)
	deep := plain
	deep.LipDepth, deep.Lip = 1.9, 0.8 // M = 180 N mm, W = 8 x 0.49/6: 275.51 MPa for 100 N, 150 MPa at 54.444 N
	pull, what = deep.Held(Yields{250, 150})
	near(t, "held by a deep lip", pull, 54.4444)
	if what != "the lip bends" {
		t.Errorf("first to give: %s", what)
	}
	soft := plain
	soft.Engagement, soft.Thick = 0.7, 0.12 // sheared at 100/1.73205 x 8 x 0.02 = 9.2376 N
	pull, what = soft.Held(Yields{100, 1000})
	near(t, "held by thin shoulders", pull, 9.2376)
	if what != "the shoulders are sheared" {
		t.Errorf("first to give: %s", what)
	}
}

// Unworn, the catch is what the spring's straight pull has: no round edge, nothing lost.
func TestUnworn(t *testing.T) {
	c := plain
	c.Wear = 0
	w := c.Worn()
	near(t, "bears", w.Bears, 0.4)
	near(t, "flat", w.Flat, 0.4)
	near(t, "release", w.Release, 6)
	near(t, "bearing", c.Under(100).Bearing, 100/3.2)
	near(t, "lip", c.Under(100).Lip, 6*100*0.6/(8*1.21))
}

// A corner at half the height of the round bears where the round leans by 30 degrees: sin 30 = 1 - 0.5. At its edge it leans by 90.
func TestWornRoundLeans(t *testing.T) {
	c := plain
	c.Wear = 0.16 // corner 0.08 over the edge, round of 0.16
	near(t, "half way up the round", c.Worn().Slope, 30)
	near(t, "flat", c.Worn().Flat, 0)
	if pull, _ := c.Held(Yields{250, 150}); pull != 0 || !math.IsInf(c.Needed(100), 1) {
		t.Errorf("with no flat left it holds %g N", pull)
	}
	c.Wear = 0.2
	near(t, "at the edge", c.Worn().Slope, 90)
	c.Wear = 0.1
	c.Slope = 4
	near(t, "on the flat", c.Worn().Slope, 4)
}

// drawnCatch is one as the keys and rules make them, without wear.
func drawnCatch(r *rand.Rand) Catch {
	in := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	c := Catch{Engagement: in(0.4, 0.7), Chamfer: 0.1, Width: in(2, 10), Thick: in(0.35, 1.2) * in(0.5, 1), Lip: in(0.6, 1.5), Slope: in(0, 15),
		EndPlay: in(0.05, 0.5), Release: in(1, 20)}
	c.Travel, c.LipDepth = c.Engagement+0.1, c.Engagement+in(0.1, 0.15)+0.02
	return c
}

// The more is worn, the less bears and holds, the sooner the tab frees, the steeper the catch and the wider the play. A lip thicker than twice its
// depth is left out of the lip's own bending: d/dw of (d - w)/(t - w)2 is positive only while t < 2 d - w, since the lever shortens with the edge.
func TestMoreWearHoldsLess(t *testing.T) {
	r := rand.New(rand.NewPCG(20261127, 1))
	thick := 0
	for range 5000 {
		c := drawnCatch(r)
		y := Yields{100 + 300*r.Float64(), 100 + 300*r.Float64()}
		a, b := c, c
		a.Wear = 0.3 * r.Float64()
		b.Wear = a.Wear + (0.3-a.Wear)*r.Float64()
		wa, wb := a.Worn(), b.Worn()
		if wb.Bears > wa.Bears || wb.Flat > wa.Flat || wb.Release > wa.Release || wb.Slope < wa.Slope || wb.EndPlay < wa.EndPlay {
			t.Fatalf("%+v: worn %.3f gives %+v, worn %.3f %+v", c, a.Wear, wa, b.Wear, wb)
		}
		sa, sb := a.Under(100), b.Under(100)
		if sb.Bearing < sa.Bearing || sb.Shear < sa.Shear {
			t.Fatalf("%+v: worn %.3f %+v, worn %.3f %+v", c, a.Wear, sa, b.Wear, sb)
		}
		if c.Lip > 2*c.LipDepth-b.Wear {
			thick++
			continue
		}
		ha, _ := a.Held(y)
		hb, _ := b.Held(y)
		if sb.Lip < sa.Lip || hb > ha || math.IsNaN(hb) {
			t.Fatalf("%+v: worn %.3f holds %.3f, worn %.3f %.3f", c, a.Wear, ha, b.Wear, hb)
		}
	}
	t.Logf("5000 catches, %d with a lip thicker than twice its depth", thick)
	if thick > 4500 {
		t.Error("hardly any lip was tried")
	}
}
