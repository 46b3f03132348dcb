package spring

import (
	"fmt"
	"math"
	"testing"
)

// folded is a free leaf of two legs and a half circle, pressed at its end until that has gone down by so much: force and greatest stress.
func folded(t *testing.T, thick, width, lower, upper, r, press float64) (force float64, top Peak, mean float64) {
	t.Helper()
	f := NewFrame(Metal{E: 90000, Poisson: 0.4}, 0, 0, 0,
		Piece{Length: lower, T0: thick, T1: thick, Width: width},
		Piece{Length: math.Pi * r, Curve: 1 / r, T0: thick, T1: thick, Width: width},
		Piece{Length: upper, T0: thick, T1: thick, Width: width})
	end := f.where(f.Length(), 0)
	goal := f.relaxed().at(end).Y - press
	e, err := f.settle(nil, func(s *shape) []hold {
		return []hold{{id: bilateral, both: true, gap: s.at(end).Y - goal, by: []pull{{at: end, dir: point{Y: 1}, force: point{Y: -1}}}}}
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range e.stresses() {
		mean = math.Max(mean, -q.Left)
	}
	return e.of(bilateral), e.peak(), mean
}

// Finite elements of the folded leaf (second-order tetrahedra, linear, E 90 GPa, Poisson's ratio 0.4), computed for this project before
// the frame was written: thickness 0.35, 6 wide, legs 9 and 8.5 (as long again in the other lengths), fold 0.5 to the middle line,
// pressed 0.6. Stress on the inner side of the fold; it is held against the mean across the strip, which it agrees with (the frame has 5
// to 8 % more at mid-width, as a later and finer campaign of elements has). They err by 1 to 3 % themselves.
func TestFoldedLeafAgainstFiniteElements(t *testing.T) {
	for _, c := range []struct{ thick, lower, r, mpa float64 }{
		{0.35, 9, 0.5, 240},
		{0.35, 7, 0.5, 386}, {0.35, 12, 0.5, 136},
		{0.25, 9, 0.5, 156}, {0.45, 9, 0.5, 344},
		{0.35, 9, 0.35, 301}, {0.35, 9, 0.8, 186},
	} {
		name := fmt.Sprintf("t %g, leg %g, r %g", c.thick, c.lower, c.r)
		force, top, mean := folded(t, c.thick, 6, c.lower, c.lower-0.5, c.r, 0.6)
		near(t, name, mean, c.mpa, 0.05)
		if top.MPa > 0 || !top.Inside {
			t.Errorf("%s: %+v is not pressure on the inside of the fold", name, top)
		}
		t.Logf("%s: %.2f N, %.0f MPa, %.0f at its greatest; finite elements %.0f", name, force, mean, top.Size(), c.mpa)
	}
	force, _, _ := folded(t, 0.35, 6, 9, 8.5, 0.5, 0.6)
	near(t, "force", force, 2.4, 0.03)
}

// What the same elements say of width: 4 to 9 mm wide, the stress changes by 2 %; the frame's mean across changes by a little more.
func TestFoldedLeafWidth(t *testing.T) {
	_, _, narrow := folded(t, 0.35, 4, 9, 8.5, 0.5, 0.6)
	_, _, wide := folded(t, 0.35, 9, 9, 8.5, 0.5, 0.6)
	if d := wide/narrow - 1; d > 0.05 || d < 0 {
		t.Errorf("9 mm wide the stress is %.1f %% off that of 4 mm", 100*d)
	}
}

// Winkler's factor at r/t as the elements' reader found it: 1.52, 1.31, 1.17 for mid-line r 0.35, 0.5, 0.8 at t 0.35.
func TestFoldFactors(t *testing.T) {
	for _, c := range []struct{ r, k float64 }{{0.35, 1.52}, {0.5, 1.31}, {0.8, 1.17}} {
		near(t, "factor", Factor(c.r-0.175, 0.35), c.k, 0.005)
	}
}
