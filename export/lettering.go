package export

import (
	"image"
	"image/color"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// Sizes of lettering, pixels.
const (
	titleSize = 26
	wordSize  = 17
)

// faces are the lettering of all pictures, made once. A face is not safe for two users at a time, hence the lock.
var faces struct {
	sync.Mutex
	title, word font.Face
}

// lettered runs draw with the faces at hand.
func lettered(draw func(title, word font.Face)) error {
	faces.Lock()
	defer faces.Unlock()
	if faces.title == nil {
		title, err := face(gobold.TTF, titleSize)
		if err != nil {
			return err
		}
		word, err := face(goregular.TTF, wordSize)
		if err != nil {
			return err
		}
		faces.title, faces.word = title, word
	}
	draw(faces.title, faces.word)
	return nil
}

func face(ttf []byte, size float64) (font.Face, error) {
	f, err := opentype.Parse(ttf)
	if err != nil {
		return nil, err
	}
	return opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
}

// say writes words with their baseline at y, from x on.
func say(img *image.RGBA, f font.Face, x, y int, c color.RGBA, s string) {
	d := font.Drawer{Dst: img, Src: image.NewUniform(c), Face: f, Dot: fixed.P(x, y)}
	d.DrawString(s)
}

// width is how long words are, pixels.
func width(f font.Face, s string) int { return font.MeasureString(f, s).Ceil() }
