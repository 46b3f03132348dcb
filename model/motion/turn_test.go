package motion

import (
	"math"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/solid"
)

// A block in a slot, in closed form: a rectangle p x q turned by a touches both walls of a slot w wide when
// p sin a + q cos a = w. In a square hole the same, by its shorter way.
func TestTurnClosedForms(t *testing.T) {
	slot := func(x, y, z float64) *solid.Solid {
		return solid.Cut(solid.New(block(12, 12, 12), solid.Upright), solid.New(block(x, y, z), solid.Upright))
	}
	tongue := solid.New(block(8, 3, 1.5), solid.Upright)
	angle := func(p, q, w float64) float64 { // by halving: the left side grows with a while tan a < p/q
		lo, hi := 0.0, math.Atan(p/q)
		for range 60 {
			if a := (lo + hi) / 2; p*math.Sin(a)+q*math.Cos(a) < w {
				lo = a
			} else {
				hi = a
			}
		}
		return lo
	}
	for _, c := range []struct {
		axis Axis
		box  *solid.Solid
		want float64
	}{
		{Yaw, slot(10, 3.1, 1.7), angle(8, 3, 3.1)},
		{NoseUp, slot(10, 3.1, 1.7), angle(8, 1.5, 1.7)},
		{NoseDown, slot(10, 3.1, 1.7), angle(8, 1.5, 1.7)},
		{Roll, slot(10, 3.4, 1.56), angle(3, 1.5, 1.56)},
		{Roll, slot(20, 3.4, 1.56), angle(3, 1.5, 1.56)},
	} {
		tr, err := NewTurner(tongue, c.box)
		if err != nil {
			t.Fatal(err)
		}
		got, err := tr.Free(c.axis)
		if err != nil {
			t.Fatalf("%s: %v", c.axis, err)
		}
		if math.Abs(got.Angle/c.want-1) > 1e-3 {
			t.Errorf("%s: %.5f rad, closed form %.5f", c.axis, got.Angle, c.want)
		}
		if got.Clear.Overlap || !got.Over.Overlap || len(got.Held) == 0 {
			t.Errorf("%s: clear %+v, over %+v", c.axis, got.Clear, got.Over)
		}
	}
}

// A tongue off its middle finds its way: the shift is free, so the angle is the same.
func TestTurnShiftsFreely(t *testing.T) {
	box := solid.Cut(solid.New(block(12, 12, 12), solid.Upright), solid.New(block(10, 3.1, 1.7), solid.Upright))
	free := func(y float64) float64 {
		tr, err := NewTurner(solid.New(block(8, 3, 1.5), solid.Upright.At(v(0.3, y, 0))), box)
		if err != nil {
			t.Fatal(err)
		}
		got, err := tr.Free(Yaw)
		if err != nil {
			t.Fatal(err)
		}
		return got.Angle
	}
	if a, b := free(0), free(0.04); math.Abs(a/b-1) > 1e-4 {
		t.Errorf("%.6f rad in the middle, %.6f off it", a, b)
	}
}

// Closed locks: each angle is proven by the solids, free at 0.98 of it and overlapping at 1.02; and of the size of play over reach.
func TestTurnOfLocks(t *testing.T) {
	for _, sets := range sizes() {
		l := lockOf(t, sets...)
		tr, err := NewTurner(must(l.Tongue(clasp.Finished)), must(l.Box(clasp.Finished)))
		if err != nil {
			t.Fatal(err)
		}
		reach := l.XFold + l.Fold + l.Leaf
		for _, c := range []struct {
			axis Axis
			rule float64
		}{
			{Yaw, 2 * l.SidePlay / reach}, {Roll, 2 * l.NeckPlay / l.LowerWidth},
			{NoseUp, (l.NeckPlay + l.FloorPlay) / reach}, {NoseDown, (l.NeckPlay + l.Rise) / reach},
		} {
			got, err := tr.Free(c.axis)
			if err != nil {
				t.Errorf("%v %s: %v", sets, c.axis, err)
				continue
			}
			deg := 180 / math.Pi
			t.Logf("%v %s: %.3f degrees, play over reach %.3f; at 0.98 apart %.4f mm, at 1.02 %.4f deep", sets, c.axis, got.Angle*deg, c.rule*deg, got.Clear.Lower, got.Over.Depth)
			if got.Clear.Overlap || !got.Over.Overlap {
				t.Errorf("%v %s: clear %+v, over %+v", sets, c.axis, got.Clear, got.Over)
			}
			if got.Angle < 0.9*c.rule || got.Angle > 1.3*c.rule {
				t.Errorf("%v %s: %.3f degrees, play over reach is %.3f", sets, c.axis, got.Angle*deg, c.rule*deg)
			}
		}
	}
}

// Halves that touch where they stand cannot turn, and it is said.
func TestTurnRefuses(t *testing.T) {
	box := solid.Cut(solid.New(block(12, 12, 12), solid.Upright), solid.New(block(10, 3.1, 1.7), solid.Upright))
	if _, err := NewTurner(solid.New(block(8, 3.2, 1.5), solid.Upright), box); err == nil {
		t.Error("a block wider than its slot: no error")
	}
	tr, err := NewTurner(solid.New(block(1, 1, 1), solid.Upright), solid.Cut(solid.New(block(12, 12, 12), solid.Upright), solid.New(block(10, 10, 10), solid.Upright)))
	if err == nil {
		_, err = tr.Free(Yaw)
	}
	if err == nil {
		t.Error("a block in a wide hole turns freely: no error")
	}
}

func BenchmarkTurns(b *testing.B) {
	l := lockOf(b, locks[1]...)
	tongue, box := must(l.Tongue(clasp.Finished)), must(l.Box(clasp.Finished))
	for b.Loop() {
		tr, err := NewTurner(tongue, box)
		if err != nil {
			b.Fatal(err)
		}
		for _, a := range []Axis{Yaw, Roll, NoseUp, NoseDown} {
			if _, err := tr.Free(a); err != nil {
				b.Fatal(err)
			}
		}
	}
}
