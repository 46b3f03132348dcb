package model

import (
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/solid"
)

var (
	alongX, acrossY, upZ = r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	backX, downZ         = r3.Vec{X: -1}, r3.Vec{Z: -1}
)

// feeler measures between the two closed halves as a feeler gauge would: along a line, from one surface to the next.
type feeler struct{ box, tongue *solid.Solid }

// reach is further than any gap in a lock, mm.
const reach = 30.0

// gap goes from p, inside the tongue, along dir to the tongue's surface and on to the box.
func (f feeler) gap(p, dir r3.Vec) float64 {
	q := f.leave(f.tongue, p, dir)
	return f.box.Trace(q, dir, reach)
}

// leave is where the line from p along dir meets the solid's surface.
func (f feeler) leave(s *solid.Solid, p, dir r3.Vec) r3.Vec {
	return r3.Add(p, r3.Scale(s.Trace(p, dir, reach), dir))
}

// wall goes from p, in a hollow of the box, along dir to its metal and through it.
func (f feeler) wall(p, dir r3.Vec) float64 {
	q := f.leave(f.box, p, dir)
	const in = 1e-4 // mm into the metal, to leave the first surface
	return in + f.box.Trace(r3.Add(q, r3.Scale(in, dir)), dir, reach)
}

// measureFit measures how the closed finished halves meet, at the first of two leaves, whose other side is the wall between the chambers.
func measureFit(l *clasp.Lock, box, tongue *solid.Solid) Fit {
	if l.Slitted() {
		return measureSlit(l, box, tongue)
	}
	f := feeler{box, tongue}
	y, yShoulder := l.YLeaf(), l.Bearing()
	xLeaf := l.BesideHoles((l.XPad + 0.2 + l.XWindow) / 2) // lower leaf, over solid floor
	lower := r3.Vec{X: xLeaf, Y: y, Z: l.ZLeaf + l.Leaf/2}
	upper := r3.Vec{X: l.BesideHoles((l.XKnee + l.XFold) / 2), Y: y, Z: l.ZUpper - l.Leaf/2}
	tab := r3.Vec{X: l.XTip + l.TabThickness/2, Y: y, Z: (l.ZFront + l.Thickness) / 2}
	tip := r3.Vec{X: l.XTip + 0.2, Y: yShoulder, Z: l.ZTip - l.Taper*l.Leaf/2}
	under := r3.Vec{X: l.Lip * 0.6, Y: yShoulder, Z: l.ZLip - 1e-3}
	behind := r3.Vec{X: l.XNotch + 0.5, Y: y, Z: l.TabTop()}
	return Fit{
		SideClearance:  min(f.gap(lower, acrossY), f.gap(lower, r3.Scale(-1, acrossY))),
		UpperClearance: min(f.gap(upper, acrossY), f.gap(upper, r3.Scale(-1, acrossY))),
		FloorClearance: f.gap(lower, downZ),
		NeckClearance:  f.gap(r3.Vec{X: l.XNeck / 2, Y: yShoulder, Z: l.ZLip - l.NeckPlay - 0.1}, upZ),
		FaceGap:        f.gap(r3.Vec{X: -l.FaceGap - 0.1, Y: l.Outer() + l.Wall/2, Z: l.ZLip}, alongX),
		Engagement:     f.atTip(l, func(p r3.Vec) float64 { return f.leave(tongue, p, upZ).Z }) - f.leave(box, under, upZ).Z,
		EndPlay:        f.gap(tip, backX),
		TopGap:         f.atTip(l, func(p r3.Vec) float64 { return f.gap(p, upZ) }),
		TabHeight:      f.leave(tongue, tab, upZ).Z - f.leave(box, behind, downZ).Z,
		FoldRoom:       f.gap(r3.Vec{X: l.XFold + l.Fold + l.Leaf/2, Y: y, Z: l.ZLeaf + l.Leaf + l.Fold}, alongX),
		FoldHeadroom:   f.gap(r3.Vec{X: l.XFold, Y: y, Z: l.ZUpper - l.Leaf/2}, upZ),
		NotchClearance: min(f.gap(tab, acrossY), f.gap(tab, r3.Scale(-1, acrossY))),
	}
}

// atTip measures above the shoulder at two places and draws the line on to the tip, past the chamfer.
func (f feeler) atTip(l *clasp.Lock, measure func(r3.Vec) float64) float64 {
	at := func(dx float64) float64 {
		k := dx / (l.XKnee - l.XTip)
		return measure(r3.Vec{X: l.XTip + dx, Y: l.Bearing(), Z: l.ZTip - l.Taper*l.Leaf/2 - k*(l.ZTip-l.Taper*l.Leaf/2-l.ZUpper+l.Leaf/2)})
	}
	a, b := at(0.3), at(0.6)
	return 2*a - b
}
