package export

import (
	"fmt"
	"io"
	"math"

	"golang.org/x/image/font"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
)

// WriteGaugesPicture draws the crown gauge from above and the coupon from a corner, as PNG, each at the greatest scale that fits.
func WriteGaugesPicture(w io.Writer, g *model.Gauges) error {
	const wide, high, column, top = 1400, 760, 560.0, 180.0
	img := blank(wide, high)
	plate, coupon := []model.Part{g.Plate}, []model.Part{g.Casting}
	a, left := fitted(fromAbove, plate, margin, top, column-2*margin, high-top-90)
	b, right := fitted(from(r3.Vec{X: -0.35, Y: 0.75, Z: 0.75}), coupon, column+margin, top, wide-column-2*margin, high-top-90)
	s := stage(a, plate, false)
	s.add(b, g.Casting, false)
	render(img, s)
	err := lettered(func(title, word font.Face) {
		say(img, title, margin, 46, ink, "Gauges for a curb chain "+chain(g.Commission))
		say(img, word, margin, 74, quiet, metals(g.Commission)+". Crown gauge: print true to size. Coupon: print grown, cast two.")
		say(img, word, margin, int(top)-40, ink, fmt.Sprintf("crown gauge, %.1f x %.1f mm; notches mark the no-go", g.Crown.Wide, g.Crown.High))
		say(img, word, int(left.x0), int(left.y0)-10, quiet, fmt.Sprintf("no-go: %.2f mm, feet must stay off the plate", g.Crown.NoGoHeight))
		say(img, word, int(left.x0), int(left.y1)+24, quiet, fmt.Sprintf("go: %.2f mm, feet must touch the plate", g.Crown.GoHeight))
		say(img, word, int(column)+margin, int(top)-40, ink, fmt.Sprintf("fit coupon, bar of %.2f mm", g.Coupon.Length))
		say(img, word, int(column)+margin, int(right.y1)+24, quiet, fmt.Sprintf("slots with %.3f to %.3f mm a side for a tongue of %.2f mm; far tongue %.2f mm", g.Coupon.Slots[0].Play[0], g.Coupon.Slots[len(g.Coupon.Slots)-1].Play[0], g.Coupon.Tongues[0], g.Coupon.Tongues[1]))
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}

// fitted places a camera so that parts fill a frame from its upper left, and says what they fill.
func fitted(cam camera, parts []model.Part, left, top, wide, high float64) (camera, frame) {
	x0, y0, x1, y1 := cam.extent(parts)
	cam.scale = math.Min(wide/(x1-x0), high/(y1-y0))
	cam.dx, cam.dy = left-x0*cam.scale, top-y0*cam.scale
	return cam, frame{left, top, left + (x1-x0)*cam.scale, top + (y1-y0)*cam.scale}
}
