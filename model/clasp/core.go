package clasp

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Without a way through the floor the chamber is cast round a core that stands on its foot in the mouth alone. A graphite lead
// through both side walls holds it; the bores are closed later with wire plugs.

// opening finds how the chamber is opened for caster and cleaning.
func (d *deriver) opening() {
	l := d.l
	if l.FloorKind == "window" {
		l.WindowLength = d.set("window.length")
		l.WindowWidth = d.num("window.width", l.Chamber/2)
	}
	n := d.set("core.holes")
	l.CoreHole = d.set("core.hole")
	l.XCoreHoles = make([]float64, int(n))
}

// coreRoom is the metal that stays between a core hole and whatever is next to it, mm: what a caster fills round a bore.
// Common practice, no source.
const coreRoom = 0.5

// coreCorner is what stays between a core hole and the chamber's corner along the wall, mm, so that the bore breaks into no other
// face.
const coreCorner = 0.2

// placeCore puts the core holes at mid-height of the chamber's rear: one before the chamber's end, the other behind the
// roof's step.
func (l *Lock) placeCore() {
	l.ZCoreHole = (l.Floor + l.ZLip) / 2
	for i := range l.XCoreHoles {
		l.XCoreHoles[i] = l.XRear - coreRoom - l.CoreHole/2
		if i == 1 {
			l.XCoreHoles[i] = l.XStep + StepRun + coreRoom + l.CoreHole/2
		}
	}
}

// checkCore refuses core holes that do not fit.
func (l *Lock) checkCore() error {
	if len(l.XCoreHoles) == 0 {
		return nil
	}
	most := l.ZLip - l.Floor - 2*coreCorner
	// On the outside the bore stays clear of the eased edges, or of arcs where the section is domed.
	low, high := l.sideHeights()
	most = min(most, 2*(l.ZCoreHole-low-coreCorner), 2*(high-coreCorner-l.ZCoreHole))
	if rear := l.XRear - l.XStep - StepRun; len(l.XCoreHoles) == 1 {
		most = min(most, rear-2*coreRoom)
	} else {
		most = min(most, (rear-3*coreRoom)/2)
	}
	if l.CoreHole <= most+heightSlack {
		return nil
	}
	if most < 0.5 {
		return &Refusal{Key: "core.holes", Say: fmt.Sprintf("%d holes find no room in side walls %.2f mm high beside the chamber, %.2f mm long behind the step", len(l.XCoreHoles), l.ZLip-l.Floor, l.XRear-l.XStep-StepRun),
			Nearest: `fewer holes, or lock.floor = "window" or "loose"`}
	}
	return &Refusal{Key: "core.hole", Say: fmt.Sprintf("%.4g mm does not fit clear of edges, floor and roof", l.CoreHole), Nearest: fmt.Sprintf("at most %.2f mm in this lock", Down(most))}
}

// coreHoles are the bores, as wide at every stage as the lead that passes through them.
func (l *Lock) coreHoles() []*solid.Solid {
	var out []*solid.Solid
	reach := l.Width/2 + beyond
	for _, x := range l.XCoreHoles {
		rod := solid.NewRod(l.CoreHole/2, -reach, reach, tagCoreHole, tagHidden)
		out = append(out, solid.New(rod, solid.AcrossY.At(r3.Vec{X: x, Z: l.ZCoreHole})))
	}
	return out
}

// BesideHoles is x, or the nearest place before it where a line across the box meets no core hole.
func (l *Lock) BesideHoles(x float64) float64 {
	const clear = 0.1 // mm
	for _, h := range l.XCoreHoles {
		if r := l.CoreHole/2 + clear; x > h-r && x < h+r {
			return h - r
		}
	}
	return x
}

// CoreFree is how far the chamber's core stands free, mm, counted as a cantilever: beyond the last lead that holds it, or half of what
// lies between two holds. By moment a beam held at both ends is worth a cantilever half as long: w L^2/8 where it is clamped and propped,
// w L^2/2 where it stands out (Roark, Formulas for Stress and Strain, beams under uniform load).
func (l *Lock) CoreFree() float64 {
	held, free := 0.0, 0.0 // the mouth holds it first
	for i := range l.XCoreHoles {
		x := l.XCoreHoles[len(l.XCoreHoles)-1-i] // from the front
		free, held = max(free, (x-held)/2), x
	}
	return max(free, l.XRear-held)
}
