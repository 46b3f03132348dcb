package model

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
)

// double is a wide lock with two leaves.
var double = []string{"tongue.count=2", "chain.width=20", "chain.thickness=8.4", "metal.alloy=au750-yellow", "tongue.condition=hammered"}

// sprung is a commission with its spring alone.
func sprung(t *testing.T, sets ...string) *Commission {
	t.Helper()
	c := commission(t, Want{}, sets...)
	if err := c.springs(); err != nil {
		t.Fatal(err)
	}
	if c.Spring.Result == nil {
		t.Fatal(c.Spring.Failed)
	}
	return c
}

// Each of two leaves is the leaf of a single lock whose chamber is as wide, to the last digit; the hand feels the sum. A single leaf over the
// whole width has about that sum too: a beam's force goes with its width (Castigliano), and plates of half the width differ by a few percent.
func TestTwoLeavesAreTwiceOne(t *testing.T) {
	pair := sprung(t, double...)
	l := pair.Lock
	same := []string{"chain.thickness=8.4", "metal.alloy=au750-yellow", "tongue.condition=hammered", "tongue.sizes=rule", "chain.wear=necklace",
		fmt.Sprintf("lock.floor_wall=%.6f", l.FloorWall), fmt.Sprintf("lock.lip=%.6f", l.Lip), fmt.Sprintf("tongue.neck_play=%.6f", l.NeckPlay), fmt.Sprintf("tab.width=%.6f", l.TabWidth)}
	for key, v := range map[string]float64{"tongue.leaf": l.Leaf, "tongue.fold": l.Fold, "tongue.length": l.Length, "tongue.rise": l.Rise, "tongue.end_play": l.EndPlay, "tongue.stop": l.Stop} {
		same = append(same, fmt.Sprintf("%s=%.6f", key, v))
	}
	one := sprung(t, append(slices.Clone(same), fmt.Sprintf("chain.width=%.6f", l.Chamber+2*l.Wall), fmt.Sprintf("lock.wall=%.6f", l.Wall))...)
	if d := math.Abs(one.Lock.Chamber - l.Chamber); d > 1e-5 {
		t.Fatalf("chambers differ by %g mm", d)
	}
	for name, v := range map[string][2]float64{
		"release": {pair.Spring.Release.Force, one.Spring.Release.Force}, "opens": {pair.Spring.Opens(), 2 * one.Spring.Opens()},
		"closes": {pair.Spring.Closes()[2], 2 * one.Spring.Closes()[2]}, "stress": {pair.Spring.Peak.Size(), one.Spring.Peak.Size()},
		"lip": {pair.Spring.Pull.Lip, one.Spring.Pull.Lip}, "bearing": {pair.Spring.Pull.Bearing, one.Spring.Pull.Bearing},
	} {
		if math.Abs(v[0]/v[1]-1) > 1e-4 {
			t.Errorf("%s: %.6f, of one leaf %.6f", name, v[0], v[1])
		}
	}
	broad := sprung(t, append(slices.Clone(same), "chain.width=20")...)
	perWidth := pair.Spring.Opens() / (2 * l.UpperWidth) / (broad.Spring.Opens() / broad.Lock.UpperWidth)
	t.Logf("20 mm: two leaves %.2f N together, one over the whole width %.2f N; per width %.4f", pair.Spring.Opens(), broad.Spring.Opens(), perWidth)
	if math.Abs(perWidth-1) > 0.06 {
		t.Errorf("force per width %.4f of that of one broad leaf", perWidth)
	}
}

// doubleWays are locks with two leaves, each way of making them once: all pass the test below at every width where they can exist.
var doubleWays = [][]string{
	{"lock.floor=window", "catch.sides=both"}, {"lock.floor=loose", "chain.crown=60"}, {"lock.floor=closed", "core.holes=2", "tongue.make=opened"},
	{"lock.end=cradle", "lock.hollow=45"}, {"lock.end=lug", "lock.partition=1.2", "chain.underside=60"},
}

// soundAndApart proves every mesh of a lock and holds its finished parts apart.
func soundAndApart(t *testing.T, sets ...string) {
	t.Helper()
	c := commission(t, Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true}, sets...)
	for _, p := range c.Parts {
		if p.Mesh == nil || p.Proof.DeviationMM <= 0 || p.Proof.DeviationMM > 0.005 {
			t.Errorf("%v: %s, %s: proven to %.5f mm", sets, p.Name, p.Stage, p.Proof.DeviationMM)
		}
	}
	parts := Closed(c)
	for i, p := range parts {
		for _, q := range parts[:i] {
			if at, yes := contour.Overlap(p.Mesh, q.Mesh); yes {
				t.Errorf("%v: %s and %s overlap at %v", sets, q.Name, p.Name, at)
			}
		}
	}
}

func TestDoubleMeshes(t *testing.T) {
	plainRunOnly(t)
	for i, w := range []float64{14, 20, 24} {
		size := []string{"tongue.count=2", "metal.alloy=au750-yellow", fmt.Sprintf("chain.width=%g", w), fmt.Sprintf("chain.thickness=%g", 0.43*w)}
		soundAndApart(t, append(size, doubleWays[i]...)...)
	}
}

// What the checks say of two leaves, each with its grade.
func TestDoubleFindings(t *testing.T) {
	plainRunOnly(t)
	for _, c := range []struct {
		sets  []string
		check string
		want  finding.Grade
		says  string
	}{
		{nil, "tabs under one thumb", finding.OK, ""},
		{nil, "force to open, each tab", finding.Note, "N together"},
		{nil, "pull held off the middle", finding.OK, ""},
		{nil, "pull held", finding.OK, ""},
		{nil, "slot between the two leaves, as cast", finding.OK, ""},
		{[]string{"lock.partition=0.5", "tongue.side_play=0.05"}, "slot between the two leaves, as cast", finding.Caution, "lock.partition"},
		{nil, "safety catch", finding.Note, "second leaf stands for it"},
		{[]string{"lock.pull=400", "tongue.sizes=rule"}, "safety catch", finding.Caution, "does not stand"},
		{[]string{"lock.pull=400", "tongue.sizes=rule"}, "pull held", finding.Caution, "one of the two leaves alone"},
		{[]string{"tongue.yield=40", "lock.pull=100", "tongue.sizes=rule"}, "pull held off the middle", finding.Caution, "sideways"},
		{[]string{"metal.alloy=au585-yellow", "tongue.condition=annealed"}, "safety catch", finding.Caution, "not shown"},
		{[]string{"metal.alloy=au585-yellow", "tongue.condition=annealed"}, "pull held off the middle", finding.Note, "yield of"},
		{[]string{"chain.width=32", "chain.thickness=10"}, "tabs under one thumb", finding.Caution, "two thumbs"},
		{[]string{"tongue.count=1"}, "tabs under one thumb", "", ""},
		{[]string{"tongue.count=1", "catch.sides=none"}, "safety catch", finding.Caution, "blow on the tab opens"},
	} {
		k := sprung(t, append(slices.Clone(double), c.sets...)...)
		got := finding.Finding{}
		all := slices.Concat(k.doubled(), k.pulling())
		if k.Catch == nil {
			all = append(all, k.uncaught()...)
		}
		for _, f := range all {
			if f.Check == c.check {
				got = f
			}
		}
		if got.Grade != c.want || !strings.Contains(got.Say, c.says) {
			t.Errorf("%v: %s is %q, want %q with %q: %s", c.sets, c.check, got.Grade, c.want, c.says, got.Say)
		}
	}
}

// A leaf that holds the pull new but not worn is no catch beside the other.
func TestSecondLeafWorn(t *testing.T) {
	k := sprung(t, double...)
	for held, want := range map[float64]finding.Grade{100: finding.Note, 99.9: finding.Caution} {
		k.Life = &Life{Known: true, Held: held}
		k.Life.Worn.Flat = 0.2
		if f := k.secondLeaf(); f.Grade != want {
			t.Errorf("worn, it holds %.1f N: %q, want %q: %s", held, f.Grade, want, f.Say)
		}
	}
}

// The pull off the middle by hand, 20 x 8.4 mm with a wall of 0.8 and walls of 1.2 mm: chambers of 8.4, lower leaf 8.4 less two plays of p,
// pitch 9.2; with a leaf of 0.5 mm, M = 100 N x 4.6 mm, W = 0.5 b2/6.
func TestPullOffTheMiddleByHand(t *testing.T) {
	k := sprung(t, append(slices.Clone(double), "tongue.leaf=0.5", "tongue.side_play=0.05")...)
	b := 8.4 - 2*0.05
	mpa := 100/(0.5*b) + 100*4.6/(0.5*b*b/6)
	if got, want := k.slot().Measured, 0.8+2*0.05-2*0.10; math.Abs(got-want) > 1e-6 { // wall, plays, the leaf's stock
		t.Errorf("slot between the leaves as cast %.6f mm, by hand %.6f", got, want)
	}
	if got, want := k.askew().Measured, 100*k.Spring.Yield.Value/mpa; math.Abs(got/want-1) > 1e-9 {
		t.Errorf("%.4f N, by hand %.4f (%.2f MPa at 100 N)", got, want, mpa)
	}
}

// The whole road at 20 mm: gaps as drawn, both leaves clear of the box on their way in, no stop among the findings, blow and worn release those of
// both tabs.
func TestDoubleCommission(t *testing.T) {
	plainRunOnly(t)
	c := commission(t, Want{Stages: []clasp.Stage{clasp.Casting}, Checks: true, Weights: true}, double...)
	l, f := c.Lock, c.Fit
	for name, v := range map[string][2]float64{
		"side": {f.SideClearance, l.SidePlay}, "upper": {f.UpperClearance, l.SidePlay + 0.05}, "neck": {f.NeckClearance, l.NeckPlay}, "notch": {f.NotchClearance, 0.15},
		"engagement": {f.Engagement, l.Engagement}, "end play": {f.EndPlay, l.EndPlay}, "top gap": {f.TopGap, l.TopGap}, "floor": {f.FloorClearance, l.FloorPlay},
		"tab": {f.TabHeight, l.TabHeight}, "fold room": {f.FoldRoom, l.FoldRoom}, "headroom": {f.FoldHeadroom, l.Rise}, "faces": {f.FaceGap, l.FaceGap},
		"blow": {c.Life.Blow[0], 2 * c.Spring.Release.Force * l.Engagement * l.Engagement / (2 * l.Travel)},
		"worn": {c.Life.Worn.Release, 2 * c.Spring.Release.Force * (l.Travel - 2*c.Life.Wear) / l.Travel},
	} {
		if math.Abs(v[0]-v[1]) > 1e-6 {
			t.Errorf("%s: %.6f, drawn %.6f", name, v[0], v[1])
		}
	}
	seen := map[string]finding.Grade{}
	for _, f := range c.Findings {
		seen[f.Check] = f.Grade
		if f.Grade == finding.Stop {
			t.Errorf("%s: %s", f.Check, f.Say)
		}
	}
	for _, check := range []string{"bent leaf clear of the box", "closed halves apart", "wall between the chambers", "castings that can be filed to fit"} {
		if seen[check] != finding.OK {
			t.Errorf("%s is %q", check, seen[check])
		}
	}
}
