package model

import (
	"context"
	"fmt"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// sound is a lock without a stop, of a metal whose yield is known, sized by rule alone: the amounts by which it is spoiled were found for that.
var sound = []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow", "tongue.sizes=rule"}

// spoiling changes a finished lock by hand, by more or less.
type spoiling struct {
	check  string
	grade  finding.Grade // that it is caught with
	what   string
	far    float64 // spoilt by so much
	near   float64 // by so much, the measure is 0.02 mm inside its limit (or what 0.02 mm make of it)
	change func(l *clasp.Lock, by float64)
}

// spoilings keep spring and solids in step: a larger fold raises the upper leaf by twice as much, and so on. The near ones follow from the base
// lock's measures: side play 0.07, floor play 0.08, neck play 0.04, engagement 0.5, end play 0.15 of 0.123 needed, and so on.
var spoilings = []spoiling{
	{"engagement", finding.Stop, "tip too low", 0.12, 0.08, func(l *clasp.Lock, by float64) { l.ZTip -= by }},
	{"engagement", finding.Stop, "lip's edge too high", 0.12, 0.08, func(l *clasp.Lock, by float64) { liftLip(l, by) }},
	{"neck clearance", finding.Stop, "lip too deep", 0.035, 0.01, func(l *clasp.Lock, by float64) { liftLip(l, -by); l.NeckPlay -= by }},
	{"closed halves apart", finding.Stop, "lip deeper still", 0.06, 0.02, func(l *clasp.Lock, by float64) { liftLip(l, -by); l.NeckPlay -= by }},
	{"end play", finding.Stop, "no end play", 0.10, 0.006, func(l *clasp.Lock, by float64) { l.XTip -= by; l.EndPlay -= by }},
	{"top gap", finding.Caution, "roof too high over the tip", 0.10, 0.01, func(l *clasp.Lock, by float64) { l.ZFront += by }},
	{"tab height", finding.Stop, "tab too low", 0.12, 0.08, func(l *clasp.Lock, by float64) { l.TabHeight -= by }},
	{"room over the fold", finding.Stop, "chamber too low for the fold's rise", 0.04, 0.014, func(l *clasp.Lock, by float64) { l.Fold += by; l.ZUpper += 2 * by }},
	{"bent leaf clear of the box", finding.Stop, "so low that the risen fold strikes the roof", 0.075, 0.014, func(l *clasp.Lock, by float64) { l.Fold += by; l.ZUpper += 2 * by }},
	{"stress in the leaf", finding.Stop, "fold too tight", 0.17, 0.06, func(l *clasp.Lock, by float64) { l.Fold -= by; l.ZUpper -= 2 * by }},
	{"stress in the leaf", finding.Stop, "leaf too thick", 0.12, 0.016, func(l *clasp.Lock, by float64) { l.Leaf += by; l.Fold -= by; l.ZPad -= by / 2 }},
	{"stress in the leaf", finding.Stop, "leaf too short", 3, 0.7, func(l *clasp.Lock, by float64) { shorten(l, by) }},
	{"side clearance", finding.Stop, "lower leaf too wide", 0.06, 0.03, func(l *clasp.Lock, by float64) { l.LowerWidth += 2 * by }},
	{"upper leaf clearance", finding.Stop, "upper leaf too wide", 0.11, 0.08, func(l *clasp.Lock, by float64) { l.UpperWidth += 2 * by }},
	{"floor clearance", finding.Stop, "lower leaf too low", 0.07, 0.04, func(l *clasp.Lock, by float64) { sink(l, by) }},
	{"neck clearance", finding.Stop, "neck too high", 0.035, 0.01, func(l *clasp.Lock, by float64) { l.NeckPlay -= by }},
	{"face gap", finding.Stop, "faces meet too soon", 0.04, 0.01, func(l *clasp.Lock, by float64) { l.FaceGap -= by }},
	{"tab to notch", finding.Stop, "notch too narrow", 0.12, 0.08, func(l *clasp.Lock, by float64) { l.NotchWidth -= 2 * by }},
	{"fold to end wall", finding.Stop, "chamber too short", 0.2, 0.13, func(l *clasp.Lock, by float64) { l.XRear -= by }},
	{"floor", finding.Stop, "floor too thin", 0.12, 0.08, func(l *clasp.Lock, by float64) { lowerFloor(l, by) }},
	{"end wall", finding.Stop, "end wall too thin", 0.45, 0.38, func(l *clasp.Lock, by float64) { l.BoxLength -= by }},
	{"shoulder, each side", finding.Stop, "notch too wide", 2.7, 2.61, func(l *clasp.Lock, by float64) { l.NotchWidth += 2 * by }},
	{"way to the stop", finding.Stop, "root pad too high", 0.12, 0.045, func(l *clasp.Lock, by float64) { l.ZPad += by }},
	{"slope of the lip's inner face", finding.Stop, "lip sloped 12 degrees", 12, 4.1, func(l *clasp.Lock, by float64) { slope(l, by) }},
	{"side wall", finding.Stop, "side walls too thin", 0.28, 0.22, func(l *clasp.Lock, by float64) { l.Chamber += 2 * by; l.LowerWidth += 2 * by; l.UpperWidth += 2 * by }},
	{"lip", finding.Stop, "lip too thin", 0.65, 0.58, func(l *clasp.Lock, by float64) { l.Lip -= by; l.EndPlay += by; l.XNeck -= by }},
	{"roof at the corner, square to the face", finding.Stop, "roof too thin", 1.45, 1.39, func(l *clasp.Lock, by float64) { l.ZFront += by }},
	{"closed halves apart", finding.Stop, "notch too short behind the tab", 0.55, 0.48, func(l *clasp.Lock, by float64) { l.XNotch -= by }},
}

// liftLip moves the lip's edge and with it the roof behind, which is as high.
func liftLip(l *clasp.Lock, by float64) { l.ZLip += by; l.LipDepth -= by }

// lowerFloor leaves the tongue where it is.
func lowerFloor(l *clasp.Lock, by float64) { l.Floor -= by; l.NeckPlay += by }

// sink lowers the leaf; the neck's underside stays below it.
func sink(l *clasp.Lock, by float64) {
	l.ZLeaf -= by
	l.ZUpper -= by
	l.NeckPlay = min(l.NeckPlay, max(0.002, l.ZLeaf-l.Floor-0.01))
}

// slope leans the lip and keeps the end play before it.
func slope(l *clasp.Lock, by float64) {
	l.LipSlope = by
	l.XTip += l.LipLean()
	l.EndPlay += l.LipLean()
}

func shorten(l *clasp.Lock, by float64) {
	for _, x := range []*float64{&l.XKnee, &l.XFold, &l.XStep, &l.XRear, &l.XWindow, &l.BoxLength} {
		*x -= by
	}
	l.Length -= by
	l.XWindow = max(l.XWindow, l.XPad+0.5)
}

// judgedAs spoils the sound lock and finds it anew.
func judgedAs(t *testing.T, s spoiling, by float64) *Commission {
	t.Helper()
	c := commission(t, Want{}, sound...)
	s.change(c.Lock, by)
	for i := range c.Parts {
		if err := c.Parts[i].mesh(c.Lock, 0.005, false); err != nil {
			t.Fatalf("%s by %g: %v", s.what, by, err)
		}
	}
	if err := c.judge(context.Background()); err != nil {
		t.Fatalf("%s by %g: %v", s.what, by, err)
	}
	return c
}

// A lock that is spoiled on purpose is caught by the check that is meant for it. TestLongNearMisses has those that are not quite spoiled.
func TestSpoiledLocksAreCaught(t *testing.T) {
	plainRunOnly(t)
	if len(spoilings) < 24 {
		t.Fatalf("only %d", len(spoilings))
	}
	for i, s := range spoilings {
		t.Run(fmt.Sprintf("%d %s", i+1, s.what), func(t *testing.T) {
			t.Parallel()
			caught := false
			for _, f := range judgedAs(t, s, s.far).Findings {
				if f.Check == s.check && f.Grade == s.grade {
					caught = true
					t.Logf("%s by %g: %s %.4g, limit %.4g", s.what, s.far, f.Check, f.Measured, f.Limit)
				}
			}
			if !caught {
				t.Errorf("%q did not catch it", s.check)
			}
		})
	}
}
