package fit

import "testing"

// lock124 is the lock for a chain of 12.4 x 5.2 mm, flat, as claspwright derives it.
func lock124() Lock {
	const width, wall, side, leaf, length = 12.4, 0.744, 0.07, 0.558, 13.02
	const fold, floor, floorPlay, rise, engagement, topGap = 0.6 * leaf, 0.6, 0.08, 0.2, 0.5, 0.12
	l := Lock{Chamber: width - 2*wall, NotchWidth: 3.4, TabWidth: 3.1, Floor: floor, Lip: 1.1, FaceGap: 0.05, Leaf: leaf, Taper: 0.75, Fold: fold,
		NeckPlay: 0.04, Travel: engagement + 0.1,
		Stock: Stock{Meeting: 0.1, Leaf: 0.1, Shoulder: 0.15, Lip: 0.05, Chamber: 0.05, Tab: 0.1, Window: 0.05}}
	l.LowerWidth = l.Chamber - 2*side
	l.UpperWidth = l.LowerWidth - 0.1
	l.ZLeaf = floor + floorPlay
	l.ZUpper = l.ZLeaf + 2*leaf + 2*fold
	l.ZLip = l.ZUpper + rise
	l.ZFront, l.ZTip = l.ZLip+engagement+topGap, l.ZLip+engagement
	l.ZPad = l.ZLip - 0.10 - l.Taper*leaf - 0.21
	l.XTip = l.Lip + 0.15
	l.XFold = l.XTip + length
	l.XKnee = l.XFold - 0.45*length
	l.XPad = l.Lip - 0.3 + 3
	l.XRear = l.XFold + fold + leaf + 0.35
	return l
}

func standard(t testing.TB, change func(*Lock, *Process)) Stack {
	t.Helper()
	l, p := lock124(), UsualProcess()
	if change != nil {
		change(&l, &p)
	}
	s, err := Standard(l, p)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func run(t testing.TB, s Stack, n int, seed uint64) *Result {
	t.Helper()
	r, err := Run(s, n, seed)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// gap is the smallest stack: a hollow, a solid, and the play between them.
func gap(hollow, solid Spread) Stack {
	return Stack{
		Surfaces: []Surface{{Name: "wall"}, {Name: "edge"}},
		Dimensions: []Dimension{{Name: "hollow", Nominal: 10.1, Faces: []Face{{"wall", -2}}, Casting: hollow},
			{Name: "solid", Nominal: 10, Faces: []Face{{"edge", 2}}, Casting: solid}},
		Clearances: []Clearance{{Name: "play", Terms: difference(0.5, "hollow", "solid"), Least: 0.02, Aim: 0.05, Most: 0.09}},
	}
}

func near(got, want, tol float64) bool { return got-want <= tol && want-got <= tol }
