package export

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// picture draws one of the pictures and reads it back.
func picture(t *testing.T, c *model.Commission, cut func(*model.Commission) ([]model.Part, error),
	draw func(io.Writer, *model.Commission, []model.Part) error) (image.Image, []byte) {
	t.Helper()
	parts, err := cut(c)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := draw(&b, c, parts); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	return img, b.Bytes()
}

func rgba(img image.Image, x, y int) color.RGBA {
	return color.RGBAModel.Convert(img.At(x, y)).(color.RGBA)
}

// The stated scale is the drawn one: box and block end where the lock's length puts them.
func TestSectionScale(t *testing.T) {
	c := commission(t, plainJob...)
	img, _ := picture(t, c, model.SectionView, WriteSection)
	l := c.Lock
	const pixels = 60 // what the picture states for this lock
	y := 160 + int((l.TabHeight+l.Thickness*0.9)*pixels)
	first, last := -1, 0
	for x := range img.Bounds().Dx() {
		if rgba(img, x, y) != ground {
			if first < 0 {
				first = x
			}
			last = x
		}
	}
	lo, _ := contour.Bounds(c.Parts[1].Mesh) // the tongue, finished
	_, hi := contour.Bounds(c.Parts[0].Mesh)
	want := (hi.X - lo.X) * pixels
	if got := float64(last - first); math.Abs(got-want) > 3 {
		t.Errorf("the section is %.0f pixels long, want %.1f", got, want)
	}
}

// At the middle of block, roof and floor the section shows cut metal of the right part, in the window and the chamber
// it does not.
func TestSectionShowsWhatIsCut(t *testing.T) {
	c := commission(t, plainJob...)
	parts, err := model.SectionView(c)
	if err != nil {
		t.Fatal(err)
	}
	cam := side(beyond(parts))
	cam.scale, cam.dx, cam.dy = 30, 300, 300
	img := blank(900, 400)
	render(img, stage(cam, parts, true))
	l := c.Lock
	for _, p := range []struct {
		where string
		x, z  float64
		want  string
	}{
		{"block", -l.Block / 2, l.Thickness / 2, "tongue"},
		{"roof", l.XFold, l.Thickness - 0.5, "box"},
		{"floor", l.XPad + 1, l.Floor / 2, "box"},
		{"lower leaf", l.XKnee, l.ZLeaf + l.Leaf/2, "tongue"},
		{"thumb tab", l.XTip + l.TabThickness/2, l.Thickness, "tongue"},
		{"window", l.XWindow + l.WindowLength/2, l.Floor / 2, ""},
		{"chamber", l.XPad + 2, l.ZLeaf + l.Leaf + l.Fold, ""},
	} {
		x, y, _ := cam.pixel(r3.Vec{X: p.x, Z: p.z})
		if got := cutOf(img, int(x), int(y)); got != p.want {
			t.Errorf("%s: shown as cut of %q, want %q", p.where, got, p.want)
		}
	}
}

// cutOf tells by the hatching near a spot whose cut is seen there.
func cutOf(img image.Image, x, y int) string {
	for name, tint := range map[string]tint{"box": boxTint, "tongue": tongueTint} {
		plain, lines := 0, 0
		for dx := -4; dx <= 4; dx++ {
			if c := rgba(img, x+dx, y); c == tint.cut {
				plain++
			} else if grey(c) < grey(tint.cut)-20 {
				lines++
			}
		}
		if plain >= 3 && lines >= 1 {
			return name
		}
	}
	return ""
}

func grey(c color.RGBA) float64 {
	return 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B) // Rec. ITU-R BT.601-7, section 2.5.1
}

// In grey, box and tongue must still differ.
func TestReadableInGrey(t *testing.T) {
	if d := grey(boxTint.body) - grey(tongueTint.body); d < 50 {
		t.Errorf("box and tongue differ by %.0f of 255 only", d)
	}
	for _, tint := range []tint{boxTint, tongueTint} {
		if d := grey(tint.cut) - grey(tint.hatch); d < 70 {
			t.Errorf("hatching stands out by %.0f of 255 only", d)
		}
	}
	if boxTint.slant == tongueTint.slant {
		t.Error("both parts are hatched the same way")
	}
}

// The three-quarter view shows both parts, cut and not.
func TestClosedShowsAll(t *testing.T) {
	for _, sets := range [][]string{plainJob, crownedJob} {
		img, _ := picture(t, commission(t, sets...), model.CutView, WriteClosed)
		seen := map[color.RGBA]int{}
		for y := range img.Bounds().Dy() - 60 { // above the legend
			for x := range img.Bounds().Dx() {
				seen[rgba(img, x, y)]++
			}
		}
		for name, tint := range map[string]tint{"box": boxTint, "tongue": tongueTint} {
			if seen[tint.cut] < 5000 {
				t.Errorf("%v: only %d pixels of the cut %s", sets[0], seen[tint.cut], name)
			}
		}
	}
}

// A PNG file is the same each time when it holds no time and no text.
func TestPicturesHoldNoTime(t *testing.T) {
	_, data := picture(t, commission(t, plainJob...), model.ShoulderView, WriteShoulder)
	var kinds []string
	for at := 8; at < len(data); {
		long := int(data[at])<<24 | int(data[at+1])<<16 | int(data[at+2])<<8 | int(data[at+3])
		if kind := string(data[at+4 : at+8]); !slices.Contains(kinds, kind) {
			kinds = append(kinds, kind)
		}
		at += 12 + long
	}
	if got := strings.Join(kinds, " "); got != "IHDR IDAT IEND" {
		t.Errorf("chunks %s", got)
	}
}

// A nearer facet hides a farther one, whichever comes first, and an edge behind a facet is not drawn.
func TestDepth(t *testing.T) {
	plate := func(name string, y float64) model.Part {
		return model.Part{Name: name, Stage: clasp.Finished, Mesh: &contour.Mesh{
			V: []r3.Vec{{X: 0, Y: y, Z: 0}, {X: 10, Y: y, Z: 0}, {X: 0, Y: y, Z: 10}}, T: [][3]int32{{0, 1, 2}},
			Face: []int32{0}, Tags: []string{"face"},
		}}
	}
	cam := side(1)
	cam.scale, cam.dy = 10, 100
	for _, parts := range [][]model.Part{{plate("box", 0), plate("tongue", 5)}, {plate("tongue", 5), plate("box", 0)}} {
		img := blank(100, 100)
		s := stage(cam, parts, false)
		s.strokes = append(s.strokes, stroke{corner{10, 70, 3}, corner{40, 70, 3}}, stroke{corner{10, 80, -1}, corner{40, 80, -1}})
		render(img, s)
		c := rgba(img, 20, 60)
		if grey(c) < grey(tongueTint.body)+10 || c.R < c.B {
			t.Errorf("the farther plate shows: %v", c)
		}
		if rgba(img, 25, 70) != c || rgba(img, 25, 80) == c {
			t.Error("a hidden edge is drawn, or one in front is not")
		}
	}
}

// Words of a row never touch, and stay in the picture, however close their spots are.
func TestLabelsKeepApart(t *testing.T) {
	err := lettered(func(_, word font.Face) {
		for _, at := range [][]float64{{5, 6, 7, 8, 9}, {995, 996, 997, 998, 999}, {100, 120, 500, 900, 990}} {
			labels := make([]label, len(at))
			for i, x := range at {
				labels[i] = label{"lower leaf", x, 0}
			}
			lefts, end := spread(word, labels, 1000), 0
			for i, left := range lefts {
				if left < end+8 {
					t.Errorf("%v: word %d starts at %d, the one before ends at %d", at, i, left, end)
				}
				end = left + width(word, labels[i].word)
			}
			if end > 1000 {
				t.Errorf("%v: the last word ends at %d", at, end)
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
}
