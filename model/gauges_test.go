package model

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
)

// Two coupons alone, read in 500 seeded trials to 0.01 mm: growth along each axis, and what stands on outsides, in slots and on tongues, lie
// within the stated 95 % interval in 92 to 98 % of the trials.
func TestCouponTeaches(t *testing.T) {
	plainRunOnly(t)
	p, err := params.ParseCaster("caster.toml", nil)
	if err != nil {
		t.Fatal(err)
	}
	c := caliper(t, p)
	alone := *c
	alone.Measure = nil
	for _, m := range c.Measure {
		if m.Part == clasp.PartCoupon {
			alone.Measure = append(alone.Measure, m)
		}
	}
	r := rand.New(rand.NewPCG(20261128, 31))
	const trials = 500
	within, wide := map[string]int{}, map[string]float64{}
	for range trials {
		l, err := c.Learn(readingsOf(t, c, backFrom(r, &alone, 2)), p, false)
		if err != nil {
			t.Fatal(err)
		}
		note := func(x Change, truly float64) {
			wide[x.Key] += (x.High - x.Low) / 2 / trials
			if x.Low <= truly && truly <= x.High {
				within[x.Key]++
			}
		}
		for i, g := range l.Growth {
			note(g, foundry.growth[i])
		}
		for _, s := range l.Stock {
			note(s, foundry.excess[strings.TrimPrefix(s.Key, "stock.")])
		}
	}
	if len(within) != 3+3 {
		t.Errorf("%d values learnt of 6: %v", len(within), within)
	}
	for key, n := range within {
		share := float64(n) / trials
		t.Logf("%s: within its interval in %.1f %%, +-%.4f on the mean", key, 100*share, wide[key])
		if share < 0.92 || share > 0.98 {
			t.Errorf("%s lies within its interval in %.1f %% of the trials", key, 100*share)
		}
	}
}

// Both are proven; the gauge is true to size, the coupon grown along each axis by that axis' own growth, and by nothing
// where the house scales.
func TestGaugesGrow(t *testing.T) {
	for _, c := range []struct {
		sets []string
		grow [3]float64
	}{
		{nil, [3]float64{1.015, 1.015, 1.015}},
		{[]string{"casting.growth_x=1.01", "casting.growth_z=1.03", "chain.crown=20"}, [3]float64{1.01, 1.015, 1.03}},
		{[]string{"casting.scales=house"}, [3]float64{1, 1, 1}},
	} {
		g, err := NewGauges(context.Background(), job(t, append([]string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow", "tongue.sizes=rule"}, c.sets...)...))
		if err != nil {
			t.Fatal(err)
		}
		lo, hi := contour.Bounds(g.Pattern.Mesh)
		was, top := contour.Bounds(g.Casting.Mesh)
		for i, got := range [3]float64{(hi.X - lo.X) / (top.X - was.X), (hi.Y - lo.Y) / (top.Y - was.Y), (hi.Z - lo.Z) / (top.Z - was.Z)} {
			if math.Abs(got-c.grow[i]) > 1e-6 {
				t.Errorf("%v: axis %d grew by %.7f", c.sets, i, got)
			}
		}
		if want := g.Casting.VolumeMM3 * c.grow[0] * c.grow[1] * c.grow[2]; math.Abs(g.Pattern.VolumeMM3/want-1) > 1e-6 {
			t.Errorf("%v: pattern %.5f mm3, %.5f wanted", c.sets, g.Pattern.VolumeMM3, want)
		}
		lo, hi = contour.Bounds(g.Plate.Mesh)
		if math.Abs(hi.X-lo.X-g.Crown.Wide) > 1e-5 || math.Abs(hi.Y-lo.Y-g.Crown.High) > 1e-5 || g.Crown.GoWidth != 12.6 {
			t.Errorf("%v: plate from %v to %v", c.sets, lo, hi)
		}
		for _, p := range []Part{g.Plate, g.Casting, g.Pattern} {
			if p.Proof.DeviationMM > 0.005 || p.Proof == (contour.Proof{}) {
				t.Errorf("%v: %s %s is not proven: %+v", c.sets, p.Name, p.Stage, p.Proof)
			}
		}
	}
}
