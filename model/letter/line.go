package letter

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// Line is a line of text. Lengths are in cap heights; the baseline is y = 0.
type Line struct {
	Text     string
	Glyphs   [][]Contour // placed; a space has none
	Lo, Hi   r2.Vec      // the box that the letters fill
	Stroke   float64     // the thinnest stroke
	Gap      float64     // the narrowest gap: a counter, or between two strokes or letters
	StrokeOf string      // the letter with that stroke
	GapOf    string      // the letter, or the two letters, with that gap
}

// apart is the least gap between two letters, cap heights: about a stroke.
const apart = 0.18

// Set sets a line. It fails with a *Missing where the font lacks a character; a line without any letter that can be seen has no glyphs
// with contours, and Hi is Lo.
func Set(text string) (*Line, error) {
	f, err := loaded()
	if err != nil {
		return nil, err
	}
	l := &Line{Text: text, Stroke: math.Inf(1), Gap: math.Inf(1)}
	pen := 0.0
	var last points
	var before string
	for _, r := range text {
		g, err := f.glyph(r)
		if err != nil {
			return nil, err
		}
		own, w := sampled(g.contours), widthsOf(r, g.contours)
		if w.stroke < l.Stroke {
			l.Stroke, l.StrokeOf = w.stroke, string(r)
		}
		if w.gap < l.Gap {
			l.Gap, l.GapOf = w.gap, string(r)
		}
		if len(own) > 0 && len(last) > 0 {
			pen += room(last, own, pen)
			if d := last.distance(own, pen); d < l.Gap {
				l.Gap, l.GapOf = d, before+string(r)
			}
		}
		var placed []Contour
		for _, c := range g.contours {
			placed = append(placed, c.placed(1, r2.Vec{X: pen}))
		}
		l.Glyphs = append(l.Glyphs, placed)
		if len(own) > 0 {
			last, before = own.moved(pen), string(r)
		}
		pen += g.advance
	}
	l.Lo, l.Hi = extent(flatten(l.Glyphs))
	return l, nil
}

// room is how much further right a letter goes so that it keeps apart from the one before it.
func room(last, own points, pen float64) (more float64) {
	for range 20 {
		d := last.distance(own, pen+more)
		if d >= apart-1e-6 {
			break
		}
		more += apart - d
	}
	return more
}

// Seen tells whether there is anything to cut.
func (l *Line) Seen() bool { return l.Hi != l.Lo }

// Least is the cap height in mm from which strokes and gaps are at least so wide, mm.
func (l *Line) Least(stroke float64) float64 { return stroke / math.Min(l.Stroke, l.Gap) }

// Narrowest names what is narrowest, and how wide it is at a cap height, mm.
func (l *Line) Narrowest(height float64) (say string, wide float64) {
	if l.Stroke <= l.Gap {
		return "the thinnest stroke of " + quoted(l.StrokeOf), l.Stroke * height
	}
	if strings.Contains(l.GapOf, " ") || len([]rune(l.GapOf)) > 1 {
		return "the gap in " + quoted(l.GapOf), l.Gap * height
	}
	return "the narrowest gap of " + quoted(l.GapOf), l.Gap * height
}

func quoted(s string) string { return `"` + s + `"` }

// Shape is metal: an outline with the counters in it.
type Shape struct {
	Outer solid.Chain
	Holes []solid.Chain
}

// Shapes are the letters at a cap height in mm, their box's middle at the origin, as chains that leave the font's curves by at most
// Within. Outlines may overlap: the letter is the union of its shapes, each without its own holes.
func (l *Line) Shapes(height float64, tag string) (out []Shape) {
	by := r2.Scale(-height/2, r2.Add(l.Lo, l.Hi))
	for _, g := range l.Glyphs {
		out = append(out, shapes(g, height, by, tag)...)
	}
	return out
}

// shapes gives each counter to the smallest outline that it lies in.
func shapes(g []Contour, height float64, by r2.Vec, tag string) (out []Shape) {
	for _, c := range g {
		if c.Area() > 0 {
			out = append(out, Shape{Outer: c.placed(height, by).chain(Within, tag)})
		}
	}
	for _, c := range g {
		if c.Area() >= 0 {
			continue
		}
		hole := c.placed(height, by).chain(Within, tag)
		best, least := -1, math.Inf(1)
		for i, s := range out {
			if a := s.Outer.Area(); a < least && s.Outer.Inside(hole[0].A) {
				best, least = i, a
			}
		}
		if best >= 0 {
			out[best].Holes = append(out[best].Holes, hole)
		}
	}
	return out
}

func flatten(gs [][]Contour) (out []Contour) {
	for _, g := range gs {
		out = append(out, g...)
	}
	return out
}
