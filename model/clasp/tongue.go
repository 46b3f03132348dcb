package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// Tongue builds the half that slides in, at a stage, its leaf relaxed, or as it is cast. With a leaf of strip the casting is block, neck and root pad alone.
func (l *Lock) Tongue(stage Stage) (*solid.Solid, error) {
	switch {
	case l.Rolled() && stage == Finished:
		return l.fixed()
	case l.Rolled():
		return l.Root(stage)
	case l.Slitted():
		return l.slitTongue(l.Stock.at(stage))
	}
	s := l.Stock.at(stage)
	end, err := l.block(s)
	if err != nil {
		return nil, err
	}
	lower, err := l.lower(s)
	if err != nil {
		return nil, err
	}
	o := l.openedAt(stage)
	upper, err := l.upper(s, o)
	if err != nil {
		return nil, err
	}
	tab, err := l.tab(s, o)
	if err != nil {
		return nil, err
	}
	return solid.Join(append([]*solid.Solid{end}, l.eachLeaf(lower, upper, tab)...)...), nil
}

// block is the block with its chain end.
func (l *Lock) block(s Stock) (*solid.Solid, error) {
	ch, err := l.profile(s.Face)
	if err != nil {
		return nil, err
	}
	back := -l.FaceGap - l.Block - s.Pad
	p := solid.NewPrism(ch, back, -l.FaceGap+s.Meeting, tagMeeting).WithEnds(tagPad, tagMeeting)
	marks, err := l.marks(s)
	if err != nil {
		return nil, err
	}
	return l.withEnd(solid.New(p, solid.AlongX), s, false, append(l.wrist(s), marks...)...)
}

// rootFillet is the radius where the root pad runs into the lower leaf, mm.
const rootFillet = 0.3

// neckPlayRamp is the length over which the pad's underside comes up to the leaf's, mm.
const neckPlayRamp = 0.2

// lower is neck, root pad and lower leaf in one outline, from inside the block to just before the fold.
func (l *Lock) lower(s Stock) (*solid.Solid, error) {
	under := l.Floor + l.NeckPlay
	top := l.ZLeaf + l.Leaf
	x := l.anchored()
	run := l.ZPad - top // the pad's slope is at 45 degrees
	return across(l.LowerWidth+2*s.Leaf, tagLeafEdge,
		level(under, 1, s.Leaf, tagNeck),
		line(l.XPad, under, l.XPad+neckPlayRamp, l.ZLeaf, s.Leaf, tagRootPad),
		level(l.ZLeaf, 1, s.Leaf, tagLowerLeaf),
		rising(l.handOver(s), 1, 0, tagHidden),
		rounded(level(top, -1, 0, tagHairpin), rootFillet),
		line(l.XPad, top, l.XPad-run, l.ZPad, 0, tagHairpin),
		level(l.ZPad, -1, s.Leaf, tagPadTop), // filed under the tip, to set how far the leaf may be pressed
		line(l.Lip, l.ZPad, l.XNeck, l.ZPad+l.Lip-l.XNeck, rampStock(s.Leaf, l.Lip-l.XNeck), tagNeck),
		rising(l.XNeck, 1, s.Leaf, tagNeck),
		level(l.ZLip-l.NeckPlay, -1, s.Leaf, tagNeck),
		rising(x, -1, 0, tagHidden),
	)
}

// anchored is how far the neck reaches back into the block.
func (l *Lock) anchored() float64 { return -l.FaceGap - math.Min(1, l.Block/2) }

// rampStock is what the ramp from pad to neck is moved out by. It stands at 45 degrees between two faces that move by the
// leaf's stock, and would be used up by much of that; it keeps a third of its run and takes more stock instead, mm.
func rampStock(leaf, run float64) float64 { return math.Max(leaf, (2*leaf-run*2/3)/math.Sqrt2) }

// mostLeafStock is the stock with which the casting still has a root pad: its top, 0.3 mm long at least when it moves out alone, loses as
// much as the ramp beside it moves along it, and keeps 0.05 mm.
func (l *Lock) mostLeafStock() float64 {
	room := l.XPad - l.Lip - (l.ZPad - l.ZLeaf - l.Leaf)
	return math.Min(room-0.3, math.Min((room-0.05)/math.Sqrt2, (room-0.05+(l.Lip-l.XNeck)*2/3)/2))
}

// lap is how far the fold's prism overlaps the lower leaf's, and how far before the fold's round that ends, mm.
const lap = 0.3

// handOver is where the lower leaf's prism ends. The fold's round begins at the fold's centre, or before it where the leaf has
// more stock than the fold's end; the two must not meet there, since surfaces that touch within rounding make slivers.
func (l *Lock) handOver(s Stock) float64 { return l.XFold + math.Min(0, s.Window-s.Leaf) - lap }

// upper is fold and upper leaf in one outline: the end of the lower leaf, round the fold, level, then rising to the tip,
// and back along the inside.
func (l *Lock) upper(s Stock, o opened) (*solid.Solid, error) {
	out := o.fold + l.Leaf
	top, under := l.ZUpper, l.ZUpper-l.Leaf
	slope := (l.ZTip - top) / (l.XKnee - l.XTip) // rise per mm towards the tip
	tipUnder, kneeUnder := l.underside()
	at := func(x float64) float64 { return top + slope*(l.XKnee-x) }
	return across(l.UpperWidth+2*s.Leaf, tagLeafEdge,
		rounded(level(l.ZLeaf, 1, s.Leaf, tagLowerLeaf), out+s.Leaf),
		rounded(rising(l.XFold+out, 1, o.endStock(s), tagFoldEnd), out+s.Leaf),
		o.side(level(top, -1, s.Leaf, tagUpperLeaf)),
		o.side(line(l.XKnee, top, l.XTip, l.ZTip, s.Leaf, tagUpperLeaf)),
		o.side(line(l.XTip+l.Chamfer, at(l.XTip+l.Chamfer), l.XTip, at(l.XTip+l.Chamfer)-l.Chamfer, chamferStock(s), tagShoulder)),
		o.side(rising(l.XTip, -1, s.Shoulder, tagShoulder)),
		o.side(line(tipUnder.X, tipUnder.Y, kneeUnder.X, kneeUnder.Y, 0, tagHairpin)),
		rounded(o.side(level(under, 1, 0, tagHairpin)), o.fold),
		rounded(rising(l.XFold+o.fold, -1, 0, tagHairpin), o.fold),
		level(l.ZLeaf+l.Leaf, -1, 0, tagHairpin),
		rising(l.handOver(s)-lap, -1, 0, tagHidden),
	)
}

// chamferStock is what the shoulder's chamfer is moved out by: the shoulder's stock, but no more than keeps a chamfer between
// tip and top when these have very different stock.
func chamferStock(s Stock) float64 { return math.Min(s.Shoulder, (s.Shoulder+s.Leaf)/math.Sqrt2) }

// TabEase is the radius of the tab's upper edges, mm: they meet the thumb.
const TabEase = 0.3

// tab is the thumb tab: one outline along the chain and one across, both eased at the top, in common. It begins at
// mid-thickness of the leaf.
func (l *Lock) tab(s Stock, o opened) (*solid.Solid, error) {
	top := l.TabTop()
	foot := func(x float64) float64 { // mid-thickness of the upper leaf
		k := (l.XKnee - x) / (l.XKnee - l.XTip)
		return l.ZUpper - l.Leaf/2 + k*(l.ZTip-l.Taper*l.Leaf/2-(l.ZUpper-l.Leaf/2))
	}
	rear, ease := l.XTip+l.TabThickness, TabEase+s.Tab
	along, err := across(l.TabWidth+2*s.Tab, tagTab,
		o.side(line(l.XTip, foot(l.XTip), rear, foot(rear), 0, tagHidden)),
		rounded(o.side(rising(rear, 1, s.Tab, tagTab)), ease),
		rounded(o.side(level(top, -1, s.Tab, tagTab)), ease),
		o.side(rising(l.XTip, -1, s.Tab, tagTab)),
	)
	if err != nil {
		return nil, err
	}
	w, low := l.TabWidth/2, l.ZUpper-2*l.Leaf
	side := func(ay, az, by, bz, round float64) solid.Side {
		return solid.Side{P: r2.Vec{X: ay, Y: az}, Q: r2.Vec{X: by, Y: bz}, Out: s.Tab, Round: round, Tag: tagTab}
	}
	ch, err := solid.Outline(side(-w, low, w, low, 0), side(w, low, w, top, ease), side(w, top, -w, top, ease), side(-w, top, -w, low, 0))
	if err != nil {
		return nil, err
	}
	cross := solid.New(solid.NewPrism(ch, l.XTip-beyond, rear+beyond, tagHidden), o.pose(solid.AlongX))
	return solid.Common(along, cross), nil
}
