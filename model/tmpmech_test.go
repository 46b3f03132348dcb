//go:build long

package model

import (
	"testing"

	"claspwright/model/finding"
)

func TestTmpStripMech(t *testing.T) {
	stops := tally{}
	EachLock(t, 5, int(60**share), Want{Checks: true}, func(sets []string, c *Commission) {
		others, clash := 0, false
		for _, f := range c.Findings {
			switch {
			case f.Check == "bent leaf clear of the box" && f.Grade == finding.Stop:
				clash = true
			case f.Grade == finding.Stop:
				stops[f.Check]++
				if clashing[f.Check] {
					others++
				}
			}
		}
		if clash && others == 0 {
			t.Errorf("%v: bent leaf touches, no other check: %s", sets, touching(c))
		}
		if c.Spring.Result == nil {
			if others == 0 {
				t.Errorf("%v: no spring: %s", sets, c.Spring.Failed)
			}
			return
		}
		finite(t, sets, c)
	}, "tongue.make=strip")
	t.Log(stops)
}
