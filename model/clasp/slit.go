package clasp

import (
	"fmt"
	"math"

	"claspwright/params"
)

// A slit tongue is a plate sawn lengthwise: two slits free a flank on each side of a spine, joined to it at the far end alone. The flanks spring
// sideways, and their heads catch behind lips on the side walls. It is the folded leaf turned on its side, so it needs little height;
// two tabs rise from the heads through slots in the face, and are pinched together to open the lock.

const slit = "slit"

// Plate is what a slit tongue has beside a folded leaf, mm from mid-width where not said otherwise. The rest of a Lock's dimensions hold for it with
// these meanings: Leaf is a flank's thickness at its root, Taper that before the head over it, Fold half the slit's width, Length from
// tip to the middle of the slit's end, TopGap the gap between tip and side wall, ZLeaf and ZUpper the plate's underside and top.
type Plate struct {
	Thick  float64 // along z
	TopGap float64 // over the plate
	Lip    float64 // edges of the two lips
	Front  float64 // walls of the chamber behind the lips
	Edge   float64 // outside of the flanks behind the knee, and of the plate's end
	Tip    float64 // outside of the flanks, drawn on to the tip
	Spine  float64 // sides of the spine beside the slits' ends
	Pad    float64 // the same beside the heads, which stop there
	Head   float64 // inside of the heads
	XHead  float64 // where the heads end, along the chain
	XPad   float64 // where the wide part of the spine ends
	Tab    [2]float64
	Slot   [2]float64 // in the face, for the tabs
}

// Limits of a slit tongue, mm. Common practice, no source.
const (
	leastPlate = 0.7  // the plate, which prints and fills as a wall does
	mostPlate  = 1.8  // thicker, it only weighs
	plateGap   = 0.10 // over the plate
	leastSpine = 0.6  // half the spine
	neckShort  = 0.6  // by which the neck is shorter than the lips: with stock on, investment must still stand between it and the heads
	leastSlot  = 0.3  // of that slot as cast
	beyondTab  = 0.2  // from the tab to where the head bears
	headOver   = 0.3  // by which the head is longer than the tab
	slotPlay   = 0.15
	padOver    = 0.4  // by which the spine's wide part reaches past the heads
	slitStop   = 1.18 // of the travel, at which a head meets the spine
	slitTab    = 1.5  // least width of a tab
)

// Slitted says whether the tongue is a slit plate.
func (l *Lock) Slitted() bool { return l.Make == slit }

// PlateCut is the height at which pictures cut the plate: below the tabs' feet, which stand in its middle.
func (l *Lock) PlateCut() float64 { return l.ZLeaf + 0.4*l.Plate.Thick }

// slitted derives a lock with a slit tongue.
func (d *deriver) slitted() error {
	if err := d.slitHeight(); err != nil {
		return err
	}
	if err := d.lengths(); err != nil {
		return err
	}
	if err := d.slitPlays(); err != nil {
		return err
	}
	d.opened()
	d.slitPlaces()
	d.stock()
	return d.castLimits()
}

// takesSlit says whether the same chain takes a slit tongue, with sizes of the leaf left to their rules.
func (d *deriver) takesSlit() bool {
	job, err := d.job.With("tongue.make=slit")
	if err != nil {
		return false
	}
	_, err = Derive(job, d.l.Metal, d.top)
	return err == nil
}

// slitHeight finds the plate that the thickness can hold, or says why there is none.
func (d *deriver) slitHeight() error {
	l := d.l
	l.TopGap, l.FloorPlay = d.set("tongue.top_gap"), d.set("tongue.floor_play")
	l.Engagement, l.Taper = d.set("tongue.engagement"), d.taper()
	l.Rise = d.set("tongue.rise")
	y := l.Chamber / 2
	room := func(thickness float64) float64 {
		return d.effective(thickness) - d.leastFloor(thickness) - l.top().upright(d.leastRoof(), y) - l.FloorPlay - plateGap
	}
	have := room(l.Thickness)
	if have < leastPlate-heightSlack {
		lo, hi := l.Thickness, 100.0
		for hi-lo > 1e-9 {
			if mid := (lo + hi) / 2; room(mid) < leastPlate {
				lo = mid
			} else {
				hi = mid
			}
		}
		near := fmt.Sprintf("chain.thickness of %.2f mm or more", Up(hi))
		if k, _ := params.Lookup("chain.thickness"); hi > k.Max {
			near = "a narrower chain, or thinner floor and roof if the caster allows"
		}
		if l.Crown > 0 {
			near += ", or a flatter crown"
		}
		return &Refusal{Key: "chain.thickness", Say: fmt.Sprintf("%.4g mm leaves %.2f mm for the plate of a slit tongue, at least %.1f mm", l.Thickness, math.Max(0, have), leastPlate), Nearest: near}
	}
	l.Plate = &Plate{Thick: math.Min(have, mostPlate), TopGap: plateGap}
	l.Leaf = d.num("tongue.leaf", clamp(0.05*l.Width, leastCast, 0.8))
	l.Fold = d.num("tongue.fold", math.Max(0.3, 0.5*l.Leaf))
	l.Mouth = l.FloorPlay + l.Plate.Thick + plateGap
	l.LipDepth = l.Engagement + l.TopGap
	d.share(l.Mouth)
	return nil
}

// slitEndPlay is the play that the heads need: pressed, their outer corners swing towards the lip by the turn of the tip, 1.5 d/L of a cantilever, times
// how far they stand outside the flank's middle.
func (d *deriver) slitEndPlay(length float64) float64 {
	l := d.l
	return math.Max(0.15, 1.2*1.5*l.Travel/length*(l.Leaf/2+l.Engagement)+0.05)
}

// slitPlays finds what is across.
func (d *deriver) slitPlays() error {
	l, s := d.l, d.l.Plate
	l.SidePlay = d.num("tongue.side_play", math.Min(0.07, 0.006*l.Length))
	l.NeckPlay = d.num("tongue.neck_play", math.Min(0.04, 0.006*l.Chamber))
	l.Chamfer, l.LipRoot, l.LipEntry = 0.10, 0.2, 0.25
	l.TabWidth = d.num("tab.width", slitTab)
	l.TabThickness = d.tabThickness()
	l.TabHeight = d.num("tab.height", l.Travel+0.4)
	s.Front = l.Chamber / 2
	s.Lip = s.Front - l.LipDepth
	s.Edge = s.Lip - l.SidePlay
	s.Tip = s.Lip + l.Engagement
	s.Tab = [2]float64{s.Lip - beyondTab - l.TabWidth, s.Lip - beyondTab}
	s.Head = s.Tab[0]
	s.Pad = s.Head - slitStop*l.Travel
	s.Spine = s.Edge - l.Leaf - 2*l.Fold
	s.Slot = [2]float64{s.Pad - slotPlay, s.Tab[1] + slotPlay}
	l.NotchWidth = s.Slot[1] - s.Slot[0]
	l.LowerWidth, l.UpperWidth = 2*s.Edge, 2*s.Tip
	d.opening()
	if least := math.Min(s.Pad, s.Spine); least < leastSpine {
		return &Refusal{Key: "chain.width", Say: fmt.Sprintf("%.4g mm leaves a spine of %.2f mm between the flanks of a slit tongue, at least %.1f mm", l.Width, math.Max(0, 2*least), 2*leastSpine),
			Nearest: fmt.Sprintf("chain.width of %.2f mm or more, thinner side walls, or a smaller tongue.leaf or tab.width", Up(l.Width+2*(leastSpine-least)))}
	}
	return nil
}

// slitPlaces puts everything where it stands.
func (d *deriver) slitPlaces() {
	l, s := d.l, d.l.Plate
	l.XTip = l.Lip + l.EndPlay
	l.XFold = l.XTip + l.Length
	l.XKnee = l.XFold - 0.45*l.Length
	l.XStep = l.XKnee + 0.2 - StepRun // the flanks rise from the knee on
	l.XFloor = l.Lip + frontFloor
	l.XRear = l.XFold + l.Fold + l.Leaf + l.FoldRoom
	l.XNeck = l.Lip - neckShort
	s.XHead = l.XTip + l.TabThickness + headOver
	s.XPad = s.XHead + padOver
	l.XPad = s.XPad
	l.XNotch = l.XTip + l.TabThickness + 0.5
	l.XWindow = l.XFold - 0.2 - l.WindowLength
	l.ZLip = l.Floor + l.Mouth
	l.ZFront = l.ZLip
	l.ZLeaf = l.Floor + l.FloorPlay
	l.ZUpper = l.ZLeaf + s.Thick
	l.ZTip, l.ZPad = l.ZUpper, l.ZUpper
	l.Stop = d.num("tongue.stop", slitStop*l.Travel)
	l.placeCore()
}

// checkSlit refuses what no slit tongue can have.
func (d *deriver) checkSlit() error {
	l, s := d.l, d.l.Plate
	for _, c := range []struct {
		bad       bool
		key, say  string
		remedy    string
		args, rem []any
	}{
		{l.LipSlope > 0, "lock.lip_slope", "%.4g degrees: the lips of a slit tongue stand square", "leave it out", []any{l.LipSlope}, nil},
		{l.XKnee < s.XPad+0.5, "tongue.length", "%.4g mm leaves no flank between head and knee", "at least %.2f mm", []any{l.Length}, []any{Up((s.XPad + 0.5 - l.XTip) / 0.55)}},
		{l.Taper*l.Leaf < 0.3, "tongue.taper", "%.4g leaves flanks of %.2f mm before the head", "at least %.2f", []any{l.Taper, l.Taper * l.Leaf}, []any{Up(0.3 / l.Leaf)}},
		{l.Fold < 0.5*l.Leaf-1e-9, "tongue.fold", "%.4g mm ends the slits in too tight a round for flanks of %.2f mm: stress gathers there, and more than is computed", "at least %.2f mm, or a thinner tongue.leaf", []any{l.Fold, l.Leaf}, []any{Up(0.5 * l.Leaf)}},
		{l.Length < 12*l.Leaf, "tongue.length", "%.4g mm is too short for flanks of %.2f mm to be springs", "at least %.2f mm", []any{l.Length, l.Leaf}, []any{Up(12 * l.Leaf)}},
		{l.Lip < neckShort+0.4, "lock.lip", "%.4g mm leaves no neck between the lips of a slit tongue", "at least %.2f mm", []any{l.Lip}, []any{neckShort + 0.4}},
		{l.Stock.Leaf+l.Stock.Shoulder > l.XTip-l.XNeck-leastSlot, "stock.leaf", "%.4g mm, with stock.shoulder, closes the slot between neck and heads", "at most %.2f mm", []any{l.Stock.Leaf}, []any{Down(max(0, l.XTip-l.XNeck-leastSlot-l.Stock.Shoulder))}},
		{l.Stock.Leaf > s.Edge-s.Pad-0.3 || 2*l.Stock.Leaf > s.Tip-s.Head, "stock.leaf", "%.4g mm is more than flank and slit can take", "at most %.2f mm", []any{l.Stock.Leaf}, []any{0.3}},
		{l.Stock.Tab > slotPlay/2+0.25, "stock.tab", "%.4g mm closes the slots for the tabs", "at most %.2f mm", []any{l.Stock.Tab}, []any{0.3}},
		{s.Slot[1] > s.Lip, "tab.width", "%.4g mm cuts into the lips", "a narrower tab", []any{l.TabWidth}, nil},
		{s.Slot[0] < 0.3, "tab.width", "%.4g mm leaves no face between the slots", "at most %.2f mm", []any{l.TabWidth}, []any{Down(l.TabWidth - 0.3 + s.Slot[0])}},
	} {
		if c.bad {
			return &Refusal{Key: c.key, Say: fmt.Sprintf(c.say, c.args...), Nearest: fmt.Sprintf(c.remedy, c.rem...)}
		}
	}
	return nil
}
