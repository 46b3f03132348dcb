package export

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"

	"claspwright/params"
)

// Measures of the sheet of a run, mm.
const (
	sheetRow     = 23.0 // of a lock with its picture
	sheetRefused = 19.0 // of one without
	sheetLine    = 4.2  // of a line of text
	sheetPicture = 40.0 // wide
	sheetPoints  = 8.5  // of its letters, points
	sheetHead    = 20.0 // of the first page
	sheetFoot    = 10.0
)

// WriteSheets writes one PDF for the whole run: what it takes of each alloy, and every lock with its picture, what was asked
// for and its weights. The pictures are read from the folders of the locks, dir being the run's, one at a time.
func (r *RunResult) WriteSheets(w io.Writer, dir string) error {
	size := "a4"
	if len(r.Rows) > 0 {
		if _, text, ok := r.Run.Job(0).Value("paper.size"); ok {
			size = text
		}
	}
	wide, high := 210.0, 297.0 // ISO 216
	if size == "letter" {
		wide, high = 215.9, 279.4 // ANSI/ASME Y14.1
	}
	s := &sheets{r: r, dir: dir, pdf: newPDFStream(w, wide, high), page: 1, columns: r.columns()}
	s.blocks = s.list()
	s.pages = s.count()
	return s.write()
}

// block is something on a sheet that stays together.
type block struct {
	high float64
	draw func(s *sheets, y float64) error
}

type sheets struct {
	r           *RunResult
	dir         string
	pdf         *pdfStream
	columns     []params.Key
	blocks      []block
	page, pages int
}

func (s *sheets) bottom() float64 { return s.pdf.high - paperMargin - sheetFoot }

// list is everything on the sheets, in its order.
func (s *sheets) list() []block {
	out := []block{{sheetHead, (*sheets).head}}
	for _, t := range s.r.totals() {
		out = append(out, block{sheetLine, func(s *sheets, y float64) error { s.total(y, t); return nil }})
	}
	out = append(out, block{sheetLine + 5, (*sheets).remark})
	for _, row := range s.r.Rows {
		high := sheetRefused
		if row.Folder {
			high = sheetRow
		}
		out = append(out, block{high, func(s *sheets, y float64) error { return s.lock(y, high, row) }})
	}
	return out
}

// count is how many pages there will be.
func (s *sheets) count() int {
	pages, y := 1, paperMargin
	for _, b := range s.blocks {
		if y+b.high > s.bottom() {
			pages, y = pages+1, paperMargin
		}
		y += b.high
	}
	return pages
}

func (s *sheets) write() error {
	y := paperMargin
	for _, b := range s.blocks {
		if y+b.high > s.bottom() {
			s.foot()
			y = paperMargin
		}
		if err := b.draw(s, y); err != nil {
			return err
		}
		y += b.high
	}
	s.foot()
	return s.pdf.end("size run of " + pieces(len(s.r.Rows)))
}

func (s *sheets) foot() {
	y := s.pdf.high - paperMargin
	s.pdf.text(0, sheetPoints, paperMargin, y, signature())
	s.pdf.right(0, sheetPoints, s.pdf.wide-paperMargin, y, fmt.Sprintf("page %d of %d", s.page, s.pages))
	s.pdf.endPage()
	s.page++
}

// weightHeads head the columns of the totals, whose right ends are given from the right margin, mm.
var (
	weightHeads = []string{"locks", "finished, g", "castings, g", "gates, g", "buttons, g", "loss, g", "to supply, g"}
	weightEnds  = []float64{124, 104, 83, 66, 47, 31, 0}
)

func (s *sheets) head(y float64) error {
	p := s.pdf
	p.text(1, 1.6*sheetPoints, paperMargin, y+4, "Size run")
	p.right(0, sheetPoints, p.wide-paperMargin, y+4, fmt.Sprintf("%d of %d locks made", s.r.Made(), len(s.r.Rows)))
	p.rule(paperMargin, p.wide-paperMargin, y+6.5, 0.4)
	y += sheetHead - 4
	p.text(1, sheetPoints, paperMargin, y, "alloy")
	for i, h := range weightHeads {
		p.right(1, sheetPoints, p.wide-paperMargin-weightEnds[i], y, h)
	}
	p.rule(paperMargin, p.wide-paperMargin, y+1.3, 0.15)
	return nil
}

func (s *sheets) total(y float64, t total) {
	p, v := s.pdf, t.sum
	p.text(0, sheetPoints, paperMargin, y+3, s.cut(0, t.Alloy, p.wide-2*paperMargin-weightEnds[0]-12))
	p.right(0, sheetPoints, p.wide-paperMargin-weightEnds[0], y+3, fmt.Sprint(t.Pieces))
	for i, g := range []float64{v.Finished, v.Casting, v.Gates, v.Button, v.Loss, v.Order} {
		p.right(0, sheetPoints, p.wide-paperMargin-weightEnds[i+1], y+3, fmt.Sprintf("%.2f", g))
	}
}

func (s *sheets) remark(y float64) error {
	s.pdf.text(0, sheetPoints, paperMargin, y+3, "Each lock is counted as cast for itself, with a button of its own; the command tree plans flasks. Pictures are not to scale.")
	s.pdf.rule(paperMargin, s.pdf.wide-paperMargin, y+sheetLine+3, 0.4)
	return nil
}

// lock is one row: picture, name, what was asked for, weights, and why it was not made.
func (s *sheets) lock(y, high float64, row RunRow) error {
	p, x := s.pdf, paperMargin+sheetPicture+4
	span := p.wide - paperMargin - x
	if row.Folder {
		img, err := smallPicture(filepath.Join(s.dir, row.Name, "closed.png"))
		if err != nil {
			return fmt.Errorf("%s: %w", row.Name, err)
		}
		p.picture(paperMargin, y+0.5, sheetPicture, sheetRow-2, img)
	}
	p.text(1, sheetPoints, x, y+sheetLine, s.cut(1, row.Name, span-38))
	state := row.Status
	if row.Status == RowMade {
		state = "worst finding: " + string(row.Worst)
	}
	p.right(0, sheetPoints, p.wide-paperMargin, y+sheetLine, state)
	lines := []string{s.cut(0, s.given(row), span)}
	if row.built() {
		w := row.inAll()
		lines = append(lines, fmt.Sprintf("closed %.2f mm; finished %.2f g, castings %.2f g, gates %.2f g, button %.2f g; to supply %.2f g", row.Length, row.Finished, w.Casting, w.Gates, w.Button, w.Order))
	}
	if row.Reason != "" {
		lines = append(lines, s.broken(row.Reason, span)...)
	}
	for i, l := range lines[:min(len(lines), int(high/sheetLine)-1)] {
		p.text(0, sheetPoints, x, y+sheetLine*float64(i+2), l)
	}
	p.rule(paperMargin, p.wide-paperMargin, y+high-0.5, 0.1)
	return nil
}

// given is what a lock was asked for, as far as it varies.
func (s *sheets) given(row RunRow) string {
	job := s.r.Run.Job(row.at)
	w, _, _ := job.Value("chain.width")
	h, _, _ := job.Value("chain.thickness")
	_, alloy, _ := job.Value("metal.alloy")
	parts := []string{short(w, toMM) + " x " + short(h, toMM) + " mm", alloy}
	for _, k := range s.columns {
		n, text, ok := job.Value(k.Name)
		if !ok || k.Name == "chain.width" || k.Name == "chain.thickness" || k.Name == "metal.alloy" {
			continue
		}
		if k.Kind == params.Number {
			text = strings.TrimSpace(short(n, toMM) + " " + k.Unit)
		}
		if k.Name != "job.name" { // a name speaks for itself
			text = inWords(k.Name) + " " + text
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

// inWords is a key as it reads on paper: the chain.wear of a job file is the chain's wear to a bench.
func inWords(key string) string { return strings.NewReplacer(".", " ", "_", " ").Replace(key) }

// cut shortens a line to a width.
func (s *sheets) cut(bold int, text string, wide float64) string {
	if s.pdf.width(bold, sheetPoints, text) <= wide {
		return text
	}
	r := []rune(text)
	for len(r) > 0 && s.pdf.width(bold, sheetPoints, string(r)+"...") > wide {
		r = r[:len(r)-1]
	}
	return string(r) + "..."
}

// broken breaks a reason into lines, two at most.
func (s *sheets) broken(text string, wide float64) []string {
	var line string
	words := strings.Fields(text)
	for i, w := range words {
		longer := strings.TrimSpace(line + " " + w)
		if line != "" && s.pdf.width(0, sheetPoints, longer) > wide {
			return []string{line, s.cut(0, strings.Join(words[i:], " "), wide)}
		}
		line = longer
	}
	return []string{s.cut(0, line, wide)}
}

// smallWide is how many pixels the picture of a lock on a sheet may be wide.
const smallWide = 320

// smallPicture is the closed lock in grey without the words above and below it.
func smallPicture(name string) (*image.Gray, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		return nil, err
	}
	grey := image.NewGray(img.Bounds())
	draw.Draw(grey, grey.Rect, img, grey.Rect.Min, draw.Src)
	r := grey.Rect
	r.Min.Y, r.Max.Y = r.Min.Y+closedWords, r.Max.Y-closedWords
	return shrunk(grey, inkedPart(grey, r), smallWide), nil
}

// inkedPart is the part of a picture that is not white.
func inkedPart(img *image.Gray, in image.Rectangle) (out image.Rectangle) {
	for y := in.Min.Y; y < in.Max.Y; y++ {
		for x := in.Min.X; x < in.Max.X; x++ {
			if img.GrayAt(x, y).Y < 250 {
				out = out.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	if out.Empty() {
		return in
	}
	return out
}

// shrunk is part of a picture in grey, each pixel the mean of those that it stands for.
func shrunk(img *image.Gray, part image.Rectangle, most int) *image.Gray {
	step := max(1, (part.Dx()+most-1)/most)
	out := image.NewGray(image.Rect(0, 0, (part.Dx()+step-1)/step, (part.Dy()+step-1)/step))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			sum, n := 0, 0
			for j := range step {
				for i := range step {
					at := image.Pt(part.Min.X+x*step+i, part.Min.Y+y*step+j)
					if at.In(part) {
						sum += int(img.GrayAt(at.X, at.Y).Y)
						n++
					}
				}
			}
			out.SetGray(x, y, color.Gray{Y: uint8(sum / n)})
		}
	}
	return out
}
