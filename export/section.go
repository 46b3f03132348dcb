package export

import (
	"fmt"
	"image"
	"io"
	"math"

	"golang.org/x/image/font"

	"claspwright/model"
	"claspwright/model/clasp"
)

// WriteSection draws the section at mid-width, seen across the chain, as PNG: the cut hatched, what lies beyond it
// pale, the trade's words, and the measures that decide whether the lock works. parts are the halves left by the plane
// y = 0, their cut faces tagged "cut".
func WriteSection(w io.Writer, c *model.Commission, parts []model.Part) error {
	cam := side(beyond(parts))
	x0, y0, x1, y1 := cam.extent(parts)
	scale := fitting(x1-x0, greatest, 60)
	cam.scale = float64(scale)
	rows := measuresOf(c)
	lines := (len(rows) + legendColumns - 1) / legendColumns
	wide := max(int((x1-x0)*cam.scale)+2*margin, 1040)
	drawn := int((y1 - y0) * cam.scale)
	const top = 160
	high := top + drawn + 80 + 26*lines + 84
	cam.dx = float64(wide)/2 - (x0+x1)/2*cam.scale
	cam.dy = top - y0*cam.scale
	img := blank(wide, high)
	render(img, stage(cam, parts, true))
	err := lettered(func(title, word font.Face) {
		headed(img, title, word, c, "Closed, finished size, section at mid-width; pale: beyond the section.")
		if c.Lock != nil {
			above, under := spots(c.Lock)
			rowOf(img, word, cam.labels(above), top-32, false)
			rowOf(img, word, cam.labels(under), top+drawn+50, true)
		}
		legend(img, word, rows, top+drawn+110)
		swatches(img, word, margin, high-24, true)
		scaleBar(img, word, wide-margin, high-24, scale)
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}

// beyond is +1 if the half that is left lies in y > 0, else -1.
func beyond(parts []model.Part) float64 {
	sum := 0.0
	for _, p := range parts {
		for _, v := range p.Mesh.V {
			sum += v.Y
		}
	}
	return math.Copysign(1, sum)
}

// mark is a word and the place in the mid-width plane that it names, mm.
type mark struct {
	word string
	x, z float64
}

func (c camera) labels(marks []mark) []label {
	out := make([]label, len(marks))
	for i, m := range marks {
		out[i] = label{m.word, c.dx + m.x*c.scale, c.dy - m.z*c.scale}
	}
	return out
}

// spots are the places that the words above and below the section point at.
func spots(l *clasp.Lock) (above, under []mark) {
	mid := (l.XTip + l.XFold) / 2
	outer := l.Fold + l.Leaf/2 // middle of the leaf round the fold
	above = []mark{
		{"block", -l.Block / 2, l.Thickness * 0.7},
		{"lip", l.Lip / 2, l.ZLip + l.LipDepth/2},
		{"thumb tab", l.XTip + l.TabThickness/2, l.Thickness + l.TabHeight/2},
		{"roof", mid, (l.ZFront + l.Thickness) / 2},
		{"upper leaf", mid + l.Length*0.12, l.ZUpper - l.Leaf/2},
		{"fold", l.XFold + outer, l.ZLeaf + l.Leaf + l.Fold},
		{"end", l.BoxLength - l.EndWall/2, l.Thickness * 0.7},
	}
	under = []mark{
		{"neck", l.Lip / 2, (l.ZLeaf + l.ZPad) / 2},
		{"root pad", (l.XNeck + l.XPad) / 2, l.ZLeaf + (l.ZPad-l.ZLeaf)*0.6},
		{"lower leaf", mid, l.ZLeaf + l.Leaf/2},
		{"floor", mid + l.Length*0.14, l.Floor / 2},
		{"window", l.XWindow + l.WindowLength/2, l.Floor / 2},
	}
	return above, under
}

const legendColumns = 3

// measuresOf are the measures that decide whether the lock works.
func measuresOf(c *model.Commission) []measure {
	if c.Lock == nil {
		return nil
	}
	l, f := c.Lock, c.Fit
	return []measure{
		{"engagement", f.Engagement}, {"end play", f.EndPlay}, {"top gap, leaf to roof", f.TopGap},
		{"mouth, height", l.Mouth}, {"leaf at the fold", l.Leaf}, {"leaf at the tip", l.Leaf * l.Taper},
		{"fold, inside radius", l.Fold}, {"leaf, tip to fold", l.Length}, {"face gap", f.FaceGap},
		{"lower leaf to floor", f.FloorClearance}, {"neck to lip", f.NeckClearance}, {"fold to end", f.FoldRoom},
		{"fold to roof", f.FoldHeadroom}, {"lower leaf to wall, each side", f.SideClearance},
		{"tab above the face", f.TabHeight},
	}
}

// legend writes measures in columns, read downwards.
func legend(img *image.RGBA, word font.Face, ms []measure, y int) {
	lines := (len(ms) + legendColumns - 1) / legendColumns
	column := (img.Bounds().Dx() - 2*margin) / legendColumns
	for i, m := range ms {
		x := margin + i/lines*column
		base := y + i%lines*26
		say(img, word, x, base, ink, m.name)
		value := fmt.Sprintf("%.2f mm", m.mm)
		say(img, word, x+min(column-24, 330)-width(word, value), base, ink, value)
	}
}
