package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// Root is what is cast for a leaf of strip: block, neck and root pad with the seat, which is open below, behind and at both sides, so
// that one flat file makes it true. It is deep enough for the strip's underside to lie where a cast lower leaf's would.
// Rivet holes are not cast, but drilled through strip and pad together, so that they meet.
func (l *Lock) Root(stage Stage) (*solid.Solid, error) {
	s := l.Stock.at(stage)
	end, err := l.block(s)
	if err != nil {
		return nil, err
	}
	pad, err := l.seated(s)
	if err != nil {
		return nil, err
	}
	return solid.Join(end, pad), nil
}

// seated is neck and root pad in one outline. The pad ends in a blunt toe over the strip.
func (l *Lock) seated(s Stock) (*solid.Solid, error) {
	top := l.ZLeaf + l.Leaf
	return across(l.LowerWidth+2*s.Leaf, tagLeafEdge,
		level(l.Floor+l.NeckPlay, 1, s.Leaf, tagNeck),
		rising(l.XSeat, 1, s.Leaf, tagSeatEnd),
		level(top, 1, s.Leaf, tagSeat),
		rising(l.XPad-l.Toe, 1, 0, tagPadEnd),
		line(l.XPad, top, l.XPad-(l.ZPad-top), l.ZPad, 0, tagHairpin),
		level(l.ZPad, -1, s.Leaf, tagPadTop),
		line(l.Lip, l.ZPad, l.XNeck, l.ZPad+l.Lip-l.XNeck, rampStock(s.Leaf, l.Lip-l.XNeck), tagNeck),
		rising(l.XNeck, 1, s.Leaf, tagNeck),
		level(l.ZLip-l.NeckPlay, -1, s.Leaf, tagNeck),
		rising(l.anchored(), -1, 0, tagHidden),
	)
}

// Strip is the leaf of rolled strip, folded, as it lies in its seat: lower leaf, fold, upper leaf, shoulders and thumb tab.
func (l *Lock) Strip() (*solid.Solid, error) {
	lower, err := l.lowerStrip(l.handOver(Stock{}))
	if err != nil {
		return nil, err
	}
	upper, err := l.slitUpper()
	if err != nil {
		return nil, err
	}
	tab, err := l.bentTab()
	if err != nil {
		return nil, err
	}
	return solid.Join(lower, upper, tab), nil
}

// lowerStrip is the lower leaf from its seat to x.
func (l *Lock) lowerStrip(to float64) (*solid.Solid, error) {
	return across(l.LowerWidth, tagLeafEdge,
		level(l.ZLeaf, 1, 0, tagLowerLeaf),
		rising(to, 1, 0, tagHidden),
		level(l.ZLeaf+l.Leaf, -1, 0, tagHairpin),
		rising(l.XSeat+l.SeatPlay, -1, 0, tagStripEnd),
	)
}

// slitUpper is fold and upper leaf less what the saw takes beside the tab, and the tab itself.
func (l *Lock) slitUpper() (*solid.Solid, error) {
	upper, err := l.upper(Stock{}, l.openedAt(Finished))
	if err != nil {
		return nil, err
	}
	sin, cos := math.Sincos(l.Climb())
	top := l.ZTip - (l.XSlit-l.XTip)*sin/cos
	saw, err := across(l.NotchWidth, tagSlit,
		level(l.ZUpper-l.Leaf-l.Fold, 1, 0, tagHidden),
		line(l.XSlit, top, l.XSlit+sin, top+cos, 0, tagSlit), // square to the leaf
		level(l.ZTip+beyond, -1, 0, tagHidden),
		rising(l.XTip-beyond, -1, 0, tagHidden),
	)
	if err != nil {
		return nil, err
	}
	return solid.Cut(upper, saw), nil
}

// Climb is the angle by which the upper leaf rises towards the tip, rad.
func (l *Lock) Climb() float64 { return math.Atan((l.ZTip - l.ZUpper) / (l.XKnee - l.XTip)) }

// underside of the rising upper leaf: two places that it runs through, at the tip and at its bend. Rolled strip has its thickness square to
// the leaf, a cast one is drawn upright.
func (l *Lock) underside() (tip, knee r2.Vec) {
	tip, knee = r2.Vec{X: l.XTip, Y: l.ZTip - l.Taper*l.Leaf}, r2.Vec{X: l.XKnee, Y: l.ZUpper - l.Leaf}
	if l.Rolled() {
		a := l.Climb()
		tip.Y = l.ZTip - l.Taper*l.Leaf/math.Cos(a)
		knee.X -= l.Leaf * math.Tan(a/2)
	}
	return tip, knee
}

// bentTab is the thumb tab, the middle of the tip bent up between two saw cuts, with what of the upper leaf lies between these.
func (l *Lock) bentTab() (*solid.Solid, error) {
	top := l.TabTop()
	tip, knee := l.underside()
	ease := 0.45 * l.TabThickness
	along, err := across(l.TabWidth, tagTab,
		line(tip.X, tip.Y, knee.X, knee.Y, 0, tagHairpin),
		rising(l.XSlit+lap, 1, 0, tagHidden),
		rounded(line(l.XKnee, l.ZUpper, l.XTip, l.ZTip, 0, tagUpperLeaf), l.TabBend),
		rounded(rising(l.XTip+l.TabThickness, 1, 0, tagTab), ease),
		rounded(level(top, -1, 0, tagTab), ease),
		rounded(rising(l.XTip, -1, 0, tagTab), l.TabBend+l.TabThickness),
	)
	if err != nil {
		return nil, err
	}
	w, low := l.TabWidth/2, l.ZUpper-2*l.Leaf
	side := func(ay, az, by, bz, round float64) solid.Side {
		return solid.Side{P: r2.Vec{X: ay, Y: az}, Q: r2.Vec{X: by, Y: bz}, Round: round, Tag: tagTab}
	}
	ch, err := solid.Outline(side(-w, low, w, low, 0), side(w, low, w, top, TabEase), side(w, top, -w, top, TabEase), side(-w, top, -w, low, 0))
	if err != nil {
		return nil, err
	}
	cross := solid.New(solid.NewPrism(ch, l.XTip-beyond, l.XSlit+beyond, tagHidden), solid.AlongX)
	return solid.Common(along, cross), nil
}

// joint is the metal where strip and pad are one in the finished tongue: it stands for rivets, seam or solder. It lies in both, flush with
// their sides, and bridges the upper half of the gap behind the strip.
func (l *Lock) joint() (*solid.Solid, error) {
	top := l.ZLeaf + l.Leaf
	return across(l.LowerWidth, tagLeafEdge,
		level(top-l.Leaf/2, 1, 0, tagHidden),
		rising(l.XPad-l.Toe, 1, 0, tagPadEnd),
		level(top+math.Min(0.1, l.Toe/2), -1, 0, tagHidden),
		rising(l.XSeat-0.05, -1, 0, tagHidden),
	)
}

// fixed is the finished tongue: the cast root with the strip fixed to it.
func (l *Lock) fixed() (*solid.Solid, error) {
	leaf, err := l.Strip()
	if err != nil {
		return nil, err
	}
	return l.onRoot(leaf)
}

// heldStrip is the root with the beginning of the strip.
func (l *Lock) heldStrip() (*solid.Solid, error) {
	leaf, err := l.lowerStrip(l.LeafFrom())
	if err != nil {
		return nil, err
	}
	return l.onRoot(leaf)
}

func (l *Lock) onRoot(leaf *solid.Solid) (*solid.Solid, error) {
	root, err := l.Root(Finished)
	if err != nil {
		return nil, err
	}
	joint, err := l.joint()
	if err != nil {
		return nil, err
	}
	return solid.Join(root, leaf, joint), nil
}
