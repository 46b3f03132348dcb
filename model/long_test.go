//go:build long

package model

import (
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// 2,000 random locks: every mesh of every stage proven, no finished halves overlapping.
func TestLongRandomJobs(t *testing.T) {
	want := Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true}
	EachLock(t, 20261125, int(2000**share), want, func(sets []string, c *Commission) {
		if at, yes := contour.Overlap(c.part("box").Mesh, c.part("tongue").Mesh); yes {
			t.Errorf("%v: finished halves overlap at %v", sets, at)
		}
	})
}
