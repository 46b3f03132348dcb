//go:build long

package model

import (
	"math"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// 100 random locks with a slit tongue, the rest of the key table drawn: every mesh proven, no finished halves overlapping, and on its way the bent tongue
// touches nothing, unless another check already stops the lock.
func TestLongSlitJobs(t *testing.T) {
	stops, none := tally{}, 0
	want := Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true, Checks: true}
	EachLock(t, 20261202, int(100**share), want, func(sets []string, c *Commission) {
		partsApart(t, sets, c)
		clash, others := false, 0
		for _, f := range c.Findings {
			switch {
			case f.Check == "bent leaf clear of the box" && f.Grade != finding.OK:
				clash = true
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
		if clash && others == 0 {
			t.Errorf("%v: the bent tongue touches and no other check says why: %s", sets, touching(c))
		}
		if c.Spring.Result == nil {
			none++
			return
		}
		finite(t, sets, c)
	}, "tongue.make=slit")
	t.Logf("stops:%v; without a spring %d", stops, none)
}
