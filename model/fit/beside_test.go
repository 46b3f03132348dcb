package fit

import (
	"math"
	"strings"
	"testing"
)

// lockPair is the lock of the other tests with two leaves of half the width and a wall of 0.8 mm between the chambers.
func lockPair() Lock {
	l := lock124()
	l.Pitch = 8
	l.Chamber, l.LowerWidth, l.UpperWidth, l.NotchWidth, l.TabWidth = 7.2, 7.06, 6.96, 2.8, 2.5
	return l
}

// Two leaves by hand: over both chambers 15.2 mm, over both leaves 15.06, the slot between them 0.94 about a wall of 0.8; DCTG 4
// (ISO 8062-3:2007, table 2) allows 0.28 mm from 10 to 16, 0.26 to 10.
func TestPairByHand(t *testing.T) {
	p := UsualProcess()
	p.Casting = Uniform
	s, err := Standard(lockPair(), p)
	if err != nil {
		t.Fatal(err)
	}
	us, err := Linear(s)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]Stackup{}
	for _, u := range us {
		got[u.Name] = u
	}
	half := func(mm float64) float64 {
		v, err := CastingTolerance(4, mm)
		if err != nil {
			t.Fatal(err)
		}
		return v / 2
	}
	if half(15.2) != 0.14 {
		t.Errorf("DCTG 4 at 15.2 mm: %.3f", half(15.2))
	}
	for name, want := range map[string][3]float64{ // finished, cast, worst case each way
		"side play, outer":          {0.07, 0.07 - 0.05 - 0.10, 0.5*(half(15.2)+half(15.06)+0.05) + 0.04},
		"side play, inner":          {0.07, 0.07 - 0.05 - 0.10, 0.5*(half(0.8)+half(0.94)+0.05) + 0.04},
		"upper leaf to wall, outer": {0.12, 0.12 - 0.05 - 0.10, 0.5*(half(15.2)+half(14.96)+0.05) + 0.04},
		"upper leaf to wall, inner": {0.12, 0.12 - 0.05 - 0.10, 0.5*(half(0.8)+half(1.04)+0.05) + 0.04},
		"tab to notch, outer":       {0.15, 0.15 - 0.10 - 0.10, 0.5*(half(10.8)+half(10.5)+0.05) + 0.04},
		"tab to notch, inner":       {0.15, 0.15 - 0.10 - 0.10, 0.5*(half(5.2)+half(5.5)+0.05) + 0.04},
	} {
		u, ok := got[name]
		if !ok || !near(u.Finished, want[0], 1e-9) || !near(u.Cast, want[1], 1e-9) || !near(u.High-u.Cast, want[2], 1e-9) {
			t.Errorf("%s: finished %.4f, cast %.4f, worst %.4f; by hand %.4f", name, u.Finished, u.Cast, u.High-u.Cast, want)
		}
	}
	for _, n := range []string{"side play", "upper leaf to wall", "tab to notch"} {
		if _, ok := got[n]; ok {
			t.Errorf("%s is there as of one leaf", n)
		}
	}
}

// Leaves that stand further apart than their chambers, beyond all play and all that a file may take, fit in no casting.
func TestPairApart(t *testing.T) {
	l := lockPair()
	s, err := Standard(l, UsualProcess())
	if err != nil {
		t.Fatal(err)
	}
	good := run(t, s, 4000, 1)
	for i := range s.Dimensions {
		if d := &s.Dimensions[i]; strings.HasPrefix(d.Name, "over both chambers") || d.Name == partition {
			d.Nominal -= 1.2 // chambers so much nearer to each other
			d.Nominal = math.Max(d.Nominal, 0.1)
		}
	}
	bad := run(t, s, 4000, 1)
	if good.Fileable.Value < 0.9 || bad.Fileable.Value > 0.01 {
		t.Errorf("filed to fit: %.3f as drawn, %.3f apart", good.Fileable.Value, bad.Fileable.Value)
	}
}
