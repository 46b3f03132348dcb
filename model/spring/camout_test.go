package spring

import (
	"math"
	"testing"
)

// slipping is the pull that draws the shoulders off a face which leans past the friction angle by so many degrees: at the shoulders' corner the face
// presses with the pull F along the chain and F tan(past) down, roof and floor hold the leaf, and the corner has gone down by drop.
func slipping(t *testing.T, b *bed, past, drop float64, start *equilibrium) (float64, *equilibrium) {
	t.Helper()
	l := b.l
	at := b.rigidly(b.m.tip, point{X: l.XTip, Y: l.ZTip - l.Chamfer})
	height := b.f.relaxed().at(b.corner).Y - drop
	push := point{X: 1 / math.Tan(past*math.Pi/180), Y: -1}
	e, err := b.f.settle(nil, func(s *shape) []hold {
		return append(b.holds(s), hold{id: bilateral, both: true, gap: s.at(b.corner).Y - height,
			by: []pull{{at: b.corner, dir: point{Y: 1}}, {at: at, force: push}}})
	}, start)
	if err != nil {
		t.Fatalf("past by %g degrees: %v", past, err)
	}
	return e.of(bilateral) * push.X, e
}

// The hand's sum for a catch that cams out, stiffness x drop/tan(past), takes the leaf as a spring that is pressed straight down. The frame knows
// that the pull also opens the fold, which lifts the leaf, and that a leaf under a pull is no straight spring. So the sum must lie below
// the frame on every slope and come up to it where the face is steep and the pull small. With the lift that the roof bears under a straight
// pull taken off, stiffness x drop/(tan(past) - lift), it lies between the two, or 1 % over the frame on the steepest.
func TestCammingSumIsSafeAgainstTheFrame(t *testing.T) {
	thin := bench()
	thin.Leaf, thin.Fold = 0.5, 0.3
	for _, l := range []*Lock{bench(), thin} {
		f, m := l.frame()
		b := l.bed(f, m, l.EndPlay, 0)
		b.noPad = true
		drop := l.Engagement - l.Chamfer
		edge, err := b.loadCase() // pressed at the shoulders' edge; the tab stands a little behind it and takes a few percent more
		if err != nil {
			t.Fatal(err)
		}
		stiff := edge.Force / edge.Press
		straight := l.bed(f, m, l.EndPlay, 0).pulled(30)
		lift := straight.RoofN / straight.Force
		var e *equilibrium
		for _, past := range []float64{80, 60, 45, 30, 20, 15, 12} {
			var got float64
			got, e = slipping(t, b, past, drop, e)
			tan := math.Tan(past * math.Pi / 180)
			sum, lifted := stiff*drop/tan, stiff*drop/(tan-lift)
			t.Logf("leaf %g, %g degrees past: frame %.4g N, sum %.4g, with the lift %.4g", l.Leaf, past, got, sum, lifted)
			if sum > got || lifted > 1.01*got || lifted < sum {
				t.Errorf("leaf %g, %g degrees past: frame %.4g N, sum %.4g, with the lift %.4g", l.Leaf, past, got, sum, lifted)
			}
			if past >= 45 {
				near(t, "steep, with the lift", lifted, got, 0.05)
			}
			if past >= 80 {
				near(t, "steep", sum, got, 0.05)
			}
		}
	}
}

// The press is so nearly a straight line that work and force at less than the travel may be taken from the release.
func TestPressIsNearlyLinear(t *testing.T) {
	l := bench()
	f, m := l.frame()
	b := l.bed(f, m, 0, 0)
	b.noPad = true
	_, full, err := b.pressed(b.tab(), l.Travel, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range []float64{0.2, 0.4, 0.6, 0.8} {
		_, force, err := b.pressed(b.tab(), part*l.Travel, nil)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "force", full*part, force, 0.03)
	}
}
