package export

import (
	"fmt"
	"io"
	"strings"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/metal"
	"claspwright/params"
)

// WriteOrderPaper writes the casting order as one PDF page: what is cast, of what, how much metal, what the caster must keep, and
// pictures with the places named. png are the pictures of the job folder by name.
func WriteOrderPaper(w io.Writer, c *model.Commission, png map[string][]byte) error {
	return onePage(w, c, func(p *paper) error {
		p.head("Casting order", text(c, "job.name"), "Box lock for a curb chain "+chain(c)+", box and tongue as two fitting halves")
		p.y += 0.6 * p.step()
		p.blanks("to", "date", "order no.")
		p.section("Parts")
		p.table([]float64{0, 0.13, 0.29, 0.37, 0.58, 0.72}, partRows(c)...)
		p.section("Metal")
		for _, pour := range c.Pours {
			p.row("alloy", alloyLine(pour.Alloy))
			o := pour.Order
			p.row("to supply", fmt.Sprintf("%.2f g of %s: castings %.2f g, gates %.2f g, button %.2f g, melting loss %.2f g",
				o.OrderG, poured(c, pour), o.CastingG, o.GatesG, o.ButtonG, o.LossG))
		}
		p.row("fineness", fineness(c))
		p.section("To keep")
		for _, r := range keepRows(c) {
			p.row(r[0], r[1])
		}
		p.section("What is where")
		open, err := cropped(png["open.png"], headHigh, 0) // its title says what the page says
		if err != nil {
			return err
		}
		return p.picture("open", max(p.limit()-p.y-p.step(), leastPicture), open)
	})
}

// leastPicture is how high the picture of an order must be, mm; letters are smaller where there is no room for it.
const leastPicture = 70

// partRows are the castings: each with its file, its size and the weight that must come back.
func partRows(c *model.Commission) [][]string {
	rows := [][]string{{"part", "file", "pieces", "size of the file, mm", "volume, mm3", "weight as cast, within 10 %"}}
	cast := at(c, clasp.Casting)
	for _, p := range at(c, clasp.Pattern) {
		row := []string{p.Name, file(p), "1", strings.TrimSuffix(size(p.Mesh), " mm"), fmt.Sprintf("%.1f", p.VolumeMM3), ""}
		for _, q := range cast {
			if pour, ok := pourFor(c, p.Name); ok && q.Name == p.Name {
				row[5] = fmt.Sprintf("%.2f g of %s", q.Casting()*metal.Density(pour.Alloy)/1000, pour.Alloy.ID)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// pourFor is the pour that a part is cast in.
func pourFor(c *model.Commission, part string) (model.Pour, bool) {
	for _, p := range c.Pours {
		for _, n := range p.Parts {
			if n == part {
				return p, true
			}
		}
	}
	return model.Pour{}, false
}

// alloyLine names an alloy with what it is made of.
func alloyLine(a params.Alloy) string {
	parts := make([]string, len(a.Parts))
	for i, s := range a.Parts {
		parts[i] = s.Element + " " + short(s.Percent, 2)
	}
	s := a.ID
	if a.Fineness > 0 {
		s += fmt.Sprintf(": %s %s", a.Metal, short(a.Fineness, 1))
	}
	if a.Colour != "" {
		s += ", " + a.Colour
	}
	s += "; " + strings.Join(parts, ", ") + " % by mass"
	if m := a.Melting; m.Liquidus > 0 {
		s += fmt.Sprintf("; melts at %.0f to %.0f C", m.Solidus, m.Liquidus)
		if m.Kind == params.Memory {
			s += " (from memory)"
		}
	} else {
		s += "; its maker gives the melting range"
	}
	return s
}

// keepRows tell the caster what matters for the lock to work.
func keepRows(c *model.Commission) [][2]string {
	l := c.Lock
	rows := [][2]string{
		{"scale", scaling(growth(c))},
		{"tolerance", fmt.Sprintf("DCTG %s of ISO 8062-3; every surface that is worked carries its stock already", short(number(c, "casting.grade"), 0))},
		{"gates", "at the block's and the box's closed end" + stubs(c) + gateSizes(c) + tabGate(c) + "; none on leaf, neck, lip, mouth or a seat"},
		{"supports", "of a printed pattern: on the underside and the chain ends only; none in the chamber, under the lip or between the leaves"},
		{"core", coreLine(l)},
		{"after casting", "cut from the gates, not tumbled and not filed: tumbling rounds lip and shoulders, which have to catch"},
		{"one-off", "no mould is wanted; two halves belong together, so a failed one is made again from its file"},
	}
	if s := model.Lettering(c.Lock); s != "" {
		rows = append(rows, [2]string{"letters", s + fmt.Sprintf("; %s is %.2f mm: keep it open, not polished over", c.Lock.Mark.What, c.Lock.Mark.Thin)})
	}
	if s := model.Hallmarking(c.Lock); s != "" {
		rows = append(rows, [2]string{"hallmark", s + "; no gate and no support there"})
	}
	if p := c.Job.Caster(); p != nil {
		rows = append(rows, [2]string{"profile", profileLine(p)})
	}
	rows = append(rows, [2]string{"cautions", "your own practice and local codes go before this page; dry moulds, shield and gloves at the melt; investment holds silica, keep it wet"})
	if c.Strip != nil {
		rows = append(rows, [2]string{"leaf", "is not cast: strip is fixed to the tongue at the bench"})
	}
	return rows
}

// stubs says that the files have gates already.
func stubs(c *model.Commission) string {
	if text(c, "casting.stub") == "none" {
		return ""
	}
	s := ", as stubs that are part of the files and no part of the weights as cast"
	if text(c, "casting.gate_by") == "given" {
		s += fmt.Sprintf(", round, %.1f x %.1f mm", number(c, "casting.gate"), number(c, "casting.gate_length"))
	}
	return s
}

// gateSizes are those that the modulus rule has found for each part.
func gateSizes(c *model.Commission) string {
	if by := text(c, "casting.gate_by"); by != "modulus" {
		return ""
	}
	var sizes []string
	for _, f := range c.Feeds {
		sizes = append(sizes, fmt.Sprintf("%s %.1f x %.1f mm", f.Part, f.Gate.Diameter, f.Gate.Length))
	}
	return ", round: " + strings.Join(sizes, ", ")
}

// profileLine names the caster's profile that the order was made by.
func profileLine(p *params.Caster) string {
	s := "made by the profile kept for this house"
	if house, ok := p.Text("profile.house"); ok {
		s = "made by the profile kept for " + house
	}
	if date, ok := p.Text("profile.date"); ok {
		s += " of " + date
	}
	if remark, ok := p.Text("profile.remark"); ok {
		s += "; " + remark
	}
	return s
}

func tabGate(c *model.Commission) string {
	if c.Strip != nil {
		return ""
	}
	if l := c.Lock; l != nil && (l.Double() || l.Slitted()) {
		return ", a thin one more on the top of each tab"
	}
	return ", a second, thin one on the top of the thumb tab"
}

// coreLine tells how investment gets into the chamber and out again.
func coreLine(l *clasp.Lock) string {
	s := map[string]string{
		"window": fmt.Sprintf("the chamber is open at the mouth and through a window of %.1f x %.1f mm in the floor; face the window to the pour", l.WindowLength, l.WindowWidth),
		"loose":  "the chamber is open below: the floor is a part of its own",
		"closed": "the chamber is open at the mouth alone: a deep core that may break; ask before casting if your practice does not allow it",
	}[l.FloorKind]
	if l.Double() {
		s += "; two such chambers side by side, a thin wall between them, and a slot as thin between the two leaves"
	}
	if n := len(l.XCoreHoles); n > 0 {
		s += fmt.Sprintf("; %d bore(s) of %.1f mm through both side walls for a graphite lead that holds the core", n, l.CoreHole)
	}
	return s
}
