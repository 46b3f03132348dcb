//go:build long

package model

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
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
	r := rand.New(rand.NewPCG(20261201, 3))
	made, jobs, refused := 0, 0, tally{}
	for ; made < int(300**share) && jobs < 20000; jobs++ {
		sets := ways(r)
		for _, s := range drawn(r) {
			key, _, _ := strings.Cut(s, "=")
			if key != "lock.floor" && key != "tongue.make" && key != "lock.hollow" && key != "core.holes" && !strings.HasPrefix(key, "window.") {
				sets = append(sets, s)
			}
		}
		j, err := params.Parse("random", nil, sets)
		if err != nil {
			continue
		}
		c, err := Make(context.Background(), j, want)
		var no *clasp.Refusal
		if errors.As(err, &no) {
			refused[no.Key]++
			continue
		}
		made++
		if err != nil {
			t.Errorf("%v: %v", sets, err)
			continue
		}
		parts := Closed(c)
		for i, p := range parts {
			for _, q := range parts[:i] {
				if at, yes := contour.Overlap(p.Mesh, q.Mesh); yes {
					t.Errorf("%v: %s and %s overlap at %v", sets, q.Name, p.Name, at)
				}
			}
		}
	}
	t.Logf("%d jobs drawn, %d made; refused:%v", jobs, made, refused)
}
