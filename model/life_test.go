package model

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"claspwright/model/finding"
	"claspwright/model/life"
	"claspwright/params"
)

// found is the one finding of that name.
func found(t *testing.T, c *Commission, check string) finding.Finding {
	t.Helper()
	var all []finding.Finding
	for _, f := range c.Findings {
		if f.Check == check {
			all = append(all, f)
		}
	}
	if len(all) != 1 {
		t.Fatalf("%d findings %q", len(all), check)
	}
	return all[0]
}

// again is a made lock with other keys of its life, which change neither spring nor fit: wear and friction, and the slope of the lip.
func again(t *testing.T, c *Commission, sets ...string) *Commission {
	t.Helper()
	j, err := c.Job.With(sets...)
	if err != nil {
		t.Fatal(err)
	}
	d, l := *c, *c.Lock
	l.LipSlope, _ = j.Number("lock.lip_slope")
	d.Job, d.Lock = j, &l
	if err := d.live(); err != nil {
		t.Fatal(err)
	}
	d.Findings = append(d.pulling(), d.living()...)
	return &d
}

// braceletLock is the trial lock with its checks; heavyLock is one of 14 x 6 in an alloy whose yield is known. Each is made once.
var (
	braceletLock = checkedOnce(trial...)
	heavyLock    = checkedOnce("chain.width=14", "chain.thickness=6", "metal.alloy=au750-yellow", "tongue.sizes=rule")
)

func checkedOnce(sets ...string) func() *Commission {
	return sync.OnceValue(func() *Commission {
		j, err := params.Parse("test", nil, sets)
		if err != nil {
			panic(err)
		}
		c, err := Make(context.Background(), j, Want{Checks: true})
		if err != nil {
			panic(err)
		}
		return c
	})
}

// The bracelet of 14 x 6 in 18 carat yellow by hand, from the dimensions that it was given: leaf 0.63 thick, taper 0.75, shoulders 12.08 - 3.8 = 8.28 mm wide in
// all, lip 1.1, depth 0.5 + 0.12; 0.10 mm worn off each. Corner 0.5 - 0.1 - 0.2 = 0.2, flat 0.1, 0.828 mm2, 100/0.828 = 120.77 MPa; shear 100/(8.28 x 0.3725) = 32.42, times
// the square root of 3 is 56.16; lip 6 x 100 x 0.52/(8.28 x 1) = 37.68. Lip and shoulders, of 300 MPa, would hold 248 N, so the fold goes first, as it
// does when new. The tab: 0.4 of 0.6 mm are left.
func TestWornLock(t *testing.T) {
	c := heavyLock()
	v, near := c.Life, func(what string, got, want, within float64) {
		t.Helper()
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s: %.5f, by hand %.5f", what, got, want)
		}
	}
	near("bears", v.Worn.Bears, 0.2, 1e-5)
	near("area", v.Worn.Area, 0.828, 1e-3)
	s := v.Catch.Under(100)
	near("bearing", s.Bearing, 120.77, 0.1)
	near("shear", s.Shear, 32.42, 0.02)
	near("lip", s.Lip, 37.68, 0.02)
	lip, what := v.Catch.Held(v.Yield)
	near("lip and shoulders hold", lip, 248.4, 0.3)
	if what != "the shoulders are crushed" {
		t.Error(what)
	}
	near("release", v.Worn.Release, c.Spring.Release.Force*2/3, 1e-9)
	fresh, worn := found(t, c, "pull held"), found(t, c, "pull held when worn")
	near("held", worn.Measured, fresh.Measured, 1e-6)
	if worn.Grade != finding.OK || !strings.Contains(worn.Say, "the fold opens") {
		t.Errorf("%+v", worn)
	}
	near("end play", found(t, c, "end play when worn").Measured, 0.35, 1e-5)
	near("bearing when worn", found(t, c, "bearing when worn").Measured, 0.2, 1e-5)
	// 6.08 N for 0.6 mm: 10.13 N/mm, half of that times 0.5 squared. Box and tongue of 15.45 g/cm3, 100 g of chain.
	blow := found(t, c, "blow on the tab")
	near("blow", blow.Measured, c.Spring.Release.Force/0.6*0.125, 1e-6)
	mass := 100 + 15.449e-3*(c.part("box").VolumeMM3+c.part("tongue").VolumeMM3)
	near("mass", v.Mass, mass, 0.02)
	near("fall", v.Falls[0], 1000*blow.Measured/(mass*9.80665), 1e-3)
}

// The more wear is asked for, the less the lock holds; with none it holds as when new.
func TestMoreWearHoldsLessInTheLock(t *testing.T) {
	last := math.Inf(1)
	for _, wear := range []float64{0, 0.05, 0.1, 0.12, 0.13, 0.15, 0.3} {
		c := again(t, heavyLock(), fmt.Sprintf("lock.wear=%g", wear))
		held := found(t, c, "pull held when worn").Measured
		t.Logf("worn %.2f: bears %.2f, holds %.1f N (%s), tab %.2f N", wear, c.Life.Worn.Bears, held, c.Life.Gives, c.Life.Worn.Release)
		if held > last || wear == 0 && math.Abs(held-found(t, c, "pull held").Measured) > 1e-6 {
			t.Errorf("worn %g mm it holds %g N, after %g N with less wear", wear, held, last)
		}
		last = held
	}
	if last != 0 {
		t.Errorf("with the shoulders worn off it holds %g N", last)
	}
}

// A lip that leans past 6 degrees is a stop; at and past the friction angle the message says that the lock opens by itself. Friction 0.2 holds to 11.31
// degrees, 0.1, the least of the range, to 5.71.
func TestLeaningLip(t *testing.T) {
	plainRunOnly(t)
	for _, v := range []struct {
		slope, mu            float64
		lean, holds          finding.Grade
		greased, itself, dry bool // opens by itself, where greased only, at any friction of the range
	}{
		{0, 0.2, finding.OK, finding.OK, false, false, false},
		{5.7, 0.2, finding.OK, finding.OK, false, false, false},
		{5.72, 0.2, finding.OK, finding.Caution, true, true, false},
		{6, 0.2, finding.OK, finding.Caution, true, true, false},
		{6.1, 0.2, finding.Stop, finding.Caution, true, true, false},
		{6.1, 0.3, finding.Stop, finding.OK, false, false, false},
		{math.Atan(0.2) * 180 / math.Pi, 0.2, finding.Stop, finding.Stop, true, true, true},
		{12, 0.2, finding.Stop, finding.Stop, true, true, true},
		{4, 0.05, finding.OK, finding.Stop, true, true, true},
		{0, 0.05, finding.OK, finding.OK, false, false, false},
	} {
		sets := []string{fmt.Sprintf("lock.lip_slope=%.15g", v.slope), fmt.Sprintf("tongue.friction=%g", v.mu)}
		c := again(t, braceletLock(), sets...)
		if v.slope == 6.1 && v.mu == 0.2 {
			c = commission(t, Want{Checks: true}, append(trial, sets...)...)
		}
		lean, holds := found(t, c, "slope of the lip's inner face"), found(t, c, "catch held by friction")
		if lean.Grade != v.lean || holds.Grade != v.holds {
			t.Errorf("%g degrees, friction %g: slope %s, friction %s", v.slope, v.mu, lean.Grade, holds.Grade)
		}
		for _, f := range []finding.Finding{lean, holds} {
			if itself := strings.Contains(f.Say, "opens by itself"); itself != v.itself || strings.Contains(f.Say, "where the faces are greased: friction") != (v.greased && !v.dry) {
				t.Errorf("%g degrees, friction %g: %s", v.slope, v.mu, f.Say)
			}
		}
		if cam := c.Life.Cams[0]; cam.Usual.Opens != v.dry || cam.Least.Opens != v.itself {
			t.Errorf("%g degrees, friction %g: %+v", v.slope, v.mu, cam)
		}
	}
}

// By hand: 12 degrees, friction 0.1, the leaf's stiffness k at the shoulders' edge, 0.4 mm: k x 0.4/tan(12 - 5.7106) = k x 3.6291; at friction 0.2 the
// tangent is that of 0.6901 degrees: k x 33.21.
func TestLeaningLipLetsGo(t *testing.T) {
	c := again(t, braceletLock(), "lock.lip_slope=12")
	k := c.Spring.Case.Force / c.Spring.Case.Press
	for _, v := range []struct {
		cam  life.Cam
		want float64
	}{{c.Life.Cams[0].Least, 3.6291 * k}, {c.Life.Cams[0].Usual, 33.21 * k}} {
		if math.Abs(v.cam.Pull/v.want-1) > 1e-3 {
			t.Errorf("friction %g: the leaf lets go at %.2f N, by hand %.2f", v.cam.Friction, v.cam.Pull, v.want)
		}
		if say := fmt.Sprintf("at %.0f N", v.cam.Pull); !strings.Contains(found(t, c, "catch held by friction").Say, say) {
			t.Errorf("%q is not told", say)
		}
		if !(v.cam.Lifted > v.cam.Pull) {
			t.Errorf("friction %g: the fold's lift makes it %.2f N", v.cam.Friction, v.cam.Lifted)
		}
	}
}

// Worn so that the corner stands on the round of the lip's edge, a square lip cams out.
func TestWornRoundCamsOut(t *testing.T) {
	for _, v := range []struct {
		wear  float64
		grade finding.Grade
		say   string
	}{
		{0.1, finding.OK, "square"},
		{0.13, finding.OK, "square"}, // corner 0.14 over an edge rounded by 0.13
		{0.15, finding.Caution, "stand on the round of the lip's edge: pulled, the lock opens by itself"},
		{0.2, finding.Caution, "nothing of the shoulders is left"},
	} {
		c := again(t, braceletLock(), fmt.Sprintf("lock.wear=%g", v.wear))
		if f := found(t, c, "catch held by friction when worn"); f.Grade != v.grade || !strings.Contains(f.Say, v.say) {
			t.Errorf("worn %g: %s: %s", v.wear, f.Grade, f.Say)
		}
	}
}

// What stands in the leaf makes a note a caution where gold often cracks.
func TestCrackingUnderStress(t *testing.T) {
	two := func(id string) (own [2]params.Alloy) {
		a, err := job(t, trial...).Alloy(id)
		if err != nil {
			t.Fatal(err)
		}
		return [2]params.Alloy{a, a}
	}
	bent := Standing{Per01: 35, Cold: 150, Why: []string{"the fold closed cold"}}
	for _, v := range []struct {
		alloy string
		stand Standing
		grade finding.Grade
		say   string
	}{
		{"au375-yellow", Standing{Per01: 35}, finding.Note, "must not be kept down by roof or lip (35 MPa each 0.1 mm)"},
		{"au375-yellow", bent, finding.Caution, "by the fold closed cold, up to 150 MPa"},
		{"au585-white-ni", bent, finding.Caution, "250 to 350 C for 30 min"},
		{"au585-yellow", bent, finding.Note, "cracks seldom"},
		{"au585-yellow", Standing{Per01: 35}, finding.OK, "cracks seldom"},
		{"au585-white-pd", bent, "", ""},
		{"au750-yellow", bent, "", ""},
		{"ag925", bent, "", ""},
	} {
		fs := cracking(two(v.alloy), v.stand)
		if len(fs) == 0 && v.grade == "" {
			continue
		}
		if len(fs) != 1 || fs[0].Grade != v.grade || !strings.Contains(fs[0].Say, v.say) || fs[0].Measured != v.stand.Most() {
			t.Errorf("%s, %+v: %+v", v.alloy, v.stand, fs)
		}
	}
	hard := again(t, braceletLock(), "metal.alloy=au417-white-ni")
	hard.Spring = &Spring{Result: hard.Spring.Result, Condition: "hammered"}
	hard = again(t, hard, "tongue.condition=hammered")
	if f := found(t, hard, "cracking under stress"); f.Grade != finding.Caution || !strings.Contains(f.Say, "hammering") {
		t.Errorf("hammered: %+v", f)
	}
}

// As drawn the closed leaf is relaxed: no stress stands. 0.1 mm of it is a sixth of that at release.
func TestRelaxedLeafHasNoStandingStress(t *testing.T) {
	c := braceletLock()
	st := c.Life.Stand
	if st.Preset != 0 || st.Cold != 0 || len(st.Why) != 0 || st.Most() != 0 {
		t.Errorf("%+v", st)
	}
	if want := c.Spring.Release.Peak.Size() / 6; math.Abs(st.Per01-want) > 1e-9 {
		t.Errorf("0.1 mm leaves %.3f MPa, by hand %.3f", st.Per01, want)
	}
}

func TestLikeMetalOnLike(t *testing.T) {
	for _, v := range []struct {
		box, tongue string
		grade       finding.Grade
	}{
		{"pt950-ru", "pt950-ru", finding.Caution}, {"pt950-ru", "pt950-ir", finding.Note}, {"pd950-ga", "pd950-ga", finding.Caution},
		{"au916-yellow", "au916-yellow", finding.Caution}, {"au999", "au916-red", finding.Note}, {"ag999", "ag999", finding.Caution},
		{"pt950-ru", "au750-white-pd", ""}, {"au750-yellow", "au750-yellow", ""}, {"ag925", "ag925", ""}, {"au916-yellow", "au750-yellow", ""},
	} {
		c := &Commission{Job: job(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy="+v.box, "tongue.alloy="+v.tongue)}
		own, err := c.ownAlloys()
		if err != nil {
			t.Fatal(err)
		}
		fs := binding(own)
		if v.grade == "" && len(fs) == 0 {
			continue
		}
		if len(fs) != 1 || fs[0].Grade != v.grade || !strings.Contains(fs[0].Say, "wax") {
			t.Errorf("%s with %s: %+v", v.box, v.tongue, fs)
		}
	}
}
