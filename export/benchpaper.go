package export

import (
	"fmt"
	"io"

	"claspwright/model"
	"claspwright/model/finding"
)

// WriteBenchPaper writes the bench sheet as one PDF page: stock, dimensions, the order of work for this lock, what the spring must do, and
// the cautions of the trade.
func WriteBenchPaper(w io.Writer, c *model.Commission, png map[string][]byte) error {
	return onePage(w, c, func(p *paper) error {
		p.head("Bench sheet", text(c, "job.name"), "Box lock for a curb chain "+chain(c)+", in "+metals(c))
		p.section("What it measures when finished, mm")
		p.measures(dimensions(c), 4)
		p.section("Stock to work off, mm on each surface; none on the lip's inner face and the inside of the leaf")
		p.measures(stocks(c), 4)
		section, err := cropped(png["section.png"], headHigh, belowSection(len(measuresOf(c))))
		if err != nil {
			return err
		}
		if err := p.picture("section", 46, section); err != nil {
			return err
		}
		p.section("Order of work")
		for i, s := range route(c) {
			p.row(fmt.Sprintf("%d  %s", i+1, s.name), s.do)
		}
		p.section("The spring, computed and not tried")
		for _, r := range springRows(c) {
			p.row(r[0], r[1])
		}
		p.section("Cautions: local codes, the makers' safety sheets and licensed practice go before this sheet")
		for _, r := range cautions {
			p.row(r[0], r[1])
		}
		return nil
	})
}

// measures writes lengths in columns, read downwards.
func (p *paper) measures(ms []measure, n int) {
	span := (p.wide - 2*paperMargin) / float64(n)
	rows := (len(ms) + n - 1) / n
	p.letters("", 1)
	for r := range rows {
		p.y += p.step()
		for k := r; k < len(ms); k += rows {
			x := paperMargin + span*float64(k/rows)
			p.pdf.Text(x, p.y, ms[k].name)
			v := fmt.Sprintf("%.2f", ms[k].mm)
			p.pdf.Text(x+0.86*span-p.pdf.GetStringWidth(v), p.y, v)
		}
	}
}

// springRows say what the spring must do and what it takes.
func springRows(c *model.Commission) [][2]string {
	rows := [][2]string{{"feel", springLine(c.Spring)}}
	for _, f := range c.Findings {
		if f.Grade == finding.Stop || f.Grade == finding.Caution {
			rows = append(rows, [2]string{string(f.Grade), stated(f)})
		}
	}
	return rows
}
