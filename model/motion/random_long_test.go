//go:build long

package motion

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/params"
)

var share = flag.Float64("share", 1, "part of each long campaign to run")

// drawnLock is a random lock; nil where the rules refuse it.
func drawnLock(r *rand.Rand) (*clasp.Lock, []string) {
	w := 7 + 17*r.Float64()
	sets := []string{"metal.alloy=au585-yellow", fmt.Sprintf("chain.width=%.3f", w), fmt.Sprintf("chain.thickness=%.3f", w*(0.35+0.25*r.Float64()))}
	if r.Float64() < 0.5 {
		sets = append(sets, fmt.Sprintf("chain.crown=%.3f", w*(1.2+r.Float64()*2)))
	}
	sets = append(sets, "lock.end="+[]string{"pad", "pad", "cradle", "lug"}[r.IntN(4)])
	if r.Float64() < 0.5 {
		sets = append(sets, fmt.Sprintf("tongue.leaf=%.3f", 0.5+0.3*r.Float64()))
	}
	if r.Float64() < 0.3 {
		sets = append(sets, fmt.Sprintf("tongue.fold=%.3f", 0.25+0.5*r.Float64()))
	}
	job, err := params.Parse("random", nil, sets)
	if err != nil {
		return nil, sets
	}
	l, err := clasp.Derive(job, "gold", nil)
	if err != nil {
		return nil, sets
	}
	return l, sets
}

// 40 random locks: least distance against meshes, free turns proven, the spring's way in without a touch.
func TestLongRandomLocks(t *testing.T) {
	r := rand.New(rand.NewPCG(20261127, 3))
	drawn := 0
	for made := 0; made < int(40**share); drawn++ {
		l, sets := drawnLock(r)
		if l == nil {
			continue
		}
		made++
		box, tongue := must(l.Box(clasp.Finished)), must(l.Tongue(clasp.Finished))
		againstMeshes(t, sets, box, tongue)
		tr, err := NewTurner(tongue, box)
		if err != nil {
			t.Errorf("%v: %v", sets, err)
			continue
		}
		for _, a := range []Axis{Yaw, Roll, NoseUp, NoseDown} {
			got, err := tr.Free(a)
			if err != nil || got.Clear.Overlap || got.Clear.Stopped || !got.Over.Overlap {
				t.Errorf("%v, %s: %v, %+v", sets, a, err, got)
			}
		}
		steps, err := springOf(l).Way(0.2, 8)
		if err != nil {
			t.Logf("%v: no way in: %v", sets, err)
			continue
		}
		w := NewWay(box, must(l.Held()), must(l.Tab()), shapeOf(l))
		for _, s := range steps {
			p, err := w.Pass(s.Leaf, s.Out, expected(s, 0.3), 0.003, Options{Tolerance: 0.01, Limit: 0.2})
			if err != nil {
				t.Fatal(err)
			}
			if touch, sure, where := p.Touches(0); touch || !sure {
				t.Errorf("%v, %.3f mm out: touch %v, sure %v, %+v", sets, s.Out, touch, sure, where)
			}
		}
	}
	t.Logf("%d locks drawn", drawn)
}

func againstMeshes(t *testing.T, sets []string, box, tongue *solid.Solid) {
	t.Helper()
	const tolerance = 0.002
	b, err := contour.Of(box, tolerance)
	if err != nil {
		t.Fatal(err)
	}
	m, err := contour.Of(tongue, tolerance)
	if err != nil {
		t.Fatal(err)
	}
	want, _, _ := contour.Distance(contour.NewTree(m), contour.NewTree(b))
	g := Least(tongue, box, Options{Tolerance: 0.005})
	if g.Lower > want+2*tolerance || g.Upper < want-2*tolerance || g.Upper-g.Lower > 0.005+1e-12 {
		t.Errorf("%v: %.6f to %.6f, by meshes %.6f", sets, g.Lower, g.Upper, want)
	}
}
