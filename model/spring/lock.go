package spring

import "math"

// Lock is what the spring must know of a lock: the finished dimensions, mm, in the lock's frame with the tongue home.
type Lock struct {
	Metal Metal

	FaceGap, Floor, NeckPlay, Mouth float64 // block's face to box; chamber's floor; play over and under the neck; height of the mouth
	XNeck, XPad, ZPad               float64 // ends of neck and root pad, the pad's top
	Toe                             float64 // height of the pad's blunt end over a strip that is fixed to it; 0 where pad and leaf are one and run into each other
	ZLeaf, Leaf, Taper, Fold        float64 // underside of the lower leaf, thickness, of the tip over that, inside radius of the fold
	XTip, XKnee, XFold              float64 // tip, bend of the upper leaf, fold's centre
	ZUpper, ZTip                    float64 // top of the upper leaf over the fold, and drawn on to the tip
	Chamfer                         float64 // at the shoulder's top
	LowerWidth, UpperWidth          float64
	NotchWidth                      float64

	TabWidth, TabThickness, TabTop float64

	Lip, LipEntry, ZLip, LipDepth float64 // thickness along x, radius of its entry, height of its edge, depth
	XStep, StepRun, ZFront        float64 // step of the chamber's roof, its length, the roof before it
	Engagement, Travel, EndPlay   float64

	Fork *Fork // of a slit tongue; nil for a folded leaf
}

// padFillet is the radius where the root pad's slope runs into the lower leaf, mm.
const padFillet = 0.3

// marks are the places of the leaf along the middle line, mm from the block.
type marks struct{ leaf, fold, upper, knee, tip float64 }

// level is a piece of the root, level, from x0 to x1, its underside and top linear between.
type level struct {
	name               string
	x0, x1             float64
	low0, low1, t0, t1 float64
}

// root lists neck and root pad to where the leaf begins. The round of the fillet is taken as a ramp between its ends.
func (l *Lock) root() []level {
	under, top := l.Floor+l.NeckPlay, l.ZLeaf+l.Leaf
	pad, thick := l.ZPad-under, top-under
	run := l.ZPad - top
	cut := padFillet * (1 - math.Sqrt2/2) // the fillet ends that far back on the slope, and as high
	flat := padFillet * (math.Sqrt2 - 1)  // and that far on the leaf
	neck := l.Mouth - 2*l.NeckPlay
	cut = min(cut, run/2)
	if l.Toe > 0 { // the strip leaves the pad at a step; the pad's slope is not filled out
		under = l.ZLeaf
		pad, thick = l.ZPad-under, l.Leaf
		end := l.XPad - l.Toe
		return []level{
			{"neck", -l.FaceGap, l.XNeck, l.Floor + l.NeckPlay, l.Floor + l.NeckPlay, neck, neck},
			{"root pad", l.XNeck, l.Lip, under, under, min(neck, pad+l.Lip-l.XNeck), pad},
			{"root pad", l.Lip, l.XPad - run, under, under, pad, pad},
			{"root pad", l.XPad - run, end, under, under, pad, thick + l.Toe},
		}
	}
	return []level{
		{"neck", -l.FaceGap, l.XNeck, under, under, neck, neck},
		{"root pad", l.XNeck, l.Lip, under, under, min(neck, pad+l.Lip-l.XNeck), pad},
		{"root pad", l.Lip, l.XPad - run, under, under, pad, pad},
		{"root pad", l.XPad - run, l.XPad - cut, under, under, pad, thick + cut},
		{"root pad", l.XPad - cut, l.XPad + flat, under, l.ZLeaf, thick + cut, l.Leaf},
	}
}

// leafFrom is where the root ends and the leaf begins.
func (l *Lock) leafFrom() float64 {
	r := l.root()
	return r[len(r)-1].x1
}

// frame is the tongue from the block's face to the tip. Of the tab only its place is taken: the tip, where it stands, bends
// little.
func (l *Lock) frame() (*Frame, marks) {
	if l.Fork != nil {
		return l.flank()
	}
	var ps []Piece
	z := 0.0
	for i, r := range l.root() {
		mid := r.low0 + r.t0/2
		p := Piece{Name: r.name, Length: r.x1 - r.x0, T0: r.t0, T1: r.t1, Width: l.LowerWidth, Parts: 4}
		if i == 0 {
			z = mid
		} else {
			p.Step = mid - z
		}
		z = mid
		ps = append(ps, p)
	}
	t, x, n := l.Leaf, l.leafFrom(), len(ps)
	r := l.Fold + t/2
	run := l.XKnee - l.XTip
	up := (l.ZTip - l.Taper*t/2) - (l.ZUpper - t/2)
	ps = append(ps,
		Piece{Name: LowerLeaf, Length: l.XFold - x, T0: t, T1: t, Width: l.LowerWidth, Step: l.ZLeaf + t/2 - z},
		Piece{Name: TheFold, Length: math.Pi * r, Curve: 1 / r, T0: t, T1: t, Width: l.UpperWidth},
		Piece{Name: UpperLeaf, Length: l.XFold - l.XKnee, T0: t, T1: t, Width: l.UpperWidth},
		Piece{Name: UpperLeaf, Length: math.Hypot(run, up), T0: t, T1: l.Taper * t, Width: l.UpperWidth, Kink: -math.Atan2(up, run)},
	)
	first := l.root()[0]
	f := NewFrame(l.Metal, first.x0, first.low0+first.t0/2, 0, ps...)
	var m marks
	m.leaf = x - first.x0
	m.fold = m.leaf + ps[n].Length
	m.upper = m.fold + ps[n+1].Length
	m.knee = m.upper + ps[n+2].Length
	m.tip = m.knee + ps[n+3].Length
	return f, m
}

// The stretches of the leaf.
const (
	LowerLeaf = "lower leaf"
	TheFold   = "fold"
	UpperLeaf = "upper leaf"
)
