package survey

import (
	"testing"

	"claspwright/model/solid"
)

// shareOf is the reach of one tag.
func shareOf(t *testing.T, all []Reach, tag string) Reach {
	t.Helper()
	for _, r := range all {
		if r.Tag == tag {
			return r
		}
	}
	t.Fatalf("nothing with tag %q in %+v", tag, all)
	return Reach{}
}

// A blind bore wider than the file is reached on its wall and, across the flat, not on its floor; narrower not at all.
func TestReachBlindBore(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		bored := func(d float64) *solid.Solid {
			return solid.Cut(b.block(0, 0, 0, 8, 8, 6), b.place(solid.NewRod(d/2, 2, 9, "bore", "floor"), at(4, 4, 0)))
		}
		wide := ReachOf(bored(3), []string{"bore", "floor"}, ReachOptions{})
		close(t, "wall of a wide bore", shareOf(t, wide, "bore").Share, 1, 1e-9)
		close(t, "floor of a wide bore", shareOf(t, wide, "floor").Share, 0, 1e-9)
		if !shareOf(t, wide, "floor").Missed {
			t.Error("the floor counts as reached")
		}
		narrow := ReachOf(bored(1.1), []string{"bore"}, ReachOptions{})
		close(t, "narrow bore", shareOf(t, narrow, "bore").Share, 0, 0.01)
		thin := ReachOf(bored(1.1), []string{"bore"}, ReachOptions{Files: []File{{Thickness: 0.8}}})
		close(t, "narrow bore, thin file", shareOf(t, thin, "bore").Share, 1, 1e-9)
	})
}

// A slot through the block is reached along itself; a plate as wide as the slot is deep passes, one wider than the slot
// across does not lie on its floor; a blade shorter than the way out does not reach.
func TestReachThroughSlot(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		s := solid.Cut(b.block(0, 0, 0, 10, 8, 6), b.tagged("slot", -1, 3, 2, 11, 5, 4))
		for _, c := range []struct {
			name string
			f    File
			want float64
		}{
			{"square", File{Thickness: 1.2, Width: 1.2}, 1},
			{"plate of 1.9", File{Thickness: 1.2, Width: 1.9}, 1},
			{"thick square", File{Thickness: 2.4, Width: 2.4}, 0},
			{"thick rod", File{Thickness: 2.4}, 0},
		} {
			close(t, c.name, shareOf(t, ReachOf(s, []string{"slot"}, ReachOptions{Files: []File{c.f}}), "slot").Share, c.want, 1e-9)
		}
		// A plate wider than the slot reaches only what lies near the mouths, held aslant from outside.
		wide := shareOf(t, ReachOf(s, []string{"slot"}, ReachOptions{Files: []File{{Thickness: 1.2, Width: 3}}}), "slot")
		if wide.Share > 0.35 || !wide.Missed {
			t.Errorf("a plate of 3 reaches %.3f of a slot of 2", wide.Share)
		}
		// A rod cannot touch the sides nearer to the corners than its radius, less what it may
		// cut: 0.84 of 2 mm, and near the mouths, aslant, up to all.
		rod := shareOf(t, ReachOf(s, []string{"slot"}, ReachOptions{Files: []File{{Thickness: 1.2}}, Step: 0.1}), "slot")
		close(t, "rod", rod.Share, 0.42+0.58*0.12, 0.09)
		// A blade of 4 reaches what lies within 4 of a mouth: 8 of 10 mm.
		short := shareOf(t, ReachOf(s, []string{"slot"}, ReachOptions{Files: []File{{Thickness: 1.2, Width: 1.2, Length: 4}}}), "slot")
		if short.Share < 0.7 || short.Share > 0.9 || !short.Missed {
			t.Errorf("a short blade reaches %.3f", short.Share)
		}
	})
}

// A T-slot: the undercut's roof is reached along the slot, but not where the slot is closed at both ends.
func TestReachUndercut(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		through := solid.Cut(b.block(0, 0, 0, 12, 10, 6), b.tagged("stem", -1, 4, 2, 13, 6, 7), b.tagged("under", -1, 2, 1.5, 13, 8, 3.5))
		close(t, "open undercut", shareOf(t, ReachOf(through, []string{"under"}, ReachOptions{}), "under").Share, 1, 0.01)
		shut := solid.Cut(b.block(0, 0, 0, 12, 10, 6), b.tagged("stem", 2, 4, 2, 10, 6, 7), b.tagged("under", 2, 2, 1.5, 10, 8, 3.5))
		got := shareOf(t, ReachOf(shut, []string{"under", "stem"}, ReachOptions{}), "under")
		// Only its ends below the stem are reached, straight down.
		if got.Share > 0.15 || !got.Missed {
			t.Errorf("a closed undercut is reached by %.3f", got.Share)
		}
		if q := b.pose.Local(got.At); q.X < 1.99 || q.X > 10.01 || q.Z > 3.51 {
			t.Errorf("%v is not in the undercut", q)
		}
		if stem := shareOf(t, ReachOf(shut, []string{"stem"}, ReachOptions{}), "stem"); stem.Share < 0.7 {
			t.Errorf("the stem is reached by %.3f", stem.Share)
		}
	})
}
