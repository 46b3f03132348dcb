package export

import (
	"io"
	"math"

	"golang.org/x/image/font"

	"claspwright/model"
	"claspwright/model/clasp"
)

// closedWords is the room for words above the closed lock and below it, pixels.
const closedWords = 130

// greatest is the widest that the lock is drawn, pixels.
const greatest = 1500

// fitting is the greatest round number of pixels a millimetre at which a length in mm stays below a number of pixels.
func fitting(mm float64, pixels, most int) int {
	for _, s := range []int{80, 70, 60, 50, 40, 35, 30, 25, 20, 18, 15, 12, 10, 5, 2} {
		if s <= most && mm*float64(s) <= float64(pixels) {
			return s
		}
	}
	return 1
}

// WriteClosed draws the closed lock in a three-quarter view, with a quarter cut away, as PNG. parts are box and tongue
// with the quarter gone, the facets of the cut tagged "cut". The projection is parallel, so the stated scale holds
// everywhere for lengths across the line of sight.
func WriteClosed(w io.Writer, c *model.Commission, parts []model.Part) error {
	cam := facingCut(parts)
	x0, y0, x1, y1 := cam.extent(parts)
	scale := fitting(x1-x0, 1300, 60)
	cam.scale = float64(scale)
	wide := max(int((x1-x0)*cam.scale)+2*margin, leastWide(parts, 1000))
	drawn := int((y1 - y0) * cam.scale)
	const top = closedWords
	high := top + drawn + closedWords
	cam.dx = float64(wide)/2 - (x0+x1)/2*cam.scale
	cam.dy = top - y0*cam.scale
	img := blank(wide, high)
	render(img, stage(cam, parts, false))
	err := lettered(func(title, word font.Face) {
		headed(img, title, word, c, "Closed, finished size, a quarter cut away. Parallel view: lengths across the line of sight are to scale.")
		if c.Lock != nil {
			above, under := corners(c.Lock, openedAt(parts))
			rowOf(img, word, cam.labels(above), 108, false)
			rowOf(img, word, cam.labels(under), top+drawn+56, true)
		}
		swatches(img, word, c, margin, high-24, true)
		scaleBar(img, word, wide-margin, high-24, scale)
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}

// openedAt is where the cut along the chain stands, y in mm; 0 if there is none.
func openedAt(parts []model.Part) float64 {
	for _, p := range parts {
		for f, t := range p.Mesh.T {
			if isCut(p.Mesh, f) && math.Abs(normal(p.Mesh, t).Y) > 0.99 {
				return p.Mesh.V[t[0]].Y
			}
		}
	}
	return 0
}

// corners are the places that the words above and below the three-quarter view point at; those inside the lock lie in
// the plane of the cut.
func corners(l *clasp.Lock, y float64) (above, under []mark) {
	if l.Slitted() {
		return slitCorners(l)
	}
	far := (l.XTip + l.XFold) / 2
	above = []mark{
		{"block", -l.Block / 2, l.Width / 4, faceAt(l, l.Width/4)},
		{"thumb tab", l.XTip + l.TabThickness/2, -l.YLeaf(), l.TabTop()},
		{"face", far, l.Width / 4, faceAt(l, l.Width/4)},
	}
	under = []mark{
		{"lip", l.Lip / 2, y, l.ZLip + l.LipDepth},
		{"shoulder", l.XTip + 0.2, y, l.ZTip - l.Taper*l.Leaf/2},
		{"root pad", (l.XNeck + l.XPad) / 2, y, inPad(l, (l.ZLeaf+l.ZPad)/2)},
		{"upper leaf", l.XKnee, y, l.ZUpper - l.Leaf/2},
		{"chamber", l.XPad + 0.35*(l.XKnee-l.XPad), y, l.ZLeaf + l.Leaf + l.Fold},
		{"lower leaf", far + l.Length/6, y, l.ZLeaf + l.Leaf/2},
		{"fold", l.XFold + l.Fold + l.Leaf/2, y, l.ZLeaf + l.Leaf + l.Fold},
	}
	return above, under
}

// faceAt is the height of the face at a distance y from the middle: the crown is an arc.
func faceAt(l *clasp.Lock, y float64) float64 {
	if l.Crown == 0 {
		return l.Thickness
	}
	return l.Thickness - (l.Crown - math.Sqrt(l.Crown*l.Crown-y*y))
}
