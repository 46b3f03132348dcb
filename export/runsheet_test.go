package export

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"claspwright/params"
)

// sheetsOf writes the sheet of a run none of whose locks has a folder, but those that are named.
func sheetsOf(t *testing.T, locks int, dir string, folders ...int) []byte {
	t.Helper()
	text := "name,chain.width,chain.thickness,metal.alloy,paper.size\n"
	for i := range locks {
		text += fmt.Sprintf("lock (%d),%.3f,3,\"Au 75, Ag %d, Cu %d\",letter\n", i, 9+0.01*float64(i), 10+i%5, 15-i%5)
	}
	run, err := params.ParseList("list.csv", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	r := &RunResult{Run: run}
	for i, n := range run.Names() {
		row := RunRow{Name: n, at: i, Status: RowRefused, Reason: strings.Repeat(`too small \ (a reason) `, 20)}
		for _, f := range folders {
			if f == i {
				row = RunRow{Name: n, at: i, Status: RowMade, Folder: true, Worst: "caution", Length: 20, Pours: []RunPour{{Alloy: "ag925", Casting: 12.5}}}
			}
		}
		r.Rows = append(r.Rows, row)
	}
	var b bytes.Buffer
	if err := r.WriteSheets(&b, dir); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A sheet is a PDF whose table of objects leads to each of them (PDF Reference, third edition, 3.4.3), with pages of the size asked for, and the same bytes each time.
func TestSheetsArePDF(t *testing.T) {
	dir := t.TempDir()
	plantPicture(t, filepath.Join(dir, "lock-1"))
	data := sheetsOf(t, 100, dir, 1)
	if !bytes.Equal(data, sheetsOf(t, 100, dir, 1)) {
		t.Error("other bytes the second time")
	}
	text := string(data)
	m := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindStringSubmatch(text)
	if !strings.HasPrefix(text, "%PDF-1.4\n") || m == nil {
		t.Fatal("no head, or no end")
	}
	at, _ := strconv.Atoi(m[1])
	lines := strings.Split(text[at:], "\n")
	n, _ := strconv.Atoi(strings.TrimPrefix(lines[1], "0 "))
	if lines[0] != "xref" || n < 10 || len(lines) < n+4 {
		t.Fatalf("table of objects: %q", lines[:2])
	}
	for i, l := range lines[3 : n+2] {
		o, err := strconv.Atoi(l[:10])
		if want := fmt.Sprintf("%d 0 obj\n", i+1); err != nil || len(l) != 19 || !strings.HasPrefix(text[o:], want) {
			t.Fatalf("object %d is not at %q", i+1, l)
		}
	}
	// Pages have 279.4 - 2 x 13 - 10 = 243.4 mm. The first has 29.2 of heads and 4.2 of an alloy, one row of 23 and 9 of 19; 12 on each of the others: 9 pages.
	if n := len(pageObject.FindAll(data, -1)); n != 9 || !strings.Contains(text, "/Count 9 ") {
		t.Errorf("%d pages", n)
	}
	if b := mediaBox.FindStringSubmatch(text); b == nil || b[1]+" "+b[2] != "612.00 792.00" { // 8.5 x 11 inch
		t.Errorf("pages are %v", b)
	}
	if n := strings.Count(text, "/Subtype /Image"); n != 1 {
		t.Errorf("%d pictures", n)
	}
}

func plantPicture(t *testing.T, dir string) {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 700, 2*closedWords+100))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for y := closedWords + 20; y < closedWords+80; y++ {
		for x := 100; x < 600; x++ {
			img.Set(x, y, color.RGBA{R: 40, G: 40, B: 40, A: 255})
		}
	}
	var b bytes.Buffer
	if err := encode(&b, img); err != nil {
		t.Fatal(err)
	}
	plantTree(t, dir, map[string]string{"closed.png": b.String()})
}

// The small picture shows the lock alone, by whole steps smaller, in its mean grey.
func TestSmallPicture(t *testing.T) {
	dir := t.TempDir()
	plantPicture(t, dir)
	img, err := smallPicture(filepath.Join(dir, "closed.png"))
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != 250 || b.Dy() != 30 { // 500 x 60 pixels by steps of 2
		t.Errorf("%v", b)
	}
	for i, v := range img.Pix {
		if v != 40 {
			t.Fatalf("pixel %d is %d", i, v)
		}
	}
	if _, err := smallPicture(filepath.Join(dir, "none.png")); !os.IsNotExist(err) {
		t.Errorf("got %v", err)
	}
}

// Letters that the fonts lack are told apart from none; widths are those of the Go fonts.
func TestSheetLetters(t *testing.T) {
	if got := string(latin("a(b) é Ω\n")); got != "a(b) \xe9 ??" {
		t.Errorf("%q", got)
	}
	p := newPDFStream(&bytes.Buffer{}, 210, 297)
	if p.err != nil {
		t.Fatal(p.err)
	}
	// 1 mm is 72/25.4 points; each digit is as wide as the next, so that columns stand below each other.
	for _, bold := range []int{0, 1} {
		if a, b := p.width(bold, 10, "1111"), p.width(bold, 10, "8888"); a != b || a < 4 || a > 12 {
			t.Errorf("digits are %v and %v mm", a, b)
		}
	}
	s := &sheets{pdf: p}
	if got := s.cut(0, strings.Repeat("m", 100), 30); !strings.HasSuffix(got, "m...") || p.width(0, sheetPoints, got) > 30 {
		t.Errorf("cut to %q", got)
	}
}
