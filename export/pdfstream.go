package export

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"image"
	"io"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// pdfStream writes a PDF file page by page and holds no more than one page, so that a sheet of ten thousand locks takes
// no more memory than one of ten; a library that collects the pages first cannot do that. Objects as in PDF 1.4 (Adobe, PDF Reference, third edition). Lengths are mm from the
// page's upper left corner.
type pdfStream struct {
	w          io.Writer
	at         int   // bytes written
	offsets    []int // of the objects, from number 1 on
	pages      []int // numbers of the page objects
	wide, high float64
	fonts      [2]pdfFont // regular and bold
	content    bytes.Buffer
	images     []int // numbers of the pictures on this page
	err        error
}

// pdfFont is one of the Go fonts in the letters of Windows Latin 1, as far as these are those of Latin 1.
type pdfFont struct {
	number int
	widths [256]float64 // of the letters, thousandths of the size
}

// objects with fixed numbers.
const (
	pdfCatalog = 1
	pdfPages   = 2
)

func newPDFStream(w io.Writer, wide, high float64) *pdfStream {
	p := &pdfStream{w: w, wide: wide, high: high, offsets: make([]int, pdfPages)}
	p.print("%%PDF-1.4\n%%\xe2\xe3\xcf\xd3\n")
	for i, ttf := range [][]byte{goregular.TTF, gobold.TTF} {
		p.fonts[i] = p.font([]string{"Go-Regular", "Go-Bold"}[i], ttf)
	}
	return p
}

func (p *pdfStream) print(format string, a ...any) {
	if p.err != nil {
		return
	}
	n, err := fmt.Fprintf(p.w, format, a...)
	p.at, p.err = p.at+n, err
}

// object begins the next object and gives its number.
func (p *pdfStream) object() int {
	p.offsets = append(p.offsets, p.at)
	p.print("%d 0 obj\n", len(p.offsets))
	return len(p.offsets)
}

// stream writes an object whose data are packed; dict is what stands in its dictionary beside length and filter.
func (p *pdfStream) stream(dict string, data []byte) int {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	_, err := z.Write(data)
	if cerr := z.Close(); err == nil {
		err = cerr
	}
	if p.err == nil {
		p.err = err
	}
	n := p.object()
	p.print("<< %s /Length %d /Filter /FlateDecode >>\nstream\n", dict, b.Len())
	p.print("%s", b.Bytes())
	p.print("\nendstream\nendobj\n")
	return n
}

// font embeds a whole font.
func (p *pdfStream) font(name string, ttf []byte) (out pdfFont) {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		p.err = err
		return out
	}
	var b sfnt.Buffer
	em := fixed.I(1000)
	for c := 32; c < 256; c++ {
		if c >= 127 && c < 160 {
			continue
		}
		g, err := f.GlyphIndex(&b, rune(c))
		if err != nil {
			continue // stays 0 wide
		}
		if a, err := f.GlyphAdvance(&b, g, em, font.HintingNone); err == nil {
			out.widths[c] = float64(a) / 64
		}
	}
	m, err := f.Metrics(&b, em, font.HintingNone)
	box, berr := f.Bounds(&b, em, font.HintingNone)
	if err != nil || berr != nil {
		p.err = fmt.Errorf("font %s: %w", name, err)
		return out
	}
	file := p.stream(fmt.Sprintf("/Length1 %d", len(ttf)), ttf)
	about := p.object()
	p.print("<< /Type /FontDescriptor /FontName /%s /Flags 32 /FontBBox [%d %d %d %d] /ItalicAngle 0 /Ascent %d /Descent %d /CapHeight %d /StemV 80 /FontFile2 %d 0 R >>\nendobj\n",
		name, box.Min.X.Floor(), -box.Max.Y.Ceil(), box.Max.X.Ceil(), -box.Min.Y.Floor(), m.Ascent.Round(), -m.Descent.Round(), m.CapHeight.Round(), file)
	out.number = p.object()
	p.print("<< /Type /Font /Subtype /TrueType /BaseFont /%s /Encoding /WinAnsiEncoding /FirstChar 32 /LastChar 255 /FontDescriptor %d 0 R /Widths [", name, about)
	for _, w := range out.widths[32:] {
		p.print(" %.0f", w)
	}
	p.print(" ] >>\nendobj\n")
	return out
}

// latin is text in the letters of the fonts; what they do not have is a question mark.
func latin(s string) []byte {
	var out []byte
	for _, r := range s {
		if r >= 32 && r < 127 || r >= 160 && r < 256 {
			out = append(out, byte(r))
			continue
		}
		out = append(out, '?')
	}
	return out
}

// width is how long text is, mm, in letters of so many points.
func (p *pdfStream) width(bold int, points float64, s string) (w float64) {
	for _, c := range latin(s) {
		w += p.fonts[bold].widths[c]
	}
	return w / 1000 * points * pointMM
}

var pdfEscape = strings.NewReplacer(`\`, `\\`, `(`, `\(`, `)`, `\)`)

// text writes a line from x on, its letters standing on y. bold is 0 or 1.
func (p *pdfStream) text(bold int, points, x, y float64, s string) {
	fmt.Fprintf(&p.content, "BT /F%d %.2f Tf %.2f %.2f Td (%s) Tj ET\n", bold, points, x/pointMM, (p.high-y)/pointMM, pdfEscape.Replace(string(latin(s))))
}

// right writes a line that ends at x.
func (p *pdfStream) right(bold int, points, x, y float64, s string) {
	p.text(bold, points, x-p.width(bold, points, s), y, s)
}

// rule draws a line across.
func (p *pdfStream) rule(x0, x1, y, thick float64) {
	fmt.Fprintf(&p.content, "%.2f w %.2f %.2f m %.2f %.2f l S\n", thick/pointMM, x0/pointMM, (p.high-y)/pointMM, x1/pointMM, (p.high-y)/pointMM)
}

// picture draws grey pixels in a box; they keep their shape and stand in its middle.
func (p *pdfStream) picture(x, y, wide, high float64, img *image.Gray) {
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	n := p.stream(fmt.Sprintf("/Type /XObject /Subtype /Image /Width %d /Height %d /ColorSpace /DeviceGray /BitsPerComponent 8", w, h), img.Pix)
	p.images = append(p.images, n)
	s := min(wide/float64(w), high/float64(h))
	dx, dy := s*float64(w), s*float64(h)
	x, y = x+(wide-dx)/2, y+(high-dy)/2
	fmt.Fprintf(&p.content, "q %.2f 0 0 %.2f %.2f %.2f cm /I%d Do Q\n", dx/pointMM, dy/pointMM, x/pointMM, (p.high-y-dy)/pointMM, n)
}

// endPage writes the page that has been filled.
func (p *pdfStream) endPage() {
	c := p.stream("", p.content.Bytes())
	n := p.object()
	p.print("<< /Type /Page /Parent %d 0 R /MediaBox [0 0 %.2f %.2f] /Contents %d 0 R /Resources << /Font << /F0 %d 0 R /F1 %d 0 R >> /XObject <<",
		pdfPages, p.wide/pointMM, p.high/pointMM, c, p.fonts[0].number, p.fonts[1].number)
	for _, i := range p.images {
		p.print(" /I%d %d 0 R", i, i)
	}
	p.print(" >> >> >>\nendobj\n")
	p.pages, p.images = append(p.pages, n), p.images[:0]
	p.content.Reset()
}

// end writes what a reader looks for at the end of the file.
func (p *pdfStream) end(title string) error {
	p.offsets[pdfCatalog-1] = p.at
	p.print("%d 0 obj\n<< /Type /Catalog /Pages %d 0 R >>\nendobj\n", pdfCatalog, pdfPages)
	p.offsets[pdfPages-1] = p.at
	p.print("%d 0 obj\n<< /Type /Pages /Count %d /Kids [", pdfPages, len(p.pages))
	for _, n := range p.pages {
		p.print(" %d 0 R", n)
	}
	p.print(" ] >>\nendobj\n")
	info := p.object()
	p.print("<< /Title (%s) /Producer (%s) /CreationDate (D:20000101000000Z) >>\nendobj\n", pdfEscape.Replace(string(latin(title))), pdfEscape.Replace(string(latin(signature()))))
	table := p.at
	p.print("xref\n0 %d\n0000000000 65535 f \n", len(p.offsets)+1)
	for _, o := range p.offsets {
		p.print("%010d 00000 n \n", o)
	}
	p.print("trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(p.offsets)+1, pdfCatalog, info, table)
	return p.err
}
