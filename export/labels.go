package export

import (
	"image"
	"math"

	"golang.org/x/image/font"
)

// label is a word that points at a spot in the picture.
type label struct {
	word string
	x, y float64 // the spot, pixels
}

// rowOf writes labels in a row at a baseline, in the order of their spots from left to right so that no two lines
// cross, moved apart where words would touch, and leads a line from each to its spot. below says that the row stands
// below the spots.
func rowOf(img *image.RGBA, f font.Face, labels []label, baseline int, below bool) {
	sortByX(labels)
	lefts := spread(f, labels, img.Bounds().Dx())
	for i, l := range labels {
		wide := width(f, l.word)
		say(img, f, lefts[i], baseline, ink, l.word)
		from := float64(baseline + 6)
		if below {
			from = float64(baseline - wordSize)
		}
		thin(img, float64(lefts[i])+float64(wide)/2, from, l.x, l.y)
		spot(img, l.x, l.y)
	}
}

func sortByX(labels []label) {
	for i := 1; i < len(labels); i++ {
		for k := i; k > 0 && labels[k].x < labels[k-1].x; k-- {
			labels[k], labels[k-1] = labels[k-1], labels[k]
		}
	}
}

// spread finds the left end of each word: centred over its spot, pushed right by its neighbour, then left by the
// picture's edge.
func spread(f font.Face, labels []label, wide int) []int {
	const gap, margin = 16, 24
	lefts := make([]int, len(labels))
	least := margin
	for i, l := range labels {
		lefts[i] = max(least, int(math.Round(l.x))-width(f, l.word)/2)
		least = lefts[i] + width(f, l.word) + gap
	}
	most := wide - margin
	for i := len(labels) - 1; i >= 0; i-- {
		lefts[i] = min(lefts[i], most-width(f, labels[i].word))
		most = lefts[i] - gap
	}
	return lefts
}

// thin draws a line one pixel wide with soft edges, over a light one that keeps it apart from what is below.
func thin(img *image.RGBA, x0, y0, x1, y1 float64) {
	line(img, x0, y0, x1, y1, 2, 0.55, false)
	line(img, x0, y0, x1, y1, 0.75, 1, true)
}

// line blends a line of a half width into the picture.
func line(img *image.RGBA, x0, y0, x1, y1, half, strength float64, dark bool) {
	c := ground
	if dark {
		c = ink
	}
	long := math.Hypot(x1-x0, y1-y0)
	if long == 0 {
		return
	}
	ux, uy := (x1-x0)/long, (y1-y0)/long
	box := image.Rect(int(math.Min(x0, x1)-half-1), int(math.Min(y0, y1)-half-1), int(math.Max(x0, x1)+half+2), int(math.Max(y0, y1)+half+2))
	box = box.Intersect(img.Bounds())
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			px, py := float64(x)+0.5-x0, float64(y)+0.5-y0
			along, off := px*ux+py*uy, math.Abs(py*ux-px*uy)
			if along < 0 || along > long || off > half+0.5 {
				continue
			}
			img.SetRGBA(x, y, mix(img.RGBAAt(x, y), c, strength*math.Min(1, half+0.5-off)))
		}
	}
}

// spot marks the end of a line with a dot.
func spot(img *image.RGBA, cx, cy float64) {
	const r = 3.5
	for y := int(cy - r - 1); y <= int(cy+r+1); y++ {
		for x := int(cx - r - 1); x <= int(cx+r+1); x++ {
			if !(image.Point{X: x, Y: y}.In(img.Bounds())) {
				continue
			}
			d := math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy)
			if d < r+0.5 {
				img.SetRGBA(x, y, mix(img.RGBAAt(x, y), ink, math.Min(1, r+0.5-d)))
			}
		}
	}
}
