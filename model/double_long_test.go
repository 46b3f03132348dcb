//go:build long

package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// Every way of making a double tongue at every width: meshes proven, parts apart.
func TestLongDoubleWays(t *testing.T) {
	for _, w := range []float64{14, 20, 24} {
		for _, way := range doubleWays {
			soundAndApart(t, append([]string{"tongue.count=2", "metal.alloy=au750-yellow", fmt.Sprintf("chain.width=%g", w), fmt.Sprintf("chain.thickness=%g", 0.43*w)}, way...)...)
		}
	}
}

// broad draws a double tongue, the rest of the key table over its whole range, but for a width that may hold two.
func broad(r *rand.Rand) []string {
	sets := slices.DeleteFunc(drawn(r), func(s string) bool {
		return strings.HasPrefix(s, "tongue.count=") || strings.HasPrefix(s, "chain.width=")
	})
	return append(sets, "tongue.count=2", fmt.Sprintf("chain.width=%.4g", 12+28*r.Float64()))
}

// 200 random double tongues: every mesh proven, no
// finished parts overlapping.
func TestLongRandomDoubles(t *testing.T) {
	want := Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true}
	draw := func(r *rand.Rand) []string {
		sets := slices.DeleteFunc(drawn(r), func(s string) bool {
			return strings.HasPrefix(s, "tongue.count=") || strings.HasPrefix(s, "chain.width=")
		})
		return append(sets, "tongue.count=2", fmt.Sprintf("chain.width=%.4g", 12+28*r.Float64()))
	}
	eachOf(t, 20261203, int(200**share), want, draw, func(sets []string, c *Commission) { partsApart(t, sets, c) })
}

// 40 of them through all checks: figures are numbers, and where one of the bent leaves touches another check stops the lock too.
func TestLongDoublesChecked(t *testing.T) {
	touched := 0
	eachOf(t, 20261204, max(1, int(40**share)), Want{Stages: []clasp.Stage{clasp.Casting}, Checks: true, Weights: true}, broad, func(sets []string, c *Commission) {
		touches, others := false, 0
		for _, f := range c.Findings {
			if math.IsNaN(f.Measured) || math.IsInf(f.Measured, 0) || math.IsNaN(f.Margin) {
				t.Errorf("%v: %s measures %v", sets, f.Check, f.Measured)
			}
			if f.Grade == finding.Stop && f.Check == "bent leaf clear of the box" {
				touches = true
				touched++
			} else if f.Grade == finding.Stop && clashing[f.Check] {
				others++
			}
		}
		if touches && others == 0 {
			t.Errorf("%v: a bent leaf touches and no other check says why: %s", sets, touching(c))
		}
		if c.Spring.Result != nil {
			finite(t, sets, c)
		}
	})
	t.Logf("a bent leaf touches in %d, all stopped by another check too", touched)
}
