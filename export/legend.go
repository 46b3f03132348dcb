package export

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"slices"

	"golang.org/x/image/font"

	"claspwright/model"
)

// blank is an empty picture.
func blank(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(img, img.Bounds(), image.NewUniform(ground), image.Point{}, draw.Src)
	return img
}

// encode writes a picture as PNG; Go's encoder writes neither time nor name.
func encode(w io.Writer, img *image.RGBA) error {
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	return enc.Encode(w, img)
}

// headHigh is how much of a picture its head takes, pixels.
const headHigh = 84

// headed writes the two lines at the top of a picture.
func headed(img *image.RGBA, title, word font.Face, c *model.Commission, what string) {
	say(img, title, margin, 46, ink, "Box lock for a curb chain "+chain(c))
	say(img, word, margin, 74, quiet, metals(c)+". "+what)
}

// margin is left free along the sides of a picture, pixels.
const margin = 32

// swatches explains the colours in a row and returns where it ends.
func swatches(img *image.RGBA, word font.Face, c *model.Commission, x, y int, withCut bool) int {
	names := slices.Clone(c.Lock.Parts())
	if c.Strip != nil {
		names = append(names, model.LeafPart)
	}
	for _, name := range names {
		t := tintOf(name)
		label := name
		if withCut && c.Strip != nil {
			label = "" // three parts want one word each to fit
		}
		x = swatch(img, word, x, y, look{fill: t.body}, label)
		if withCut {
			if label == "" {
				x -= closeUp
			}
			x = swatch(img, word, x, y, look{fill: t.cut, hatch: t.hatch, slant: t.slant}, name+", cut")
		}
	}
	return x
}

// wireSwatch explains the colour of the safety catch, if there is one.
func wireSwatch(img *image.RGBA, word font.Face, c *model.Commission, x, y int) {
	if c.Catch != nil {
		swatch(img, word, x, y, look{fill: wireTint.body}, "safety catch, made at the bench")
	}
}

// leastWide is how wide a picture must be for its colours and its scale side by side, where two parts take so much, pixels.
func leastWide(parts []model.Part, two int) int {
	if len(parts) > 2 {
		return two + 200
	}
	return two
}

// closeUp brings two swatches of one part together, pixels.
const closeUp = 30

func swatch(img *image.RGBA, word font.Face, x, y int, l look, name string) int {
	const w, h = 34, 18
	for py := range h {
		for px := range w {
			c := ink
			if px > 0 && py > 0 && px < w-1 && py < h-1 {
				c = l.mean(x+px, y-h+3+py)
			}
			img.SetRGBA(x+px, y-h+3+py, c)
		}
	}
	say(img, word, x+w+8, y, ink, name)
	return x + w + 8 + width(word, name) + 26
}

// mean is the colour of a look over one pixel.
func (l look) mean(x, y int) color.RGBA {
	var sum [3]int
	for dy := range fine {
		for dx := range fine {
			c := l.at(x*fine+dx, y*fine+dy)
			sum[0], sum[1], sum[2] = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B)
		}
	}
	const n = fine * fine
	return color.RGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), 255}
}

// barMM is the length that the scale bar stands for.
const barMM = 5

// scaleBar draws 5 mm in steps of 1, with its right end at x, and says the scale.
func scaleBar(img *image.RGBA, word font.Face, right, y, scale int) {
	left := right - barMM*scale
	for px := left; px <= right; px++ {
		c := ground
		if px == left || px == right || (px-left)/scale%2 == 0 {
			c = ink
		}
		for py := y - 8; py <= y; py++ {
			shade := c
			if py == y-8 || py == y {
				shade = ink
			}
			img.SetRGBA(px, py, shade)
		}
	}
	note := fmt.Sprintf("%d mm; %d pixels = 1 mm", barMM, scale)
	say(img, word, left-14-width(word, note), y+2, ink, note)
}
