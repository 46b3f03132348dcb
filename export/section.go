package export

import (
	"fmt"
	"image"
	"io"
	"math"

	"golang.org/x/image/font"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
)

// WriteSection draws the section at mid-width, or of two leaves through the middle of one, seen across the chain, as PNG: the cut
// hatched, what lies beyond it pale, the trade's words, and the measures that decide whether the lock works. parts are the halves left by
// that plane, their cut faces tagged "cut".
func WriteSection(w io.Writer, c *model.Commission, parts []model.Part) error {
	where := "section at mid-width"
	if c.Lock != nil && c.Lock.Double() {
		where = "section through the middle of one of two leaves"
	}
	return writeSection(w, c, parts, where, atMiddle)
}

// WriteShoulder draws, as WriteSection does, the section through the middle of a shoulder, where it stands behind the
// lip.
func WriteShoulder(w io.Writer, c *model.Commission, parts []model.Part) error {
	if c.Lock != nil && c.Lock.Slitted() {
		return drawSection(w, c, parts, fromAbove, "section through the plate, from above", atPlate)
	}
	return writeSection(w, c, parts, "section through a shoulder", atShoulder)
}

func writeSection(w io.Writer, c *model.Commission, parts []model.Part, where string, spots func(*clasp.Lock) (above, under []mark)) error {
	return drawSection(w, c, parts, side(beyond(parts)), where, spots)
}

func drawSection(w io.Writer, c *model.Commission, parts []model.Part, cam camera, where string, spots func(*clasp.Lock) (above, under []mark)) error {
	x0, y0, x1, y1 := cam.extent(parts)
	scale := fitting(x1-x0, greatest, 60)
	cam.scale = float64(scale)
	rows := measuresOf(c)
	lines := (len(rows) + legendColumns - 1) / legendColumns
	wide := max(int((x1-x0)*cam.scale)+2*margin, leastWide(parts, 1180))
	drawn := int((y1 - y0) * cam.scale)
	const top = 160
	high := top + drawn + 80 + 26*lines + 84
	cam.dx = float64(wide)/2 - (x0+x1)/2*cam.scale
	cam.dy = top - y0*cam.scale
	img := blank(wide, high)
	render(img, stage(cam, parts, true))
	err := lettered(func(title, word font.Face) {
		headed(img, title, word, c, "Closed, finished size, "+where+". Pale: beyond the section.")
		if c.Lock != nil {
			above, under := spots(c.Lock)
			rowOf(img, word, cam.labels(above), top-32, false)
			rowOf(img, word, cam.labels(under), top+drawn+50, true)
		}
		legend(img, word, rows, top+drawn+110)
		swatches(img, word, c, margin, high-24, true)
		scaleBar(img, word, wide-margin, high-24, scale)
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}

// belowSection is how much of the section's picture lies below its words: measures, colours and scale, pixels.
func belowSection(measures int) int {
	return 20 + 26*((measures+legendColumns-1)/legendColumns) + 84
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

// mark is a word and the place in the lock that it names, mm.
type mark struct {
	word    string
	x, y, z float64
}

func (c camera) labels(marks []mark) []label {
	out := make([]label, len(marks))
	for i, m := range marks {
		x, y, _ := c.pixel(r3.Vec{X: m.x, Y: m.y, Z: m.z})
		out[i] = label{m.word, x, y}
	}
	return out
}

// atMiddle are the places that the words above and below the mid-width section point at.
func atMiddle(l *clasp.Lock) (above, under []mark) {
	if l.Slitted() {
		return atSpine(l)
	}
	above, under = common(l)
	above = append(above,
		mark{"lip", l.Lip / 2, 0, l.ZLip + l.LipDepth/2},
		mark{"thumb tab", l.XTip + l.TabThickness/2, 0, l.TabTop() - l.TabHeight/2},
		mark{"notch", (l.XTip + l.TabThickness + l.XNotch) / 2, 0, l.Thickness - 0.3})
	if l.WindowLength > 0 {
		under = append(under, mark{"window", l.XWindow + l.WindowLength/2, 0, inFloor(l, l.XWindow+l.WindowLength/2)})
	}
	return above, under
}

// atShoulder are those of the section through a shoulder.
func atShoulder(l *clasp.Lock) (above, under []mark) {
	above, under = common(l)
	above = append(above,
		mark{"lip", l.Lip / 2, 0, l.ZLip + l.LipDepth/2},
		mark{"shoulder", l.XTip + 0.2, 0, l.ZTip - l.Taper*l.Leaf/2})
	under = append(under, mark{"chamber", l.XPad + 0.3*(l.XKnee-l.XPad), 0, l.ZLeaf + l.Leaf + l.Fold})
	return above, under
}

// common are the places that every section along the chain shows.
func common(l *clasp.Lock) (above, under []mark) {
	mid := (l.XTip + l.XFold) / 2
	above = []mark{
		{"block", -l.Block / 2, 0, l.Thickness * 0.7},
		{"roof", mid, 0, (l.ZFront + l.Thickness) / 2},
		{"upper leaf", mid + l.Length*0.12, 0, l.ZUpper - l.Leaf/2},
		{"fold", l.XFold + l.Fold + l.Leaf/2, 0, l.ZLeaf + l.Leaf + l.Fold},
		{"end", l.BoxLength - l.EndWall/2, 0, l.Thickness * 0.7},
	}
	under = []mark{
		{"neck", l.Lip / 2, 0, (l.ZLeaf + l.ZPad) / 2},
		{"root pad", (l.XNeck + l.XPad) / 2, 0, inPad(l, l.ZLeaf+(l.ZPad-l.ZLeaf)*0.6)},
		{"lower leaf", l.XPad + 0.5*(l.XWindow-l.XPad), 0, l.ZLeaf + l.Leaf/2},
		{"floor", l.XPad + 0.75*(l.XWindow-l.XPad), 0, inFloor(l, l.XPad+0.75*(l.XWindow-l.XPad))},
	}
	return above, under
}

// inFloor is the height of the middle of the floor at x.
func inFloor(l *clasp.Lock, x float64) float64 { return (l.Floor + l.HollowAt(x)) / 2 }

// inPad is the height of a place in the root pad: as given, or over a strip that is fixed to it.
func inPad(l *clasp.Lock, z float64) float64 {
	if l.Rolled() {
		return (l.ZLeaf + l.Leaf + l.ZPad) / 2
	}
	return z
}

const legendColumns = 3

// measuresOf are the measures that decide whether the lock works.
func measuresOf(c *model.Commission) []measure {
	if c.Lock == nil {
		return nil
	}
	l, f := c.Lock, c.Fit
	if l.Slitted() {
		return slitMeasures(c)
	}
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
		legendRow(img, word, m, x, base, min(column-24, 330))
	}
}

// listing writes measures in one column, so wide.
func listing(img *image.RGBA, word font.Face, ms []measure, x, y, wide int) {
	for i, m := range ms {
		legendRow(img, word, m, x, y+26*i, wide)
	}
}

// legendRow writes one measure, its length at the right end of the row.
func legendRow(img *image.RGBA, word font.Face, m measure, x, y, wide int) {
	say(img, word, x, y, ink, m.name)
	value := fmt.Sprintf("%.2f mm", m.mm)
	say(img, word, x+wide-width(word, value), y, ink, value)
}
