package fit

import "math"

// Lock is what the fit of a box lock depends on: finished dimensions, mm, in the frame of the closed lock: x along the chain from the
// plane where box and block meet, y across, z up from the underside.
type Lock struct {
	Chamber, LowerWidth, UpperWidth float64 // widths of chamber, lower leaf, upper leaf
	NotchWidth, TabWidth            float64
	Pitch                           float64 // from the middle of one leaf to that of a second beside it, each in its own chamber; 0 for one leaf

	Floor  float64 // top of the floor
	ZLip   float64 // lip's underside
	ZFront float64 // roof over the front of the chamber
	ZLeaf  float64 // lower leaf's underside
	ZUpper float64 // upper leaf's top at the fold
	ZTip   float64 // upper leaf's top at the shoulders
	ZPad   float64 // root pad's top

	Lip     float64 // thickness of the lip along x
	FaceGap float64 // between box and block, as drawn
	XTip    float64 // rear of the shoulders
	XFold   float64 // centre of the fold
	XKnee   float64 // where the upper leaf begins to rise
	XPad    float64 // rear end of the root pad
	XRear   float64 // end of the chamber

	Leaf, Taper, Fold float64 // thickness of the leaf at the fold; of it the tip has this part; inside radius of the fold
	NeckPlay          float64 // above the neck, and below
	Travel            float64 // of the tip, to free the shoulders

	Stock Stock
}

// Stock is the metal left on for filing, mm, by kind of surface.
type Stock struct {
	Meeting  float64 // the faces where box and block meet
	Leaf     float64 // outside and edges of the leaf, neck
	Shoulder float64 // rear of the shoulders
	Lip      float64 // underside of the lip
	Chamber  float64 // floor, roof, walls and end of the chamber
	Tab      float64 // thumb tab and notch
	Window   float64 // end of the fold
}

// Process is how well the pattern is printed, the casting cast and the fit filed.
type Process struct {
	Grade   int     // of the casting, DCTG of ISO 8062-3, 1 to 10
	Casting Kind    // shape of the casting's error within the grade
	Print   Spread  // error of each printed dimension
	Left    Spread  // of the stock as found on each surface
	Filing  Spread  // how far a file misses on each surface
	Spare   float64 // metal that may go beyond the finished size where a wall can bear it, mm
	Thin    float64 // the same on the leaf's thickness, mm: force and stress of the spring follow it
}

// UsualProcess is a good caster and a practised bench: DCTG 4, the finer end of what investment castings are quoted at (ISO
// 8062-3:2007); the rest is common practice, no source. ISO's grades are for castings from a tool, so the print comes on top.
func UsualProcess() Process {
	return Process{Grade: 4, Casting: Normal, Print: Spread{Kind: Uniform, Half: 0.025}, Left: Spread{Kind: Uniform, Half: 0.02},
		Filing: Spread{Kind: Normal, Half: 0.02}, Spare: 0.10, Thin: 0.03}
}

// What a box lock must keep, as the findings of the finished lock have it. Common practice, no source, but where a line
// says otherwise.
const (
	leastSide       = 0.02 // lower or upper leaf to side wall, each side, mm
	leastTab        = 0.05 // tab to notch, each side, mm
	leastFloor      = 0.02 // leaf to floor, mm
	leastNeck       = 0.01 // neck, above and below, mm
	leastFaceGap    = 0.02 // mm
	leastEngagement = 0.4  // mm
	mostEngagement  = 0.7  // mm: beyond it the tab has not the height to press so far
	leastTop        = 0.02 // leaf to roof, mm: less and the leaf does not spring up all the way
	mostTop         = 0.15 // mm: the roof must catch the leaf when the chain pulls
	leastFoldRoom   = 0.2  // fold to end wall, mm
	pastLip         = 0.10 // travel beyond the engagement, mm
	pastTravel      = 0.05 // way to the stop beyond the travel, mm
	moreGap         = 0.10 // what a chain's pull may open the faces by beyond end play and face gap as drawn, mm
	foldRise        = 0.18 // of the travel: the fold rises by so much as the tab is pressed, by a plane frame of the leaf
	swingMargin     = 0.03 // end play beyond the tip's swing, mm
	mostYaw         = 0.7  // free turn, degrees; so roll
	mostNoseUp      = 0.9
	mostNoseDown    = 1.75
)

// Standard is the stack of a box lock. The closed lock is held as drawn: the neck stands its play over the floor, the faces the
// face gap apart. Its lists may be changed before they are used. It fails when a dimension is beyond the table of casting
// tolerances.
//
// The halves are loose along the chain, so face gap and end play are one sum: "end play" counts with the faces as drawn, "gap
// when the chain pulls" with the shoulders on the lip.
func Standard(l Lock, p Process) (Stack, error) {
	s := Stack{Surfaces: surfaces(l, p), Clearances: clearances(l)}
	for _, d := range lengths(l) {
		grade := p.Grade
		if d.wall {
			grade = min(grade+1, CoarsestGrade)
		}
		t, err := CastingTolerance(grade, max(math.Abs(d.nominal), leastLength))
		if err != nil {
			return Stack{}, err
		}
		s.Dimensions = append(s.Dimensions, Dimension{Name: d.name, Nominal: d.nominal, Faces: d.faces,
			Casting: Spread{Kind: p.Casting, Half: t / 2}, Print: p.Print})
	}
	return s, s.Validate()
}

// leastLength stands for steps that are drawn as 0, mm: they have the tolerance of the shortest lengths.
const leastLength = 1e-3

// The surfaces of the standard stack.
const (
	walls    = "chamber walls"
	floor    = "chamber floor"
	roof     = "roof in front"
	rearRoof = "roof over the fold"
	end      = "chamber end"
	lipUnder = "lip, underside"
	lipInner = "lip, inner face"
	boxFace  = "box, meeting face"
	notch    = "notch sides"
	block    = "block, meeting face"
	lowEdges = "lower leaf, edges"
	upEdges  = "upper leaf, edges"
	leafLow  = "lower leaf, underside"
	leafTip  = "upper leaf, top at the shoulders"
	leafFold = "upper leaf, top at the fold"
	foldEnd  = "fold, end"
	neckTop  = "neck, top"
	neckLow  = "neck, underside"
	shoulder = "shoulders, rear"
	tabSides = "tab sides"
	padTop   = "root pad, top"
	inside   = "inside of the leaf"
)

// surfaces lists who bounds what. Efforts are common practice, no source: the leaf lies open, the chamber is deep;
// they differ a little so that no two ways cost the same. the pad's top takes a
// thin file, under the tip. Lip's inner face and the inside of the leaf stay as cast.
func surfaces(l Lock, p Process) []Surface {
	s := l.Stock
	filed := func(name string, stock, spare, effort float64) Surface {
		left := p.Left
		left.Half = min(left.Half, stock)
		return Surface{Name: name, Stock: stock, Spare: spare, Filable: true, Effort: effort, Left: left, Filing: p.Filing}
	}
	all := []Surface{
		filed(walls, s.Chamber, p.Spare, 4.3),
		filed(floor, s.Chamber, p.Spare, 6.1),
		filed(roof, s.Chamber, p.Spare, 5.7),
		filed(rearRoof, s.Chamber, p.Spare, 7.9),
		filed(end, s.Chamber, p.Spare, 8.3),
		filed(lipUnder, s.Lip, p.Spare, 3.2),
		{Name: lipInner},
		filed(boxFace, s.Meeting, p.Spare, 2.1),
		filed(notch, s.Tab, p.Spare, 1.9),
		filed(block, s.Meeting, p.Spare, 2),
		filed(lowEdges, s.Leaf, p.Spare, 1.03),
		filed(upEdges, s.Leaf, p.Spare, 0.97),
		filed(leafLow, s.Leaf, p.Thin, 1.55),
		filed(leafTip, s.Leaf, p.Thin, 1.07),
		filed(leafFold, s.Leaf, p.Thin, 0.93),
		filed(foldEnd, s.Window, p.Thin, 1.45),
		filed(neckTop, s.Leaf, p.Spare, 1.01),
		filed(neckLow, s.Leaf, p.Spare, 1.27),
		filed(shoulder, s.Shoulder, p.Spare, 1.13),
		filed(tabSides, s.Tab, p.Spare, 0.99),
		filed(padTop, s.Leaf, p.Spare, 3.4),
		{Name: inside},
	}
	if l.double() {
		for _, w := range beside(l) {
			for _, n := range []string{w.hollow, w.solid} {
				if f := named(all, n); !hasSurface(all, inner(n)) {
					f.Name, f.Effort = inner(n), 1.1*f.Effort // further in
					all = append(all, f)
				}
			}
		}
	}
	return all
}

// The dimensions of the standard stack.
const (
	chamberWidth   = "chamber width"
	lowerWidth     = "lower leaf width"
	upperWidth     = "upper leaf width"
	notchWidth     = "notch width"
	tabWidth       = "tab width"
	mouthHeight    = "mouth height"
	lipDepth       = "lip depth"
	rearHeight     = "chamber height over the fold"
	neckHeight     = "neck height"
	leafStep       = "leaf above the neck's underside"
	shoulderHeight = "shoulder height over the neck's underside"
	foldHeight     = "fold height over the neck's underside"
	padSlot        = "upper leaf over the root pad"
	lipThickness   = "lip thickness"
	blockSlot      = "block to shoulders"
	chamberDepth   = "chamber depth"
	tongueLength   = "tongue length to the fold"
)

// length is a dimension before its tolerance is looked up. Walls have one grade more (ISO 8062-3, from memory).
type length struct {
	name    string
	nominal float64
	wall    bool
	faces   []Face
}

// lengths lists the dimensions of the standard stack. A hollow grows as its surfaces lose metal, a solid shrinks; a step grows
// with metal on the one side and shrinks with metal on the other.
func lengths(l Lock) []length {
	neckLowZ := l.Floor + l.NeckPlay
	return append(l.widths(), []length{
		{name: mouthHeight, nominal: l.ZLip - l.Floor, faces: []Face{{floor, -1}, {lipUnder, -1}}},
		{name: lipDepth, nominal: l.ZFront - l.ZLip, faces: []Face{{lipUnder, 1}, {roof, -1}}},
		{name: rearHeight, nominal: l.ZLip - l.Floor, faces: []Face{{floor, -1}, {rearRoof, -1}}},
		{name: neckHeight, nominal: l.ZLip - l.Floor - 2*l.NeckPlay, faces: []Face{{neckTop, 1}, {neckLow, 1}}},
		{name: leafStep, nominal: l.ZLeaf - neckLowZ, faces: []Face{{neckLow, 1}, {leafLow, -1}}},
		{name: shoulderHeight, nominal: l.ZTip - neckLowZ, faces: []Face{{neckLow, 1}, {leafTip, 1}}},
		{name: foldHeight, nominal: l.ZUpper - neckLowZ, faces: []Face{{neckLow, 1}, {leafFold, 1}}},
		{name: padSlot, nominal: l.padGap(), faces: []Face{{padTop, -1}, {inside, -1}}},
		{name: lipThickness, nominal: l.Lip, wall: true, faces: []Face{{boxFace, 1}, {lipInner, 1}}},
		{name: blockSlot, nominal: l.XTip + l.FaceGap, faces: []Face{{block, -1}, {shoulder, -1}}},
		{name: chamberDepth, nominal: l.XRear, faces: []Face{{boxFace, 1}, {end, -1}}},
		{name: tongueLength, nominal: l.foldEnd() + l.FaceGap, faces: []Face{{block, -1}, {foldEnd, 1}}},
	}...)
}

// foldEnd is how far the fold reaches, mm.
func (l Lock) foldEnd() float64 { return l.XFold + l.Fold + l.Leaf }

// padEdge is where the upper leaf meets the root pad when it is pressed: the rear edge of its top, before a slope at 45 degrees.
func (l Lock) padEdge() float64 { return l.XPad - (l.ZPad - l.ZLeaf - l.Leaf) }

// padGap is from there to the upper leaf's underside, mm.
func (l Lock) padGap() float64 {
	tip, knee := l.ZTip-l.Taper*l.Leaf, l.ZUpper-l.Leaf
	k := (l.padEdge() - l.XTip) / (l.XKnee - l.XTip)
	return tip + k*(knee-tip) - l.ZPad
}

// lever is how far the tip goes for each mm of the leaf over the pad, the leaf taken as stiff and turning about the fold.
func (l Lock) lever() float64 { return (l.XFold - l.XTip) / (l.XFold - l.padEdge()) }

// tipSwing is how far the tip moves towards the lip when it is pressed by the travel: 0.9 d (2t + 2r + g + c)/L, from a plane
// frame of the whole leaf. 2t + 2r + g + c is what the tip stands above the lower leaf's underside.
func (l Lock) tipSwing() float64 { return 0.9 * l.Travel * (l.ZTip - l.ZLeaf) / (l.XFold - l.XTip) }

// turn is the play at arm mm that lets a half turn by deg degrees.
func turn(deg, arm float64) float64 { return math.Tan(deg*math.Pi/180) * arm }

// clearances lists what must fit. The aim is the dimension as drawn.
func clearances(l Lock) []Clearance {
	reach := l.foldEnd()
	engagement := difference(1, shoulderHeight, mouthHeight)
	neck := difference(0.5, mouthHeight, neckHeight)
	leaf := one(leafStep)
	headroom := difference(1, rearHeight, foldHeight)
	inf := math.Inf(1)
	cs := append(l.sideways(turn(mostYaw, reach)/2), []Clearance{
		{Name: "neck play", Terms: neck, Least: leastNeck, Most: turn(mostYaw, l.Pitch+l.LowerWidth) / 2},
		{Name: "floor play", Const: l.NeckPlay, Terms: leaf, Least: leastFloor, Most: inf},
		{Name: "engagement", Const: l.NeckPlay, Terms: engagement, Least: leastEngagement, Most: mostEngagement},
		{Name: "top gap", Const: -l.NeckPlay, Terms: join(one(lipDepth), times(-1, engagement)), Least: leastTop, Most: mostTop},
		{Name: "room over the fold", Const: -l.NeckPlay, Terms: headroom, Least: foldRise * l.Travel, Most: inf},
		{Name: "way to the stop, past the lip", Const: -l.NeckPlay, Terms: join([]Term{{padSlot, l.lever()}}, times(-1, engagement)),
			Least: pastLip + pastTravel, Most: inf},
		{Name: "nose up: neck and floor play", Const: l.NeckPlay, Terms: join(neck, leaf), Least: math.Inf(-1), Most: turn(mostNoseUp, reach)},
		{Name: "nose down: neck play and room over the fold", Const: -l.NeckPlay, Terms: join(neck, headroom), Least: math.Inf(-1), Most: turn(mostNoseDown, reach)},
		{Name: "end play", Const: -l.FaceGap, Terms: difference(1, blockSlot, lipThickness), Least: l.tipSwing() + swingMargin, Most: inf},
		{Name: "gap when the chain pulls", Terms: difference(1, blockSlot, lipThickness), Least: leastFaceGap, Most: l.XTip - l.Lip + l.FaceGap + moreGap},
		{Name: "fold to end wall", Const: l.FaceGap, Terms: difference(1, chamberDepth, tongueLength), Least: leastFoldRoom, Most: inf},
	}...)
	aim(cs, lengths(l))
	return cs
}

// aim sets each clearance's aim to what is drawn, kept within the limits.
func aim(cs []Clearance, ds []length) {
	nominal := map[string]float64{}
	for _, d := range ds {
		nominal[d.name] = d.nominal
	}
	for i := range cs {
		c := &cs[i]
		c.Aim = c.Const
		for _, t := range c.Terms {
			c.Aim += t.Times * nominal[t.Dimension]
		}
		c.Aim = min(max(c.Aim, c.Least), c.Most)
	}
}

// one is a dimension as it is, difference k times one less another.
func one(name string) []Term { return []Term{{name, 1}} }

func difference(k float64, a, b string) []Term { return []Term{{a, k}, {b, -k}} }

func times(k float64, ts []Term) []Term {
	out := make([]Term, len(ts))
	for i, t := range ts {
		out[i] = Term{t.Dimension, k * t.Times}
	}
	return out
}

func join(a, b []Term) []Term { return append(append([]Term{}, a...), b...) }
