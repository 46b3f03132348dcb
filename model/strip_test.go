package model

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
	"claspwright/model/metal"
	"claspwright/params"
)

// stripSizes are locks with a leaf of rolled strip, flattest to widest.
var stripSizes = [][]string{
	{"chain.width=8", "chain.thickness=3.2", "metal.alloy=au750-yellow", "tongue.make=strip", "tongue.sizes=rule"},
	{"chain.width=10", "chain.thickness=4", "metal.alloy=au750-yellow", "tongue.make=strip", "tongue.sizes=rule"},
	{"chain.width=14", "chain.thickness=6", "metal.alloy=au750-yellow", "tongue.make=strip", "tongue.sizes=rule", "strip.fix=laser"},
	{"chain.width=20", "chain.thickness=8", "metal.alloy=au750-yellow", "tongue.make=strip", "tongue.sizes=rule", "strip.fix=solder"},
}

// within reports whether (u, y) lies inside the outline, by crossings.
func (b Blank) within(u, y float64) bool {
	in := false
	for i, p := range b.Outline {
		q := b.Outline[(i+1)%len(b.Outline)]
		if (p[1] > y) != (q[1] > y) && u < p[0]+(q[0]-p[0])*(y-p[1])/(q[1]-p[1]) {
			in = !in
		}
	}
	return in
}

// folded is where a point of the blank comes to lie.
func (b Blank) folded(u, y, n float64) r3.Vec {
	s := b.Tab
	if math.Abs(y) > -b.Outline[len(b.Outline)/2-1][1]+1e-9 {
		s = b.Shoulders
	}
	x, z := s.Fold(u, n)
	return r3.Vec{X: x, Y: y, Z: z}
}

// The blank folded by its fold lines is the strip in its seat: both faces and every cut edge of it come within 0.02 mm of the strip's
// surface, but for what the file takes at the shoulders' rear and the tab's top; and of the strip's surface nothing is further from the
// folded blank.
func TestBlankFoldsIntoTheStrip(t *testing.T) {
	const within = 0.02
	for _, sets := range stripSizes {
		c := commission(t, Want{}, sets...)
		l, b, leaf := c.Lock, c.Strip.Blank, c.Strip.Leaf
		filed := func(p r3.Vec) bool { // shoulders are filed upright with a chamfer, the tab's edges round
			return p.X < l.XTip+l.Chamfer+0.01 && math.Abs(p.Y) > l.NotchWidth/2-0.01 && p.Z < l.Thickness || p.Z > l.Thickness+l.TabHeight-0.32
		}
		tree := contour.NewTree(leaf.Mesh)
		var cloud []r3.Vec
		worst, seen := 0.0, 0
		look := func(u, y, n float64) {
			p := b.folded(u, y, n)
			cloud = append(cloud, p)
			if filed(p) {
				return
			}
			seen++
			if _, _, d := tree.Nearest(p); d > worst {
				worst = d
				if d > within {
					t.Errorf("%v: the blank's (%.3f, %.3f, %.3f) folds to %.4v, %.4f mm off the strip", sets, u, y, n, p, d)
				}
			}
		}
		const step = 0.1
		for u := step / 2; u < b.Tab.Flat(); u += step {
			for y := -l.LowerWidth / 2; y < l.LowerWidth/2; y += step {
				if b.within(u, y) {
					look(u, y, 0)
					look(u, y, l.Leaf)
				}
			}
		}
		for i, p := range b.Outline {
			q := b.Outline[(i+1)%len(b.Outline)]
			n := int(math.Hypot(q[0]-p[0], q[1]-p[1])/step) + 1
			for k := range n {
				s := (float64(k) + 0.5) / float64(n)
				for _, in := range []float64{0, 0.25, 0.5, 0.75, 1} {
					look(p[0]+s*(q[0]-p[0]), p[1]+s*(q[1]-p[1]), in*l.Leaf)
				}
			}
		}
		back := 0.0
		for _, v := range leaf.Mesh.V {
			if filed(v) {
				continue
			}
			near := math.Inf(1)
			for _, p := range cloud {
				near = math.Min(near, r3.Norm(r3.Sub(p, v)))
			}
			back = math.Max(back, near)
		}
		if back > step*math.Sqrt2/2+within {
			t.Errorf("%v: a corner of the strip lies %.4f mm from the folded blank, sampled every %.1f mm", sets, back, step)
		}
		if seen < 2000 {
			t.Errorf("%v: only %d points", sets, seen)
		}
		t.Logf("%v: %d points of the folded blank within %.4f mm of the strip; its corners within %.4f mm of the samples", sets[:2], seen, worst, back)
	}
}

// The flat length is the straight lengths of the folded strip, as its mesh measures them, and for each bend what Machinery's Handbook allows
// (from memory): 0.71 T + 1.57 R a right angle in hard sheet, 0.55 T + 1.57 R in soft.
func TestBlankIsAsLongAsTheHandbookSays(t *testing.T) {
	for _, sets := range stripSizes {
		c := commission(t, Want{}, sets...)
		l, b := c.Lock, c.Strip.Blank
		lo, hi := contour.Bounds(c.Strip.Leaf.Mesh)
		factor := 0.71
		if l.Fix == "solder" {
			factor = 0.55
		}
		bend := func(angle, r float64) float64 { return angle / 90 * (factor*l.Leaf + 1.57*r) }
		climb := math.Atan2(l.ZTip-l.ZUpper, l.XKnee-l.XTip) * 180 / math.Pi
		centre := hi.X - l.Fold - l.Leaf // of the fold
		shoulders := centre - lo.X + bend(180, l.Fold) + centre - l.XKnee + bend(climb, 0) + math.Hypot(l.XKnee-l.XTip, l.ZTip-l.ZUpper)
		if got := b.Shoulders.Flat(); math.Abs(got-shoulders) > 0.02 {
			t.Errorf("%v: %.4f mm to the shoulders, the handbook gives %.4f", sets, got, shoulders)
		}
		// At mid-width the strip leaves the leaf's line where the bend into the tab begins: its axis stands the radius off leaf and tab.
		back := l.TabBend * math.Tan((90-climb)*math.Pi/360) // from the corner of the two inner faces to either end of the bend
		at := l.XTip + l.TabThickness
		corner := l.ZTip - (at-l.XTip)*math.Tan(climb*math.Pi/180)
		tab := shoulders - (at-l.XTip)/math.Cos(climb*math.Pi/180) - back + bend(90-climb, l.TabBend) + hi.Z - corner - back
		if got := b.Tab.Flat(); math.Abs(got-tab) > 0.02 {
			t.Errorf("%v: %.4f mm to the tab's top, the handbook gives %.4f", sets, got, tab)
		}
		t.Logf("%v: flat %.4f mm, by the handbook %.4f; by DIN 6935 %.4f", sets[:2], b.Tab.Flat(), tab, b.Low)
	}
}

// Metal is counted where it is: root and strip make up the finished tongue, the casting holds no strip, and a strip of another alloy weighs by
// its own density.
func TestStripWeighsApart(t *testing.T) {
	sets := append([]string{"strip.alloy=au585-yellow"}, stripSizes[1]...)
	c := commission(t, Want{Weights: true}, sets...)
	plain := commission(t, Want{Weights: true}, stripSizes[1]...)
	root, leaf, whole := c.Strip.Root.VolumeMM3, c.Strip.Leaf.VolumeMM3, c.part("tongue").VolumeMM3
	gap := c.Lock.SeatPlay * c.Lock.Leaf / 2 * c.Lock.LowerWidth // the joint bridges half the gap behind the strip
	if math.Abs(whole-root-leaf-gap) > 0.05 {
		t.Errorf("tongue %.3f mm3, root %.3f, strip %.3f", whole, root, leaf)
	}
	if cast := c.Pours[0].Order.CastingG; cast <= 0 || c.Casting.CastingG != plain.Casting.CastingG {
		t.Errorf("castings %.3f g and %.3f g differ by the strip's alloy", c.Casting.CastingG, plain.Casting.CastingG)
	}
	lighter := plain.Weights[0].Density - metal.Density(c.Strip.Alloy) // g/cm3
	if got := plain.Weights[0].Finished - c.Weights[0].Finished; lighter < 1 || math.Abs(got-leaf*lighter/1000) > 1e-9 {
		t.Errorf("a strip of %.2f mm3, lighter by %.3f g/cm3, takes off %.4f g", leaf, lighter, got)
	}
}

// Strip locks from 8 to 20 mm work: no finding stops them, and what is measured on the solids is what was derived.
func TestStripLocksWork(t *testing.T) {
	plainRunOnly(t)
	for _, sets := range stripSizes {
		c := commission(t, Want{Checks: true}, sets...)
		l := c.Lock
		found := map[string]finding.Finding{}
		for _, f := range c.Findings {
			found[f.Check] = f
			if f.Grade == finding.Stop {
				t.Errorf("%v: %s: %.4f against %.4f: %s", sets, f.Check, f.Measured, f.Limit, f.Say)
			}
		}
		for check, want := range map[string]float64{
			"gap behind the strip": l.SeatPlay, "root pad over the strip, as cast": l.ZPad - l.ZLeaf - l.Leaf + 2*l.Stock.Leaf, "tab to notch": l.Slit,
			"floor clearance": l.FloorPlay, "engagement": l.Engagement, "top gap": l.TopGap, "tab height": l.TabHeight,
		} {
			if f, ok := found[check]; !ok || math.Abs(f.Measured-want) > 1e-6 {
				t.Errorf("%v: %s measures %.6f, want %.6f", sets, check, f.Measured, want)
			}
		}
		if _, cast := found["leaf in the pattern"]; cast {
			t.Errorf("%v: a rolled leaf is judged as cast", sets)
		}
		if want := map[string]string{"rivet": "hammered", "laser": "hammered", "solder": "annealed"}[l.Fix]; c.Spring.Condition != want {
			t.Errorf("%v: the leaf is %s, want %s", sets, c.Spring.Condition, want)
		}
	}
}

// Rivets, seam and tab against formulas worked by hand: two shanks of 0.8 mm at a yield of 300 MPa shear at 2 x 0.5027 mm2 x 173.2 MPa = 174.1 N and
// bear on strip of 0.4 mm with 2 x 0.8 x 0.4 x 300 = 192 N; a seam of 8 mm across and 3 mm on each side, 0.2 mm deep, at 14 x 0.2 x 173.2 = 485 N.
func TestFixingByHand(t *testing.T) {
	l := &clasp.Lock{Fix: "rivet", Rivet: 0.8, Leaf: 0.4, LowerWidth: 8, RivetY: 2, XSeat: 0.75, SeatPlay: 0.05, RivetX: 2.3, XPad: 4, Toe: 0.2}
	if got := holds(l, 300); math.Abs(got-174.1) > 0.1 {
		t.Errorf("rivets hold %.2f N", got)
	}
	l.Leaf = 0.35
	if got := holds(l, 300); math.Abs(got-168) > 0.1 { // the strip's holes give first
		t.Errorf("rivets in thinner strip hold %.2f N", got)
	}
	l.Fix, l.Leaf = "laser", 0.4
	if got := holds(l, 300); math.Abs(got-485) > 0.2 {
		t.Errorf("the seam holds %.2f N", got)
	}
}

// The lesser alloy of tongue and strip governs the mark.
func TestStripGovernsTheMark(t *testing.T) {
	for _, c := range []struct{ tongue, strip, want string }{
		{"au750-yellow", "au585-yellow", "au585-yellow"}, {"au585-yellow", "au750-yellow", "au585-yellow"}, {"au750-yellow", "ag925", "ag925"}, {"au750-yellow", "cuzn30", "cuzn30"},
	} {
		j := job(t, "chain.width=10", "chain.thickness=4", "metal.alloy=au750-yellow")
		alloy := func(id string) params.Alloy {
			a, err := j.Alloy(id)
			if err != nil {
				t.Fatal(err)
			}
			return a
		}
		if got := lesser(alloy("au750-yellow"), alloy(c.tongue), alloy(c.strip)); got.ID != c.want {
			t.Errorf("tongue %s, strip %s: %s governs, want %s", c.tongue, c.strip, got.ID, c.want)
		}
	}
}
