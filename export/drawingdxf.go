package export

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model"
)

// WriteDrawingDXF writes the drawing of WriteDrawingSVG for a drawing board: AutoCAD DXF, release 12 with LINE, ARC, CIRCLE and TEXT,
// which every reader takes, the unit stated as millimetre ($INSUNITS 4, $MEASUREMENT 1; Autodesk DXF Reference). Our own writer,
// since the library that could be had says nothing of $MEASUREMENT and shares its layer 0 between drawings made side by side.
func WriteDrawingDXF(w io.Writer, c *model.Commission) error {
	p, err := planOf(c)
	if err != nil {
		return err
	}
	return p.dxf(w, sourceOf(c))
}

// dxf is a DXF file while it is written: pairs of a group code and a value, each on its line.
type dxf struct{ b bytes.Buffer }

func (d *dxf) put(code int, value string) { fmt.Fprintf(&d.b, "%3d\n%s\n", code, value) }

func (d *dxf) length(code int, mm float64) {
	d.put(code, strconv.FormatFloat(math.Round(mm*1e6)/1e6+0, 'f', 6, 64))
}

func (d *dxf) point(code int, at r2.Vec) {
	d.length(code, at.X)
	d.length(code+10, at.Y)
	d.length(code+20, 0)
}

func (p *plan) dxf(w io.Writer, source string) error {
	var d dxf
	d.put(999, plain(p.title))
	d.put(999, plain(source))
	d.header(p)
	d.tables()
	d.put(0, "SECTION")
	d.put(2, "ENTITIES")
	for _, f := range p.figures {
		for _, loop := range f.loops {
			d.curves(f.layer, loop)
		}
		d.curves(f.layer, f.curves)
	}
	for _, m := range p.measurements {
		lines, at := m.strokes()
		d.curves(layerDim, lines)
		d.text(layerDim, word{at, letterHigh, m.said()})
	}
	bar, say := p.bar()
	d.curves(layerDim, bar)
	for _, t := range p.lettering(say) {
		d.text(layerText, t)
	}
	d.put(0, "ENDSEC")
	d.put(0, "EOF")
	_, err := w.Write(d.b.Bytes())
	return err
}

func (d *dxf) header(p *plan) {
	d.put(0, "SECTION")
	d.put(2, "HEADER")
	d.put(9, "$ACADVER")
	d.put(1, "AC1009")
	d.put(9, "$INSUNITS")
	d.put(70, "4")
	d.put(9, "$MEASUREMENT")
	d.put(70, "1")
	d.put(9, "$EXTMIN")
	d.point(10, r2.Vec{})
	d.put(9, "$EXTMAX")
	d.point(10, r2.Vec{X: p.wide, Y: p.high})
	d.put(0, "ENDSEC")
}

// tables names the line type and the layers, each with a colour of its own: 7 is black or white, 1 red, 5 blue, 8 grey.
func (d *dxf) tables() {
	d.put(0, "SECTION")
	d.put(2, "TABLES")
	d.put(0, "TABLE")
	d.put(2, "LTYPE")
	d.put(70, "1")
	d.put(0, "LTYPE")
	d.put(2, "CONTINUOUS")
	d.put(70, "0")
	d.put(3, "Solid line")
	d.put(72, "65")
	d.put(73, "0")
	d.length(40, 0)
	d.put(0, "ENDTAB")
	d.put(0, "TABLE")
	d.put(2, "LAYER")
	d.put(70, strconv.Itoa(len(layers())))
	for _, name := range layers() {
		d.put(0, "LAYER")
		d.put(2, name)
		d.put(70, "0")
		d.put(62, map[string]string{layerView: "7", layerSection: "5", layerCut: "1", layerDim: "8", layerText: "7"}[name])
		d.put(6, "CONTINUOUS")
	}
	d.put(0, "ENDTAB")
	d.put(0, "ENDSEC")
}

func (d *dxf) curves(layer string, curves []curve) {
	for _, k := range curves {
		angle := 0.0
		if k.r > 0 {
			_, angle = k.sweep()
		}
		switch {
		case k.r == 0:
			d.entity("LINE", layer)
			d.point(10, k.a)
			d.point(11, k.b)
		case math.Abs(angle) > 2*math.Pi-1e-6:
			d.entity("CIRCLE", layer)
			d.point(10, k.c)
			d.length(40, k.r)
		default:
			d.entity("ARC", layer)
			d.point(10, k.c)
			d.length(40, k.r)
			from, to := k.a, k.b
			if angle < 0 { // arcs of a DXF file run anticlockwise
				from, to = to, from
			}
			d.angle(50, r2.Sub(from, k.c))
			d.angle(51, r2.Sub(to, k.c))
		}
	}
}

// angle is the direction of a vector in degrees, 0 to 360.
func (d *dxf) angle(code int, v r2.Vec) {
	a := math.Atan2(v.Y, v.X) * 180 / math.Pi
	if a < 0 {
		a += 360
	}
	d.put(code, strconv.FormatFloat(a, 'f', 8, 64))
}

func (d *dxf) entity(kind, layer string) {
	d.put(0, kind)
	d.put(8, layer)
}

func (d *dxf) text(layer string, t word) {
	d.entity("TEXT", layer)
	d.point(10, t.at)
	d.length(40, t.size)
	d.put(1, plain(t.say))
}

// plain keeps what release 12 can hold: letters of ASCII, on one line.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\r' || r == '\t':
			return ' '
		case r > 126 || r < 32:
			return '?'
		}
		return r
	}, s)
}
