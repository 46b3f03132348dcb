//go:build long

package model

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"claspwright/model/clasp"
)

// Every way of making a double tongue at every width: meshes proven, parts apart.
func TestLongDoubleWays(t *testing.T) {
	for _, w := range []float64{14, 20, 24} {
		for _, way := range doubleWays {
			soundAndApart(t, append([]string{"tongue.count=2", "metal.alloy=au750-yellow", fmt.Sprintf("chain.width=%g", w), fmt.Sprintf("chain.thickness=%g", 0.43*w)}, way...)...)
		}
	}
}

// 200 random double tongues, the rest of the key table drawn over its whole range but for a width that may hold two: every mesh proven, no
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

// 20 of them through all checks: none fails otherwise than by a finding.
func TestLongDoublesChecked(t *testing.T) {
	draw := func(r *rand.Rand) []string {
		sets := slices.DeleteFunc(drawn(r), func(s string) bool {
			return strings.HasPrefix(s, "tongue.count=") || strings.HasPrefix(s, "chain.width=")
		})
		return append(sets, "tongue.count=2", fmt.Sprintf("chain.width=%.4g", 12+28*r.Float64()))
	}
	eachOf(t, 20261204, max(1, int(20**share)), Want{Stages: []clasp.Stage{clasp.Casting}, Checks: true, Weights: true}, draw, func([]string, *Commission) {})
}
