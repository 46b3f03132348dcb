package params

import (
	"math"
	"testing"
)

// Exact values of NIST Handbook 44, appendix C (the international pound of 453.592 37 g, of which a grain is 1/7000, a
// pennyweight 24 grains and a troy ounce 480; the inch of 25.4 mm); the metric carat of 200 mg.
func TestUnitsAgainstDefinitions(t *testing.T) {
	const pound = 453.59237
	for _, c := range []struct {
		text, unit string
		want       float64
	}{
		{"1 ozt", "g", 31.1034768}, {"1 dwt", "g", 1.55517384}, {"1 gr", "g", 0.06479891}, {"1 ct", "g", 0.2}, {"1 in", "mm", 25.4},
		{"7000 gr", "g", pound}, {"480 gr", "g", 31.1034768}, {"24 gr", "g", 1.55517384}, {"20 dwt", "g", 31.1034768},
		{"155.517384 ct", "g", 31.1034768}, {"1000 um", "mm", 1}, {"1000 µm", "mm", 1}, {"350 um", "mm", 0.35}, {"0.5in", "mm", 12.7},
		{" +.5 mm ", "mm", 0.5}, {"-1e-1", "mm", -0.1}, {"12.", "g", 12}, {"90 deg", "deg", 90}, {"0.5 %", "%", 0.5}, {"1.015", "", 1.015},
		{"0e999999999 in", "mm", 0}, {"1e999999999 in", "mm", math.Inf(1)},
	} {
		if got, f := quantity(c.text, c.unit); f != nil || got != c.want {
			t.Errorf("%q in %s is %v (%v), want exactly %v", c.text, c.unit, got, f, c.want)
		}
	}
}

func TestNoQuantity(t *testing.T) {
	for _, c := range []struct{ text, unit, say string }{
		{"", "mm", "is empty"}, {"  ", "mm", "is empty"}, {"mm", "mm", "is not a number"}, {"0x10", "mm", `has a unit that is not known here, "x10"`},
		{"1 2", "mm", `has a unit that is not known here, "2"`}, {"1,5", "mm", "has a decimal comma"}, {",5", "mm", "has a decimal comma"},
		{"nan", "mm", "is not a number that can be measured"}, {"-Infinity", "g", "is not a number that can be measured"},
		{"3 g", "mm", "is a mass; a length is expected (mm, um or in)"}, {"3 mm", "g", "is a length; a mass is expected (g, gr, dwt, ozt or ct)"},
		{"3 deg", "mm", "is an angle; a length is expected (mm, um or in)"}, {"3 mm", "", "is a length; a plain number is expected"},
		{"--1", "mm", "is not a number"}, {"1 MM", "mm", `has a unit that is not known here, "MM"`}, {"1 kg", "mm", `has a unit that is not known here, "kg"`},
	} {
		if v, f := quantity(c.text, c.unit); f == nil || f.say != c.say {
			t.Errorf("%q as %q gives %v and %v, want %q", c.text, c.unit, v, f, c.say)
		}
	}
}

func TestUnitRows(t *testing.T) {
	for _, u := range Units() {
		if u.Source == "" || u.Of == "" || !(float(u.Exact) > 0) {
			t.Errorf("unit %s lacks a source, a meaning or a value", u.Name)
		}
		if b, ok := unitNamed(u.Base); !ok || b.Exact != "1" || b.Of != u.Of {
			t.Errorf("unit %s has base %s", u.Name, u.Base)
		}
	}
}
