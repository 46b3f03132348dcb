package model

import (
	"context"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
	"claspwright/params"
)

// everything is what a whole order needs.
var everything = Want{Stages: []clasp.Stage{clasp.Finished, clasp.Casting, clasp.Pattern}, Prove: true, Weights: true, Checks: true}

func job(t testing.TB, sets ...string) *params.Job {
	t.Helper()
	j, err := params.Parse("test", nil, sets)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func commission(t testing.TB, want Want, sets ...string) *Commission {
	t.Helper()
	c, err := Make(context.Background(), job(t, sets...), want)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// plainRunOnly skips a test that makes many locks where the race detector runs, to which a few are enough.
func plainRunOnly(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("the plain run does it")
	}
}

// trial is sized by rule alone, so that it is the same lock in every alloy.
var trial = []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow", "tongue.sizes=rule"}

// The mesh's volume against a quadrature that uses the field alone. The quadrature's bound and the volume that chords
// cut off (facet area times distance, measured by Verify) together stay under 0.1 %, and a mesh scaled by 1.002 fails.
func TestVolumeAgainstQuadrature(t *testing.T) {
	plainRunOnly(t)
	for _, sets := range [][]string{
		trial,
		{"chain.width=18", "chain.thickness=7.6", "chain.crown=27", "metal.alloy=au750-yellow", "tongue.sizes=rule"},
	} {
		c := commission(t, Want{Stages: []clasp.Stage{clasp.Casting}, Prove: true}, sets...)
		for i, p := range c.Parts {
			b := p.Solid.Bounds()
			v, bound := contour.Quadrature(p.Solid, b.Min, b.Max, uint64(i+1))
			limit := bound + p.Proof.GapMM3
			t.Logf("%s %s: mesh %.4f, quadrature %.4f +- %.4f, chords %.4f: off %.4f of %.4f mm3 (%.4f %%)",
				p.Name, p.Stage, p.VolumeMM3, v, bound, p.Proof.GapMM3, p.VolumeMM3-v, limit, 100*limit/v)
			if math.Abs(p.VolumeMM3-v) > limit {
				t.Errorf("%s %s: mesh %.4f mm3, quadrature %.4f, allowed %.4f", p.Name, p.Stage, p.VolumeMM3, v, limit)
			}
			if limit > 0.001*v {
				t.Errorf("%s %s: the bound %.4f mm3 is %.3f %% of the volume, more than 0.1 %%", p.Name, p.Stage, limit, 100*limit/v)
			}
			if wrong := p.VolumeMM3 * 1.002 * 1.002 * 1.002; math.Abs(wrong-v) <= limit {
				t.Errorf("%s %s: a mesh scaled by 1.002 passes", p.Name, p.Stage)
			}
		}
	}
}

func TestFitMeasuresWhatTheLockIsDerivedFor(t *testing.T) {
	plainRunOnly(t)
	for _, sets := range [][]string{
		trial,
		{"chain.width=8", "chain.thickness=4", "metal.alloy=au585-yellow"},
		{"chain.width=22", "chain.thickness=9.24", "chain.crown=33", "metal.alloy=ag925", "tongue.condition=hammered"}, // annealed, it would not hold its spring
	} {
		c := commission(t, Want{Checks: true}, sets...)
		l, f := c.Lock, c.Fit
		for _, m := range []struct {
			name      string
			got, want float64
		}{
			{"side clearance", f.SideClearance, l.SidePlay},
			{"upper clearance", f.UpperClearance, l.SidePlay + 0.05},
			{"floor clearance", f.FloorClearance, l.FloorPlay},
			{"neck clearance", f.NeckClearance, l.NeckPlay},
			{"face gap", f.FaceGap, l.FaceGap},
			{"engagement", f.Engagement, l.Engagement},
			{"end play", f.EndPlay, l.EndPlay},
			{"top gap", f.TopGap, l.TopGap},
			{"tab height", f.TabHeight, l.TabHeight},
			{"fold room", f.FoldRoom, l.FoldRoom},
			{"fold headroom", f.FoldHeadroom, l.Rise},
			{"notch clearance", f.NotchClearance, 0.15},
		} {
			if math.Abs(m.got-m.want) > 1e-6 {
				t.Errorf("%v: %s measures %.7f mm, derived for %.7f", sets, m.name, m.got, m.want)
			}
		}
		for _, x := range c.Findings {
			if x.Grade == finding.Stop {
				t.Errorf("%v: %s: %.4f against %.4f: %s", sets, x.Check, x.Measured, x.Limit, x.Say)
			}
		}
	}
}

func TestPatternIsTheCastingGrownPerAxis(t *testing.T) {
	plainRunOnly(t)
	c := commission(t, everything, append(trial, "casting.growth_x=1.02", "casting.growth_y=1.015", "casting.growth_z=1.01")...)
	for _, name := range c.Lock.Parts() {
		cast, pattern := c.at(name, clasp.Casting), c.at(name, clasp.Pattern)
		g := r3.Vec{X: 1.02, Y: 1.015, Z: 1.01}
		if ratio := pattern.VolumeMM3 / cast.VolumeMM3; math.Abs(ratio/(g.X*g.Y*g.Z)-1) > 1e-6 {
			t.Errorf("%s: volumes grow by %.8f, want %.8f", name, ratio, g.X*g.Y*g.Z)
		}
		for i, v := range cast.Mesh.V {
			if d := r3.Norm(r3.Sub(pattern.Mesh.V[i], times(v, g))); d > 4e-6 {
				t.Fatalf("%s: vertex %d is %.3g mm off", name, i, d)
			}
		}
	}
}

func TestWeightsOfOtherMetalsUseTheirOwnWalls(t *testing.T) {
	small := []string{"chain.width=8", "chain.thickness=4.4", "metal.alloy=au585-yellow", "tongue.sizes=rule"}
	c := commission(t, Want{Weights: true}, small...)
	row := map[string]Weight{}
	for _, w := range c.Weights {
		row[w.Alloy] = w
	}
	own, ag := row["au585-yellow"], row["ag925"]
	if own.Finished <= 0 || ag.Finished <= 0 || own.Order <= own.Casting || own.Casting <= own.Finished {
		t.Fatalf("weights out of order: %+v, %+v", own, ag)
	}
	silver := commission(t, Want{Weights: true}, "chain.width=8", "chain.thickness=4.4", "metal.alloy=ag925", "tongue.sizes=rule")
	if got, want := ag.Finished, silver.Weights[0].Finished; math.Abs(got-want) > 1e-9 {
		t.Errorf("silver in the gold lock's table weighs %.6f g, made in silver %.6f g", got, want)
	}
	same := own.Finished * ag.Density / own.Density
	t.Logf("silver %.4f g; the gold lock's volume at silver's density would be %.4f g", ag.Finished, same)
	if math.Abs(same/ag.Finished-1) < 1e-4 {
		t.Errorf("silver weighs %.4f g, the gold lock's volume at silver's density: its own walls are not in it", ag.Finished)
	}
}

// A size that gold's walls allow and silver's do not: the table says so instead of weighing a lock that cannot be.
func TestWeightsTableRefusesWhatAMetalCannotHave(t *testing.T) {
	c := commission(t, Want{Weights: true}, "chain.width=10", "chain.thickness=3.7", "metal.alloy=au585-yellow")
	for _, w := range c.Weights {
		heavy := strings.HasPrefix(w.Alloy, "ag") || strings.HasPrefix(w.Alloy, "p")
		if heavy != (w.Refused != "") || heavy && w.Finished != 0 {
			t.Errorf("%s: %.3f g, refused %q", w.Alloy, w.Finished, w.Refused)
		}
	}
}

func TestWeightsOfATongueOfAnotherAlloy(t *testing.T) {
	c := commission(t, Want{Weights: true}, append(trial, "tongue.alloy=au750-yellow")...)
	plain := commission(t, Want{Weights: true}, trial...)
	v := c.part("tongue").VolumeMM3 / 1000
	a, _ := c.Job.Alloy("au750-yellow")
	b, _ := c.Job.Alloy("au585-yellow")
	if got, want := c.Weights[0].Fine-plain.Weights[0].Fine, v*(15.449*0.75-plain.Weights[0].Density*0.585); math.Abs(got-want) > 0.01 {
		t.Errorf("fine gold grows by %.4f g, want %.4f (%v, %v)", got, want, a.ID, b.ID)
	}
}

func BenchmarkMake(b *testing.B) {
	j := job(b, trial...)
	for b.Loop() {
		if _, err := Make(context.Background(), j, everything); err != nil {
			b.Fatal(err)
		}
	}
}
