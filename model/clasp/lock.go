package clasp

import (
	"math"

	"claspwright/params"
)

// Lock is every dimension of the finished lock, mm, in the frame of the closed lock: x along the chain from the plane
// where box and block meet, y across, z up from the underside.
type Lock struct {
	Width, Thickness float64 // of chain and lock
	Crown            float64 // radius of the crown, or of its middle arc; 0 flat
	CrownJoin        float64 // from mid-width to where flank arcs begin; 0 for one arc
	CrownFlank       float64 // radius of the flank arcs
	Underside        float64 // radius of the domed underside, 0 flat
	Hollow           float64 // radius to which the underside is hollowed along the chain, 0 straight
	HollowRise       float64 // how far it comes up below the chamber, at most
	Edge             float64 // radius of the eased long edges
	Metal            string  // "gold", "silver", "platinum", "palladium"

	Wall         float64 // side wall
	FloorWall    float64 // thickness of the floor at the chamber's corner
	Floor        float64 // height of the chamber's floor over the underside at mid-width
	Roof         float64 // roof at the chamber's corner, square to the crown
	RoofMid      float64 // roof over the front of the chamber, at mid-width
	Leaves       int     // side by side, 1 or 2; chamber, notch, window, leaf, tab and their plays are those of each
	Partition    float64 // wall between two chambers; 0 with one leaf
	Pitch        float64 // from the middle of one leaf to that of the other; 0 with one leaf
	Chamber      float64 // width of chamber, mouth and lip
	Lip          float64 // thickness of the lip along x
	LipDepth     float64 // lip's edge below the chamber's roof
	LipSlope     float64 // of the lip's inner face, degrees; the lip is thicker at its root
	LipRoot      float64 // fillet at the lip's root
	LipEntry     float64 // radius of the lip's outer edge
	Mouth        float64 // height of the mouth
	EndWall      float64
	BoxLength    float64
	Block        float64 // length of the block
	FaceGap      float64
	NotchWidth   float64
	FloorKind    string  // "window", "loose", "closed"
	WindowLength float64 // 0 without a window
	WindowWidth  float64
	FloorGap     float64   // for solder round a loose floor
	CoreHole     float64   // diameter of the bores that hold the caster's core
	XCoreHoles   []float64 // their axes, from the chamber's end forwards; none without

	Make       string  // of the tongue: "cast", "opened", "strip", "slit"
	Opening    float64 // by which the leaf is cast opened at the fold, radians; 0 unless it is
	Leaf       float64 // thickness at the fold, and of the lower leaf
	Taper      float64 // thickness at the tip over that at the fold
	Fold       float64 // inside radius
	Length     float64 // tip to fold
	Engagement float64
	Travel     float64 // the tip's way down that frees the shoulders
	Rise       float64 // mouth above the fold
	TopGap     float64
	FloorPlay  float64
	SidePlay   float64 // lower leaf, each side
	NeckPlay   float64
	EndPlay    float64
	FoldRoom   float64 // fold to end wall
	LowerWidth float64 // of lower leaf, root pad and neck
	UpperWidth float64 // of fold and upper leaf
	PadLength  float64 // root pad, from the neck's end
	Stop       float64 // height of the freed tip's underside, drawn straight, over the root pad
	Chamfer    float64 // at the shoulder's top

	TabWidth, TabThickness, TabHeight float64

	Fix                   string  // how a strip is held: "rivet", "laser", "solder"; "" for a cast leaf
	Rivet, RivetX, RivetY float64 // diameter, and where the two rivets stand, at +RivetY and -RivetY
	XSeat, SeatPlay, Toe  float64 // where the strip's seat begins, gap behind the strip there, height of the root pad's end over the strip
	TabBend               float64 // inside radius of the strip's bend into the tab
	Slit, XSlit           float64 // width of the saw cuts beside the tab, and where they end

	End                                    string  // "pad", "cradle", "lug"
	Wire, LinkAngle, LinkWidth, LinkLength float64 // the chain's links; the angle in degrees
	CradleSink, CradlePlay                 float64
	LugThickness, LugWall, LugHole         float64

	Plate *Plate // of a slit tongue; nil for a folded leaf

	Catch    Catch
	Mark     Mark     // letters on the block
	Hallmark Hallmark // the flat for the hallmark

	// Where things stand.
	XTip, XKnee, XFold, XRear, XStep  float64 // tip, bend of the upper leaf, fold's centre, chamber's end, step in the roof
	XNeck, XPad, XNotch               float64 // ends of neck, root pad and notch
	XWindow                           float64 // near end of the window; without one where the fold begins
	XFloor                            float64 // front of a loose floor
	ZCoreHole                         float64 // axes of the core holes
	ZLip, ZFront, ZLeaf, ZUpper, ZPad float64 // lip's edge, roof in front, leaf's underside, upper leaf's top, root pad's top
	ZTip                              float64 // top of the upper leaf, drawn on to the tip

	Stock    Stock
	Resolved []params.Resolved // every key that the lock used, in the order of use
}

// StepRun is how far the roof takes to come down from the front of the chamber to the rear, mm.
const StepRun = 0.6

// top is the crown.
func (l *Lock) top() Top { return Top{l.Crown, l.CrownJoin, l.CrownFlank} }

// Square is the direction square to the face at y from the middle, in (y, z).
func (l *Lock) Square(y float64) (dy, dz float64) { return l.top().Outward(y) }

// Shoulder is the width of the bearing on each side of the notch, mm.
func (l *Lock) Shoulder() float64 { return (l.UpperWidth - l.NotchWidth) / 2 }

// BearingWidth is the width over which both shoulders bear on the lip, mm.
func (l *Lock) BearingWidth() float64 {
	if l.Slitted() {
		return 2 * l.Plate.Thick
	}
	return l.UpperWidth - l.NotchWidth
}

// HeadLength is how long the metal behind the shoulders' face is that is sheared when the lock is pulled, mm: the leaf's tip, or the head of a flank.
func (l *Lock) HeadLength() float64 {
	if l.Slitted() {
		return l.Plate.XHead - l.XTip
	}
	return l.Taper * l.Leaf
}

// shoulderLean is how far a sloped lip stands towards the shoulders at the foot of their chamfer, mm.
func (l *Lock) shoulderLean() float64 {
	return max(0, l.Engagement-l.Chamfer) * math.Tan(l.LipSlope*math.Pi/180)
}

// LipLean is how much thicker the lip is at its root than at its edge, mm.
func (l *Lock) LipLean() float64 { return l.LipDepth * math.Tan(l.LipSlope*math.Pi/180) }
