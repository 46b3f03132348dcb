package model

import (
	"context"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
)

// Slit locks at 10, 14 and 20 mm, too thin for a folded leaf: meshes proven at every stage, the halves apart, the bent flanks clear of the box, no stop.
func TestSlitLocks(t *testing.T) {
	plainRunOnly(t)
	for _, sets := range [][]string{
		{"chain.width=10", "chain.thickness=3.4"}, {"chain.width=14", "chain.thickness=3.4", "lock.floor=loose"}, {"chain.width=20", "chain.thickness=3.6", "lock.floor=closed", "core.holes=1", "lock.end=cradle"},
	} {
		sets = append(sets, "metal.alloy=au750-yellow", "tongue.make=slit")
		c := commission(t, Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true, Checks: true}, sets...)
		if at, yes := contour.Overlap(c.part(clasp.PartBox).Mesh, c.part(clasp.PartTongue).Mesh); yes {
			t.Errorf("%v: the halves overlap near %v", sets, at)
		}
		for _, f := range c.Findings {
			if f.Grade == finding.Stop {
				t.Errorf("%v: %s: %s", sets, f.Check, f.Say)
			}
			if f.Check == "bent leaf clear of the box" && f.Grade != finding.OK {
				t.Errorf("%v: %s", sets, f.Say)
			}
		}
		if c.Sizing == nil || !c.Sizing.Passes {
			t.Errorf("%v: no flanks were found that pass: %+v", sets, c.Sizing)
		}
	}
}

// What is spoilt on a slit lock is found and named.
func TestSpoiltSlitLocks(t *testing.T) {
	for _, v := range []struct {
		set, check string
		spoil      func(*clasp.Lock)
	}{
		{"", "engagement", func(l *clasp.Lock) { l.Plate.Tip -= 0.2 }},
		{"", "side clearance", func(l *clasp.Lock) { l.Plate.Edge += 0.06 }},
		{"", "bent leaf clear of the box", func(l *clasp.Lock) { l.Plate.Slot[0] += 0.6 }}, // the slot ends before the tab has gone its way
		{"", "floor clearance", func(l *clasp.Lock) { l.ZLeaf -= 0.07 }},
		{"tongue.end_play=0.05", "end play", nil},
		{"", "fold to end wall", func(l *clasp.Lock) { l.XRear -= 0.2 }},
	} {
		if testing.Short() && v.check != "engagement" {
			continue // the plain run does them all
		}
		sets := []string{"chain.width=14", "chain.thickness=3.6", "metal.alloy=au750-yellow", "tongue.make=slit", "tongue.sizes=rule"}
		if v.set != "" {
			sets = append(sets, v.set)
		}
		found := false
		for _, f := range spoiltSlit(t, sets, v.spoil).Findings {
			found = found || f.Check == v.check && f.Grade != finding.OK
		}
		if !found {
			t.Errorf("%s%s: not found", v.set, v.check)
		}
	}
}

// spoiltSlit is a slit lock with its dimensions changed by hand, judged.
func spoiltSlit(t *testing.T, sets []string, spoil func(*clasp.Lock)) *Commission {
	t.Helper()
	c := commission(t, Want{}, sets...)
	if spoil == nil {
		spoil = func(*clasp.Lock) {}
	}
	spoil(c.Lock)
	for i := range c.Parts {
		if err := c.Parts[i].mesh(c.Lock, 0.005, false); err != nil {
			t.Fatal(err)
		}
	}
	if err := c.judge(context.Background()); err != nil {
		t.Fatal(err)
	}
	return c
}

// A chain too thin for a folded leaf is told of the slit tongue, and one too thin for that is not.
func TestThinChainIsOfferedASlitTongue(t *testing.T) {
	for thick, offered := range map[string]bool{"3.2": true, "1.9": false} {
		_, err := Make(context.Background(), job(t, "chain.width=12", "chain.thickness="+thick, "metal.alloy=au750-yellow"), Want{})
		no, ok := err.(*clasp.Refusal)
		if !ok || strings.Contains(no.Nearest, `tongue.make = "slit"`) != offered {
			t.Errorf("%s mm: %v", thick, err)
		}
	}
}
