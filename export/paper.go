package export

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"claspwright/model"
)

// paper is one printed page while it is filled from the top. Lengths are mm.
type paper struct {
	pdf        *fpdf.Fpdf
	wide, high float64
	points     float64 // size of the letters, points
	y          float64 // how far down it is filled
}

const (
	paperMargin = 13.0
	paperFoot   = 12.0             // for the check bar
	lineOver    = 1.22             // of a line over the height of its letters
	pointMM     = 25.4 / 72        // of a typographic point
	epoch       = int64(946684800) // 2000-01-01: a paper carries no time of its own, so that the same job gives the same bytes
	leftName    = 27.0             // column of names beside a paragraph
)

// paperSizes are the sizes that paper.size knows.
var paperSizes = map[string]string{"a4": "A4", "letter": "Letter"}

// newPaper is an empty page of the job's size with letters of so many points.
func newPaper(c *model.Commission, points float64) *paper {
	size := paperSizes[text(c, "paper.size")]
	if size == "" {
		size = "A4"
	}
	pdf := fpdf.New("P", "mm", size, "")
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(time.Unix(epoch, 0).UTC())
	pdf.SetModificationDate(time.Unix(epoch, 0).UTC())
	pdf.SetProducer(signature(), true)
	pdf.AddUTF8FontFromBytes("go", "", goregular.TTF)
	pdf.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetCellMargin(0)
	pdf.AddPage()
	w, h := pdf.GetPageSize()
	return &paper{pdf: pdf, wide: w, high: h, points: points, y: paperMargin}
}

// limit is down to where a page may be filled.
func (p *paper) limit() float64 { return p.high - paperMargin - paperFoot + 4 }

// step is the height of a line.
func (p *paper) step() float64 { return p.points * pointMM * lineOver }

func (p *paper) letters(style string, over float64) { p.pdf.SetFont("go", style, p.points*over) }

// head writes the title and a line below it.
func (p *paper) head(title, job, below string) {
	p.letters("B", 1.6)
	p.pdf.Text(paperMargin, p.y+3.5, title)
	p.letters("", 1)
	p.pdf.Text(p.wide-paperMargin-p.pdf.GetStringWidth(job), p.y+3.5, job)
	p.y += 3.5 + 1.25*p.step()
	p.pdf.Text(paperMargin, p.y, below)
	p.y += 0.35 * p.step()
	p.rule(0.4)
}

// rule draws a line across the page.
func (p *paper) rule(thick float64) {
	p.pdf.SetLineWidth(thick)
	p.pdf.Line(paperMargin, p.y, p.wide-paperMargin, p.y)
}

// section begins a part of the page.
func (p *paper) section(title string) {
	p.y += 1.5 * p.step()
	p.letters("B", 1)
	p.pdf.Text(paperMargin, p.y, title)
	p.y += 0.3 * p.step()
	p.rule(0.15)
}

// blanks are lines to be filled in by hand, each after its name.
func (p *paper) blanks(names ...string) {
	span := (p.wide - 2*paperMargin) / float64(len(names))
	p.y += 1.2 * p.step()
	for i, n := range names {
		x := paperMargin + span*float64(i)
		p.letters("B", 1)
		p.pdf.Text(x, p.y, n)
		p.pdf.SetLineWidth(0.1)
		p.pdf.Line(x+p.pdf.GetStringWidth(n)+2, p.y+0.5, x+span-6, p.y+0.5)
	}
}

// row writes a name and, beside it, text broken into lines.
func (p *paper) row(name, s string) { p.rowIn(paperMargin, p.wide-2*paperMargin, name, s) }

// rowIn is row in a column from x on.
func (p *paper) rowIn(x, wide float64, name, s string) {
	p.letters("B", 1)
	p.pdf.Text(x, p.y+p.step(), name)
	p.letters("", 1)
	left := leftName
	if name == "" {
		left = 0
	}
	for _, line := range p.broken(s, wide-left) {
		p.y += p.step()
		p.pdf.Text(x+left, p.y, line)
	}
}

// broken breaks text into lines of a width.
func (p *paper) broken(s string, wide float64) (lines []string) {
	line := ""
	for _, w := range strings.Fields(s) {
		longer := strings.TrimSpace(line + " " + w)
		if line != "" && p.pdf.GetStringWidth(longer) > wide {
			lines, line = append(lines, line), w
			continue
		}
		line = longer
	}
	return append(lines, line)
}

// table writes rows of cells; a column's text stands at its left end, given as a share of the page's width.
func (p *paper) table(at []float64, rows ...[]string) {
	span := p.wide - 2*paperMargin
	for i, r := range rows {
		style := ""
		if i == 0 {
			style = "B"
		}
		p.letters(style, 1)
		p.y += p.step()
		for k, cell := range r {
			p.pdf.Text(paperMargin+at[k]*span, p.y, cell)
		}
	}
}

// picture puts a PNG picture in the middle of the page, as wide as the page and at most so high.
func (p *paper) picture(name string, high float64, png []byte) error {
	info := p.pdf.RegisterImageOptionsReader(name, fpdf.ImageOptions{ImageType: "PNG"}, bytes.NewReader(png))
	if p.pdf.Err() {
		return p.pdf.Error()
	}
	aspect := info.Width() / info.Height()
	h := min(high, (p.wide-2*paperMargin)/aspect)
	p.y += 0.6 * p.step()
	p.pdf.ImageOptions(name, (p.wide-h*aspect)/2, p.y, h*aspect, h, false, fpdf.ImageOptions{ImageType: "PNG"}, 0, "")
	p.y += h
	return nil
}

// cropped is a PNG picture without so many rows at its top and its bottom.
func cropped(data []byte, top, bottom int) ([]byte, error) {
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	r := img.Bounds()
	r.Min.Y, r.Max.Y = r.Min.Y+top, r.Max.Y-bottom
	part := image.NewRGBA(image.Rect(0, 0, r.Dx(), r.Dy()))
	draw.Draw(part, part.Bounds(), img, r.Min, draw.Src)
	var b bytes.Buffer
	err = encode(&b, part)
	return b.Bytes(), err
}

// foot draws the check bar of 50 mm and where the numbers come from.
func (p *paper) foot() {
	y := p.high - paperMargin
	p.pdf.SetLineWidth(0.2)
	for i := range 5 {
		x := paperMargin + 10*float64(i)
		style := "D"
		if i%2 == 0 {
			style = "FD"
		}
		p.pdf.SetFillColor(0, 0, 0)
		p.pdf.Rect(x, y-2.5, 10, 2.5, style)
	}
	p.letters("", 0.9)
	p.pdf.Text(paperMargin+53, y, "this bar is 50 mm long when the page is printed at its true size")
	right := signature()
	p.pdf.Text(p.wide-paperMargin-p.pdf.GetStringWidth(right), y, right)
}

// paperPoints are the sizes of letters that are tried, the largest that lets everything stand on one page is taken.
var paperPoints = []float64{9, 8.6, 8.2, 7.8, 7.4, 7, 6.6}

// onePage writes what fill puts on a page, in letters as large as one page allows.
func onePage(w io.Writer, c *model.Commission, fill func(*paper) error) error {
	over := 0.0
	for _, points := range paperPoints {
		p := newPaper(c, points)
		if err := fill(p); err != nil {
			return err
		}
		if over = p.y - p.limit(); over <= 0 {
			p.foot()
			return p.pdf.Output(w)
		}
	}
	return fmt.Errorf("export: a paper is %.0f mm longer than its page", over)
}
