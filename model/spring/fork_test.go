package spring

import (
	"math"
	"testing"
)

// fork is a slit tongue's flank in numbers, with a press so small that it stays linear.
func fork(leaf, fold, length, taper float64) *Lock {
	const edge, tip, x = 4.6, 5.17, 1.25
	head := 2.96
	l := &Lock{
		Metal: Metal{E: 90000, Poisson: 0.42}, FaceGap: 0.05, Floor: -1e6, NeckPlay: 0.04, Mouth: 2, XNeck: 0.5, XPad: 3.05, ZPad: 2.25,
		Leaf: leaf, Taper: taper, Fold: fold, XTip: x, XFold: x + length, XKnee: x + 0.55*length, ZUpper: edge, ZTip: tip, Chamfer: 0.1,
		LowerWidth: 1.5, UpperWidth: 1.5, TabWidth: 1.5, TabThickness: 1.1, TabTop: 4.4, Lip: 1.1, LipEntry: 0.25, ZLip: 4.67, LipDepth: 0.62,
		XStep: x + 0.5*length, StepRun: 0.6, ZFront: 5.29, Engagement: 0.5, Travel: 0.001, EndPlay: 0.15,
		Fork: &Fork{XHead: x + 1.4, Depth: tip - head, Middle: 1.6, Neck: 9.2},
	}
	l.ZLeaf = l.ZPad - leaf
	return l
}

// byHand is the deflection of the shoulder's edge under 1 N square to the chain there, by Castigliano's second theorem: flank, taper and head bend and shear as straight
// bars (S. Timoshenko, Strength of Materials, Part I), the bar round the slit's end is E. Winkler's (Part II); formulas from memory. It gives the greatest
// stress too, on the inside of the slit's end.
func (l *Lock) byHand() (down, stress float64) {
	e, b := l.Metal.E, l.UpperWidth
	g := e / (2 * (1 + l.Metal.Poisson))
	t, r := l.Leaf, l.Fold
	xl := l.XTip + l.Chamfer // of the load
	const n = 20000
	straight := func(x0, x1 float64, thick func(float64) float64) { // x0 nearer to the tip
		for k := range n {
			x := x0 + (x1-x0)*(float64(k)+0.5)/n
			h, m := thick(x), x-xl
			down += (x1 - x0) / n * (12*m*m/(e*b*h*h*h) + 1.2/(g*b*h))
		}
	}
	head, knee := l.Fork.XHead, l.XKnee
	straight(xl, head, func(float64) float64 { return l.Fork.Depth })
	straight(head, knee, func(x float64) float64 { return t * (1 - (1-l.Taper)*(knee-x)/(knee-head)) })
	straight(knee, l.XFold, func(float64) float64 { return t })
	for k := range n { // round the slit's end from where the flank begins back to the spine
		a := math.Pi - (math.Pi-rootFrom)*(float64(k)+0.5)/n
		da, h := (math.Pi-rootFrom)/n, t
		if a < math.Pi/2 {
			h = (r+t)/math.Sin(a) - r
		}
		mid := r + h/2
		rn := h / math.Log((r+h)/r)
		area, ecc := b*h, mid-rn
		m := l.XFold + mid*math.Sin(a) - xl
		along, across := math.Sin(a), math.Cos(a) // of the force
		down += da * (m*m/(e*area*ecc) - 2*m*along/(e*area) + along*along*mid/(e*area) + 1.2*across*across*mid/(g*area))
		stress = math.Max(stress, math.Abs(m*(rn-r)/(area*ecc*r)+along/area))
	}
	return down, stress
}

// The frame of a flank against the same sums by hand, within 0.5 %.
func TestFlankAgainstCastigliano(t *testing.T) {
	for _, v := range [][4]float64{{0.6, 0.3, 9, 1}, {0.8, 0.4, 14, 0.75}, {1, 0.7, 18, 0.6}, {0.5, 0.4, 20, 0.9}} {
		l := fork(v[0], v[1], v[2], v[3])
		f, m := l.flank()
		c, err := l.bed(f, m, 0, 0).loadCase()
		if err != nil {
			t.Fatal(err)
		}
		down, stress := l.byHand()
		force := l.Travel / down
		if math.Abs(c.Force/force-1) > 0.005 {
			t.Errorf("%v: %.6f N, by hand %.6f (%.4f)", v, c.Force, force, c.Force/force)
		}
		if got, want := math.Abs(c.Peak.MPa), stress*force; math.Abs(got/want-1) > 0.005 {
			t.Errorf("%v: %.5f MPa, by hand %.5f (%.4f)", v, got, want, got/want)
		}
	}
}

// What both flanks do together: twice the push of one, the pull asked for shared between them; the press is that on each tab.
func TestForkCountsBothFlanks(t *testing.T) {
	l := fork(0.8, 0.4, 14, 0.75)
	l.Travel = 0.6
	one := *l
	one.Fork = &Fork{}
	*one.Fork = *l.Fork
	r, err := l.Analyse(Ask{Pull: 60, Friction: [3]float64{0.1, 0.2, 0.3}, Stations: 8, Yield: 500})
	if err != nil {
		t.Fatal(err)
	}
	f, m := one.flank()
	way, err := one.way(f, m, 0.2, 8)
	if err != nil {
		t.Fatal(err)
	}
	for i := range way {
		if math.Abs(r.Way[i].Push-2*way[i].Push) > 1e-9 {
			t.Errorf("station %d: push %.6f N, one flank %.6f", i, r.Way[i].Push, way[i].Push)
		}
	}
	p := one.bed(f, m, one.EndPlay, 0).pulled(30)
	if math.Abs(r.Pull.Force-2*p.Force) > 1e-9 || math.Abs(r.Pull.Bearing-30/one.bearing(0)) > 1e-9 {
		t.Errorf("pull %+v, one flank %+v", r.Pull, p)
	}
	if at := r.Peak.At(); at.Z != l.Fork.Middle || at.Y < 2 {
		t.Errorf("the greatest stress is said to be at %v", at)
	}
}
