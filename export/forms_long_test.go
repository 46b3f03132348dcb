//go:build long

package export

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/params"
)

var share = flag.Float64("share", 1, "part of each long campaign to run")

// randomJob is a random job over the whole key table, as in model: required keys from their whole range, others keep their default or rule
// with probability 0.8. Readings of the crown are left out.
func randomJob(r *rand.Rand) (sets []string) {
	alloys := params.Alloys()
	for _, k := range params.Keys() {
		if !k.Required && r.Float64() < 0.8 {
			continue
		}
		switch {
		case strings.HasSuffix(k.Name, ".alloy"):
			sets = append(sets, k.Name+"="+alloys[r.IntN(len(alloys))].ID)
		case k.Name == "casting.grade" || k.Name == "core.holes":
			sets = append(sets, fmt.Sprintf("%s=%d", k.Name, int(k.Min)+r.IntN(int(k.Max-k.Min)+1)))
		case k.Kind == params.Number && k.Name != "mesh.tolerance":
			sets = append(sets, fmt.Sprintf("%s=%.4g", k.Name, k.Min+(k.Max-k.Min)*r.Float64()))
		case k.Kind == params.Choice:
			sets = append(sets, k.Name+"="+k.Choices[r.IntN(len(k.Choices))])
		}
	}
	return sets
}

// 100 random locks (seed 20261128): every form can be written and reads back: 3MF and GLB by name and volume, the drawing's views as wide
// and high as the lock, its section's area that of the mesh.
func TestLongForms(t *testing.T) {
	r := rand.New(rand.NewPCG(20261128, 1))
	want := int(math.Max(1, 100**share))
	made, tried, slowest := 0, 0, 0
	for made < want {
		sets := randomJob(r)
		tried++
		job, err := params.Load("", sets)
		if err != nil {
			continue
		}
		c, err := model.Make(context.Background(), job, model.Want{Stages: []clasp.Stage{clasp.Pattern}})
		var refusal *clasp.Refusal
		var problems params.Problems
		if errors.As(err, &refusal) || errors.As(err, &problems) {
			continue
		}
		if err != nil {
			t.Fatalf("%q: %v", sets, err)
		}
		made++
		t.Run(fmt.Sprint(made), func(t *testing.T) {
			defer func() {
				if t.Failed() {
					t.Logf("%q", sets)
				}
			}()
			slowest = max(slowest, checkForms(t, c))
		})
	}
	t.Logf("%d locks of %d jobs drawn; at most %d curves in a drawing", made, tried, slowest)
}

func checkForms(t *testing.T, c *model.Commission) (curves int) {
	var b bytes.Buffer
	if err := WritePattern(&b, c); err != nil {
		t.Fatal(err)
	}
	m := read3MF(t, b.Bytes())
	if n := len(at(c, clasp.Pattern)); len(m.Build.Items) != n {
		t.Errorf("%d items for %d parts", len(m.Build.Items), n)
	}
	b.Reset()
	if err := WriteGLB(&b, c); err != nil {
		t.Fatal(err)
	}
	_, seen := viewGLB(t, b.Bytes())
	catch, err := c.CatchParts()
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range append(model.Shown(c), catch...) {
		s := seen[i]
		s.name, _, _ = strings.Cut(s.name, " ") // a second loop is "loop 2"
		checkSeen(t, s, p)
	}
	b.Reset()
	if err := WriteDrawingSVG(&b, c); err != nil {
		t.Fatal(err)
	}
	paths, dims, texts := readDrawing(t, b.Bytes())
	checkViews(t, c, paths)
	checkSections(t, c, paths)
	checkGauge(t, c.Lock, joinedRuns(paths["crown-gauge"]))
	checkDims(t, c, dims, texts)
	p, err := planOf(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range p.figures {
		all := append(joinedRuns(f.loops), f.curves...)
		lo, hi := extentOf(all)
		if lo.X < 0 || lo.Y < sheetMargin || hi.X > p.wide || hi.Y > p.high {
			t.Errorf("%s leaves the sheet: %v to %v of %v", f.name, lo, hi, r2.Vec{X: p.wide, Y: p.high})
		}
		curves += len(all)
	}
	return curves
}
