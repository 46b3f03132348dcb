package model

import (
	"context"
	"math"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
)

// byCaster makes the bracelet's lock by a profile.
func byCaster(t *testing.T, want Want, profile string, sets ...string) *Commission {
	t.Helper()
	p, err := params.ParseCaster("caster.toml", []byte(profile))
	if err != nil {
		t.Fatal(err)
	}
	j, err := job(t, append([]string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow", "tongue.sizes=rule"}, sets...)...).From(p)
	if err != nil {
		t.Fatal(err)
	}
	c, err := Make(context.Background(), j, want)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The profile's growth and stock are those of the meshes: the box's block is width and two stocks, grown across.
func TestProfileReachesThePattern(t *testing.T) {
	for _, c := range []struct {
		profile string
		sets    []string
		across  float64
		origin  string
	}{
		{"casting.growth_y = 1.0170\nstock.face = 0.25\n", nil, (12.4 + 0.5) * 1.017, params.ByCaster},
		{"casting.growth_y = 1.0170\nstock.face = 0.25\n", []string{"stock.face=0.1"}, (12.4 + 0.2) * 1.017, params.ByCaster},
		{"casting.growth_y = 1.0170\nstock.face = 0.25\n", []string{"casting.growth=1.01"}, (12.4 + 0.5) * 1.01, "rule: as casting.growth"},
		{"casting.scales = \"house\"\ncasting.growth_y = 1.0170\nstock.face = 0.25\n", nil, 12.4 + 0.5, "rule: the caster scales"},
	} {
		made := byCaster(t, Want{Stages: []clasp.Stage{clasp.Pattern}}, c.profile, c.sets...)
		lo, hi := contour.Bounds(made.at(clasp.PartBox, clasp.Pattern).Mesh)
		if got := hi.Y - lo.Y; math.Abs(got-c.across) > 2e-6 {
			t.Errorf("%q %v: the pattern is %.6f mm wide, want %.6f", c.profile, c.sets, got, c.across)
		}
		for _, r := range made.Resolved {
			if r.Key == "casting.growth_y" && r.Origin != c.origin {
				t.Errorf("%q %v: growth_y comes from %q, want %q", c.profile, c.sets, r.Origin, c.origin)
			}
		}
	}
}

// The caster's limits are those of the findings; a profile of another alloy and a house without STL are told.
func TestProfileLimits(t *testing.T) {
	c := byCaster(t, Want{}, "casting.wall = 0.9\ncasting.gap = 0.3\ncasting.core = 3\nprofile.alloy = \"ag925\"\nprofile.files = \"3DM\"\n")
	limit := map[string]float64{}
	for _, f := range append(append(c.walls(), c.castability()...), c.profiled()...) {
		limit[f.Check] = f.Limit
		if f.Check == "lip" && f.Grade != "ok" || f.Check == "side wall" && f.Grade != "stop" {
			t.Errorf("%s of %.3f mm against 0.9 is %s", f.Check, f.Measured, f.Grade)
		}
	}
	for check, want := range map[string]float64{"floor": 0.9, "side wall": 0.9, "slot between the leaves": 0.3, "alloy of the caster's profile": 0, "files for the caster": 0} {
		if got, ok := limit[check]; !ok || got != want {
			t.Errorf("%s: limit %g, there %t; want %g", check, got, ok, want)
		}
	}
	lug := byCaster(t, Want{}, "casting.hole = 0.5\n", "lock.end=lug")
	fs := lug.castHoles()
	want := (lug.Lock.LugThickness + 0.3) / (lug.Lock.LugHole - 0.1) // stock of pad and window by the table
	if len(fs) != 1 || fs[0].Grade != "note" || math.Abs(fs[0].Measured-want) > 1e-12 || !strings.Contains(fs[0].Say, "drill") {
		t.Errorf("%+v, want %g", fs, want)
	}
}
