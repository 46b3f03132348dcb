package model

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// Gate stubs: the castings grow by bars of pi d^2 l/4 out of both ends and by nothing else, finished parts and weights stay, every mesh is
// proven, and the pattern is longer by the bar's length times the growth.
func TestStubs(t *testing.T) {
	plainRunOnly(t)
	want := Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true, Weights: true}
	for _, sets := range [][]string{
		{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow"},
		{"chain.width=14", "chain.thickness=6", "chain.crown=20", "chain.underside=40", "metal.alloy=ag925", "casting.gate=3.1", "casting.gate_length=4", "lock.floor=loose"},
		{"chain.width=14", "chain.thickness=3.4", "metal.alloy=au750-yellow", "tongue.make=slit"},
		{"chain.width=20", "chain.thickness=8.4", "metal.alloy=au750-yellow", "tongue.count=2"},
		{"chain.width=14", "chain.thickness=6", "metal.alloy=au750-yellow", "tongue.make=strip"},
	} {
		plain, with := commission(t, want, sets...), commission(t, want, append(sets, "casting.stub=ends")...)
		for i, p := range with.Parts {
			bare := plain.Parts[i]
			if p.Name == clasp.PartFloor || p.Stage == clasp.Finished {
				if p.Stub.Diameter != 0 || p.VolumeMM3 != bare.VolumeMM3 {
					t.Errorf("%v: %s, %s has changed", sets, p.Name, p.Stage)
				}
				continue
			}
			g := with.gateOf(p.Name)
			grow := growthOf(with.Job, with.Lock.Metal)
			volume, length := math.Pi/4*g.Diameter*g.Diameter*g.Length, g.Length
			if p.Stage == clasp.Pattern {
				volume *= grow.X * grow.Y * grow.Z
				length *= grow.X
			}
			if more := p.VolumeMM3 - bare.VolumeMM3; math.Abs(more-volume) > 0.005*volume {
				t.Errorf("%v: %s, %s: %.3f mm3 more, the bar has %.3f", sets, p.Name, p.Stage, more, volume)
			}
			lo, hi := contour.Bounds(p.Mesh)
			blo, bhi := contour.Bounds(bare.Mesh)
			if more := hi.X - lo.X - (bhi.X - blo.X); math.Abs(more-length) > 1e-4 || hi.Z != bhi.Z || lo.Y != blo.Y {
				t.Errorf("%v: %s, %s is %.4f mm longer, want %.4f", sets, p.Name, p.Stage, more, length)
			}
		}
		if a, b := plain.Weights[0], with.Weights[0]; math.Abs(a.Casting-b.Casting) > 2e-4*a.Casting || math.Abs(a.Order-b.Order) > 2e-4*a.Order || a.Finished != b.Finished {
			t.Errorf("%v: weights %+v without stubs, %+v with", sets, a, b)
		}
	}
}

// A stub that cannot stand is refused by its key; one that follows from the modulus rule is as thick as the end takes.
func TestStubsThatDoNotFit(t *testing.T) {
	want := Want{} // not even a casting
	base := []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow", "casting.stub=ends"}
	for set, key := range map[string]string{"casting.gate=5.1": "casting.gate", "lock.end=lug": "casting.stub", "lock.end=cradle": "casting.stub"} {
		_, err := Make(context.Background(), job(t, append(base, set)...), want)
		var no *clasp.Refusal
		if !errors.As(err, &no) || no.Key != key || no.Nearest == "" || strings.Contains(no.Nearest, "%!") {
			t.Errorf("%s: %v", set, err)
		}
	}
	commission(t, want, append(base, "casting.gate=5")...) // 5.2 less a rim of 0.1 above and below
	c := commission(t, Want{Stages: []clasp.Stage{clasp.Casting}, Weights: true}, append(base, "casting.gate_by=modulus", "chain.width=16")...)
	for _, f := range c.Feeds {
		if f.Part == clasp.PartTongue && (f.Rule.Diameter <= 5 || f.Gate.Diameter != 5) {
			t.Errorf("the rule asks for %.2f mm, the stub has %.2f", f.Rule.Diameter, f.Gate.Diameter)
		}
	}
}
