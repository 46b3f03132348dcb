package clasp

import (
	"math"
	"testing"

	"claspwright/model/contour"
	"claspwright/model/solid"
)

// Held part and tab are parts of the finished tongue: nothing of them stands out of it, and of the tongue before the leaf nothing is missing.
func TestHeldPartAndTabAreOfTheTongue(t *testing.T) {
	for _, sets := range [][]string{
		{"chain.width=8", "chain.thickness=4"},
		{"chain.width=12.4", "chain.thickness=5.2", "lock.end=cradle"},
		{"chain.width=18", "chain.thickness=8", "chain.crown=27", "lock.end=lug"},
	} {
		l := derive(t, "gold", sets...)
		tongue, err := l.Tongue(Finished)
		if err != nil {
			t.Fatal(err)
		}
		held, err := l.Held()
		if err != nil {
			t.Fatal(err)
		}
		tab, err := l.Tab()
		if err != nil {
			t.Fatal(err)
		}
		const tolerance = 0.002
		mesh := func(s *solid.Solid) *contour.Mesh {
			m, err := contour.Of(s, tolerance)
			if err != nil {
				t.Fatal(err)
			}
			return m
		}
		for name, part := range map[string]*solid.Solid{"held part": held, "tab": tab} {
			for _, p := range mesh(part).V {
				if f := tongue.Eval(p); f > tolerance {
					t.Errorf("%v: %s stands %.4f mm out of the tongue at %v", sets, name, f, p)
				}
			}
		}
		seen := 0
		for _, p := range mesh(tongue).V {
			if p.X > l.LeafFrom()-0.01 || p.Z > l.ZPad+0.01 && p.X > l.XNeck+0.01 { // leaf, or upper leaf and tab
				continue
			}
			seen++
			if f := held.Eval(p); math.Abs(f) > tolerance {
				t.Errorf("%v: the tongue's surface at %v is %.4f mm off the held part", sets, p, f)
			}
		}
		if seen < 20 {
			t.Errorf("%v: only %d points of the held part seen", sets, seen)
		}
		if x := held.Bounds().Max.X; math.Abs(x-l.LeafFrom()) > 1e-9 || x < l.XPad+neckPlayRamp || x > l.XFold-lap {
			t.Errorf("%v: the held part ends at %.3f, the pad at %.3f", sets, x, l.XPad)
		}
	}
}
