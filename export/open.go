package export

import (
	"io"
	"math"
	"slices"

	"golang.org/x/image/font"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
)

// WriteOpen draws both halves in a three-quarter view, the tongue drawn out of the box along the chain, as PNG. parts
// are the finished halves, the tongue moved. The projection is parallel: the stated scale holds for lengths across the
// line of sight.
func WriteOpen(w io.Writer, c *model.Commission, parts []model.Part) error {
	by := drawnOut(c, parts)
	above, under := openPlaces(c.Lock, by)
	cam := seeingMost(parts, append(slices.Clone(above), under...))
	x0, _, x1, _ := cam.extent(parts)
	scale := fitting(x1-x0, 1336, 60)
	const top = 150
	wide := max(int((x1-x0)*float64(scale))+2*margin, 1000)
	cam, f := cam.placed(parts, scale, (float64(wide)-(x1-x0)*float64(scale))/2, top)
	high := int(f.y1) + 120
	img := blank(wide, high)
	render(img, stage(cam, parts, false))
	err := lettered(func(title, word font.Face) {
		headed(img, title, word, c, "Open, finished size, the leaf relaxed. Parallel view: lengths across the line of sight are to scale.")
		wayIn(dimension{img, word}, cam, c.Lock, by)
		rowOf(img, word, cam.labels(cam.seen(parts, above)), 108, false)
		rowOf(img, word, cam.labels(cam.seen(parts, under)), int(f.y1)+46, true)
		wireSwatch(img, word, c, swatches(img, word, c, margin, high-24, false), high-24)
		scaleBar(img, word, wide-margin, high-24, scale)
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}

// openEyes are the three-quarter views to choose from for the open lock, the best liked first: a thick block hides what
// lies behind it, and a steeper look sees over it.
var openEyes = []r3.Vec{
	{X: -0.4, Y: -0.75, Z: 0.55}, {X: -0.28, Y: -0.8, Z: 0.55}, {X: -0.2, Y: -0.75, Z: 0.65}, {X: -0.15, Y: -0.7, Z: 0.75},
}

// seeingMost is the first of the views that hides the fewest of the places.
func seeingMost(parts []model.Part, places []mark) camera {
	best, most := camera{}, -1
	for _, eye := range openEyes {
		cam := from(eye)
		if n := len(cam.seen(parts, places)); n > most {
			best, most = cam, n
		}
	}
	return best
}

// seen are those of the places that nothing hides.
func (c camera) seen(parts []model.Part, places []mark) []mark {
	var out []mark
	for _, m := range places {
		if !c.hides(parts, r3.Vec{X: m.x, Y: m.y, Z: m.z}) {
			out = append(out, m)
		}
	}
	return out
}

// hides says whether a facet stands before a place by more than a tenth of a millimetre, so that a place on a surface
// does not hide itself.
func (c camera) hides(parts []model.Part, at r3.Vec) bool {
	const near = 0.1
	x, y, depth := c.pixel(at)
	for _, p := range parts {
		for _, t := range p.Mesh.T {
			var k [3]corner
			for i, v := range t {
				k[i].x, k[i].y, k[i].z = c.pixel(p.Mesh.V[v])
			}
			if z, in := depthAt(k, x, y); in && z < depth-near {
				return true
			}
		}
	}
	return false
}

// depthAt is the depth of a facet where it covers a place in the picture.
func depthAt(t [3]corner, x, y float64) (z float64, in bool) {
	cross := func(a, b corner) float64 { return (b.x-a.x)*(y-a.y) - (b.y-a.y)*(x-a.x) }
	u, v, w := cross(t[1], t[2]), cross(t[2], t[0]), cross(t[0], t[1])
	sum := u + v + w
	if sum == 0 || (u < 0 || v < 0 || w < 0) && (u > 0 || v > 0 || w > 0) {
		return 0, false
	}
	return (u*t[0].z + v*t[1].z + w*t[2].z) / sum, true
}

// drawnOut is how far the tongue was moved along the chain, mm, negative out of the box.
func drawnOut(c *model.Commission, parts []model.Part) float64 {
	return extentsOf(parts).tongueHi.X - extentsOf(model.Closed(c)).tongueHi.X
}

// wayIn draws an arrow from the fold to the mouth, at mid-width.
func wayIn(d dimension, cam camera, l *clasp.Lock, by float64) {
	z := l.Floor + l.Mouth/2
	ax, ay, _ := cam.pixel(r3.Vec{X: l.XFold + l.Fold + l.Leaf + by + 0.6, Z: z})
	bx, by2, _ := cam.pixel(r3.Vec{X: -0.3, Z: z})
	thin(d.img, ax, ay, bx, by2)
	long := math.Hypot(bx-ax, by2-ay)
	if long == 0 {
		return
	}
	d.head(bx, by2, (bx-ax)/long, (by2-ay)/long)
}

// openPlaces are the places that the words above and below the open lock point at, all on surfaces that are seen.
func openPlaces(l *clasp.Lock, by float64) (above, under []mark) {
	if l.Slitted() {
		above, under = slitPlaces(l, by)
		return above, withCatch(l, by, under)
	}
	near := -l.YLeaf() // the middle of the leaf nearer to the viewer
	edge := near - l.LowerWidth/2
	shoulder := near - l.NotchWidth/2 - l.Shoulder()*0.7
	above = []mark{
		{"block", -l.Block/2 - l.FaceGap + by, 0, faceAt(l, 0)},
		{"thumb tab", l.XTip + l.TabThickness/2 + by, near, l.TabTop()},
		{"shoulder", l.XTip + 0.3 + by, shoulder, l.ZTip},
		{"upper leaf", l.XKnee + by, near, l.ZUpper},
		{"notch", l.Lip, near, l.Thickness - 0.4},
		{"face", (l.XNotch + l.BoxLength) / 2, 0, faceAt(l, 0)},
	}
	under = []mark{
		{"root pad", (l.XNeck+l.XPad)/2 + by, edge, inPad(l, (l.ZLeaf+l.ZPad)/2)},
		{"lower leaf", (l.XPad+l.XFold)/2 + by, edge, l.ZLeaf + l.Leaf/2},
		{"fold", l.XFold + l.Fold/2 + by, near - l.UpperWidth/2, l.ZLeaf + l.Leaf/2},
		{"mouth", 0, near - l.Chamber/4, l.Floor + l.Mouth/2},
		{"lip", 0, -l.Bearing(), l.ZLip + l.LipDepth},
		{"side wall", l.BoxLength / 2, -l.Width / 2, l.Thickness / 2},
	}
	return above, withCatch(l, by, under)
}

// withCatch adds the places of a safety catch.
func withCatch(l *clasp.Lock, by float64, under []mark) []mark {
	k := l.Catch
	if !l.HasCatch() {
		return under
	}
	return append(under, mark{"hinge tube", k.XTube + by, -(l.Width/2 + k.Lies + k.Outside/2), k.Z}, mark{"stud", k.XStud, -(l.Width/2 + k.Centre + k.Ball/2), k.Z})
}
