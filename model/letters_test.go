package model

import (
	"slices"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// What the checks say of letters and hallmark, on whole locks of every make, each stage proven.
func TestLetterFindings(t *testing.T) {
	plainRunOnly(t)
	gold := []string{"chain.width=14", "chain.thickness=6", "metal.alloy=au750-yellow", "tongue.sizes=rule"}
	for _, c := range []struct {
		sets        []string
		check, says string
		want        finding.Grade
	}{
		{[]string{"mark.make=engraved", "hallmark.place=block"}, "letters", `"14 750" 2.73 mm high, engraved`, finding.Note},
		{[]string{"mark.make=raised", "tongue.make=strip"}, "metal over the letters", "", finding.OK},
		{[]string{"mark.make=raised", "hallmark.place=block", "mark.text=585", "tongue.make=slit"}, "stroke of the letters", "", finding.OK},
		{[]string{"hallmark.place=block", "chain.underside=60", "chain.width=20", "tongue.count=2"}, "flat for the hallmark, out of level", "cut level", finding.OK},
		{[]string{"hallmark.place=block", "lock.hollow=40"}, "metal behind the hallmark", "4.0 x 2.0 mm", finding.OK},
		{[]string{"hallmark.place=block", "hallmark.width=5"}, "hallmark to the leaf", "", finding.OK},
		{nil, "letters", "", ""},
		{nil, "metal behind the hallmark", "", ""},
	} {
		k := commission(t, Want{Stages: []clasp.Stage{clasp.Pattern}, Prove: true, Checks: true}, append(slices.Clone(gold), c.sets...)...)
		got := finding.Finding{}
		for _, f := range k.Findings {
			if f.Check == c.check {
				got = f
			}
			if f.Grade == finding.Stop && (strings.Contains(f.Say, "letter") || strings.HasPrefix(f.Check, "thinnest")) {
				t.Errorf("%v: %s: %s", c.sets, f.Check, f.Say)
			}
		}
		if got.Grade != c.want || !strings.Contains(got.Say, c.says) {
			t.Errorf("%v: %s: %q %.3f %s", c.sets, c.check, got.Grade, got.Measured, got.Say)
		}
		t.Logf("%v: %s %.3f, limit %.3f: %s", c.sets, c.check, got.Measured, got.Limit, got.Say)
	}
}

// What the flat's findings measure on a solid of known form: a block that is out of level, and one with a hollow over it.
func TestBeneathSees(t *testing.T) {
	k := commission(t, Want{}, "chain.width=14", "chain.thickness=6", "metal.alloy=au750-yellow", "tongue.sizes=rule", "chain.underside=60")
	s := k.part(clasp.PartTongue).Solid
	metal, level := beneath(s, -4, -2, 3)
	if level < 0.05 || metal > 6 {
		t.Errorf("a dome is %.3f mm out of level, %.3f mm of metal over it", level, metal)
	}
	if metal, _ = beneath(k.part(clasp.PartBox).Solid, 6, 8, 2); metal > 1.5 {
		t.Errorf("over a floor there are %.3f mm of metal", metal)
	}
}
