//go:build long

package model

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"claspwright/model/clasp"
)

// ways draws how the chamber is opened, how the leaf is cast and how the underside is hollowed, each way as often as the others.
func ways(r *rand.Rand) []string {
	sets := []string{"lock.floor=" + []string{"window", "loose", "closed"}[r.IntN(3)], "tongue.make=" + []string{"cast", "opened"}[r.IntN(2)]}
	if r.IntN(2) == 0 {
		sets = append(sets, fmt.Sprintf("lock.hollow=%.4g", 20+40*r.Float64()))
	}
	if sets[0] != "lock.floor=loose" {
		sets = append(sets, fmt.Sprintf("core.holes=%d", r.IntN(3)))
	}
	return sets
}

// 300 random locks of all ways together, the rest of the key table drawn: every mesh proven, no finished parts overlapping.
func TestLongRandomWays(t *testing.T) {
	want := Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true}
	draw := func(r *rand.Rand) []string {
		sets := ways(r)
		for _, s := range drawn(r) {
			key, _, _ := strings.Cut(s, "=")
			if key != "lock.floor" && key != "tongue.make" && key != "lock.hollow" && key != "core.holes" && !strings.HasPrefix(key, "window.") {
				sets = append(sets, s)
			}
		}
		return sets
	}
	eachOf(t, 20261201, int(300**share), want, draw, func(sets []string, c *Commission) { partsApart(t, sets, c) })
}
