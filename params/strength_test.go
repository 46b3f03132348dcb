package params

import (
	"slices"
	"testing"
)

// Every row names an alloy or a metal of the alloy table, a condition, a kind, a source, and values that can be.
func TestStrengthRows(t *testing.T) {
	var names []string
	for _, a := range Alloys() {
		names = append(names, a.ID, a.Metal)
	}
	for _, r := range strengths() {
		if !slices.Contains(names, r.Alloy) || !slices.Contains(append(Conditions(), "any"), r.Condition) {
			t.Errorf("row of %q, %q", r.Alloy, r.Condition)
		}
		if !slices.Contains([]string{Published, Memory, Practice}, r.Kind) || r.Source == "" {
			t.Errorf("%s, %s: kind %q, source %q", r.Alloy, r.Condition, r.Kind, r.Source)
		}
		if r.Rp02+r.UTS+r.HV+r.E+r.Nu == 0 || r.Rp02 > 0 && r.UTS > 0 && r.Rp02 >= r.UTS || (r.Condition == "any") != (r.E+r.Nu > 0) {
			t.Errorf("%s, %s: values %+v", r.Alloy, r.Condition, r)
		}
	}
}

func TestStrength(t *testing.T) {
	at := func(id, condition string) Strengths {
		a, f := alloy(id)
		if f != nil {
			t.Fatal(f.say)
		}
		s, _ := Strength(a, condition)
		return s
	}
	y := at("au750-yellow", "annealed")
	// C. W. Corti prints HV 150; yield from memory of W. S. Rapson.
	if y.Hardness.Value != 150 || y.Hardness.Kind != Published || y.Yield.Value != 300 || y.Yield.Kind != Memory || y.Modulus.Kind != Practice {
		t.Errorf("annealed: %+v", y)
	}
	if s := at("ag925", "annealed"); s.Yield.Value != 124 || s.Modulus.Value != 85 { // supplier's data sheet; its own modulus, not gold's
		t.Errorf("sterling: %+v", s)
	}
	a, _ := alloy("au375-rose")
	if s, ok := Strength(a, "hammered"); ok || s.Yield.Known() || !s.Modulus.Known() {
		t.Errorf("what is not known is given: %+v", s)
	}
	for _, a := range Alloys() { // the leaf's spring needs both
		if s, _ := Strength(a, ""); !s.Modulus.Known() || !s.Poisson.Known() || s.Poisson.Value > 0.5 {
			t.Errorf("%s: modulus %+v, Poisson's ratio %+v", a.ID, s.Modulus, s.Poisson)
		}
	}
	own, _ := alloy("Au 75, Ag 13, Cu 12")
	if s, ok := Strength(own, "annealed"); ok || s.Modulus.Value != 90 {
		t.Errorf("own alloy: %+v", s)
	}
	for _, id := range []string{"au750-yellow", "au999", "ag925", "pd950-ga", "pt950-ru"} {
		if at(id, "hammered").Hardness.Value <= at(id, "annealed").Hardness.Value {
			t.Errorf("%s is no harder when hammered", id)
		}
	}
}

// The mark goes down to a standard, never up: 588 gives 585 and 584 gives 375 (guidance of the Finnish Safety and
// Chemicals Agency).
func TestMarked(t *testing.T) {
	for _, c := range []struct {
		metal          string
		fineness, want float64
	}{{"gold", 588, 585}, {"gold", 584, 375}, {"gold", 585, 585}, {"gold", 333, 0}, {"silver", 935, 925}, {"platinum", 950, 950}, {"copper", 0, 0}} {
		if got := Marked(c.metal, c.fineness); got != c.want {
			t.Errorf("%s %g is marked %g, want %g", c.metal, c.fineness, got, c.want)
		}
	}
	if LeastStandard("silver") != 800 || LeastStandard("copper") != 0 {
		t.Error("least standards")
	}
}
