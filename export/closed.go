package export

import (
	"io"

	"golang.org/x/image/font"

	"claspwright/model"
)

// greatest is the widest that the lock is drawn, pixels.
const greatest = 1500

// fitting is the greatest round number of pixels a millimetre at which a length in mm stays below a number of pixels.
func fitting(mm float64, pixels, most int) int {
	for _, s := range []int{80, 70, 60, 50, 40, 30, 25, 20, 15, 10, 5, 2} {
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
	wide := max(int((x1-x0)*cam.scale)+2*margin, 1000)
	high := int((y1-y0)*cam.scale) + 110 + 70
	cam.dx = float64(wide)/2 - (x0+x1)/2*cam.scale
	cam.dy = 100 - y0*cam.scale
	img := blank(wide, high)
	render(img, stage(cam, parts, false))
	err := lettered(func(title, word font.Face) {
		headed(img, title, word, c, "Closed, finished size, a quarter cut away.")
		swatches(img, word, margin, high-24, true)
		scaleBar(img, word, wide-margin, high-24, scale)
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}
