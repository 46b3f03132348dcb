package export

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// sheetWidth is the width of the sheet in letters, so that it fits an A4 page in a 9 point typewriter face.
const sheetWidth = 100

// pageLines is how many lines fit an A4 page at 9 points with 11 points a line: 842 points less two margins of 11.
const pageLines = 74

// WriteSheet writes the order and bench sheet, one page of plain text: what to order, weights, stock to be worked off,
// dimensions, what the checks found, and the cautions of the trade.
func WriteSheet(w io.Writer, c *model.Commission) error {
	var b strings.Builder
	fmt.Fprintf(&b, "ORDER AND BENCH SHEET   %s   %s\n", text(c, "job.name"), signature())
	fmt.Fprintf(&b, "Box lock for a curb chain %s, in %s\n", chain(c), metals(c))
	sheetOrder(&b, c)
	var rest strings.Builder
	sheetStock(&rest, c)
	sheetDimensions(&rest, c)
	sheetFindings(&rest, c)
	sheetCautions(&rest)
	sheetWeights(&b, c, pageLines-strings.Count(b.String()+rest.String(), "\n"))
	_, err := io.WriteString(w, b.String()+rest.String())
	return err
}

func heading(b *strings.Builder, s string) { fmt.Fprintf(b, "\n%s\n", strings.ToUpper(s)) }

// paragraph writes a name and, beside it, text broken into lines.
func paragraph(b *strings.Builder, name, s string) {
	for i, line := range wrap(s, sheetWidth-15) {
		if i > 0 {
			name = ""
		}
		fmt.Fprintf(b, "  %-13s%s\n", name, line)
	}
}

func sheetOrder(b *strings.Builder, c *model.Commission) {
	heading(b, "to order")
	for _, p := range at(c, clasp.Pattern) {
		paragraph(b, p.Name, fmt.Sprintf("1 piece of %s, %s, %.2f mm3", file(p), size(p.Mesh), p.VolumeMM3))
	}
	paragraph(b, "scale", scaling(growth(c)))
	if c.Crown != nil {
		paragraph(b, "crown", crownLine(c.Crown))
	}
	for _, p := range c.Pours {
		o := p.Order
		paragraph(b, "metal", fmt.Sprintf("%.2f g of %s in all: castings %.2f g, gates %.2f g, button %.2f g, melting loss %.2f g",
			o.OrderG, poured(c, p), o.CastingG, o.GatesG, o.ButtonG, o.LossG))
	}
	paragraph(b, "gates", "one on each part"+stubs(c)+tabGate(c)+", to be sawn off")
	paragraph(b, "fineness", fineness(c))
	sheetWork(b, c)
}

// sheetWork lists what the bench makes beside the castings: the leaf of strip, the safety catch.
func sheetWork(b *strings.Builder, c *model.Commission) {
	if s := c.Strip; s != nil {
		paragraph(b, "leaf", fmt.Sprintf("strip of %s, %.2f mm thick, %.2f x %.2f mm, %.2f g: cut and bend it by blank.svg; hard strip cuts and springs: gloves, eye shields, clamp it while drilling",
			s.Alloy.ID, c.Lock.Leaf, s.Blank.Tab.Flat(), c.Lock.LowerWidth, s.Blank.MassG))
	}
	if k := c.Catch; k != nil {
		d, l := c.Lock.Catch, k.Loop
		sides := map[string]string{"one": "on one side", "both": "on both sides"}[d.Sides]
		paragraph(b, "safety catch", fmt.Sprintf("%s, by catch.svg: wire %.2f mm of %s, hard drawn, cut %.1f mm; tube %.2f bore, %.2f outside, %.1f long; ball %.1f mm; "+
			"solder tube and stud before the leaf is hardened", sides, l.Wire, k.Alloy.ID, k.Cut, d.Bore, d.Outside, l.Tube, l.Ball))
	}
}

// fineness tells how much fine metal is ordered, each metal by its name.
func fineness(c *model.Commission) string {
	var fine []string
	for _, p := range c.Pours {
		switch {
		case p.Alloy.Base():
			fine = append(fine, "trial casting of "+p.Alloy.ID+": base metal, no fineness and no mark")
		case len(c.Pours) == 1:
			fine = append(fine, fmt.Sprintf("%.2f g of fine metal in what is ordered", p.Order.FineG))
		default:
			fine = append(fine, fmt.Sprintf("%.2f g of fine %s ordered for the %s", p.Order.FineG, p.Alloy.Metal, strings.Join(p.Parts, " and ")))
		}
	}
	said := strings.Join(fine, "; ")
	if c.Casting.FineG > 0 {
		said += "; a computed fineness is an estimate, the assay office of the country of sale decides"
	}
	return said
}

// scaling tells the caster whether shrinkage is allowed for; allowed for twice, the lock does not fit its chain.
func scaling(growth string) string {
	if growth == "1" {
		return "millimetre; not scaled, the files are not grown: the caster allows for shrinkage"
	}
	return "millimetre; already scaled, the files are grown by " + growth + " for shrinkage: do not scale them again"
}

// sheetWeights lists the job's alloy and as many akin to it as the lines left on the page allow.
func sheetWeights(b *strings.Builder, c *model.Commission, lines int) {
	if len(c.Weights) == 0 {
		return
	}
	heading(b, "weights, g")
	ws := akin(c.Weights)
	ws = ws[:max(1, min(len(ws), lines-4))] // heading, head of the table, where the others stand
	b.WriteString(indent(weightTable(ws)))
	if len(ws) < len(c.Weights) {
		fmt.Fprintf(b, "  the command weigh lists all %d alloys\n", len(c.Weights))
	}
}

// sheetRows is how many alloys the sheet lists at most, so that it stays one page.
const sheetRows = 12

// akin are the weights in the job's alloy, the first of the list, and those of the table's alloys that are sold as the
// same metal with the same fineness, then of other finenesses.
func akin(all []model.Weight) []model.Weight {
	if len(all) == 0 {
		return nil
	}
	own := all[0]
	rank := func(w model.Weight) int {
		switch {
		case w.Metal != own.Metal:
			return 2
		case w.Fineness != own.Fineness:
			return 1
		}
		return 0
	}
	ws := slices.DeleteFunc(slices.Clone(all[1:]), func(w model.Weight) bool { return rank(w) == 2 })
	slices.SortStableFunc(ws, func(a, b model.Weight) int { return rank(a) - rank(b) })
	ws = append([]model.Weight{own}, ws...)
	return ws[:min(len(ws), sheetRows)]
}

// weightTable has a row an alloy, numbers one under the other.
func weightTable(ws []model.Weight) string {
	var b strings.Builder
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "alloy\tg/cm3\tfinished\tcasting\tfine metal\tto order\t")
	for _, w := range ws {
		if w.Refused == "" {
			fmt.Fprintf(t, "%s\t%.3f\t%.2f\t%.2f\t%.2f\t%.2f\t\n", w.Alloy, w.Density, w.Finished, w.Casting, w.Fine, w.Order)
		}
	}
	t.Flush() // writes to memory, which does not fail
	for _, w := range ws {
		if w.Refused != "" {
			fmt.Fprintf(&b, "%s: cannot be made: %s\n", w.Alloy, w.Refused)
		}
	}
	return b.String()
}

func indent(s string) string {
	return "  " + strings.ReplaceAll(strings.TrimSuffix(s, "\n"), "\n", "\n  ") + "\n"
}

// measure is one row of a list of lengths, mm.
type measure struct {
	name string
	mm   float64
}

// columns writes measures in so many columns, read downwards.
func columns(b *strings.Builder, ms []measure, n int) {
	rows := (len(ms) + n - 1) / n
	for r := range rows {
		line := " "
		for k := r; k < len(ms); k += rows {
			line += fmt.Sprintf(" %-22s %6.2f  ", ms[k].name, ms[k].mm)
		}
		fmt.Fprintln(b, strings.TrimRight(line, " "))
	}
}

func sheetStock(b *strings.Builder, c *model.Commission) {
	if c.Lock == nil {
		return
	}
	heading(b, "stock left on for the bench, mm on each surface")
	columns(b, stocks(c), 3)
	fmt.Fprintln(b, "  none on the lip's inner face and the inside of the leaf: they stay as cast")
}

// stocks are what is left on for the bench, by kind of surface.
func stocks(c *model.Commission) []measure {
	s := c.Lock.Stock
	return []measure{
		{"face, sides, underside", s.Face}, {"pads to the chain", s.Pad}, {"meeting faces", s.Meeting},
		{"leaf, neck, root pad", s.Leaf}, {"rear of the shoulders", s.Shoulder}, {"lip below and entry", s.Lip},
		{"chamber", s.Chamber}, {"thumb tab and notch", s.Tab}, {"window, end of fold", s.Window},
	}
}

func sheetDimensions(b *strings.Builder, c *model.Commission) {
	if c.Lock == nil {
		return
	}
	heading(b, "dimensions when finished, mm")
	columns(b, dimensions(c), 3)
}

// dimensions are the lengths that a bench hand checks with calipers and gauges.
func dimensions(c *model.Commission) []measure {
	l := c.Lock
	if l.Slitted() {
		return slitDimensions(c)
	}
	return []measure{
		{"width", l.Width}, {"thickness", l.Thickness}, {"box length", l.BoxLength}, {"block length", l.Block},
		{"side wall", l.Wall}, {"floor", l.Floor}, {"roof, thinnest", l.Roof}, {"end wall", l.EndWall},
		{"lip along the chain", l.Lip}, {"lip below the roof", l.LipDepth}, {"mouth, height", l.Mouth},
		{"chamber, width", l.Chamber}, {"notch, width", l.NotchWidth}, {"shoulder, each side", l.Shoulder()},
		{"leaf at the fold", l.Leaf}, {"leaf at the tip", l.Leaf * l.Taper}, {"fold, inside radius", l.Fold},
		{"leaf, tip to fold", l.Length}, {"lower leaf, width", l.LowerWidth}, {"upper leaf, width", l.UpperWidth},
		{"engagement", c.Fit.Engagement}, {"end play", c.Fit.EndPlay}, {"top gap", c.Fit.TopGap},
		{"face gap", c.Fit.FaceGap}, {"tab above the face", c.Fit.TabHeight}, {"eased long edges", l.Edge},
		{"side play, each side", c.Fit.SideClearance},
	}
}

func sheetFindings(b *strings.Builder, c *model.Commission) {
	heading(b, "findings: "+tally(c.Findings))
	var notes []string
	for _, f := range c.Findings {
		switch {
		case f.Grade == finding.Note && numberless(f):
			notes = append(notes, f.Check)
		case f.Grade == finding.Note:
			notes = append(notes, f.Check+" "+held(f))
		case f.Grade != finding.OK:
			paragraph(b, string(f.Grade), stated(f))
		}
	}
	if len(notes) > 0 {
		paragraph(b, "notes", strings.Join(notes, "; ")+". The command check says what each means")
	}
	paragraph(b, "spring", springLine(c.Spring)+"; computed, not tried")
}
