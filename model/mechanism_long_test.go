//go:build long

package model

import (
	"math"
	"testing"

	"claspwright/model/finding"
)

// clashing are the checks that say of drawn dimensions that tongue and box are in each other's way.
var clashing = map[string]bool{
	"closed halves apart": true, "side clearance": true, "upper leaf clearance": true, "floor clearance": true, "neck clearance": true, "face gap": true,
	"tab to notch": true, "fold to end wall": true, "end play": true, "room over the fold": true, "way in": true, "way to the stop": true,
}

// 300 random locks moved through their boxes: the bent leaf touches only where the spring has it touch, unless another check already stops the lock;
// and every figure of spring and fit is one.
func TestLongMechanism(t *testing.T) {
	stops, failed, clashes, unsettled := tally{}, tally{}, 0, 0
	EachLock(t, 20261128, int(300**share), Want{Checks: true}, func(sets []string, c *Commission) {
		others, clash := 0, false
		for _, f := range c.Findings {
			switch {
			case f.Check == "bent leaf clear of the box" && f.Grade == finding.Stop:
				clash = true
			case f.Check == "bent leaf clear of the box" && f.Grade == finding.Caution:
				unsettled++
			case f.Grade == finding.Stop:
				stops[f.Check]++
				if clashing[f.Check] {
					others++
				}
			}
			if math.IsNaN(f.Measured) || math.IsInf(f.Measured, 0) || math.IsNaN(f.Margin) {
				t.Errorf("%v: %s measures %v", sets, f.Check, f.Measured)
			}
		}
		if clash {
			clashes++
			if others == 0 {
				t.Errorf("%v: the bent leaf touches and no other check says why: %s", sets, touching(c))
			}
		}
		if c.Spring.Result == nil {
			failed[c.Spring.Failed]++
			if others == 0 {
				t.Errorf("%v: the spring has no result and no finding says so: %s", sets, c.Spring.Failed)
			}
			return
		}
		finite(t, sets, c)
	})
	t.Logf("stops:%v", stops)
	t.Logf("the bent leaf touches the box in %d locks, all stopped by another check too; not settled in %d; spring without a result:%v", clashes, unsettled, failed)
}

func touching(c *Commission) string {
	for _, f := range c.Findings {
		if f.Check == "bent leaf clear of the box" {
			return f.Say
		}
	}
	return ""
}

func finite(t *testing.T, sets []string, c *Commission) {
	s := c.Spring
	for name, v := range map[string]float64{"push": s.Push[1], "release": s.Release.Force, "stop": s.Stop.Force, "peak": s.Peak.Size(), "case": s.Case.Force} {
		if !(v > 0) || math.IsInf(v, 0) {
			t.Errorf("%v: %s is %v", sets, name, v)
		}
	}
	if b := c.Bench; b != nil && (math.Abs(b.Fileable.Value+b.Lost.Value-1) > 1e-9 || b.AsCast.Value > b.Fileable.Value) {
		t.Errorf("%v: shares %+v %+v %+v", sets, b.AsCast, b.Fileable, b.Lost)
	}
}
