package export

import (
	"fmt"
	"io"
	"strings"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// Summary writes the order of one lock as a few lines for a terminal: sizes, weights, what to order, findings and the
// files made, of which there may be none.
func Summary(w io.Writer, c *model.Commission, dir string, files []string) error {
	var b strings.Builder
	line := func(name, format string, args ...any) {
		fmt.Fprintf(&b, "%-10s%s\n", name, fmt.Sprintf(format, args...))
	}
	line("lock", "%s, %s", chain(c), metals(c))
	for _, p := range at(c, clasp.Finished) {
		line(p.Name, "%s, %.2f mm3 finished", size(p.Mesh), p.VolumeMM3)
	}
	if len(c.Weights) > 0 {
		own := c.Weights[0]
		line("weight", "finished %.2f g, casting %.2f g, %s", own.Finished, own.Casting, fineMetal(own.Fine))
		for _, p := range c.Pours {
			o := p.Order
			line("order", "%.2f g of %s: castings %.2f, gates %.2f, button %.2f, melting loss %.2f", o.OrderG, poured(c, p),
				o.CastingG, o.GatesG, o.ButtonG, o.LossG)
		}
	}
	for i, l := range wrap(springLine(c.Spring), sheetWidth-10) {
		line([]string{"spring", ""}[min(i, 1)], "%s", l)
	}
	line("findings", "%s", tally(c.Findings))
	b.WriteString(raised(c.Findings))
	if len(files) > 0 {
		for i, l := range wrap(strings.Join(files, ", "), sheetWidth-10) {
			line([]string{"files", ""}[min(i, 1)], "%s", l)
		}
		line("in", "%s", dir)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// poured names the alloy of a pour, and the part if the other is poured of another alloy.
func poured(c *model.Commission, p model.Pour) string {
	if len(c.Pours) > 1 {
		return p.Alloy.ID + " for the " + strings.Join(p.Parts, " and ")
	}
	return p.Alloy.ID
}

// fineMetal is said of a weight of fine metal; a trial casting holds none.
func fineMetal(g float64) string {
	if g == 0 {
		return "no fine metal: a trial casting"
	}
	return fmt.Sprintf("fine metal %.2f g", g)
}

// raised lists the findings that are not ok.
func raised(fs []finding.Finding) string {
	var b strings.Builder
	for _, f := range fs {
		if f.Grade != finding.OK {
			fmt.Fprintf(&b, "  %s: %s\n", f.Grade, stated(f))
		}
	}
	return b.String()
}

// Weights writes the table of weights in every alloy, the job's own first.
func Weights(w io.Writer, c *model.Commission) error {
	_, err := fmt.Fprintf(w, "%s; weights in g, the alloy of the job first\n%s", chain(c), weightTable(c.Weights))
	return err
}

// Findings writes every finding, a line each, and the count by grade.
func Findings(w io.Writer, c *model.Commission) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %s\n", chain(c), metals(c))
	longest := 0
	for _, f := range c.Findings {
		longest = max(longest, len(f.Check))
	}
	for _, f := range c.Findings {
		row := fmt.Sprintf("%-8s %-*s  %s", f.Grade, longest, f.Check, held(f))
		b.WriteString(strings.TrimRight(row, " ") + "\n")
		if f.Grade != finding.OK {
			fmt.Fprintf(&b, "         %s\n", f.Say)
		}
	}
	fmt.Fprintf(&b, "findings: %s\n", tally(c.Findings))
	_, err := io.WriteString(w, b.String())
	return err
}
