package clasp

import (
	"fmt"
	"math"

	"claspwright/params"
)

// strip is the word of tongue.make for a leaf of hard-rolled sheet on a cast block.
const strip = "strip"

// Rolled says that the leaf is of rolled strip, fixed to a cast block.
func (l *Lock) Rolled() bool { return l.Make == strip }

// made is how the leaf is made, in a sentence.
func (l *Lock) made() string {
	if l.Rolled() {
		return "strip"
	}
	return "cast"
}

const (
	leastStrip   = 0.35 // thinnest strip, mm: a thinner one buckles under the pull
	mostStrip    = 0.6  // thickest, mm: a thicker one is as well cast
	leastCastBow = 0.2  // least inside radius of a cast fold, mm
)

// leaves lists the leaves to be tried, best first.
func (d *deriver) leaves() []leafChoice {
	if d.l.Rolled() {
		return stripLeaves(d.l.Width)
	}
	return castLeaves(d.l.Width)
}

// stripLeaves lists the strips to be tried for a chain of width w, best first: the full fold, then one of half the thickness, the least
// that hard strip takes (10 % more stress), then thinner strip. No blade of investment stands in a fold that is bent.
func stripLeaves(w float64) []leafChoice {
	var cs []leafChoice
	for t := clamp(0.04*w, leastStrip, mostStrip); ; t -= 0.01 {
		t = math.Max(t, leastStrip)
		cs = append(cs, leafChoice{t, fullFold(t)}, leafChoice{t, 0.6 * t}, leafChoice{t, 0.5 * t})
		if t == leastStrip {
			return cs
		}
	}
}

// thickest and leastLeaf are the range of a leaf's thickness by its make, mm.
func (d *deriver) thickest() float64 {
	if d.l.Rolled() {
		return mostStrip
	}
	return 1.2
}

func (d *deriver) leastLeaf() float64 {
	if d.l.Rolled() {
		return leastStrip
	}
	return leastCast
}

// orElse is the key's value if it is given, else v, noted with the reason.
func (d *deriver) orElse(key string, v float64, why string) float64 {
	if given, ok := d.job.Number(key); ok {
		v, why = given, ""
	}
	d.note(key, params.Resolved{Number: v}, why)
	return v
}

// note puts a resolved key down; no reason means that it was given.
func (d *deriver) note(key string, r params.Resolved, why string) {
	k, _ := params.Lookup(key)
	r.Key, r.Unit, r.Origin = key, string(k.Unit), "given"
	if why != "" {
		r.Origin = "rule: " + why
	}
	d.l.Resolved = append(d.l.Resolved, r)
}

// taper is the table's default for a cast leaf. Rolled strip keeps its thickness unless it is filed.
func (d *deriver) taper() float64 {
	if d.l.Rolled() {
		return d.orElse("tongue.taper", 1, "rolled strip keeps its thickness")
	}
	return d.set("tongue.taper")
}

// tabThickness of strip is that of the tip, which is bent up. A tab of its own, as thick as a cast one, would have to be soldered on, and the
// heat takes the hardness that the strip is rolled for; a tab bent up cannot come off. Its edges are rounded for the thumb.
func (d *deriver) tabThickness() float64 {
	if d.l.Rolled() {
		return d.orElse("tab.thickness", d.l.Taper*d.l.Leaf, "of strip the tab is the tip itself, bent up")
	}
	return d.set("tab.thickness")
}

const (
	sawCut   = 0.2  // a fine piercing saw's cut, mm; common practice, no source
	seatPlay = 0.05 // gap behind the strip in its seat, mm; common practice, no source
	// EdgeRule is how far a rivet's centre stands from an edge at least, in diameters (J. E. Shigley, Mechanical Engineering Design, bolted and
	// riveted joints in shear, from memory).
	EdgeRule = 1.5
)

// strip finds seat, rivets and bent-up tab, and refuses what strip or casting cannot have.
func (d *deriver) strip() error {
	l := d.l
	if !l.Rolled() {
		return d.castLimits()
	}
	if err := d.stripLimits(); err != nil {
		return err
	}
	l.Fix, _ = d.job.Text("strip.fix")
	l.TabBend = 0.6 * l.Leaf
	l.Slit = sawCut
	l.NotchWidth = l.TabWidth + 2*l.Slit
	l.XSlit = l.XTip + l.TabThickness + l.TabBend + l.Leaf
	l.XNotch += l.TabBend
	l.Toe = math.Min(0.25, (l.ZPad-l.ZLeaf-l.Leaf)/2)
	l.SeatPlay = seatPlay
	l.Rivet = d.num("strip.rivet", clamp(0.06*l.Width, 0.7, 1))
	end := l.XPad - l.Toe
	l.XSeat = math.Min(l.XNeck, end-2*EdgeRule*l.Rivet-2*seatPlay)
	l.RivetX, l.RivetY = (l.XSeat+l.SeatPlay+end)/2, l.LowerWidth/4
	return d.rivetFits()
}

// rivetFits refuses rivets that the seat cannot hold.
func (d *deriver) rivetFits() error {
	l := d.l
	const neck = 0.1 // mm of neck in front of the seat
	most := math.Min((l.XPad-l.Toe-2*seatPlay-neck)/(2*EdgeRule), l.LowerWidth/(4*EdgeRule))
	if l.Fix != "rivet" || l.Rivet <= most+1e-9 {
		l.XSeat = math.Max(l.XSeat, neck)
		return nil
	}
	return &Refusal{Key: "strip.rivet", Say: fmt.Sprintf("%.4g mm stands nearer than %g diameters to an edge of the strip in its seat", l.Rivet, EdgeRule),
		Nearest: fmt.Sprintf("at most %.2f mm, a longer tongue.length, or strip.fix = \"laser\"", Down(most))}
}

// stripLimits holds what the keys allow for every make against what strip can have.
func (d *deriver) stripLimits() error {
	l := d.l
	tab := l.Taper * l.Leaf
	for _, c := range []struct {
		bad              bool
		key, say, remedy string
	}{
		{l.Leaf < leastStrip-1e-9 || l.Leaf > mostStrip+1e-9, "tongue.leaf", fmt.Sprintf("%.4g mm is no strip for a leaf, which has %g to %g mm", l.Leaf, leastStrip, mostStrip), "leave it to its rule, or tongue.make = \"cast\""},
		{math.Abs(l.TabThickness-tab) > 1e-3, "tab.thickness", fmt.Sprintf("%.4g mm cannot be: the tab is bent up of the strip, %.3g mm there", l.TabThickness, tab), "leave it to its rule, or tongue.make = \"cast\""},
		{l.XTip+tab+1.6*l.Leaf > l.XKnee-0.5, "tongue.length", fmt.Sprintf("%.4g mm leaves no room for the tab's bend before the leaf's", l.Length), "a longer leaf"},
	} {
		if c.bad {
			return &Refusal{Key: c.key, Say: c.say, Nearest: c.remedy}
		}
	}
	return nil
}

// castLimits holds a cast leaf to what can be cast.
func (d *deriver) castLimits() error {
	l := d.l
	if l.Fold < leastCastBow-1e-9 {
		return &Refusal{Key: "tongue.fold", Say: fmt.Sprintf("%.4g mm is too narrow a fold to cast", l.Fold), Nearest: fmt.Sprintf("at least %g mm, or tongue.make = \"strip\"", leastCastBow)}
	}
	return nil
}
