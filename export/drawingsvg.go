package export

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model"
)

const strokeWide = 0.18 // of outlines, mm

// WriteDrawingSVG draws the finished lock 1:1 as SVG: a unit of the drawing is a millimetre on paper. Lines and arcs of the model
// are lines and arcs here, to 0.0001 mm.
func WriteDrawingSVG(w io.Writer, c *model.Commission) error {
	p, err := planOf(c)
	if err != nil {
		return err
	}
	return p.svg(w, sourceOf(c))
}

// sourceOf says what made a file and from which job.
func sourceOf(c *model.Commission) string { return signature() + "; job: " + jobWords(c) }

func (p *plan) svg(w io.Writer, source string) error {
	var d vector
	d.add(`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s">`, n(p.wide), n(p.high), n(p.wide), n(p.high))
	d.add(`<title>%s</title>`, escaped(p.title))
	d.add(`<desc>%s</desc>`, escaped(source))
	d.add(`<g fill="none" stroke="#000" stroke-linecap="round" stroke-linejoin="round" stroke-width="%s">`, n(strokeWide))
	for _, f := range p.figures {
		style := ""
		if f.layer == layerSection {
			style = ` fill="#ddd" fill-rule="evenodd"`
		}
		d.add(`<path class="%s" id="%s"%s d="%s"/>`, strings.ToLower(f.layer), f.id(), style, p.path(f))
	}
	bar, say := p.bar()
	d.add(`<path id="scale" d="%s"/>`, p.run(bar))
	d.add(`</g>`)
	d.add(`<g fill="none" stroke="#555" stroke-width="0.09">`)
	for _, m := range p.measurements {
		lines, _ := m.strokes()
		d.add(`<path class="dim" d="%s"/>`, p.run(lines))
	}
	d.add(`</g>`)
	d.add(`<g font-family="sans-serif" fill="#000">`)
	for _, m := range p.measurements {
		_, at := m.strokes()
		d.text(at.X, p.high-at.Y, letterHigh, "start", m.said())
	}
	for _, t := range p.lettering(say) {
		d.text(t.at.X, p.high-t.at.Y, t.size, "start", t.say)
	}
	d.add(`</g>`)
	d.add(`</svg>`)
	_, err := w.Write(d.b.Bytes())
	return err
}

// id is the name of a figure as XML allows it.
func (f figureOf) id() string { return strings.NewReplacer(" ", "-", "'", "").Replace(f.name) }

func escaped(s string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(s)) // a buffer takes everything
	return b.String()
}

// path is all of a figure: loops closed, other curves as they come.
func (p *plan) path(f figureOf) string {
	var b strings.Builder
	for _, loop := range f.loops {
		b.WriteString(p.run(loop) + "Z")
	}
	b.WriteString(p.run(f.curves))
	return b.String()
}

// run is curves as path data; one that begins where the last ended goes on from there.
func (p *plan) run(curves []curve) string {
	var b strings.Builder
	for i, k := range curves {
		if i == 0 || r2.Norm(r2.Sub(k.a, curves[i-1].b)) > 1e-6 {
			fmt.Fprintf(&b, "M%s %s", n4(k.a.X), n4(p.high-k.a.Y))
		}
		if k.r == 0 {
			fmt.Fprintf(&b, "L%s %s", n4(k.b.X), n4(p.high-k.b.Y))
			continue
		}
		_, angle := k.sweep()
		if math.Abs(angle) > 1.9*math.Pi { // the ends are too near to each other to tell the circle
			half := r2.Sub(r2.Scale(2, k.c), k.a)
			p.arc(&b, k.r, angle/2, half)
			angle /= 2
		}
		p.arc(&b, k.r, angle, k.b)
	}
	return b.String()
}

// arc goes on to a point; SVG's y runs down, so what is anticlockwise here has the sweep flag 0.
func (p *plan) arc(b *strings.Builder, r, angle float64, to r2.Vec) {
	large, clockwise := 0, 0
	if math.Abs(angle) > math.Pi {
		large = 1
	}
	if angle < 0 {
		clockwise = 1
	}
	fmt.Fprintf(b, "A%s %s 0 %d %d %s %s", n4(r), n4(r), large, clockwise, n4(to.X), n4(p.high-to.Y))
}

// n4 is a length to 0.0001 mm.
func n4(v float64) string { return strconv.FormatFloat(math.Round(v*1e4)/1e4+0, 'f', -1, 64) }
