package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// mirrored is an outline in (x, y) that is alike on both sides of y = 0: half of it, from y = 0 at its far end round to y = 0 at its near
// end, and the same seen in the mirror. The first side of the half crosses y = 0, and so does the last.
func mirrored(half []solid.Side) []solid.Side {
	m := func(p r2.Vec) r2.Vec { return r2.Vec{X: p.X, Y: -p.Y} }
	out := append([]solid.Side(nil), half...)
	for i := len(half) - 2; i > 0; i-- {
		s := half[i]
		s.P, s.Q, s.Round = m(half[i].Q), m(half[i].P), half[i-1].Round
		out = append(out, s)
	}
	out[len(half)-1].Round = half[len(half)-2].Round
	out[len(out)-1].Round = half[0].Round
	return out
}

// slitTongue is the block, the plate and its two tabs.
func (l *Lock) slitTongue(s Stock) (*solid.Solid, error) {
	end, err := l.block(s)
	if err != nil {
		return nil, err
	}
	plate, err := l.plate(s)
	if err != nil {
		return nil, err
	}
	neck, err := l.slitNeck(s)
	if err != nil {
		return nil, err
	}
	parts := []*solid.Solid{end, plate, neck}
	for _, side := range []float64{1, -1} {
		tab, err := l.slitTab(s, side)
		if err != nil {
			return nil, err
		}
		parts = append(parts, tab)
	}
	return solid.Join(parts...), nil
}

// plate is neck, spine, the plate's end and both flanks in one outline seen from above.
func (l *Lock) plate(s Stock) (*solid.Solid, error) {
	ch, err := solid.Outline(mirrored(l.plateHalf(s))...)
	if err != nil {
		return nil, err
	}
	return l.flat(ch, s), nil
}

// slitNeck is the plate's neck, thickened to fill the mouth: what keeps the closed lock from rolling.
func (l *Lock) slitNeck(s Stock) (*solid.Solid, error) {
	y := l.Plate.Lip - l.NeckPlay
	ch, err := solid.Outline(
		line(l.anchored(), -y, l.XNeck, -y, s.Leaf, tagNeck), line(l.XNeck, -y, l.XNeck, y, s.Leaf, tagNeck),
		line(l.XNeck, y, l.anchored(), y, s.Leaf, tagNeck), line(l.anchored(), y, l.anchored(), -y, 0, tagHidden))
	if err != nil {
		return nil, err
	}
	return solid.New(solid.NewPrism(ch, l.Floor+l.NeckPlay-s.Leaf, l.ZLip-l.NeckPlay+s.Leaf, tagNeck), solid.Upright), nil
}

// flat is an outline in (x, y) as thick as the plate.
func (l *Lock) flat(ch solid.Chain, s Stock) *solid.Solid {
	return solid.New(solid.NewPrism(ch, l.ZLeaf-s.Leaf, l.ZUpper+s.Leaf, tagPlateFace), solid.Upright)
}

// Outside is how far from mid-width the outside of a relaxed flank stands at x.
func (l *Lock) Outside(x float64) float64 {
	p := l.Plate
	if x >= l.XKnee {
		return p.Edge
	}
	return p.Edge + (p.Tip-p.Edge)*(l.XKnee-x)/(l.XKnee-l.XTip)
}

// Inside is the same of its inside, up to the head.
func (l *Lock) Inside(x float64) float64 {
	in, at := l.Plate.Edge-l.Leaf, l.Plate.XHead
	if x >= l.XKnee {
		return in
	}
	return in + (l.Outside(at)-l.Taper*l.Leaf-in)*(l.XKnee-x)/(l.XKnee-at)
}

// plateHalf is the half at y > 0, from the plate's end round to the block.
func (l *Lock) plateHalf(s Stock) []solid.Side {
	p := l.Plate
	out, neck := l.Fold+l.Leaf, p.Lip-l.NeckPlay
	slope := (p.Tip - p.Edge) / (l.XKnee - l.XTip)
	chamfer := p.Tip - slope*l.Chamfer
	stop := math.Abs(p.Spine - p.Pad) // the spine's wide part ends in a slope of 45 degrees
	return []solid.Side{
		rounded(rising(l.XFold+out, 1, s.Window, tagFoldEnd), out+s.Leaf),
		level(p.Edge, -1, s.Leaf, tagLeafEdge),
		line(l.XKnee, p.Edge, l.XTip, p.Tip, s.Leaf, tagLeafEdge),
		line(l.XTip+l.Chamfer, chamfer, l.XTip, chamfer-l.Chamfer, chamferStock(s), tagShoulder),
		rising(l.XTip, -1, s.Shoulder, tagShoulder),
		level(p.Head, 1, 0, tagHairpin),
		rising(p.XHead, 1, 0, tagHairpin),
		line(p.XHead, l.Inside(p.XHead), l.XKnee, l.Inside(l.XKnee), 0, tagHairpin),
		rounded(level(l.Inside(l.XFold), 1, 0, tagHairpin), l.Fold),
		rounded(rising(l.XFold+l.Fold, -1, 0, tagHairpin), l.Fold),
		level(p.Spine, -1, 0, tagHairpin),
		line(p.XPad+stop, p.Spine, p.XPad, p.Pad, 0, tagHairpin),
		level(p.Pad, -1, 0, tagPadTop),
		rising(l.XNeck, 1, s.Leaf, tagNeck),
		level(neck, -1, s.Leaf, tagNeck),
		rising(l.anchored(), -1, 0, tagHidden),
	}
}

// slitTab is the tab on the head at one side (-1 is y < 0): eased at the top along and across.
func (l *Lock) slitTab(s Stock, side float64) (*solid.Solid, error) {
	p := l.Plate
	mid, half := side*(p.Tab[0]+p.Tab[1])/2, l.TabWidth/2
	low, top, rear, ease := (l.ZLeaf+l.ZUpper)/2, l.TabTop(), l.XTip+l.TabThickness, TabEase+s.Tab
	round := func(ch solid.Chain, err error, lo, hi float64, at solid.Pose) (*solid.Solid, error) {
		if err != nil {
			return nil, err
		}
		return solid.New(solid.NewPrism(ch, lo, hi, tagTab), at), nil
	}
	sides := func(a, b float64) []solid.Side {
		out := []solid.Side{line(a, low, b, low, 0, tagHidden), line(b, low, b, top, s.Tab, tagTab), line(b, top, a, top, s.Tab, tagTab), line(a, top, a, low, s.Tab, tagTab)}
		out[1].Round, out[2].Round = ease, ease
		return out
	}
	ch, err := solid.Outline(sides(l.XTip, rear)...)
	along, err := round(ch, err, -half-s.Tab, half+s.Tab, solid.AcrossY.At(r3.Vec{Y: mid}))
	if err != nil {
		return nil, err
	}
	ch, err = solid.Outline(sides(mid-half, mid+half)...)
	across, err := round(ch, err, l.XTip-beyond, rear+beyond, solid.AlongX)
	if err != nil {
		return nil, err
	}
	return solid.Common(along, across), nil
}

// slitChamber is the hollow seen from above: past the lips, along the wide front, down to the width of the mouth, to the end.
func (l *Lock) slitChamber(s Stock) (*solid.Solid, error) {
	p, in := l.Plate, -s.Chamber
	ch, err := solid.Outline(mirrored([]solid.Side{
		rising(l.XRear, 1, in, tagChamberEnd),
		level(p.Lip, -1, in, tagWall),
		line(l.XStep+StepRun, p.Lip, l.XStep, p.Front, in, tagStep),
		rounded(level(p.Front, -1, in, tagWall), l.LipRoot),
		rising(l.Lip, -1, 0, tagLipInner),
		rounded(level(p.Lip, -1, -s.Lip, tagLipUnder), l.LipEntry+s.Lip),
		rising(0, 1, -s.Lip, tagLipEntry),
		level(p.Lip+l.LipEntry, -1, 0, tagMeeting),
		rising(-beyond, -1, 0, tagHidden),
	})...)
	if err != nil {
		return nil, err
	}
	low := l.Floor + s.Chamber
	if l.Loose() {
		low = l.Floor
	}
	return solid.New(solid.NewPrism(ch, low, l.ZLip-s.Chamber, tagRoof).WithEnds(tagFloor, tagRoof), solid.Upright), nil
}

// slots are those in the face for the tabs, open to the front.
func (l *Lock) slots(s Stock) (out []*solid.Solid, err error) {
	a, b := l.Plate.Slot[0]+s.Tab, l.Plate.Slot[1]-s.Tab
	for _, side := range []float64{1, -1} {
		lo := r3.Vec{X: -beyond, Y: math.Min(side*a, side*b), Z: l.Floor + l.Mouth/2}
		hi := r3.Vec{X: l.XNotch - s.Tab, Y: math.Max(side*a, side*b), Z: l.Thickness + beyond}
		block, err := solid.NewBlock(lo, hi, tagNotch)
		if err != nil {
			return nil, err
		}
		out = append(out, solid.New(block, solid.Upright))
	}
	return out, nil
}
