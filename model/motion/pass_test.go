package motion

import (
	"math"
	"testing"

	"golang.org/x/sync/errgroup"

	"claspwright/model/clasp"
	"claspwright/model/spring"
)

// springOf hands a lock's numbers to the spring, as package model does.
func springOf(l *clasp.Lock) *spring.Lock {
	return &spring.Lock{
		Metal: spring.Metal{E: 90000, Poisson: 0.4}, FaceGap: l.FaceGap, Floor: l.Floor, NeckPlay: l.NeckPlay, Mouth: l.Mouth,
		XNeck: l.XNeck, XPad: l.XPad, ZPad: l.ZPad, ZLeaf: l.ZLeaf, Leaf: l.Leaf, Taper: l.Taper, Fold: l.Fold, XTip: l.XTip,
		XKnee: l.XKnee, XFold: l.XFold, ZUpper: l.ZUpper, ZTip: l.ZTip, Chamfer: l.Chamfer, LowerWidth: l.LowerWidth,
		UpperWidth: l.UpperWidth, NotchWidth: l.NotchWidth, TabWidth: l.TabWidth, TabThickness: l.TabThickness,
		TabTop: l.TabTop(), Lip: l.Lip, LipEntry: l.LipEntry, ZLip: l.ZLip, LipDepth: l.LipDepth,
		XStep: l.XStep, StepRun: clasp.StepRun, ZFront: l.ZFront, Engagement: l.Engagement, Travel: l.Travel, EndPlay: l.EndPlay,
	}
}

// wayOf is a lock's way in by the spring model, and what it is held against.
func wayOf(t testing.TB, l *clasp.Lock) (*Way, []spring.Step) {
	t.Helper()
	steps, err := springOf(l).Way(0.2, 12)
	if err != nil {
		t.Fatal(err)
	}
	return NewWay(must(l.Box(clasp.Finished)), must(l.Held()), must(l.Tab()), shapeOf(l)), steps
}

func expected(s spring.Step, r float64) []Place {
	var out []Place
	for _, c := range s.Touches {
		out = append(out, Place{c.X, c.Z, r})
	}
	return out
}

// The spring's leaf on its way in: solids and spring model agree to 0.003 mm on where the leaf is held down, and it touches
// nowhere else. Moved up by 0.02 mm it goes deeper than the slack, with the place told; with no contact expected the lip's is found.
func TestWayInOfLocks(t *testing.T) {
	for _, sets := range sizes() {
		l := lockOf(t, sets...)
		w, steps := wayOf(t, l)
		for _, s := range steps {
			o := Options{Tolerance: 0.01, Half: true}
			p, err := w.Pass(s.Leaf, s.Out, expected(s, 0.3), 0.003, o)
			if err != nil {
				t.Fatal(err)
			}
			if touch, sure, where := p.Touches(0); touch || !sure {
				t.Errorf("%v, %.3f mm out: touch %v, sure %v, %+v", sets, s.Out, touch, sure, where)
			}
			t.Logf("%v, %.3f mm out: rigid %.4f, leaf %.4f mm", sets, s.Out, p.Rigid.Lower, p.Leaf.Lower)
			if len(s.Touches) == 0 {
				continue
			}
			// A bent leaf bears within the slack: what is 0.02 higher must be seen, and lie at the lip or beside it.
			for i := range s.Leaf {
				s.Leaf[i].Z += 0.02
			}
			high, err := w.Pass(s.Leaf, s.Out, expected(s, 0.3), 0.003, o)
			if err != nil {
				t.Fatal(err)
			}
			touch, sure, where := high.Touches(0)
			if !touch || !sure || !where.Overlap {
				t.Errorf("%v, %.3f mm out, 0.02 up: touch %v, sure %v, %+v", sets, s.Out, touch, sure, where)
			} else if x := s.Touches[0].X - s.Out; math.Abs(where.P.X-x) > 1.5 || math.Abs(where.P.Z-l.ZLip) > 0.3 {
				t.Errorf("%v, %.3f mm out, 0.02 up: found at %v, the lip bears at x %.3f", sets, s.Out, where.P, x)
			}
			for i := range s.Leaf {
				s.Leaf[i].Z -= 0.02
			}
			bare, err := w.Pass(s.Leaf, s.Out, nil, 0.003, o)
			if err != nil {
				t.Fatal(err)
			}
			if touch, sure, _ := bare.Touches(0.004); !touch || !sure {
				t.Errorf("%v, %.3f mm out: no contact expected, yet none is found: %+v", sets, s.Out, bare.Leaf)
			}
		}
	}
}

// BenchmarkWay is the whole way in of one lock, 12 stations to 0.01 mm, on two goroutines.
func BenchmarkWay(b *testing.B) {
	l := lockOf(b, locks[1]...)
	_, steps := wayOf(b, l)
	box, held, tab, shape := must(l.Box(clasp.Finished)), must(l.Held()), must(l.Tab()), shapeOf(l)
	for b.Loop() {
		var g errgroup.Group
		for half := range 2 {
			g.Go(func() error {
				w := NewWay(box, held, tab, shape)
				for i := half; i < len(steps); i += 2 {
					if _, err := w.Pass(steps[i].Leaf, steps[i].Out, expected(steps[i], 0.3), 0.003, Options{Tolerance: 0.01, Half: true, Limit: 0.2}); err != nil {
						return err
					}
				}
				return nil
			})
		}
		if err := g.Wait(); err != nil {
			b.Fatal(err)
		}
	}
}
