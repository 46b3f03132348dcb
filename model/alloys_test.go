package model

import (
	"math"
	"strings"
	"testing"

	"claspwright/model/finding"
)

// told finds what a check says of a lock of two alloys.
func told(t *testing.T, check, box, tongue string) (finding.Grade, string) {
	t.Helper()
	j := job(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy="+box, "tongue.alloy="+tongue)
	c := &Commission{Job: j}
	own, err := c.ownAlloys()
	if err != nil {
		t.Fatal(err)
	}
	fs := append(append(markOf(own[0], own[1]), skin(own[:])...), cracking(own, Standing{})...)
	for _, f := range fs {
		if f.Check == check {
			return f.Grade, f.Say
		}
	}
	return "", ""
}

func TestMarks(t *testing.T) {
	for _, c := range []struct {
		check, box, tongue string
		grade              finding.Grade
		say                string
	}{
		{"mark", "au750-yellow", "au750-yellow", "", ""},
		{"mark", "au750-yellow", "au585-white-pd", finding.Note, "the lower fineness governs, 585; in the United Kingdom the lock can be marked 585"},
		{"mark", "au585-yellow", "au750-yellow", finding.Note, "marked 585"},
		{"mark", "au417-yellow", "au417-yellow", finding.Note, "marked 375"},
		{"mark", "ag935", "ag935", finding.Note, "marked 925"},
		{"mark", "Au 58.4, Ag 20, Cu 21.6", "Au 58.4, Ag 20, Cu 21.6", finding.Note, "marked 375"}, // 584 is not 585: Finnish agency's example
		{"mark", "Au 33.3, Ag 20, Cu 46.7", "au750-yellow", finding.Caution, "below the least standard of the United Kingdom, 375"},
		{"mark", "au750-yellow", "ag925", finding.Caution, "the least precious; the assay office"},
		{"mark", "cuzn30", "cuzn30", finding.Note, "trial casting"},
		{"mark", "au750-yellow", "cusn10", finding.Caution, "cannot be marked"},
		{"nickel", "au750-yellow", "au750-white-ni", finding.Caution, "entry 27), tested by EN 1811"},
		{"nickel", "au750-white-pd", "au750-white-pd", "", ""},
		{"cracking under stress", "au585-yellow", "au585-white-ni", finding.Note, "au585-white-ni"},
		{"cracking under stress", "au375-yellow", "au375-yellow", finding.Note, "10 carat and less"},
		{"cracking under stress", "au585-white-pd", "au585-white-pd", "", ""},
	} {
		grade, say := told(t, c.check, c.box, c.tongue)
		if grade != c.grade || !strings.Contains(say, c.say) {
			t.Errorf("%s of %s with %s: %s: %s", c.check, c.box, c.tongue, grade, say)
		}
	}
}

// Two alloys are two pours that together give the order, and the second gate is the tongue's.
func TestPoursOfTwoAlloys(t *testing.T) {
	one := commission(t, Want{Weights: true}, trial...)
	two := commission(t, Want{Weights: true}, append(trial, "tongue.alloy=au750-yellow")...)
	if len(one.Pours) != 1 || one.Pours[0].Order != one.Casting || len(two.Pours) != 2 {
		t.Fatalf("pours: %+v, %+v", one.Pours, two.Pours)
	}
	box, tongue := two.Pours[0], two.Pours[1]
	if box.Alloy.ID != "au585-yellow" || tongue.Alloy.ID != "au750-yellow" || box.Parts[0] != "box" || tongue.Parts[0] != "tongue" {
		t.Errorf("pours of %v and %v", box, tongue)
	}
	if got := box.Order.OrderG + tongue.Order.OrderG; math.Abs(got-two.Casting.OrderG) > 1e-9 || math.Abs(got-two.Weights[0].Order) > 1e-9 {
		t.Errorf("pours of %.4f g in all, order of %.4f g", got, two.Casting.OrderG)
	}
	// By volume the gates are those of the one pour: two gates and the one on the tab.
	byVolume := box.Order.GatesG/one.Weights[0].Density + tongue.Order.GatesG/15.449
	if want := one.Casting.GatesG / one.Weights[0].Density; math.Abs(byVolume/want-1) > 1e-3 {
		t.Errorf("gates of %.5f cm3 apart, %.5f together", byVolume, want)
	}
}

func TestTrialCastingHoldsNoFineMetal(t *testing.T) {
	c := commission(t, Want{Weights: true}, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=cuzn30", "tongue.sizes=rule")
	gold := commission(t, Want{Weights: true}, trial...)
	w := c.Weights[0]
	if w.Fine != 0 || c.Casting.FineG != 0 || w.Density != 8.53 {
		t.Errorf("brass: %+v", w)
	}
	if got, want := w.Finished, gold.Weights[0].Finished*8.53/gold.Weights[0].Density; math.Abs(got/want-1) > 1e-9 {
		t.Errorf("the trial lock weighs %.4f g, the gold lock's volume in brass %.4f g", got, want)
	}
}
