package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Measure is a dimension of a casting that a caliper reaches: the distance of two faces along an axis, by name.
type Measure struct {
	Name string // "box.width"
	Say  string // where to put the caliper
	Part string // PartBox or PartTongue
	Axis int    // 0 along the chain, 1 across, 2 through the thickness
	From End    // the end of lesser coordinate
	To   End
}

// End is a point on one of the two faces of a measure, as finished.
type End struct {
	At   r3.Vec
	Kind string  // of stock on the face, "" for none
	Out  float64 // way in which stock moves the face along the axis, 1 or -1
}

// Finished is the measure of the finished lock, mm.
func (m Measure) Finished() float64 {
	return coordinate(m.To.At, m.Axis) - coordinate(m.From.At, m.Axis)
}

// Cast is the measure with a stock on, mm.
func (m Measure) Cast(s Stock) float64 {
	v := m.Finished()
	for kind, n := range m.Faces() {
		v += n * s.kind(kind)
	}
	return v
}

// Faces says by how many stocks of each kind the casting's measure is greater than the finished one; negative for a hollow.
func (m Measure) Faces() map[string]float64 {
	out := map[string]float64{}
	if m.To.Kind != "" {
		out[m.To.Kind] += m.To.Out
	}
	if m.From.Kind != "" {
		out[m.From.Kind] -= m.From.Out
	}
	for k, n := range out {
		if n == 0 {
			delete(out, k)
		}
	}
	return out
}

// kind is the stock of a kind of surface, mm.
func (s Stock) kind(k string) float64 {
	return map[string]float64{"face": s.Face, "pad": s.Pad, "meeting": s.Meeting, "leaf": s.Leaf, "shoulder": s.Shoulder,
		"lip": s.Lip, "chamber": s.Chamber, "tab": s.Tab, "window": s.Window}[k]
}

func coordinate(v r3.Vec, axis int) float64 { return [3]float64{v.X, v.Y, v.Z}[axis] }

// along moves a point along an axis.
func along(v r3.Vec, axis int, by float64) r3.Vec {
	switch axis {
	case 0:
		v.X += by
	case 1:
		v.Y += by
	default:
		v.Z += by
	}
	return v
}

// Measures lists what can be measured on this lock's castings. Each is tried on the solids: where the ends do not lie on
// faces of the casting, as where a cradle or a hollow takes the place, the measure is left out.
func (l *Lock) Measures() ([]Measure, error) {
	var out []Measure
	cast := map[string]*solid.Solid{}
	for _, part := range []string{PartBox, PartTongue} {
		s, err := l.Build(part, Casting)
		if err != nil {
			return nil, err
		}
		cast[part] = s
	}
	taken := map[string]bool{}
	for _, m := range append(l.boxMeasures(), l.tongueMeasures()...) {
		if !taken[m.Name] && m.lies(cast[m.Part], l.Stock) {
			taken[m.Name] = true
			out = append(out, m)
		}
	}
	return out, nil
}

// lies says whether both ends lie on faces of the casting that look along the axis.
func (m Measure) lies(s *solid.Solid, stock Stock) bool {
	return m.From.lies(s, m.Axis, stock) && m.To.lies(s, m.Axis, stock) && m.Cast(stock) > 0.3
}

func (e End) lies(s *solid.Solid, axis int, stock Stock) bool {
	const aside, tight = 0.05, 1e-6
	p := along(e.At, axis, e.Out*stock.kind(e.Kind))
	if math.Abs(s.Eval(p)) > tight {
		return false
	}
	// a little outwards the field is the distance, if the face looks along the axis and no edge is near
	return math.Abs(s.Eval(along(p, axis, e.Out*aside))-aside) < tight && s.Eval(along(p, axis, -e.Out*aside)) < -tight
}

// measure makes one; from and to are on faces that look along the axis away from the metal by the ways of out.
func measure(part, name, say string, axis int, from, to End) Measure {
	return Measure{Name: part + "." + name, Say: say, Part: part, Axis: axis, From: from, To: to}
}

// outside is a measure over metal along a line through a point, from lo to hi; inside is one of a hollow.
func outside(part, name, say string, axis int, at r3.Vec, lo, hi float64, loKind, hiKind string) Measure {
	zero := along(at, axis, -coordinate(at, axis))
	return measure(part, name, say, axis, End{along(zero, axis, lo), loKind, -1}, End{along(zero, axis, hi), hiKind, 1})
}

func inside(part, name, say string, axis int, at r3.Vec, lo, hi float64, loKind, hiKind string) Measure {
	m := outside(part, name, say, axis, at, lo, hi, loKind, hiKind)
	m.From.Out, m.To.Out = 1, -1
	return m
}

// sideMid is the middle of the straight part of a side.
func (l *Lock) sideMid() float64 {
	low, high := l.sideHeights()
	return (low + high) / 2
}

// boxMeasures are those of the box; of one name the first that lies on the casting counts.
func (l *Lock) boxMeasures() (out []Measure) {
	w, mid, mouth := l.Width/2, l.sideMid(), (l.Floor+l.ZLip)/2
	shoulder := l.NotchWidth/2 + l.Shoulder()/2
	for _, x := range []float64{l.BoxLength - l.EndWall/2, l.Lip / 2, l.XTip + l.Length/3, l.BoxLength - 0.3} {
		out = append(out,
			outside(PartBox, "width", "over the sides, across the chain", 1, r3.Vec{X: x, Z: mid}, -w, w, "face", "face"),
			outside(PartBox, "height", "from underside to face, at mid-width", 2, r3.Vec{X: x}, 0, l.Thickness, "face", "face"))
	}
	for _, p := range []r3.Vec{{Y: w - l.Wall/2, Z: mid}, {Y: w - l.Wall/2, Z: l.Thickness / 4}, {Y: shoulder, Z: l.Floor / 2}} {
		out = append(out, outside(PartBox, "length", "from the face that meets the block to the end, beside the mouth", 0, p, 0, l.BoxLength, "meeting", "pad"))
	}
	top := l.Thickness - 0.3*(l.Thickness-l.ZFront)
	out = append(out,
		inside(PartBox, "mouth_width", "the mouth, across the chain, inside jaws", 1, r3.Vec{X: l.Lip / 2, Z: mouth}, -l.Chamber/2, l.Chamber/2, "chamber", "chamber"),
		inside(PartBox, "mouth_height", "from floor to the lip's underside, beside the notch, inside jaws or pins", 2, r3.Vec{X: (l.LipEntry + l.Lip) / 2, Y: shoulder}, l.Floor, l.ZLip, "chamber", "lip"),
		outside(PartBox, "wall", "the side wall, at the mouth", 1, r3.Vec{X: l.Lip / 2, Z: mouth}, l.Chamber/2, w, "chamber", "face"),
		outside(PartBox, "floor", "the floor at the mouth, at mid-width", 2, r3.Vec{X: l.Lip / 2}, 0, l.Floor, "face", "chamber"),
		outside(PartBox, "lip", "the lip, along the chain, beside the notch", 0, r3.Vec{Y: shoulder, Z: (l.ZLip + l.LipEntry + l.ZFront - l.LipRoot) / 2}, 0, l.Lip, "meeting", ""),
		inside(PartBox, "notch", "the notch for the thumb tab, across the chain", 1, r3.Vec{X: l.Lip / 2, Z: top}, -l.NotchWidth/2, l.NotchWidth/2, "tab", "tab"),
		measure(PartBox, "notch_depth", "from the face that meets the block to the notch's end, depth rod", 0, End{r3.Vec{Y: shoulder, Z: top}, "meeting", -1}, End{r3.Vec{X: l.XNotch, Z: top}, "tab", -1}),
	)
	if l.FloorKind == "window" {
		x := l.XWindow + l.WindowLength/2
		out = append(out,
			inside(PartBox, "window_length", "the window in the floor, along the chain", 0, r3.Vec{Z: l.Floor / 2}, l.XWindow, l.XWindow+l.WindowLength, "window", "window"),
			inside(PartBox, "window_width", "the window in the floor, across the chain", 1, r3.Vec{X: x, Z: l.Floor / 2}, -l.WindowWidth/2, l.WindowWidth/2, "window", "window"))
	}
	return out
}

// tongueMeasures are those of block, neck, leaf and tab.
func (l *Lock) tongueMeasures() (out []Measure) {
	w, mid, back := l.Width/2, l.sideMid(), -l.FaceGap-l.Block
	shoulder := l.NotchWidth/2 + l.Shoulder()/2
	face := End{r3.Vec{X: -l.FaceGap, Y: w - l.Wall/2, Z: mid}, "meeting", 1}
	for _, x := range []float64{back + 0.5, back + l.Block/2, -l.FaceGap - 0.5} {
		out = append(out,
			outside(PartTongue, "width", "the block over its sides, across the chain", 1, r3.Vec{X: x, Z: mid}, -w, w, "face", "face"),
			outside(PartTongue, "height", "the block from underside to face, at mid-width", 2, r3.Vec{X: x}, 0, l.Thickness, "face", "face"))
	}
	for _, p := range []r3.Vec{{Y: w - l.Wall/2, Z: mid}, {Y: w - l.Wall/2, Z: l.Thickness / 4}} {
		out = append(out, outside(PartTongue, "block", "the block along the chain, beside the neck", 0, p, back, -l.FaceGap, "pad", "meeting"))
	}
	neck := r3.Vec{X: l.XNeck / 2, Y: l.LowerWidth / 4, Z: (l.Floor + l.ZLip) / 2}
	lower := r3.Vec{X: (l.XPad + l.XFold) / 2, Z: l.ZLeaf + l.Leaf/2}
	upper := r3.Vec{X: (l.XKnee + l.XFold) / 2, Z: l.ZUpper - l.Leaf/2}
	fold := End{r3.Vec{X: l.XFold + l.Fold + l.Leaf, Z: l.ZLeaf + l.Leaf + l.Fold}, "window", 1}
	end := End{r3.Vec{X: back, Y: w - l.Wall/2, Z: mid}, "pad", -1}
	tipUnder, _ := l.underside()
	tip := End{r3.Vec{X: l.XTip, Y: shoulder, Z: (tipUnder.Y + l.ZTip - l.Chamfer) / 2}, "shoulder", -1}
	if l.LowerWidth != l.UpperWidth || l.Rolled() { // else the lower leaf is hidden below the upper
		out = append(out, outside(PartTongue, "lower_width", "the lower leaf, across the chain", 1, lower, -l.LowerWidth/2, l.LowerWidth/2, "leaf", "leaf"))
	}
	return append(out,
		outside(PartTongue, "neck", "the neck, through the thickness", 2, neck, l.Floor+l.NeckPlay, l.ZLip-l.NeckPlay, "leaf", "leaf"),
		outside(PartTongue, "neck_width", "the neck, across the chain", 1, neck, -l.LowerWidth/2, l.LowerWidth/2, "leaf", "leaf"),
		outside(PartTongue, "upper_width", "the upper leaf, across the chain, near the fold", 1, upper, -l.UpperWidth/2, l.UpperWidth/2, "leaf", "leaf"),
		outside(PartTongue, "tab_width", "the thumb tab, across the chain", 1, r3.Vec{X: l.XTip + l.TabThickness/2, Z: l.Thickness}, -l.TabWidth/2, l.TabWidth/2, "tab", "tab"),
		outside(PartTongue, "tab", "the thumb tab, along the chain", 0, r3.Vec{Z: l.Thickness - 0.1}, l.XTip, l.XTip+l.TabThickness, "tab", "tab"),
		measure(PartTongue, "reach", "from the block's face to the end of the fold, depth rod", 0, face, fold),
		measure(PartTongue, "length", "from the block's end to the end of the fold", 0, end, fold),
		measure(PartTongue, "shoulder", "from the block's face to the shoulders, inside jaws", 0, face, tip),
	)
}
