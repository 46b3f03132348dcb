//go:build long

package contour

import (
	"bytes"
	"fmt"
	"image/color"
	"os"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
)

// curve is one line of a cost picture, in a unit that lets all share an axis.
type curve struct {
	name string
	of   func(cost) float64
	ink  color.Color
	mark draw.GlyphDrawer
}

var curves = []curve{
	{"seconds of the processor", func(c cost) float64 { return c.seconds }, color.RGBA{44, 88, 122, 255}, draw.CircleGlyph{}},
	{"GiB allocated", func(c cost) float64 { return c.allocated / 1024 }, color.RGBA{196, 140, 48, 255}, draw.SquareGlyph{}},
	{"100,000 facets", func(c cost) float64 { return c.facets / 1e5 }, color.RGBA{90, 120, 60, 255}, draw.TriangleGlyph{}},
}

// drawCosts writes the panels side by side as PNG: marks where it was measured, lines for the powers fitted to them.
func drawCosts(t *testing.T, file string, panels ...series) {
	t.Helper()
	row := make([]*plot.Plot, len(panels))
	for i, s := range panels {
		row[i] = panel(t, s)
	}
	img := vgimg.NewWith(vgimg.UseWH(20*vg.Centimeter, 9*vg.Centimeter), vgimg.UseDPI(120))
	tiles := draw.Tiles{Rows: 1, Cols: len(row), PadX: vg.Centimeter, PadRight: vg.Millimeter * 4, PadTop: vg.Millimeter * 2}
	for i, c := range plot.Align([][]*plot.Plot{row}, tiles, draw.New(img))[0] {
		row[i].Draw(c)
	}
	var b bytes.Buffer
	if _, err := (vgimg.PngCanvas{Canvas: img}).WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
}

func panel(t *testing.T, s series) *plot.Plot {
	t.Helper()
	p := plot.New()
	p.X.Scale, p.Y.Scale = plot.LogScale{}, plot.LogScale{}
	p.Y.Tick.Marker = plot.LogTicks{Prec: -1}
	p.X.Label.Text, p.Y.Label.Text = s.name, "cost of the benchmark box"
	p.X.Tick.Marker = measured(s)
	p.Legend.Top = true
	for _, c := range curves {
		points := make(plotter.XYs, len(s.costs))
		for i, k := range s.costs {
			points[i] = plotter.XY{X: s.over(k), Y: c.of(k)}
		}
		marks, err := plotter.NewScatter(points)
		if err != nil {
			t.Fatal(err)
		}
		marks.GlyphStyle = draw.GlyphStyle{Color: c.ink, Radius: vg.Points(3), Shape: c.mark}
		f := fit(s, c.of)
		ends := plotter.XYs{points[0], points[len(points)-1]}
		for i := range ends {
			ends[i].Y = f.at(ends[i].X)
		}
		line, err := plotter.NewLine(ends)
		if err != nil {
			t.Fatal(err)
		}
		line.Color = c.ink
		p.Add(line, marks)
		p.Legend.Add(fmt.Sprintf("%s: exponent %.2f", c.name, f.exponent), marks)
	}
	p.Y.Max *= 8 // room for the legend
	return p
}

// measured puts a tick at each value that was measured.
func measured(s series) plot.ConstantTicks {
	var ticks plot.ConstantTicks
	for _, c := range s.costs {
		ticks = append(ticks, plot.Tick{Value: s.over(c), Label: fmt.Sprintf("%g", s.over(c))})
	}
	return ticks
}
