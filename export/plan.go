package export

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
)

// The layers of a drawing.
const (
	layerView    = "VIEW"    // what is seen
	layerSection = "SECTION" // what is cut
	layerCut     = "CUT"     // what is to be cut out of sheet
	layerDim     = "DIM"
	layerText    = "TEXT"
)

func layers() []string {
	return []string{layerView, layerSection, layerCut, layerDim, layerText}
}

// plan is a drawing in true size, mm, y upwards, the origin at the lower left of the sheet.
type plan struct {
	title        string
	wide, high   float64
	figures      []figureOf
	measurements []taken
	words        []word
}

// lettering is all words with one more. Both drawings are made of one plan side by side, so it is left as it is.
func (p *plan) lettering(more word) []word { return append(slices.Clip(p.words), more) }

// figureOf is one view of the plan: curves of one layer under a name. Loops are closed and may be filled.
type figureOf struct {
	name, layer string
	curves      []curve
	loops       [][]curve
}

// taken is a dimension: the places it is taken between, where its line lies, and which way it goes.
type taken struct {
	name    string
	a, b    r2.Vec
	at      float64 // y of a level line, x of an upright one
	upright bool
}

// mm is the length that is written.
func (m taken) mm() float64 {
	if m.upright {
		return math.Abs(m.b.Y - m.a.Y)
	}
	return math.Abs(m.b.X - m.a.X)
}

type word struct {
	at   r2.Vec
	size float64
	say  string
}

// The sheet: A4 across, or larger if the lock asks for it, never scaled.
const (
	sheetWide, sheetHigh = 297.0, 210.0
	sheetMargin          = 15.0
	sheetGap             = 26.0 // between views, for dimensions
	letterHigh           = 2.5  // of the words, mm
	checkBar             = 50.0 // mm
	gaugeBrim            = 5.0  // of the crown gauge round the profile, mm
)

// planOf draws the finished closed lock 1:1: from above, below that from the side, to the right of that from the end of the
// box (third angle), below that the section at mid-width, and the template of a crown gauge. Whatever is measured is measured
// between places of the model.
func planOf(c *model.Commission) (*plan, error) {
	parts := model.Shown(c)
	e := extentsOf(parts)
	low := r3.Vec{X: min(e.boxLo.X, e.tongueLo.X), Y: e.boxLo.Y, Z: min(e.boxLo.Z, e.tongueLo.Z)}
	top := r3.Vec{X: max(e.boxHi.X, e.tongueHi.X), Y: e.boxHi.Y, Z: max(e.boxHi.Z, e.tongueHi.Z)}
	size := r3.Sub(top, low)
	gauge, err := gaugeOutline(c.Lock)
	if err != nil {
		return nil, err
	}
	p := &plan{title: "box lock for " + chain(c) + ", finished, closed, 1:1, mm"}
	left := sheetMargin + 8.0
	right := left + size.X + 2*sheetGap
	p.wide = math.Max(sheetWide, right+math.Max(size.Y, c.Lock.Width+2*gaugeBrim)+sheetGap+sheetMargin)
	p.high = math.Max(sheetHigh, 2*sheetMargin+size.Y+2*size.Z+3*sheetGap+20)
	yAbove := p.high - sheetMargin - 14 - size.Y
	ySide := yAbove - sheetGap - 4 - size.Z
	yCut := ySide - sheetGap - size.Z
	shift := func(x, y float64) r2.Vec { return r2.Vec{X: left - x, Y: y} }

	above := shift(low.X, yAbove-low.Y)
	side := shift(low.X, ySide-low.Z)
	cut := shift(low.X, yCut-low.Z)
	end := r2.Vec{X: right - low.Y, Y: ySide - low.Z}
	p.view("from above", fromAbove, parts, above)
	p.view("from the side", fromSide, parts, side)
	p.view("from the box's end", fromBoxEnd, parts, end)
	p.section(parts, cut)
	g := r2.Vec{X: right + c.Lock.Width/2 + gaugeBrim, Y: yCut - c.Lock.Thickness/2}
	p.figures = append(p.figures, figureOf{name: "crown gauge", layer: layerCut, loops: [][]curve{shifted(gauge, g)}})

	p.label("from above: the face", left, yAbove+size.Y+9)
	p.label("from the side", left, ySide+size.Z+3.5)
	p.label("section at mid-width", left, yCut+size.Z+3.5)
	p.label("from the box's end", right, ySide+size.Z+3.5)
	p.label("crown gauge: cut out, sits on the filed face", right, yCut+c.Lock.Thickness/2+gaugeBrim+3.5)
	p.words = append(p.words, word{r2.Vec{X: sheetMargin, Y: p.high - sheetMargin + 3}, 3.5, p.title})

	p.lengths(c, e, above, side, end)
	p.inside(c.Lock, cut)
	return p, nil
}

func (p *plan) label(say string, x, y float64) {
	p.words = append(p.words, word{r2.Vec{X: x, Y: y}, letterHigh, say})
}

func (p *plan) view(name string, cam camera, parts []model.Part, at r2.Vec) {
	p.figures = append(p.figures, figureOf{name: name, layer: layerView, curves: shifted(outlines(cam, parts), at)})
}

func (p *plan) section(parts []model.Part, at r2.Vec) {
	for _, part := range parts {
		f := figureOf{name: "section of the " + part.Name, layer: layerSection}
		for _, loop := range midSection(part) {
			f.loops = append(f.loops, shifted(loop, at))
		}
		if len(f.loops) > 0 {
			p.figures = append(p.figures, f)
		}
	}
}

func shifted(curves []curve, by r2.Vec) []curve {
	out := make([]curve, len(curves))
	for i, k := range curves {
		out[i] = k.moved(by)
	}
	return out
}

// lengths are the outside measures.
func (p *plan) lengths(c *model.Commission, e extents, above, side, end r2.Vec) {
	l := c.Lock
	x := func(mm float64) r2.Vec { return r2.Vec{X: mm + above.X, Y: e.boxHi.Y + above.Y} }
	under := func(mm float64) r2.Vec { return r2.Vec{X: mm + above.X, Y: e.boxLo.Y + above.Y} }
	lowLine := e.boxLo.Y + above.Y - 6
	p.level("whole", x(e.tongueLo.X), x(math.Max(e.boxHi.X, e.tongueHi.X)), e.boxHi.Y+above.Y+5)
	p.level("box", under(e.boxLo.X), under(e.boxHi.X), lowLine)
	p.level("block", under(e.tongueLo.X), under(e.boxLo.X-l.FaceGap), lowLine-6)
	p.level("face gap", under(e.boxLo.X-l.FaceGap), under(e.boxLo.X), lowLine-12)
	p.upright("width", r2.Vec{X: e.boxHi.X + above.X, Y: e.boxLo.Y + above.Y}, r2.Vec{X: e.boxHi.X + above.X, Y: e.boxHi.Y + above.Y}, e.boxHi.X+above.X+6)
	z := func(mm float64) r2.Vec { return r2.Vec{X: e.boxHi.X + side.X, Y: mm + side.Y} }
	p.upright("thickness", z(e.boxLo.Z), z(e.boxHi.Z), e.boxHi.X+side.X+6)
	p.upright("with tab", z(e.boxLo.Z), z(e.tongueHi.Z), e.boxHi.X+side.X+27)
	y := func(mm float64) r2.Vec { return r2.Vec{X: mm + end.X, Y: e.boxLo.Z + end.Y} }
	p.level("tab", y(-l.TabWidth/2), y(l.TabWidth/2), e.boxLo.Z+end.Y-5)
}

// inside are the measures of the section that the bench needs.
func (p *plan) inside(l *clasp.Lock, cut r2.Vec) {
	x := func(mm float64) r2.Vec { return r2.Vec{X: mm + cut.X, Y: cut.Y} }
	p.level("tip to fold", x(l.XTip), x(l.XFold), cut.Y-5)
	if l.WindowLength > 0 {
		p.level("window", x(l.XWindow), x(l.XWindow+l.WindowLength), cut.Y-12)
	}
}

func (p *plan) level(name string, a, b r2.Vec, at float64) {
	p.measurements = append(p.measurements, taken{name: name, a: a, b: b, at: at})
}

func (p *plan) upright(name string, a, b r2.Vec, at float64) {
	p.measurements = append(p.measurements, taken{name: name, a: a, b: b, at: at, upright: true})
}

// said is what stands at a dimension.
func (m taken) said() string { return fmt.Sprintf("%s %.2f", m.name, m.mm()) }

// strokes are the lines of a dimension: from the places to the line, the line, and a tick at each end; and where its words begin.
func (m taken) strokes() (lines []curve, say r2.Vec) {
	const past, tick, off = 1.2, 0.9, 1.0
	line := func(a, b r2.Vec) { lines = append(lines, curve{a: a, b: b}) }
	turn := func(v r2.Vec) r2.Vec {
		if m.upright {
			return r2.Vec{X: v.Y, Y: v.X}
		}
		return v
	}
	a, b := turn(m.a), turn(m.b)
	if a.X > b.X {
		a, b = b, a
	}
	for _, q := range []r2.Vec{a, b} {
		dir := math.Copysign(1, m.at-q.Y)
		if math.Abs(m.at-q.Y) > off {
			line(turn(r2.Vec{X: q.X, Y: q.Y + off*dir}), turn(r2.Vec{X: q.X, Y: m.at + past*dir}))
		}
		line(turn(r2.Vec{X: q.X - tick, Y: m.at - tick}), turn(r2.Vec{X: q.X + tick, Y: m.at + tick}))
	}
	line(turn(r2.Vec{X: a.X, Y: m.at}), turn(r2.Vec{X: b.X, Y: m.at}))
	wide := float64(len(m.said())) * 0.55 * letterHigh
	switch {
	case m.upright:
		return lines, r2.Vec{X: m.at + 1.2, Y: (a.X+b.X)/2 - letterHigh/2}
	case wide > b.X-a.X:
		return lines, r2.Vec{X: b.X + 1.6, Y: m.at - letterHigh/2}
	}
	return lines, r2.Vec{X: (a.X + b.X - wide) / 2, Y: m.at + 0.7}
}

// bar is the check bar and what is said beside it.
func (p *plan) bar() (lines []curve, say word) {
	x, y := sheetMargin+8.0, sheetMargin
	for _, k := range []float64{0, checkBar} {
		lines = append(lines, curve{a: r2.Vec{X: x + k, Y: y - 1.5}, b: r2.Vec{X: x + k, Y: y + 1.5}})
	}
	lines = append(lines, curve{a: r2.Vec{X: x, Y: y}, b: r2.Vec{X: x + checkBar, Y: y}})
	return lines, word{r2.Vec{X: x + checkBar + 3, Y: y - letterHigh/2}, letterHigh, fmt.Sprintf("must measure %g mm on paper; if not, print again without scaling", checkBar)}
}

// gaugeOutline is the template of a gauge that sits on the filed face: a plate with the upper half of the finished profile cut
// out of its lower edge, in (y, z) of the lock.
func gaugeOutline(l *clasp.Lock) ([]curve, error) {
	upper, err := l.UpperProfile()
	if err != nil {
		return nil, err
	}
	out := make([]curve, 0, len(upper)+5)
	for _, s := range upper {
		out = append(out, curve{a: s.A, b: s.B, c: s.C, r: s.R, cw: s.CW})
	}
	first, last := upper[0].A, upper[len(upper)-1].B
	edge, top := l.Width/2+gaugeBrim, l.Thickness+gaugeBrim
	corners := []r2.Vec{last, {X: -edge, Y: last.Y}, {X: -edge, Y: top}, {X: edge, Y: top}, {X: edge, Y: first.Y}, first}
	for i := 1; i < len(corners); i++ {
		out = append(out, curve{a: corners[i-1], b: corners[i]})
	}
	return out, nil
}
