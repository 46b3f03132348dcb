// Package letter sets a line of text as closed chains of lines and arcs, and measures how thin its strokes and how narrow its gaps are.
// The font is Go Bold (golang.org/x/image/font/gofont): upright strokes of nearly one width, no serifs.
//
// Lengths are in cap heights, the height of a capital H, until a height in mm is given.
package letter

import (
	"fmt"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/gonum/spatial/r2"
)

// Curve is a quadratic Bezier curve from A to B; K is its control point, and lies midway where the curve is a straight line.
type Curve struct {
	A, K, B  r2.Vec
	Straight bool
}

// At is the point at t from 0 to 1.
func (c Curve) At(t float64) r2.Vec {
	u := 1 - t
	return r2.Add(r2.Add(r2.Scale(u*u, c.A), r2.Scale(2*u*t, c.K)), r2.Scale(t*t, c.B))
}

// tangent is the unit direction at t; at an end where the control point lies on it, towards the other end.
func (c Curve) tangent(t float64) r2.Vec {
	d := r2.Add(r2.Scale(1-t, r2.Sub(c.K, c.A)), r2.Scale(t, r2.Sub(c.B, c.K)))
	if r2.Norm(d) < 1e-9 {
		d = r2.Sub(c.B, c.A)
	}
	return r2.Unit(d)
}

// area is what the curve adds to the area of its contour, by Green's theorem: half the integral of x dy - y dx.
func (c Curve) area() float64 {
	if c.Straight {
		return r2.Cross(c.A, c.B) / 2
	}
	return (2*r2.Cross(c.A, c.K) + 2*r2.Cross(c.K, c.B) + r2.Cross(c.A, c.B)) / 6
}

// placed scales a curve and then moves it.
func (c Curve) placed(scale float64, by r2.Vec) Curve {
	f := func(p r2.Vec) r2.Vec { return r2.Add(r2.Scale(scale, p), by) }
	return Curve{f(c.A), f(c.K), f(c.B), c.Straight}
}

// reversed runs the other way.
func (c Curve) reversed() Curve { return Curve{c.B, c.K, c.A, c.Straight} }

// Contour is a closed run of curves.
type Contour []Curve

// Area is the signed area, positive where the contour runs anticlockwise.
func (c Contour) Area() (a float64) {
	for _, k := range c {
		a += k.area()
	}
	return a
}

func (c Contour) placed(scale float64, by r2.Vec) Contour {
	out := make(Contour, len(c))
	for i, k := range c {
		out[i] = k.placed(scale, by)
	}
	return out
}

func (c Contour) reversed() Contour {
	out := make(Contour, len(c))
	for i, k := range c {
		out[len(c)-1-i] = k.reversed()
	}
	return out
}

// glyph is a letter on its baseline: contours of metal run anticlockwise, those of counters clockwise.
type glyph struct {
	contours []Contour
	advance  float64
}

// face is the font with its cap height in units.
type face struct {
	*sfnt.Font
	ppem fixed.Int26_6
	cap  float64
}

var loaded = sync.OnceValues(func() (face, error) {
	f, err := sfnt.Parse(gobold.TTF)
	if err != nil {
		return face{}, err
	}
	out := face{Font: f, ppem: fixed.I(int(f.UnitsPerEm())), cap: 1}
	h, err := out.glyph('H')
	if err != nil {
		return face{}, err
	}
	_, hi := extent(h.contours)
	out.cap = hi.Y
	return out, nil
})

// glyph reads one letter; it has no contours for a space.
func (f face) glyph(r rune) (g glyph, err error) {
	var b sfnt.Buffer
	i, err := f.GlyphIndex(&b, r)
	if err != nil {
		return g, err
	}
	if i == 0 {
		return g, &Missing{r}
	}
	wide, err := f.GlyphAdvance(&b, i, f.ppem, font.HintingNone)
	if err != nil {
		return g, err
	}
	segs, err := f.LoadGlyph(&b, i, f.ppem, nil)
	if err != nil {
		return g, err
	}
	g.advance = float64(wide) / 64 / f.cap
	g.contours, err = f.contours(segs)
	return g, err
}

// contours are in cap heights, y upwards; the font's own y grows downwards.
func (f face) contours(segs sfnt.Segments) (out []Contour, err error) {
	at := func(p fixed.Point26_6) r2.Vec {
		return r2.Vec{X: float64(p.X) / 64 / f.cap, Y: -float64(p.Y) / 64 / f.cap}
	}
	var pen, start r2.Vec
	var now Contour
	line := func(to r2.Vec) {
		if to != pen {
			now = append(now, Curve{pen, r2.Scale(0.5, r2.Add(pen, to)), to, true})
		}
		pen = to
	}
	end := func() {
		line(start)
		if len(now) > 1 {
			out = append(out, now)
		}
		now = nil
	}
	for _, s := range segs {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			end()
			pen = at(s.Args[0])
			start = pen
		case sfnt.SegmentOpLineTo:
			line(at(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			now = append(now, Curve{A: pen, K: at(s.Args[0]), B: at(s.Args[1])})
			pen = at(s.Args[1])
		default:
			return nil, fmt.Errorf("letter: the font has a cubic curve, which is not read")
		}
	}
	end()
	return outward(out), nil
}

// outward turns all contours of a letter round if the largest, which is one of metal, runs clockwise.
func outward(cs []Contour) []Contour {
	most := 0.0
	for _, c := range cs {
		if a := c.Area(); a*a > most*most {
			most = a
		}
	}
	if most >= 0 {
		return cs
	}
	for i := range cs {
		cs[i] = cs[i].reversed()
	}
	return cs
}

// Missing says that the font lacks a character.
type Missing struct{ Rune rune }

func (m *Missing) Error() string { return fmt.Sprintf("the font has no %q (U+%04X)", m.Rune, m.Rune) }

// extent is the box that contours fill, sampled.
func extent(cs []Contour) (lo, hi r2.Vec) {
	first := true
	for _, c := range cs {
		for _, k := range c {
			for i := range 17 {
				p := k.At(float64(i) / 16)
				if first {
					lo, hi, first = p, p, false
				}
				lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
				hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
			}
		}
	}
	return lo, hi
}
