package survey

import (
	"math"
	"reflect"
	"testing"

	"claspwright/model/solid"
)

// A hollow ball, closed, and with a vent of 0.3 and 0.6: volume, throat, and that a bore as wide as the vent finds none.
func TestHollowBall(t *testing.T) {
	want := 4 * math.Pi / 3 * 8
	each(t, func(t *testing.T, b bench) {
		for _, vent := range []float64{0, 0.3, 0.6} {
			tools := []*solid.Solid{b.ball(0.5, 0, 0, 2)}
			if vent > 0 {
				tools = append(tools, b.rod(lying(0, 0, 0.3), vent/2, 0, 6))
			}
			s := solid.Cut(b.block(-3, -3, -3, 3.5, 3, 3), tools...)
			got := Hollows(s, HollowOptions{Step: 0.2})
			if len(got) != 1 {
				t.Fatalf("vent %g: %d hollows: %+v", vent, len(got), got)
			}
			h := got[0]
			close(t, "volume", h.Volume, want, 0.02*want)
			close(t, "throat", h.Throat, vent, 0.02)
			close(t, "ball", h.Ball, 4, 0.4)
			if h.Closed != (vent == 0) {
				t.Errorf("vent %g: closed is %v", vent, h.Closed)
			}
			if vent > 0.5 {
				if got := Hollows(s, HollowOptions{Bore: 0.5, Step: 0.15}); len(got) != 0 {
					t.Errorf("a vent of %g drains a bore of 0.5, but %+v", vent, got)
				}
			}
		}
	})
}

// A chamber behind a chamber: each has its own throat, the narrower one between them.
func TestHollowBehindHollow(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		s := solid.Cut(b.block(0, 0, 0, 10, 4, 4), b.block(1, 0.5, 0.5, 4, 3.5, 3.5), b.block(4.6, 0.5, 0.5, 8, 3.5, 3.5),
			b.rod(lying(3, 2, 2), 0.2, 0, 2), b.rod(lying(7, 2, 2), 0.3, 0, 5))
		got := Hollows(s, HollowOptions{})
		if len(got) != 2 {
			t.Fatalf("%d hollows: %+v", len(got), got)
		}
		if got[0].Throat > got[1].Throat {
			got[0], got[1] = got[1], got[0]
		}
		close(t, "inner throat", got[0].Throat, 0.4, 0.02)
		close(t, "outer throat", got[1].Throat, 0.6, 0.02)
		close(t, "inner volume", got[0].Volume, 27, 0.8)
		close(t, "outer volume", got[1].Volume, 3.4*9, 0.9)
	})
}

// A wall much thinner than a cell parts two closed voids.
func TestThinWallIsNotJumped(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		s := solid.Cut(b.block(0, 0, 0, 10, 4, 4), b.block(1, 0.5, 0.5, 4, 3.5, 3.5), b.block(4.03, 0.5, 0.5, 8, 3.5, 3.5))
		got := Hollows(s, HollowOptions{})
		if len(got) != 2 || !got[0].Closed || !got[1].Closed {
			t.Errorf("%d hollows: %+v", len(got), got)
		}
	})
}

// What is open is no hollow: a blind hole, and box and tongue of a real lock.
func TestOpenIsNoHollow(t *testing.T) {
	b := bench{t, frames[1].pose}
	box, tongue := trial(t)
	for _, s := range []*solid.Solid{solid.Cut(b.block(0, 0, 0, 6, 4, 4), b.rod(lying(2, 2, 2), 1, 0, 9)), box, tongue} {
		if got := Hollows(s, HollowOptions{}); len(got) != 0 {
			t.Errorf("hollows: %+v", got)
		}
	}
}

func TestHollowsSameOnAnyCores(t *testing.T) {
	b := bench{t, frames[1].pose}
	s := solid.Cut(b.block(-3, -3, -3, 3, 3, 3), b.ball(0, 0, 0, 2), b.rod(lying(0, 0, 0.3), 0.25, 0, 6))
	var first []Hollow
	for _, n := range []int{1, 3} {
		onCores(n, func() {
			got := Hollows(s, HollowOptions{})
			if first == nil {
				first = got
			} else if !reflect.DeepEqual(first, got) {
				t.Errorf("%d cores: %+v, one: %+v", n, got, first)
			}
		})
	}
}

// A blind hole of diameter d and depth L is a core of slenderness L/d; open at both ends, the place that is furthest in
// lies in the middle. Within a grid step.
func TestCoreOfHoles(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		const step = 0.25
		for _, c := range []struct {
			from, d, want float64
		}{{3, 2, 7}, {5, 1.4, 5}, {-1, 2, 5}} {
			s := solid.Cut(b.block(0, -4, -4, 10, 4, 4), b.rod(lying(c.from, 0, 0.3), c.d/2, 0, 20))
			got := Cores(s, CoreOptions{Step: step})
			// The furthest place may be up to a corner of the flat end: off the axis, by the slanted way.
			close(t, "depth", got.Depth, c.want, step)
			close(t, "bore", got.Bore, c.d, 0.05)
			close(t, "slenderness", got.Slender, c.want/c.d, (step+0.05*c.want/c.d)/c.d)
		}
	})
}

// A hole with a bend: the way goes round the corner, and the narrow leg is the bore.
func TestCoreRoundACorner(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		s := solid.Cut(b.block(0, 0, 0, 10, 6, 8), b.block(6, 2, 2, 11, 4, 4), b.block(6, 2.4, 3, 7.2, 3.6, 7))
		got := Cores(s, CoreOptions{Step: 0.2})
		// From the mouth at x = 10 to the inner corner of the bend and up to the far end: between the straight line from
		// the mouth's upper edge and the way along the axes.
		lo, hi := 10-7.2+7-4.0, 10-6.6+7-3.0
		if got.Depth < lo-0.2 || got.Depth > hi+0.4 {
			t.Errorf("depth %.3f, want %.2f to %.2f", got.Depth, lo, hi)
		}
		close(t, "bore", got.Bore, 1.2, 0.15)
	})
}

func TestNoCore(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		for _, s := range []*solid.Solid{b.block(0, 0, 0, 5, 4, 3), solid.Cut(b.block(0, 0, 0, 5, 4, 3), b.ball(2.5, 2, 1.5, 1))} {
			if got := Cores(s, CoreOptions{}); got.Found {
				t.Errorf("core: %+v", got)
			}
		}
	})
}
