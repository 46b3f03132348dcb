//go:build long

package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
)

// Of 200 random locks, layers and angles drawn too, each part's pose costs at most 1 % more than the best of 200 random ones. It is counted
// how often one of them is better at all.
func TestLongPoses(t *testing.T) {
	r := rand.New(rand.NewPCG(20261128, 52))
	parts, better, worst := 0, 0, 0.0
	EachLock(t, 20261132, int(200**share), Want{Stages: []clasp.Stage{clasp.Pattern}}, func(sets []string, c *Commission) {
		for _, p := range c.Poses {
			if word, _ := c.Job.Text("print.pose"); word == "drawn" {
				continue
			}
			b, least := printBody(c.at(p.Part, clasp.Pattern).Mesh), math.Inf(1)
			for range 200 {
				up := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
				least = math.Min(least, b.Measure(up, p.Options).Score())
			}
			parts++
			if s := p.Terms.Score(); s > least {
				better++
				worst = math.Max(worst, s/least-1)
				if s > 1.01*least {
					t.Errorf("%v: %s: %.3f, best of 200 random %.3f", sets, p.Part, s, least)
				}
			}
			if p.Terms.Score() > p.Drawn.Score() {
				t.Errorf("%v: %s: %+v, as drawn %+v", sets, p.Part, p.Terms, p.Drawn)
			}
		}
	}, "tongue.sizes=rule")
	t.Logf("%d parts; in %d one of 200 random poses is better, by %.2f %% at most", parts, better, 100*worst)
}
