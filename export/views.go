package export

import (
	"image"
	"io"
	"math"

	"golang.org/x/image/font"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// The five directions from which the sheet of views looks. x runs to the right in those across the chain.
var (
	fromAbove     = camera{right: r3.Vec{X: 1}, up: r3.Vec{Y: 1}, ahead: r3.Vec{Z: -1}, scale: 1}
	fromBelow     = camera{right: r3.Vec{X: 1}, up: r3.Vec{Y: -1}, ahead: r3.Vec{Z: 1}, scale: 1}
	fromSide      = camera{right: r3.Vec{X: 1}, up: r3.Vec{Z: 1}, ahead: r3.Vec{Y: 1}, scale: 1}
	fromTongueEnd = camera{right: r3.Vec{Y: -1}, up: r3.Vec{Z: 1}, ahead: r3.Vec{X: 1}, scale: 1}
	fromBoxEnd    = camera{right: r3.Vec{Y: 1}, up: r3.Vec{Z: 1}, ahead: r3.Vec{X: -1}, scale: 1}
)

// placed puts a camera so that the parts' upper left corner falls on a pixel, and returns it with the box that they
// fill.
func (c camera) placed(parts []model.Part, scale int, left, top float64) (camera, frame) {
	c.scale = float64(scale)
	x0, y0, x1, y1 := c.extent(parts)
	c.dx, c.dy = left-x0, top-y0
	return c, frame{left, top, left + x1 - x0, top + y1 - y0}
}

// frame is a box in the picture, pixels.
type frame struct{ x0, y0, x1, y1 float64 }

// extents are where the halves begin and end, measured on their meshes, mm.
type extents struct{ boxLo, boxHi, tongueLo, tongueHi r3.Vec }

// extentsOf counts a leaf of strip as of the tongue.
func extentsOf(parts []model.Part) (e extents) {
	for _, p := range parts {
		lo, hi := contour.Bounds(p.Mesh)
		switch {
		case p.Name == clasp.PartBox:
			e.boxLo, e.boxHi = lo, hi
		case p.Name == clasp.PartFloor: // within the box
		case p.Name == model.LoopPart || p.Name == model.StudPart: // beside the lock
		case e.tongueLo == e.tongueHi:
			e.tongueLo, e.tongueHi = lo, hi
		default:
			e.tongueLo = r3.Vec{X: min(lo.X, e.tongueLo.X), Y: min(lo.Y, e.tongueLo.Y), Z: min(lo.Z, e.tongueLo.Z)}
			e.tongueHi = r3.Vec{X: max(hi.X, e.tongueHi.X), Y: max(hi.Y, e.tongueHi.Y), Z: max(hi.Z, e.tongueHi.Z)}
		}
	}
	return e
}

// whole is the length of the closed lock.
func (e extents) whole() float64 { return math.Max(e.boxHi.X, e.tongueHi.X) - e.tongueLo.X }

// viewsSheet is the sheet of views while it is drawn: three views under each other at the left, two and the legend at
// the right.
type viewsSheet struct {
	c                             *model.Commission
	parts                         []model.Part
	e                             extents
	scale                         int
	wide, high                    int
	above, side, below, near, far frame
	cams                          [5]camera
	legendY                       int
}

const (
	viewsWide   = 1400 // the sheet's width that the scale is chosen for, pixels
	viewsColumn = 360  // the least width of the right column, for the legend
	viewsSides  = 190  // between the columns: upright dimensions with their words
	viewsTop    = 116
)

// WriteViews draws the closed lock from above, from the side, from below and from both ends of the chain, at one scale,
// with its outside measures, as PNG. parts are the finished halves, closed. All measures are taken from the meshes.
func WriteViews(w io.Writer, c *model.Commission, parts []model.Part) error {
	s := viewsSheet{c: c, parts: parts, e: extentsOf(parts)}
	s.layOut()
	img := blank(s.wide, s.high)
	var all scene
	for _, cam := range s.cams {
		for _, p := range parts {
			all.add(cam, p, false)
		}
	}
	render(img, all)
	err := lettered(func(title, word font.Face) {
		headed(img, title, word, c, "Closed, finished size, all views at one scale; measures in mm.")
		s.captions(img, word)
		s.lengths(dimension{img, word})
		s.heights(dimension{img, word})
		s.window(dimension{img, word})
		listing(img, word, s.measures(), int(s.near.x0), s.legendY, viewsColumn)
		swatches(img, word, s.c, margin, s.high-24, false)
		scaleBar(img, word, s.wide-margin, s.high-24, s.scale)
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}

// layOut chooses the scale and places all views.
func (s *viewsSheet) layOut() {
	ax0, ay0, ax1, ay1 := fromAbove.extent(s.parts)
	broad := ay1 - ay0
	s.scale = fitting(ax1-ax0+math.Max(broad, 1), viewsWide-2*margin-viewsSides, 60)
	left := float64(margin)
	s.cams[0], s.above = fromAbove.placed(s.parts, s.scale, left, viewsTop+72)
	s.cams[1], s.side = fromSide.placed(s.parts, s.scale, left, s.above.y1+110)
	s.cams[2], s.below = fromBelow.placed(s.parts, s.scale, left, s.side.y1+64)
	right := s.above.x1 + viewsSides
	s.cams[3], s.near = fromTongueEnd.placed(s.parts, s.scale, right, viewsTop+40)
	s.cams[4], s.far = fromBoxEnd.placed(s.parts, s.scale, right, s.near.y1+100)
	s.legendY = int(s.far.y1) + 70
	column := math.Max(s.near.x1-s.near.x0, viewsColumn)
	s.wide = max(int(right+column)+margin, 1000)
	foot := math.Max(s.below.y1+60, float64(s.legendY+26*len(s.measures())))
	s.high = int(foot) + 60
}

func (s *viewsSheet) captions(img *image.RGBA, word font.Face) {
	for _, v := range []struct {
		at   frame
		lift float64
		say  string
	}{
		{s.above, 62, "from above: the face"}, {s.side, 14, "from the side"}, {s.below, 14, s.belowTitle()},
		{s.near, 14, "along the chain, from the tongue's end"}, {s.far, 14, "along the chain, from the box's end"},
	} {
		say(img, word, int(v.at.x0), int(v.at.y0-v.lift), quiet, v.say)
	}
}

// lengths are the dimensions along the chain, over and under the view from above, and the width beside it.
func (s *viewsSheet) lengths(d dimension) {
	cam, f := s.cams[0], s.above
	x := func(mm float64) float64 { return float64(mm*cam.scale) + cam.dx }
	block := s.blockEnd()
	d.level(x(s.e.tongueLo.X), f.x1, f.y0-28, f.y0, f.y0, sized("whole", s.e.whole()))
	d.level(x(s.e.tongueLo.X), x(block), f.y1+34, f.y1, f.y1, sized("block"+s.lugged(), block-s.e.tongueLo.X))
	d.level(x(s.e.boxLo.X), x(s.e.boxHi.X), f.y1+34, f.y1, f.y1, sized("box"+s.lugged(), s.e.boxHi.X-s.e.boxLo.X))
	d.upright(f.y0, f.y1, f.x1+34, f.x1, f.x1, sized("width", (f.y1-f.y0)/cam.scale))
}

// blockEnd is where the block ends towards the box, mm.
func (s *viewsSheet) blockEnd() float64 { return s.e.boxLo.X - s.c.Lock.FaceGap }

// lugged is said of a half that reaches past its end face.
func (s *viewsSheet) lugged() string {
	if s.e.boxHi.X > s.c.Lock.BoxLength+0.02 {
		return " and lug"
	}
	return ""
}

// heights are the dimensions that stand: thickness, and the tab above the face.
func (s *viewsSheet) heights(d dimension) {
	cam, f := s.cams[1], s.side
	y := func(mm float64) float64 { return cam.dy - float64(mm*cam.scale) }
	d.upright(y(s.e.boxHi.Z), y(s.e.boxLo.Z), f.x1+34, f.x1, f.x1, sized("thickness", s.e.boxHi.Z-s.e.boxLo.Z))
	tab := float64((s.c.Lock.XTip+s.c.Lock.TabThickness)*cam.scale) + cam.dx
	d.upright(y(s.e.tongueHi.Z), y(s.e.boxHi.Z), tab+40, tab, tab+30, sized("tab", s.tab()))
}

// tab is how high the thumb tab stands above the face.
func (s *viewsSheet) tab() float64 { return s.e.tongueHi.Z - s.e.boxHi.Z }

// belowTitle names what the view from below shows.
func (s *viewsSheet) belowTitle() string {
	if l := s.c.Lock; l != nil && l.FloorKind != "window" {
		return "from below: the " + l.FloorKind + " floor"
	}
	return "from below: the window"
}

// window is the place of the window, in the view from below.
func (s *viewsSheet) window(d dimension) {
	l := s.c.Lock
	if l.WindowLength <= 0 {
		return
	}
	cam, f := s.cams[2], s.below
	x0, y1, _ := cam.pixel(r3.Vec{X: l.XWindow, Y: -l.YLeaf() + l.WindowWidth/2})
	x1, y0, _ := cam.pixel(r3.Vec{X: l.XWindow + l.WindowLength, Y: -l.YLeaf() - l.WindowWidth/2})
	d.level(x0, x1, f.y1+30, y1, y1, sized("window", l.WindowLength))
	d.upright(min(y0, y1), max(y0, y1), f.x1+34, x1, x1, sized("window", l.WindowWidth))
}

// measures are the legend of the sheet of views.
func (s *viewsSheet) measures() []measure {
	l := s.c.Lock
	ms := []measure{
		{"width", s.e.boxHi.Y - s.e.boxLo.Y}, {"thickness", s.e.boxHi.Z - s.e.boxLo.Z},
		{"whole length, closed", s.e.whole()}, {"box" + s.lugged(), s.e.boxHi.X - s.e.boxLo.X},
		{"block" + s.lugged(), s.blockEnd() - s.e.tongueLo.X},
	}
	if s.lugged() != "" {
		ms = append(ms, measure{"box alone", l.BoxLength}, measure{"block alone", l.Block})
	}
	above := "tab above the face"
	if l.Double() && l.Crown > 0 {
		above = "tab above the crown's top"
	}
	ms = append(ms, []measure{
		{"face gap, box to block", l.FaceGap}, {above, s.tab()}, {"tab, width", l.TabWidth}, {"tab, along the chain", l.TabThickness},
		{"notch, width", l.NotchWidth},
	}...)
	if l.WindowLength > 0 {
		ms = append(ms, measure{"window, along the chain", l.WindowLength}, measure{"window, across", l.WindowWidth})
	}
	if l.Hollow > 0 {
		ms = append(ms, measure{"underside, hollowed to radius", l.Hollow}, measure{"hollow, depth in the middle", l.HollowAt(l.Middle())})
	}
	if l.Loose() {
		lo, hi := contour.Bounds(s.parts[2].Mesh)
		ms = append(ms, measure{"floor, along the chain", hi.X - lo.X}, measure{"floor, across", hi.Y - lo.Y}, measure{"floor, thickest", hi.Z - lo.Z})
	}
	if len(l.XCoreHoles) > 0 {
		ms = append(ms, measure{"core holes, diameter", l.CoreHole})
	}
	if l.Crown > 0 {
		ms = append(ms, measure{"crown, radius", l.Crown})
	}
	if l.Edge > 0 {
		ms = append(ms, measure{"eased long edges, radius", l.Edge})
	}
	return ms
}
