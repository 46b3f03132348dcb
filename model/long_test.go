//go:build long

package model

import (
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// 2,000 random locks: every mesh of every stage proven, no finished halves overlapping. Meshes ask for no spring: the leaf is sized by rule.
func TestLongRandomJobs(t *testing.T) {
	want := Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true}
	EachLock(t, 20261125, int(2000**share), want, func(sets []string, c *Commission) { partsApart(t, sets, c) }, "tongue.sizes=rule")
}

// 400 random locks with a leaf of rolled strip: every mesh of every stage and the strip's own proven, no finished halves overlapping, and the
// blank folded comes to lie on the strip.
func TestLongStripJobs(t *testing.T) {
	want := Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true}
	worst := 0.0
	EachLock(t, 20261127, int(400**share), want, func(sets []string, c *Commission) {
		if at, yes := contour.Overlap(c.part("box").Mesh, c.part("tongue").Mesh); yes {
			t.Errorf("%v: finished halves overlap at %v", sets, at)
		}
		l, b := c.Lock, c.Strip.Blank
		if l.Taper < 1 {
			return // filed thinner after folding
		}
		tree := contour.NewTree(c.Strip.Leaf.Mesh)
		for u := 0.05; u < b.Shoulders.Flat()-l.Leaf; u += 0.5 {
			for _, n := range []float64{0, l.Leaf} {
				p := b.folded(u, l.NotchWidth/2+0.2, n)
				_, _, d := tree.Nearest(p)
				worst = max(worst, d)
				if d > 0.02 {
					t.Errorf("%v: the blank's (%.3f, %.3f) folds to %.4v, %.4f mm off the strip", sets, u, n, p, d)
				}
			}
		}
	}, "tongue.make=strip")
	t.Logf("folded blanks within %.4f mm of their strips", worst)
}
