package export

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"

	"claspwright/model"
	flatleaf "claspwright/model/blank"
)

// blankReport is the flat piece that a leaf of strip is bent from; u along it from the root end, y across from the middle, mm.
type blankReport struct {
	Alloy     string       `json:"alloy"`
	Condition string       `json:"condition"`
	Fix       string       `json:"fix"`
	Thickness figure       `json:"thickness_mm"`
	Flat      figure       `json:"flat_mm"` // to the top of the tab
	Shoulders figure       `json:"flat_to_shoulders_mm"`
	Least     figure       `json:"flat_least_mm"` // by DIN 6935
	Most      figure       `json:"flat_most_mm"`  // if the sheet is hard where it is bent
	Neutral   figure       `json:"neutral_share"` // of the thickness, from the inner face of a bend
	Rule      string       `json:"rule"`
	Lower     figure       `json:"lower_width_mm"`
	Upper     figure       `json:"upper_width_mm"`
	Tab       figure       `json:"tab_width_mm"`
	Slit      figure       `json:"saw_cut_mm"`
	Mass      figure       `json:"mass_g"`
	Bends     []bendReport `json:"bends"`
	Hole      figure       `json:"hole_mm"` // 0 without
	Holes     [][2]figure  `json:"holes"`
	Outline   [][2]figure  `json:"outline"`
}

type bendReport struct {
	Name   string `json:"name"`
	From   figure `json:"from_mm"`
	Middle figure `json:"middle_mm"` // where the fold line is drawn
	To     figure `json:"to_mm"`
	Angle  figure `json:"angle_deg"`
	Radius figure `json:"inside_radius_mm"`
	Up     bool   `json:"towards_the_viewer"` // of the drawing, which shows the inside of the fold
}

// bendNames are the bends from the root to the tab.
var bendNames = []string{"fold", "rise", "tab"}

func blankOf(c *model.Commission) *blankReport {
	if c.Strip == nil {
		return nil
	}
	s, l := c.Strip, c.Lock
	b := s.Blank
	r := &blankReport{
		Alloy: s.Alloy.ID, Condition: conditionOf(c), Fix: l.Fix, Thickness: mm(l.Leaf), Flat: mm(b.Tab.Flat()), Shoulders: mm(b.Shoulders.Flat()), Least: mm(b.Low),
		Most: mm(b.High), Neutral: mm(b.Tab.Share), Rule: ruleOf(b.Temper), Lower: mm(l.LowerWidth), Upper: mm(l.UpperWidth), Tab: mm(l.TabWidth), Slit: mm(l.Slit),
		Mass: gram(b.MassG), Hole: mm(b.Hole), Holes: each(b.Holes, pair), Outline: each(b.Outline, pair),
	}
	for i, k := range b.Tab.Lines() {
		r.Bends = append(r.Bends, bendReport{bendNames[i], mm(k.From), mm(k.Middle()), mm(k.To), mm(math.Abs(k.Bend.Angle) * 180 / math.Pi), mm(k.Bend.Radius), k.Bend.Angle > 0})
	}
	return r
}

func pair(p [2]float64) [2]figure { return [2]figure{mm(p[0]), mm(p[1])} }

// conditionOf is the state of the leaf as resolved.
func conditionOf(c *model.Commission) string {
	for _, r := range c.Resolved {
		if r.Key == "tongue.condition" {
			return r.Text
		}
	}
	return ""
}

func ruleOf(t flatleaf.Temper) string {
	return fmt.Sprintf("Machinery's Handbook, bends in sheet (from memory): %s T + 1.57 R a right angle", map[flatleaf.Temper]string{flatleaf.Soft: "0.55", flatleaf.HalfHard: "0.64", flatleaf.Hard: "0.71"}[t])
}

// vector is an SVG drawing in mm.
type vector struct{ b bytes.Buffer }

func (d *vector) add(format string, args ...any) { fmt.Fprintf(&d.b, format+"\n", args...) }

// n is a length in the drawing, to 0.001 mm, without a sign of zero.
func n(v float64) string {
	s := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.3f", v), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func (d *vector) text(x, y, size float64, anchor, words string) {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(words)) // a buffer takes everything
	d.add(`<text x="%s" y="%s" font-size="%s" text-anchor="%s">%s</text>`, n(x), n(y), n(size), anchor, b.String())
}

const (
	blankMargin = 8.0  // round the blank, mm
	blankWide   = 96.0 // least width of the drawing, mm: the words
	blankLetter = 1.9  // height of the words, mm
	blankLine   = 2.7  // from line to line, mm
	blankRow    = 84   // letters in a line, which fit the least width
	barLong     = 20.0 // of the bar that shows whether the print is to scale, mm
)

// WriteBlank draws the blank 1:1 in millimetres as SVG: cut line full, fold lines dashed, holes with their centres, seen on the side that lies
// inside the fold. Nothing is drawn for a leaf that is cast.
func WriteBlank(w io.Writer, c *model.Commission) error {
	if c.Strip == nil {
		return errNothing
	}
	s, l := c.Strip, c.Lock
	b := s.Blank
	half := l.LowerWidth / 2
	lines := b.Tab.Lines()
	wide := math.Max(b.Tab.Flat()+2*blankMargin, blankWide)
	var words []string
	for _, line := range blankWords(c) {
		words = append(words, wrap(line, blankRow)...)
	}
	tall := 2*half + 2*blankMargin + 6 + blankLine*float64(len(words)) + 9
	ox, oy := blankMargin, blankMargin+6+half
	var d vector
	d.add(`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s">`, n(wide), n(tall), n(wide), n(tall))
	d.add(`<title>blank of the leaf, 1:1, mm</title>`)
	d.add(`<g font-family="sans-serif" fill="#000">`)
	d.text(ox, 5, 2.6, "start", fmt.Sprintf("Blank of the leaf, %s, %s mm strip, 1:1", s.Alloy.ID, n(l.Leaf)))
	d.add(`<path id="cut" d="%s" fill="none" stroke="#000" stroke-width="0.1"/>`, cutLine(b, ox, oy))
	for i, k := range lines {
		x := n(ox + k.Middle())
		high := half
		if i == len(lines)-1 {
			high = l.TabWidth / 2
		}
		d.add(`<path class="fold" d="M%s %sV%s" fill="none" stroke="#c00" stroke-width="0.1" stroke-dasharray="0.8 0.5"/>`, x, n(oy-high), n(oy+high))
		d.text(ox+k.Middle(), oy-half-1-1.6*float64(i%2), 1.5, "middle", fmt.Sprintf("%s %s", bendNames[i], n2(k.Middle())))
	}
	for _, h := range b.Holes {
		d.add(`<circle class="hole" cx="%s" cy="%s" r="%s" fill="none" stroke="#000" stroke-width="0.1"/>`, n(ox+h[0]), n(oy+h[1]), n(b.Hole/2))
		d.add(`<path class="centre" d="M%s %sh0.6M%s %sv0.6" stroke="#000" stroke-width="0.06"/>`, n(ox+h[0]-0.3), n(oy+h[1]), n(ox+h[0]), n(oy+h[1]-0.3))
	}
	d.length(ox, ox+b.Shoulders.Flat(), oy+half+2.2)
	d.length(ox, ox+b.Tab.Flat(), oy+half+5)
	d.text(ox, oy-half-1, 1.5, "start", "root end")
	y := oy + half + 10
	for _, line := range words {
		d.text(ox, y, blankLetter, "start", line)
		y += blankLine
	}
	d.add(`<path id="scale" d="M%s %sh%sm0 -0.6v1.2m-%s 0v-1.2" fill="none" stroke="#000" stroke-width="0.1"/>`, n(ox), n(tall-4), n(barLong), n(barLong))
	d.text(ox+barLong+1.5, tall-3.4, blankLetter, "start", fmt.Sprintf("must measure %s mm on paper", n(barLong)))
	d.add(`</g>`)
	d.add(`</svg>`)
	_, err := w.Write(d.b.Bytes())
	return err
}

// length is a dimension line at height y, its figure at its right.
func (d *vector) length(x0, x1, y float64) {
	d.add(`<path class="length" d="M%s %sH%sM%s %sv1.2M%s %sv1.2" fill="none" stroke="#000" stroke-width="0.06"/>`, n(x0), n(y), n(x1), n(x0), n(y-0.6), n(x1), n(y-0.6))
	d.text(x1+0.8, y+0.5, 1.5, "start", n2(x1-x0))
}

// n2 is a length in words, to 0.01 mm.
func n2(v float64) string { return fmt.Sprintf("%.2f", v) }

// cutLine is the outline as an SVG path, the tab's corners round.
func cutLine(b model.Blank, ox, oy float64) string {
	var p strings.Builder
	at := func(k int) (x, y float64) { return ox + b.Outline[k][0], oy + b.Outline[k][1] }
	last := len(b.Outline)/2 - 1 // the tab's first corner
	for k := range b.Outline {
		x, y := at(k)
		switch {
		case k == 0:
			fmt.Fprintf(&p, "M%s %s", n(x), n(y))
		case k == last:
			fmt.Fprintf(&p, "L%s %sA%s %s 0 0 1 %s %s", n(x-b.Round), n(y), n(b.Round), n(b.Round), n(x), n(y+b.Round))
		case k == last+1:
			fmt.Fprintf(&p, "L%s %sA%s %s 0 0 1 %s %s", n(x), n(y-b.Round), n(b.Round), n(b.Round), n(x-b.Round), n(y))
		default:
			fmt.Fprintf(&p, "L%s %s", n(x), n(y))
		}
	}
	return p.String() + "Z"
}

// blankWords are the lines under the blank.
func blankWords(c *model.Commission) []string {
	s, l := c.Strip, c.Lock
	b := s.Blank
	lines := b.Tab.Lines()
	words := []string{
		fmt.Sprintf("flat %s to the tab's top, %s to the shoulders; widths: lower leaf %s, upper leaf %s, tab %s", n2(b.Tab.Flat()), n2(b.Shoulders.Flat()), n2(l.LowerWidth), n2(l.UpperWidth), n2(l.TabWidth)),
		"finished size: cut outside the line and file to it; rolling direction along the strip; seen from inside the fold",
		fmt.Sprintf("%s: %.0f deg round %s mm towards you; %s: %.1f deg away, over a rod; %s: %.1f deg away round %s mm", bendNames[0], deg(lines[0].Bend), n2(lines[0].Bend.Radius), bendNames[1], deg(lines[1].Bend), bendNames[2], deg(lines[2].Bend), n2(lines[2].Bend.Radius)),
		fmt.Sprintf("saw %s mm beside the tab, drill the cuts' ends first; file the shoulders' rear upright after folding", n2(l.Slit)),
		"bends by " + ruleOf(b.Temper),
		fmt.Sprintf("from soft to hard, and by DIN 6935, rules give %s to %s: cut to the longest, the excess at the root end, fold, then shorten that end to fit", n2(math.Min(b.Low, b.Tab.Flat())), n2(b.High)),
	}
	switch l.Fix {
	case "rivet":
		words = append(words, fmt.Sprintf("two rivets %s mm: open the fold, drill strip and pad together, countersink, head flush both sides, close the fold", n2(b.Hole)))
	case "laser":
		words = append(words, "laser seam round the root end and both sides of the seat, at least half the thickness deep")
	default:
		words = append(words, "solder in the seat: this anneals the strip; eye shields, fumes away, no cadmium")
	}
	return words
}

func deg(b flatleaf.Bend) float64 { return math.Abs(b.Angle) * 180 / math.Pi }
