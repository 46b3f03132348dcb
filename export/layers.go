package export

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"io"
	"math"
	"slices"

	"golang.org/x/image/font"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/layer"
)

// Sizes of the strip of layers, pixels.
const (
	printWide  = 1500
	printFirst = 300 // for the part on the plate
	printCut   = 136 // for each layer, with its gap
	printCuts  = 8
	printGap   = 12
	printRow   = 330
	printTop   = 110
)

// printed is a part on the plate: its pattern turned into its pose, its lowest place at z = 0.
type printed struct {
	part  model.Part
	pose  *model.PrintPose
	shown [printCuts]int // numbers of layers
}

func printedOf(c *model.Commission) (out []printed) {
	for _, p := range at(c, clasp.Pattern) {
		pose := c.PoseOf(p.Name)
		if pose == nil {
			continue
		}
		m := *standOn(p.Mesh, pose.Pose)
		b := boundsOf(&m)
		m.V = slices.Clone(m.V)
		for i := range m.V {
			m.V[i] = r3.Sub(m.V[i], r3.Vec{X: b.lo.X, Y: b.lo.Y, Z: b.lo.Z})
		}
		p.Mesh = &m
		one := printed{part: p, pose: pose}
		one.shown = one.choose()
		out = append(out, one)
	}
	return out
}

// WritePrint draws each pattern as it is turned on the printer's plate, and eight of its layers from the first to the last, as PNG. What has
// nothing below it two layers lower is shown dark.
func WritePrint(w io.Writer, c *model.Commission) error {
	parts := printedOf(c)
	img := blank(printWide, printTop+len(parts)*printRow+40)
	for i, p := range parts {
		p.draw(img, printTop+i*printRow)
	}
	err := lettered(func(title, word font.Face) {
		headed(img, title, word, c, "Patterns as they are turned in pattern.3mf, grown; the STL files are not turned.")
		for i, p := range parts {
			p.say(img, word, printTop+i*printRow)
		}
		x := swatch(img, word, margin, img.Bounds().Dy()-20, look{fill: color.RGBA{176, 172, 166, 255}}, "layer")
		swatch(img, word, x, img.Bounds().Dy()-20, look{fill: ink}, "begins to hang: nothing below it two layers lower")
	})
	if err != nil {
		return err
	}
	return encode(w, img)
}

// draw paints one row: the part, and its layers.
func (p printed) draw(img *image.RGBA, top int) {
	cam := from(r3.Vec{X: -0.45, Y: -0.75, Z: 0.35})
	const high = printRow - 110
	cam, _ = fitted(cam, []model.Part{p.part}, margin, 4, printFirst-2*margin, high)
	small := blank(printFirst, high+8) // the rasteriser goes over the whole of a picture
	render(small, stage(cam, []model.Part{p.part}, false))
	draw.Draw(img, small.Bounds().Add(image.Pt(0, top+52)), small, image.Point{}, draw.Src)
	b := boundsOf(p.part.Mesh)
	scale := math.Min((printCut-printGap)/b.hi.X, high/b.hi.Y)
	for k, n := range p.shown {
		x := margin + printFirst + k*(printCut+printGap)
		p.cut(img, x, top+56, scale, n)
	}
}

// choose picks the layers that are shown, from 1 for the lowest: the first, the last, and six about evenly between, each moved to where most begins to
// hang in its share of the height.
func (p printed) choose() (out [printCuts]int) {
	step := float64(p.pose.Terms.Layers-1) / (printCuts - 1)
	begins := map[int]float64{} // mm2 of what hangs, by the layer in which it begins
	m, flat := p.part.Mesh, math.Cos((p.pose.Options.Angle+layer.Margin)*math.Pi/180)
	for _, t := range m.T {
		a, b, c := m.V[t[0]], m.V[t[1]], m.V[t[2]]
		n := r3.Scale(0.5, r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
		if size := r3.Norm(n); -n.Z > flat*size {
			begins[1+int(math.Floor(min(a.Z, b.Z, c.Z)/p.pose.Options.Layer+0.5))] += size
		}
	}
	for k := range out {
		at := 1 + float64(k)*step
		out[k] = int(math.Round(at))
		most := 0.05 // mm2; less is not worth a look
		for n := int(math.Ceil(at - step/2)); k > 0 && k < printCuts-1 && n < int(math.Ceil(at+step/2)); n++ {
			if begins[n] > most {
				out[k], most = n, begins[n]
			}
		}
	}
	return out
}

// middle is the height of the middle of a layer, where it is cut; of the last, which may be thinner, of what there is of it.
func (p printed) middle(n int) float64 {
	low := float64(n-1) * p.pose.Options.Layer
	return (low + math.Min(low+p.pose.Options.Layer, p.pose.Terms.Height)) / 2
}

// cut paints a layer from above. Under it are those one and two lower.
func (p printed) cut(img *image.RGBA, left, top int, scale float64, n int) {
	const samples = 3
	b := boundsOf(p.part.Mesh)
	wide, high := int(math.Ceil(b.hi.X*scale)), int(math.Ceil(b.hi.Y*scale))
	here := scanned(p.part.Mesh, p.middle(n), scale*samples, wide*samples, high*samples)
	var below []bool
	if n > 2 {
		below = scanned(p.part.Mesh, p.middle(n-2), scale*samples, wide*samples, high*samples)
	}
	for y := range high {
		for x := range wide {
			metal, hangs := 0, 0
			for k := range samples * samples {
				i := (y*samples+k/samples)*wide*samples + x*samples + k%samples
				if here[i] {
					metal++
					if below != nil && !below[i] {
						hangs++
					}
				}
			}
			if metal == 0 {
				continue
			}
			const all = samples * samples
			c := mix(color.RGBA{176, 172, 166, 255}, ink, float64(hangs)/float64(metal))
			img.SetRGBA(left+x, top+y, mix(img.RGBAAt(left+x, top+y), c, float64(metal)/all))
		}
	}
}

// scanned says which samples of a section lie in the metal: those with an odd number of cuts to their left. y grows downwards.
func scanned(m *contour.Mesh, z, scale float64, wide, high int) []bool {
	rows := make([][]float64, high)
	for _, t := range m.T {
		var ends [2]r3.Vec
		n := 0
		for k := range t {
			a, b := m.V[t[k]], m.V[t[(k+1)%3]]
			if (a.Z > z) != (b.Z > z) && n < 2 {
				ends[n] = r3.Add(a, r3.Scale((z-a.Z)/(b.Z-a.Z), r3.Sub(b, a)))
				n++
			}
		}
		if n < 2 {
			continue
		}
		p, q := ends[0], ends[1]
		if p.Y > q.Y {
			p, q = q, p
		}
		at := func(y float64) float64 { return float64(high) - 0.5 - y*scale } // the row whose middle is at y
		for row := max(0, int(math.Floor(at(q.Y)))); row <= min(high-1, int(math.Ceil(at(p.Y)))); row++ {
			y := (float64(high) - 0.5 - float64(row)) / scale
			if (p.Y <= y) != (q.Y <= y) {
				rows[row] = append(rows[row], (p.X+(y-p.Y)/(q.Y-p.Y)*(q.X-p.X))*scale)
			}
		}
	}
	out := make([]bool, wide*high)
	for row, cuts := range rows {
		slices.Sort(cuts)
		for i := 0; i+1 < len(cuts); i += 2 {
			for x := max(0, int(math.Ceil(cuts[i]-0.5))); x <= min(wide-1, int(math.Floor(cuts[i+1]-0.5))); x++ {
				out[row*wide+x] = true
			}
		}
	}
	return out
}

// say writes what the row shows.
func (p printed) say(img *image.RGBA, word font.Face, top int) {
	t := p.pose.Terms
	say(img, word, margin, top+12, ink, fmt.Sprintf("%s: %.2f mm high, %d layers of %s mm", p.part.Name, t.Height, t.Layers, short(p.pose.Options.Layer, 3)))
	words := fmt.Sprintf("hangs, flatter than %s degrees: %.1f mm2, of it on mating faces %.1f; islands: %d; %s; mean step on mating faces %.4f mm", short(p.pose.Options.Angle+layer.Margin, 1), t.Overhang, t.Marked, t.Islands, footWords(p.pose), t.Step)
	say(img, word, margin, top+36, quiet, words)
	b := boundsOf(p.part.Mesh)
	scale := math.Min((printCut-printGap)/b.hi.X, (printRow-110)/b.hi.Y)
	for k, n := range p.shown {
		x := margin + printFirst + k*(printCut+printGap)
		y := top + 56 + int(b.hi.Y*scale) + 22
		say(img, word, x, y, ink, fmt.Sprintf("%d", n))
		say(img, word, x, y+22, quiet, fmt.Sprintf("%.2f mm", p.middle(n)))
	}
}

// footWords say what a part stands on.
func footWords(p *model.PrintPose) string {
	if p.Terms.Props > 0 {
		return "stands on an edge or a corner, prop it up"
	}
	return fmt.Sprintf("stands on %.1f mm2", p.Terms.Foot)
}
