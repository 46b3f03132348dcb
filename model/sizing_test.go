package model

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"claspwright/model/finding"
)

// sized makes a job with every check.
func sized(t testing.TB, sets ...string) *Commission {
	t.Helper()
	return commission(t, Want{Checks: true}, sets...)
}

// answered are the cautions that the leaf's sizes answer for.
var answered = map[string]bool{"stress at the stop": true, "set after first use": true, "way in": true, "force to close": true, "force to open": true,
	"force to open, for a thumb": true, "stop over travel": true, "pull held": true, "pull held at 20 degrees": true, "slot between the leaves": true,
	"leaf in the pattern": true}

// missing lists the findings of a sized lock that should be none: stops, and cautions that its sizes answer for.
func missing(c *Commission) (out []string) {
	for _, f := range c.Findings {
		if f.Grade == finding.Stop || f.Grade == finding.Caution && answered[f.Check] {
			out = append(out, fmt.Sprintf("%s: %s %.4g, limit %.4g", f.Grade, f.Check, f.Measured, f.Limit))
		}
	}
	return out
}

// From two readings and an alloy: a leaf whose checks all pass, with the force that was aimed at and the reserve that was asked for.
func TestSizedByTheSpring(t *testing.T) {
	c := sized(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow")
	z := c.Sizing
	if z == nil || !z.Passes || len(missing(c)) > 0 {
		t.Fatalf("%+v: %v", z, missing(c))
	}
	if math.Abs(z.Ratio-shortReserve) > 0.005 || math.Abs(z.Force-bestForce) > 0.35 || z.Force != c.Spring.Release.Force {
		t.Errorf("ratio %.3f, %.2f N (the full spring %.2f)", z.Ratio, z.Force, c.Spring.Release.Force)
	}
	for _, r := range c.Resolved {
		if r.Key == "tongue.leaf" && (r.Origin != bySpring || r.Number != c.Lock.Leaf) {
			t.Errorf("the report says %+v of a leaf %g thick", r, c.Lock.Leaf)
		}
	}
}

// What is given stays; the rest is found round it.
func TestSizesGivenStay(t *testing.T) {
	plainRunOnly(t)
	base := []string{"chain.width=12.4", "chain.thickness=5.6", "metal.alloy=au750-rose", "tongue.condition=age-hardened"}
	for _, c := range []struct {
		set string
		got func(*Commission) float64
		v   float64
	}{
		{"tongue.leaf=0.6", func(c *Commission) float64 { return c.Lock.Leaf }, 0.6},
		{"tongue.fold=0.4", func(c *Commission) float64 { return c.Lock.Fold }, 0.4},
		{"tongue.length=11", func(c *Commission) float64 { return c.Lock.Length }, 11},
		{"lock.length=15", func(c *Commission) float64 { return c.Lock.BoxLength }, 15},
		{"tongue.end_play=0.3", func(c *Commission) float64 { return c.Lock.EndPlay }, 0.3},
	} {
		m := commission(t, Want{}, append(base, c.set)...)
		if v := c.got(m); math.Abs(v-c.v) > 1e-6 {
			t.Errorf("%s: %g", c.set, v)
		}
		key, _, _ := strings.Cut(c.set, "=")
		if m.Sizing == nil || !m.Sizing.Passes || slices.ContainsFunc(m.Sizing.Sets, func(s string) bool { return strings.HasPrefix(s, key) }) {
			t.Errorf("%s: %+v", c.set, m.Sizing)
		}
	}
	if m := commission(t, Want{}, append(base, "tongue.sizes=rule")...); m.Sizing != nil {
		t.Errorf("by rule alone: %+v", m.Sizing)
	}
}

// Where nothing passes it says what is in the way, and each job that it offers passes.
func TestWhatWouldPass(t *testing.T) {
	plainRunOnly(t)
	base := []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=ag925"}
	c := sized(t, base...)
	z := c.Sizing
	if z == nil || z.Passes || z.Way == "" || len(z.Nearest) == 0 {
		t.Fatalf("%+v", z)
	}
	if i := slices.IndexFunc(c.Findings, func(f finding.Finding) bool { return f.Check == "sizes of the leaf" && f.Grade == finding.Caution }); i < 0 {
		t.Error("no finding says so")
	}
	for _, n := range z.Nearest {
		d := sized(t, append(base, n.Sets...)...)
		if m := missing(d); d.Sizing == nil || !d.Sizing.Passes || len(m) > 0 {
			t.Errorf("%v is said to pass: %v", n.Sets, m)
		}
	}
}

// An alloy whose yield nobody has published is sized for an assumed one, and a stated one is used.
func TestSizedForAnUnknownYield(t *testing.T) {
	plainRunOnly(t)
	base := []string{"chain.width=14", "chain.thickness=6", "metal.alloy=au585-yellow"}
	if z := commission(t, Want{}, base...).Sizing; !z.Assumed || math.Abs(z.Yield/z.Ratio-assumedYield) > 1e-9 {
		t.Errorf("%+v", z)
	}
	if z := commission(t, Want{}, append(base, "tongue.yield=380")...).Sizing; z.Assumed || math.Abs(z.Yield/z.Ratio-380) > 1e-9 {
		t.Errorf("%+v", z)
	}
}

// The same job gives the same sizes, however often it is asked.
func TestSizedTheSame(t *testing.T) {
	j := job(t, "chain.width=9", "chain.thickness=4.4", "metal.alloy=au750-rose", "tongue.condition=age-hardened")
	var first *Sizing
	for range 3 {
		c, err := Make(context.Background(), j, Want{})
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = c.Sizing
		}
		if fmt.Sprint(*c.Sizing) != fmt.Sprint(*first) {
			t.Fatalf("%+v, then %+v", first, c.Sizing)
		}
	}
}
