package clasp

import (
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Box builds the hollow half at a stage.
func (l *Lock) Box(stage Stage) (*solid.Solid, error) {
	s := l.Stock.at(stage)
	front := -s.Meeting
	outer, err := l.boxBody(s, front)
	if err != nil {
		return nil, err
	}
	hollows, err := l.hollows(s)
	if err != nil {
		return nil, err
	}
	if l.Loose() {
		seat, err := l.seat(s)
		if err != nil {
			return nil, err
		}
		hollows = append(hollows, seat)
	}
	if l.FloorKind == "window" {
		window, err := l.window(s)
		if err != nil {
			return nil, err
		}
		hollows = append(hollows, l.eachLeaf(window)...)
	}
	hollows = append(hollows, l.coreHoles()...)
	return l.withEnd(outer, s, true, append(hollows, l.wrist(s)...)...)
}

// hollows are the chamber and the way of the tab into it.
func (l *Lock) hollows(s Stock) ([]*solid.Solid, error) {
	if l.Slitted() {
		chamber, err := l.slitChamber(s)
		if err != nil {
			return nil, err
		}
		slots, err := l.slots(s)
		return append(slots, chamber), err
	}
	chamber, err := l.chamber(s)
	if err != nil {
		return nil, err
	}
	notch, err := l.notch(s)
	return l.eachLeaf(chamber, notch), err
}

func (l *Lock) boxBody(s Stock, front float64) (*solid.Solid, error) {
	ch, err := l.profile(s.Face)
	if err != nil {
		return nil, err
	}
	p := solid.NewPrism(ch, front, l.BoxLength+s.Pad, tagMeeting).WithEnds(tagMeeting, tagPad)
	return solid.New(p, solid.AlongX), nil
}

// beyond is how far a tool reaches past the metal that it cuts, mm.
const beyond = 2.0

// chamber is the hollow, mouth and chamber in one outline: along the floor to the end, up, back under the roof, down
// the step's slope reversed, to the lip, down its inner face, out under it and round its entry.
func (l *Lock) chamber(s Stock) (*solid.Solid, error) {
	in := -s.Chamber
	inner := rising(l.Lip, -1, 0, tagLipInner)
	if l.LipSlope > 0 {
		inner = line(l.Lip+l.LipLean(), l.ZFront, l.Lip, l.ZLip, 0, tagLipInner)
	}
	floor := []solid.Side{level(l.Floor, 1, in, tagFloor)}
	if l.Loose() { // open below, behind the front's own floor
		floor = append(floor, rising(l.seatFront(s), -1, 0, tagFloorSeat), level(-beyond, 1, 0, tagHidden))
	}
	entry := rounded(level(l.ZLip, -1, -s.Lip, tagLipUnder), l.LipEntry+s.Lip)
	return across(l.Chamber-2*s.Chamber, tagWall, append(floor,
		rising(l.XRear, 1, in, tagChamberEnd),
		level(l.ZLip, -1, in, tagRoof),
		line(l.XStep+StepRun, l.ZLip, l.XStep, l.ZFront, in, tagStep),
		rounded(level(l.ZFront, -1, in, tagRoof), l.LipRoot),
		inner,
		entry,
		rising(0, 1, -s.Lip, tagLipEntry),
		level(l.ZLip+l.LipEntry, -1, 0, tagMeeting),
		rising(-beyond, -1, 0, tagHidden),
	)...)
}

// notch is the slot for the thumb tab, open to the front and through the face.
func (l *Lock) notch(s Stock) (*solid.Solid, error) {
	w := l.NotchWidth/2 - s.Tab
	lo := r3.Vec{X: -beyond, Y: -w, Z: l.Floor + l.Mouth/2}
	hi := r3.Vec{X: l.XNotch - s.Tab, Y: w, Z: l.Thickness + beyond}
	b, err := solid.NewBlock(lo, hi, tagNotch)
	if err != nil {
		return nil, err
	}
	return solid.New(b, solid.Upright), nil
}

// windowCorner is the radius of the window's corners, mm: what a small round file leaves.
const windowCorner = 0.4

// window is the opening in the floor near the fold.
func (l *Lock) window(s Stock) (*solid.Solid, error) {
	ch, err := plateOutline(l.XWindow+s.Window, l.XWindow+l.WindowLength-s.Window, l.WindowWidth/2-s.Window, max(windowCorner-s.Window, 0), tagWindow)
	if err != nil {
		return nil, err
	}
	return solid.New(solid.NewPrism(ch, -beyond, l.Floor+l.FloorPlay, tagHidden), solid.Upright), nil
}
