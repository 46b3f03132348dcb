package export

import (
	"errors"
	"fmt"
	"image/color"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/spring"
)

// SaveWay writes the picture of WriteWay to a file, whole or not at all.
func SaveWay(path string, c *model.Commission) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".way-*.png")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, errors.Unwrap(err))
	}
	defer os.Remove(f.Name()) // gone already when all went well
	if err = WriteWay(f, c); err == nil {
		err = f.Sync()
	}
	if err == nil {
		err = f.Chmod(0o644) // CreateTemp makes it private; as the files of a job folder are
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, errors.Unwrap(err)) // the error itself names the temporary file
	}
	return nil
}

// Size of the picture, points of a 96th of an inch.
const (
	wayWide = 1500
	wayHigh = 1900

	sectionHigh = 0.145 // of the picture
)

// WriteWay draws, as PNG, how the lock closes: force and stress along the way in above, and below the section through a shoulder at five
// stations with the leaf bent as it is there. It fails when the spring has no result.
func WriteWay(w io.Writer, c *model.Commission) error {
	if c.Spring == nil || c.Spring.Result == nil {
		why := "it was not computed"
		if c.Spring != nil {
			why = c.Spring.Failed
		}
		return fmt.Errorf("there is no way in to draw: %s", why)
	}
	cut, err := shoulderCut(c)
	if err != nil {
		return err
	}
	img := vgimg.NewWith(vgimg.UseWH(wayWide*vg.Inch/96, wayHigh*vg.Inch/96), vgimg.UseDPI(96), vgimg.UseBackgroundColor(color.White))
	all := draw.New(img)
	part := func(y0, y1, x0, x1 float64) draw.Canvas {
		size := all.Rectangle.Size()
		return draw.Crop(all, vg.Length(x0)*size.X, vg.Length(x1-1)*size.X, vg.Length(y0)*size.Y, vg.Length(y1-1)*size.Y)
	}
	forces(c).Draw(part(0.74, 1, 0, 0.5))
	stresses(c).Draw(part(0.74, 1, 0.5, 1))
	for i, s := range momentsOf(c) {
		top := 0.735 - 0.147*float64(i)
		s.section(c, cut).Draw(part(top-sectionHigh, top, 0.01, 0.99))
	}
	_, err = vgimg.PngCanvas{Canvas: img}.WriteTo(w)
	return err
}

var (
	inkColour    = color.Gray{20}
	boxColour    = color.Gray{225}
	hatchColour  = color.Gray{150}
	tongueColour = color.Gray{150}
	accent       = color.RGBA{200, 60, 0, 255}
)

func titled(title, x, y string) *plot.Plot {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.Title.TextStyle.Font.Size, p.Title.Padding = 15, 6
	for _, s := range []*draw.TextStyle{&p.X.Label.TextStyle, &p.Y.Label.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label, &p.Legend.TextStyle} {
		s.Font.Size = 12
	}
	p.Legend.Left, p.Legend.Padding = true, 3
	return p
}

// backwards draws an axis from high to low: the tongue goes in from the left.
type backwards struct{}

func (backwards) Normalize(lo, hi, x float64) float64 { return (hi - x) / (hi - lo) }

func onWay(way []spring.Step, of func(spring.Step) float64) plotter.XYs {
	var pts plotter.XYs
	for _, s := range way {
		pts = append(pts, plotter.XY{X: s.Out, Y: of(s)})
	}
	return pts
}

// add draws a line with its name in the legend.
func add(p *plot.Plot, pts plotter.XYs, name string, c color.Color, dashes ...vg.Length) {
	l, err := plotter.NewLine(pts)
	if err != nil {
		return // fewer than two points
	}
	l.Width, l.Color, l.Dashes = 2, c, dashes
	p.Add(l)
	p.Legend.Add(name, l)
}

func forces(c *model.Commission) *plot.Plot {
	s := c.Spring
	mu, _ := c.Job.Number("tongue.friction")
	p := titled(fmt.Sprintf("force along the way in, coefficient of friction %g", mu), "mm still to go in", "force, N")
	p.X.Scale = backwards{}
	p.Add(plotter.NewGrid())
	add(p, onWay(s.Way, func(s spring.Step) float64 { return s.Lift }), "lip on the leaf", tongueColour)
	add(p, onWay(s.Way, func(s spring.Step) float64 { return s.Push }), "push on the tongue", accent)
	p.X.Min, p.Y.Min = 0, 0 // home at the right
	p.Y.Max *= 1.45         // room for the legend
	p.Legend.Top = true
	return p
}

func stresses(c *model.Commission) *plot.Plot {
	s := c.Spring
	p := titled("greatest stress in the leaf", "mm still to go in", "stress, MPa")
	p.X.Scale = backwards{}
	p.Add(plotter.NewGrid())
	first, last := s.Way[0].Out, 0.0
	level := func(v float64, name string, c color.Color, dashes ...vg.Length) {
		add(p, plotter.XYs{{X: first, Y: v}, {X: last, Y: v}}, fmt.Sprintf("%s, %.0f", name, v), c, dashes...)
	}
	add(p, onWay(s.Way, func(s spring.Step) float64 { return s.Peak.Size() }), "on the way in", accent)
	level(s.Release.Peak.Size(), "pressed to open", inkColour, 8, 4)
	level(s.Stop.Peak.Size(), "pressed to the stop", inkColour, 2, 3)
	if s.Known() {
		of := ""
		if s.Estimated {
			of = ", estimated from hardness"
		}
		level(s.Yield.Value/model.Safety, fmt.Sprintf("allowed: yield over %g%s", model.Safety, of), tongueColour)
		level(s.Yield.Value, "yield"+of, color.Gray{90})
	}
	p.X.Min, p.Y.Min = 0, 0
	p.Y.Max *= 1.6
	p.Legend.Top = true
	return p
}

// moment is one section with its words.
type moment struct {
	title   string
	out     float64
	leaf    []spring.Station
	touches []spring.Touch
}

// momentsOf picks the last station before the first touch, half-way, the greatest push, just before the snap, and the tab pressed at home. The
// way begins less than 0.1 mm before the touch; the station after it is half a millimetre further in, and pushes already.
func momentsOf(c *model.Commission) []moment {
	way := c.Spring.Way
	first := max(0, slices.IndexFunc(way, func(s spring.Step) bool { return len(s.Touches) > 0 })-1)
	hardest := first
	for i := range way {
		if way[i].Push > way[hardest].Push {
			hardest = i
		}
	}
	last := len(way) - 1
	half := max(first+1, min(hardest-1, (first+hardest)/2))
	var out []moment
	for _, k := range []struct {
		i   int
		say string
	}{{first, "the lip is about to meet the rising leaf"}, {half, "the lip presses the leaf down"}, {hardest, "the hardest push"}, {last, "just before the shoulders spring up behind the lip"}} {
		s := way[k.i]
		out = append(out, moment{fmt.Sprintf("%.1f mm still to go in: %s; push %.1f N, stress %.0f MPa", s.Out, k.say, s.Push, s.Peak.Size()), s.Out, s.Leaf, s.Touches})
	}
	r := c.Spring.Release
	what := "tab"
	if c.Lock.Slitted() {
		what = "tabs"
	}
	return append(out, moment{fmt.Sprintf("closed, the %s pressed with %.1f N: the shoulders have gone %.2f mm and are free; stress %.0f MPa", what, r.Force, r.Drop, r.Peak.Size()), 0, r.Leaf, nil})
}

// section draws the box cut through a shoulder and the tongue in it, true to scale.
func (s moment) section(c *model.Commission, cut skyline) *plot.Plot {
	p := plot.New()
	p.Title.Text = s.title
	p.Title.TextStyle.Font.Size, p.Title.Padding = 14, 4
	p.HideAxes()
	fill := func(pts plotter.XYs, col color.Color) {
		g, err := plotter.NewPolygon(pts)
		if err != nil {
			return
		}
		g.Color, g.LineStyle.Width, g.LineStyle.Color = col, 1, inkColour
		p.Add(g)
	}
	l := c.Lock
	box := boxOutline(c, cut)
	fill(box, boxColour)
	hatch(p, box)
	block := -l.FaceGap - s.out
	fill(plotter.XYs{{X: block - l.Block, Y: cut.low}, {X: block, Y: cut.low}, {X: block, Y: cut.high}, {X: block - l.Block, Y: cut.high}}, tongueColour)
	fill(rootOutline(c, s.out), tongueColour)
	fill(leafOutline(s.leaf, l.Leaf, s.out), tongueColour)
	if len(s.touches) > 0 {
		var pts plotter.XYs
		for _, t := range s.touches {
			y := t.Z
			if l.Slitted() {
				y = t.Y
			}
			pts = append(pts, plotter.XY{X: t.X - s.out, Y: y})
		}
		dots, err := plotter.NewScatter(pts)
		if err == nil {
			dots.GlyphStyle = draw.GlyphStyle{Color: accent, Radius: 4, Shape: draw.CircleGlyph{}}
			p.Add(dots)
		}
	}
	// One mm is as long in both directions.
	x0, x1 := -c.Spring.Way[0].Out-0.5*l.Block, l.BoxLength+0.3
	const high = sectionHigh * wayHigh * 0.8 / (0.98 * wayWide) // of the drawing over its width, the title taken off
	size := max((x1-x0)*high, 1.06*(cut.high-cut.low))
	p.X.Min, p.X.Max = (x0+x1-size/high)/2, (x0+x1+size/high)/2
	p.Y.Min, p.Y.Max = (cut.low+cut.high-size)/2, (cut.low+cut.high+size)/2
	return p
}

// hatch marks an outline as cut: slanting lines where they run inside.
func hatch(p *plot.Plot, outline plotter.XYs) {
	const pitch = 0.35 // mm along x
	xmin, xmax, zmin, zmax := plotter.XYRange(outline)
	for at := xmin - zmax + pitch; at < xmax-zmin; at += pitch { // the line x - z = at
		var zs []float64
		for i, a := range outline {
			b := outline[(i+1)%len(outline)]
			da, db := a.X-a.Y-at, b.X-b.Y-at
			if (da > 0) != (db > 0) {
				zs = append(zs, a.Y+(b.Y-a.Y)*da/(da-db))
			}
		}
		slices.Sort(zs)
		for i := 0; i+1 < len(zs); i += 2 {
			if l, err := plotter.NewLine(plotter.XYs{{X: at + zs[i], Y: zs[i]}, {X: at + zs[i+1], Y: zs[i+1]}}); err == nil {
				l.Width, l.Color = 0.7, hatchColour
				p.Add(l)
			}
		}
	}
}

// skyline is how high underside and top are where the section is cut, mm; a crown or a domed underside has come in there.
type skyline struct{ low, high float64 }

// shoulderCut measures the outside on the finished box, over the middle of a shoulder, in the middle of the lip.
func shoulderCut(c *model.Commission) (skyline, error) {
	l := c.Lock
	if l.Slitted() { // half of it, seen from above
		return skyline{low: 0, high: l.Width / 2}, nil
	}
	box, err := l.Box(clasp.Finished)
	if err != nil {
		return skyline{}, err
	}
	x, y, far := l.Lip/2, l.Bearing(), 1.0
	down := box.Trace(r3.Vec{X: x, Y: y, Z: l.Thickness + far}, r3.Vec{Z: -1}, 2*l.Thickness)
	up := box.Trace(r3.Vec{X: x, Y: y, Z: -far}, r3.Vec{Z: 1}, 2*l.Thickness)
	return skyline{low: up - far, high: l.Thickness + far - down}, nil
}

// boxOutline is the box's section through a shoulder, mouth at the left.
func boxOutline(c *model.Commission, cut skyline) plotter.XYs {
	l := c.Lock
	if l.Slitted() {
		return slitBox(l)
	}
	out := plotter.XYs{{X: 0, Y: cut.low}, {X: l.BoxLength, Y: cut.low}, {X: l.BoxLength, Y: cut.high}, {X: 0, Y: cut.high}}
	for a := math.Pi; a <= 1.5*math.Pi+1e-9; a += math.Pi / 16 { // the lip's round entry
		out = append(out, plotter.XY{X: l.LipEntry + l.LipEntry*math.Cos(a), Y: l.ZLip + l.LipEntry + l.LipEntry*math.Sin(a)})
	}
	return append(out, plotter.XYs{{X: l.Lip, Y: l.ZLip}, {X: l.Lip + l.LipLean(), Y: l.ZFront}, {X: l.XStep, Y: l.ZFront}, {X: l.XStep + clasp.StepRun, Y: l.ZLip},
		{X: l.XRear, Y: l.ZLip}, {X: l.XRear, Y: l.Floor}, {X: 0, Y: l.Floor}}...)
}

// rootOutline is neck and root pad, drawn out by so much.
func rootOutline(c *model.Commission, out float64) plotter.XYs {
	l := c.Lock
	if l.Slitted() {
		return slitRoot(l, out)
	}
	under, top := l.Floor+l.NeckPlay, l.ZLeaf+l.Leaf
	run := l.ZPad - top
	pts := plotter.XYs{{X: -l.FaceGap, Y: under}, {X: l.XPad, Y: under}, {X: l.LeafFrom(), Y: l.ZLeaf}, {X: l.LeafFrom(), Y: top}, {X: l.XPad, Y: top},
		{X: l.XPad - run, Y: l.ZPad}, {X: l.Lip, Y: l.ZPad}, {X: l.XNeck, Y: l.ZPad + l.Lip - l.XNeck}, {X: l.XNeck, Y: l.ZLip - l.NeckPlay}, {X: -l.FaceGap, Y: l.ZLip - l.NeckPlay}}
	if l.Rolled() { // the seat is filled by the strip, the pad ends in its toe
		end := l.XPad - l.Toe
		pts = append(plotter.XYs{{X: -l.FaceGap, Y: under}, {X: l.XSeat, Y: under}, {X: l.XSeat, Y: l.ZLeaf}, {X: end, Y: l.ZLeaf}, {X: end, Y: top + l.Toe}}, pts[5:]...)
	}
	for i := range pts {
		pts[i].X -= out
	}
	return pts
}

// leafOutline is the leaf from its root on: half the thickness on both sides of the middle line, drawn out by so much.
func leafOutline(st []spring.Station, thick, out float64) plotter.XYs {
	for len(st) > 2 && math.Abs(st[0].T-thick) > 1e-6 { // the root, which is thicker
		st = st[1:]
	}
	side := func(s spring.Station, k float64) plotter.XY {
		sin, cos := math.Sincos(s.Angle)
		return plotter.XY{X: s.X - k*s.T/2*sin - out, Y: s.Z + k*s.T/2*cos}
	}
	var pts plotter.XYs
	for _, s := range st {
		pts = append(pts, side(s, 1))
	}
	for i := len(st) - 1; i >= 0; i-- {
		pts = append(pts, side(st[i], -1))
	}
	return pts
}
