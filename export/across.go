package export

import (
	"image"
	"io"
	"math"

	"golang.org/x/image/font"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
)

// station is one section across the chain: where it is, its words, and what is measured in it.
type station struct {
	title        string
	x            float64
	above, under []mark
	gauged       []gauged
	parts        []model.Part
	cam          camera
	at           frame
}

// gauged is one measure in a section. side is where its letter stands, in pixels from its middle, or from its far end if
// end is set.
type gauged struct {
	name  string
	found found
	side  [2]float64
	end   bool
}

// WriteAcross draws three sections across the chain side by side, as PNG, all seen from the tongue's end: through the
// lip, through the shoulders at the chamber's front, and through the window near the fold. What is measured is lettered;
// each length is felt on the solids where it is drawn.
func WriteAcross(w io.Writer, c *model.Commission) error {
	stations, err := stationsOf(c)
	if err != nil {
		return err
	}
	const top, between = 190, 40
	x0, _, x1, _ := fromTongueEnd.extent(stations[0].parts)
	n := len(stations)
	scale := fitting(float64(n)*(x1-x0), greatest-2*margin-(n-1)*between, 60)
	wide := max(2*margin+(n-1)*between+int(float64(n*scale)*(x1-x0)), 1180)
	column := (wide - 2*margin + between) / n
	var all scene
	foot, most, head := 0.0, 0, math.Inf(1)
	for _, s := range stations {
		_, y0, _, _ := fromTongueEnd.extent(s.parts)
		head = math.Min(head, y0)
	}
	for i := range stations {
		s := &stations[i]
		left := float64(margin+i*column) + (float64(column-between)-(x1-x0)*float64(scale))/2
		s.cam, s.at = fromTongueEnd.placed(s.parts, scale, left, top)
		drop := top - head*float64(scale) - s.cam.dy // all stand on one line
		s.cam.dy, s.at.y1 = s.cam.dy+drop, s.at.y1+drop
		for _, p := range s.parts {
			all.add(s.cam, p, true)
		}
		foot, most = math.Max(foot, s.at.y1), max(most, len(s.gauged))
	}
	high := int(foot) + 104 + 26*most + 50
	img := blank(wide, high)
	render(img, all)
	err = lettered(func(title, word font.Face) {
		headed(img, title, word, c, "Closed, finished size, sections across the chain, seen from the tongue's end. Pale: beyond the section.")
		letter := 'a'
		var above, under []label
		for i, s := range stations {
			left := margin + i*column
			say(img, word, left, 106, ink, s.title)
			above = append(above, s.cam.labels(s.above)...)
			under = append(under, s.cam.labels(s.under)...)
			for _, m := range s.gauged {
				s.cam.gaugeBar(img, m)
			}
			for k, m := range s.gauged {
				s.cam.gaugeLetter(img, word, m, string(letter))
				say(img, word, left, int(foot)+104+26*k, ink, string(letter))
				legendRow(img, word, measure{m.name, m.found.mm()}, left+26, int(foot)+104+26*k, min(column-between-26, 340))
				letter++
			}
		}
		rowOf(img, word, above, 144, false)
		rowOf(img, word, under, int(foot)+50, true)
		swatches(img, word, c, margin, high-24, true)
		scaleBar(img, word, wide-margin, high-24, scale)
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}

// gaugeBar draws a measured length, and the line to its letter.
func (c camera) gaugeBar(img *image.RGBA, m gauged) {
	ax, ay, _ := c.pixel(m.found.a)
	bx, by, _ := c.pixel(m.found.b)
	x, y := c.letterFrom(m)
	thin(img, x, y, x+m.side[0], y+m.side[1])
	bar(img, ax, ay, bx, by)
}

// gaugeLetter writes the letter of a measured length on a white disc.
func (c camera) gaugeLetter(img *image.RGBA, word font.Face, m gauged, letter string) {
	x, y := c.letterFrom(m)
	x, y = x+m.side[0], y+m.side[1]
	disc(img, x, y)
	say(img, word, int(math.Round(x))-width(word, letter)/2, int(math.Round(y))+5, ink, letter)
}

// letterFrom is where the line to a letter begins.
func (c camera) letterFrom(m gauged) (x, y float64) {
	at := m.found.mid()
	if m.end {
		at = m.found.b
	}
	x, y, _ = c.pixel(at)
	return x, y
}

// bar is a thick line with light edges.
func bar(img *image.RGBA, ax, ay, bx, by float64) {
	line(img, ax, ay, bx, by, 3.5, 1, false)
	line(img, ax, ay, bx, by, 1.5, 1, true)
}

// disc is the white ground of a letter, with a rim.
func disc(img *image.RGBA, cx, cy float64) {
	const r = 10.0
	for y := int(cy - r - 1); y <= int(cy+r+1); y++ {
		for x := int(cx - r - 1); x <= int(cx+r+1); x++ {
			if !(image.Point{X: x, Y: y}.In(img.Bounds())) {
				continue
			}
			d := math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy)
			img.SetRGBA(x, y, mix(img.RGBAAt(x, y), ground, math.Max(0, math.Min(1, r+0.5-d))))
			img.SetRGBA(x, y, mix(img.RGBAAt(x, y), ink, math.Max(0, 1-math.Abs(d-r))))
		}
	}
}

// stationsOf cuts the lock at the three stations and measures there.
func stationsOf(c *model.Commission) ([]station, error) {
	g := gaugeOf(model.Closed(c))
	var out []station
	if c.Lock.Slitted() {
		out = slitStations(c.Lock, g)
	} else {
		out = []station{atLip(c.Lock, g), atFront(c.Lock, g), atWindow(c.Lock, g)}
	}
	for i := range out {
		parts, err := model.Across(c, out[i].x)
		if err != nil {
			return nil, err
		}
		out[i].parts = parts
	}
	return out, nil
}

var leftward, down, upward = r3.Vec{Y: 1}, r3.Vec{Z: -1}, r3.Vec{Z: 1} // as seen from the tongue's end

// atLip is the section through the lip.
func atLip(l *clasp.Lock, g gauge) station {
	x := l.Lip / 2
	bearing := l.NotchWidth/2 + l.Shoulder()/2 // from the leaf's middle
	p := func(y, z float64) r3.Vec { return r3.Vec{X: x, Y: l.YLeaf() + y, Z: z} }
	neck := p(bearing, (l.ZLeaf+l.ZPad)/2)
	return station{
		title: "through the lip", x: x,
		above: []mark{
			{"lip", x, l.YLeaf() + bearing, l.ZLip + 0.6*(l.Thickness-l.ZLip)}, {"thumb tab", x, l.YLeaf(), l.TabTop() - l.TabHeight/2},
			{"notch", x, l.YLeaf() - l.NotchWidth/2 + 0.08, l.Thickness - 0.3},
		},
		under: []mark{
			{"neck", x, l.YLeaf() + l.LowerWidth*0.1, neck.Z}, {"floor", x, l.YLeaf() - l.LowerWidth*0.15, g.wall(p(-l.LowerWidth*0.15, l.Floor+1e-3), down).mid().Z},
			{"side wall", x, -l.Outer() - l.Wall/2, l.ZLip * 0.8},
		},
		gauged: []gauged{
			{"mouth, height", g.hollow(p(-bearing, l.ZLip-1e-3), upward), [2]float64{16, 0}, false},
			{"neck to lip", g.play(neck, upward), [2]float64{0, -26}, false},
			{"notch, width", g.hollow(p(0, l.Thickness*0.45+l.ZLip*0.55), leftward), [2]float64{0, 16}, false},
			{"neck to side wall", g.play(neck, leftward), [2]float64{26, 0}, false},
		},
	}
}

// atFront is the section through the shoulders, at the chamber's front.
func atFront(l *clasp.Lock, g gauge) station {
	x := l.XTip + l.TabThickness/2
	bearing := l.NotchWidth/2 + l.Shoulder()/2 // from the leaf's middle
	p := func(y, z float64) r3.Vec { return r3.Vec{X: x, Y: l.YLeaf() + y, Z: z} }
	leaf := l.ZTip - (l.ZTip-l.ZUpper)*(x-l.XTip)/(l.XKnee-l.XTip) - l.Taper*l.Leaf/2
	corner := p(l.Chamber/2-1e-3, l.ZFront-1e-3)
	roof, room := g.square(corner), 0.3
	if l.Double() { // the crown falls there, and the foot of the square may lie past the side; room is clear of the letters
		dy, dz := l.Square(corner.Y)
		roof, room = g.wall(corner, r3.Vec{Y: dy, Z: dz}), 0.1
	}
	return station{
		title: "through the shoulders", x: x,
		above: []mark{
			{"roof", x, l.YLeaf() - bearing, (l.ZFront + l.Thickness) / 2}, {"thumb tab", x, l.YLeaf(), l.TabTop() - l.TabHeight/2},
			{"shoulder", x, l.YLeaf() + l.NotchWidth/2 + l.Shoulder()*0.5, leaf},
		},
		under: []mark{
			{"root pad", x, l.YLeaf() - l.LowerWidth*0.15, inPad(l, (l.ZLeaf+l.ZPad)/2)}, {"chamber", x, l.YLeaf() + l.LowerWidth*room, (l.ZPad + leaf - l.Leaf/2) / 2},
		},
		gauged: []gauged{
			{"roof at the corner", roof, [2]float64{16, 0}, false},
			{"upper leaf to side wall", g.play(p(bearing, leaf), leftward), [2]float64{30, 22}, false},
			{"leaf to roof", g.play(p(-bearing, leaf), upward), [2]float64{0, 26}, false},
			{"tab to notch, each side", g.play(p(0, (l.ZFront+l.Thickness)/2), leftward), [2]float64{26, 0}, false},
			{"neck and root pad, width", g.metal(p(0, l.ZPad-0.1), leftward), [2]float64{0, 16}, false},
		},
	}
}

// atWindow is the section through the window, near the fold.
func atWindow(l *clasp.Lock, g gauge) station {
	x, title, opening := l.XFold-0.2-l.WindowLength/2, "through the window, near the fold", "window"
	if l.WindowLength == 0 {
		x, title, opening = l.BesideHoles(l.XFold-1.7), "near the fold", "floor"
	}
	p := func(y, z float64) r3.Vec { return r3.Vec{X: x, Y: l.YLeaf() + y, Z: z} }
	lower, upper := l.ZLeaf+l.Leaf/2, l.ZUpper-l.Leaf/2
	beside := (l.WindowWidth + l.Chamber) / 4
	over := "roof at mid-width"
	if l.Double() {
		over = "roof over the leaf's middle"
	}
	at := station{
		title: title, x: x,
		above: []mark{
			{"roof", x, l.YLeaf() - l.Chamber/4, (l.ZUpper + l.Thickness) / 2}, {"upper leaf", x, l.YLeaf() + l.UpperWidth/4, upper},
		},
		under: []mark{
			{"lower leaf", x, l.YLeaf() + l.LowerWidth/4, lower}, {opening, x, l.YLeaf(), inFloor(l, x)},
		},
		gauged: []gauged{
			{over, g.wall(p(0, l.ZLip-1e-3), upward), [2]float64{16, 0}, false},
			{"side wall", g.wall(r3.Vec{X: x, Y: -l.Outer() + 1e-3, Z: upper}, r3.Scale(-1, leftward)), [2]float64{17, 0}, true},
			{"floor", g.wall(p(-beside, l.Floor+1e-3), down), [2]float64{16, 0}, false},
			{"chamber, width", g.hollow(p(0, l.ZLeaf+l.Leaf+l.Fold), leftward), [2]float64{0, 0}, false},
			{"lower leaf to side wall", g.play(p(0, lower), leftward), [2]float64{26, 0}, false},
		},
	}
	if l.Double() {
		inner := r3.Vec{X: x, Y: l.YLeaf() - l.Chamber/2 + 1e-3, Z: lower + l.Leaf}
		at.gauged = append(at.gauged, gauged{"wall between the chambers", g.wall(inner, r3.Scale(-1, leftward)), [2]float64{0, 18}, false})
	}
	return at
}
