package export

import (
	"fmt"
	"image"

	"golang.org/x/image/font"
)

// dimension writes dimension lines into a picture: the length between two places, with arrows at its ends and lines
// that lead to the places.
type dimension struct {
	img  *image.RGBA
	word font.Face
}

const (
	arrow   = 9.0 // length of an arrow's head, pixels
	overrun = 6.0 // of a leading line past the dimension line
	air     = 4.0 // between the object and a leading line
)

// level draws a dimension along the chain or across it: from x0 to x1 at the height y, led there from the heights from0
// and from1. Where the words do not fit between the arrows they stand to the right, and the arrows point inwards.
func (d dimension) level(x0, x1, y, from0, from1 float64, words string) {
	d.lead(x0, from0, x0, y)
	d.lead(x1, from1, x1, y)
	wide := float64(width(d.word, words))
	if x1-x0 < wide+4*arrow {
		d.stroke(x0-2*arrow, y, x0, y)
		d.stroke(x1, y, x1+2*arrow, y)
		d.head(x0, y, 1, 0)
		d.head(x1, y, -1, 0)
		say(d.img, d.word, int(x1+2*arrow)+5, int(y)+6, ink, words)
		return
	}
	mid := (x0 + x1) / 2
	d.stroke(x0, y, mid-wide/2-6, y)
	d.stroke(mid+wide/2+6, y, x1, y)
	d.head(x0, y, -1, 0)
	d.head(x1, y, 1, 0)
	say(d.img, d.word, int(mid-wide/2), int(y)+6, ink, words)
}

// upright draws a dimension that stands: from y0 down to y1 at x, led there from from0 and from1, its words to the right.
func (d dimension) upright(y0, y1, x, from0, from1 float64, words string) {
	d.lead(from0, y0, x, y0)
	d.lead(from1, y1, x, y1)
	if y1-y0 < 4*arrow {
		d.stroke(x, y0-2*arrow, x, y0)
		d.stroke(x, y1, x, y1+2*arrow)
		d.head(x, y0, 0, 1)
		d.head(x, y1, 0, -1)
	} else {
		d.stroke(x, y0, x, y1)
		d.head(x, y0, 0, -1)
		d.head(x, y1, 0, 1)
	}
	say(d.img, d.word, int(x)+9, int((y0+y1)/2)+6, ink, words)
}

// lead draws a leading line from near a place to past the dimension line.
func (d dimension) lead(x0, y0, x1, y1 float64) {
	ux, uy := sign(x1-x0), sign(y1-y0)
	line(d.img, x0+air*ux, y0+air*uy, x1+overrun*ux, y1+overrun*uy, 0.4, 0.6, true)
}

func (d dimension) stroke(x0, y0, x1, y1 float64) { line(d.img, x0, y0, x1, y1, 0.5, 0.9, true) }

// head draws an arrow's head whose point is at (x, y) and looks along (ux, uy).
func (d dimension) head(x, y, ux, uy float64) {
	for k := 0.0; k <= arrow; k += 0.5 {
		half := k * 0.3
		line(d.img, x-k*ux-half*uy, y-k*uy-half*ux, x-k*ux+half*uy, y-k*uy+half*ux, 0.5, 1, true)
	}
}

func sign(v float64) float64 {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// sized names a length: "width 12.40".
func sized(name string, mm float64) string { return fmt.Sprintf("%s %.2f", name, mm) }
