package export

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"claspwright/model/catch"
)

// readSVG reads the drawing back: page and view box in mm, and the paths of a class.
func readSVG(t *testing.T, data []byte) (page [2]string, box string, paths []string, text string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return page, box, paths, text
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			at := map[string]string{}
			for _, a := range e.Attr {
				at[a.Name.Local] = a.Value
			}
			if e.Name.Local == "svg" {
				page, box = [2]string{at["width"], at["height"]}, at["viewBox"]
			}
			if e.Name.Local == "path" {
				paths = append(paths, at["d"])
			}
		case xml.CharData:
			text += string(e) + "\n"
		}
	}
}

var number3 = regexp.MustCompile(`-?[0-9.]+`)

// pathLength adds up the straights and arcs of an SVG path, by the arcs' own flags.
func pathLength(t *testing.T, d string) (sum float64) {
	t.Helper()
	var x, y float64
	for _, cmd := range regexp.MustCompile(`[MLA][^MLA]*`).FindAllString(d, -1) {
		var v []float64
		for _, s := range number3.FindAllString(cmd, -1) {
			f, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, f)
		}
		nx, ny := v[len(v)-2], v[len(v)-1]
		chord := math.Hypot(nx-x, ny-y)
		switch cmd[0] {
		case 'L':
			sum += chord
		case 'A':
			angle := 2 * math.Asin(math.Min(1, chord/2/v[0]))
			if v[3] == 1 {
				angle = 2*math.Pi - angle
			}
			sum += v[0] * angle
		}
		x, y = nx, ny
	}
	return sum
}

// The drawing is in mm, one unit of the view box a mm; the loop that it shows at 1:1 is as long as the wire to cut and the gap of its
// ends, and so is that at 5:1.
func TestCatchDrawing(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	c := commission(t, append(plainJob, "catch.sides=both")...)
	var b bytes.Buffer
	if err := WriteCatch(&b, c); err != nil {
		t.Fatal(err)
	}
	page, box, paths, text := readSVG(t, b.Bytes())
	var w, h float64
	if _, err := fmt.Sscanf(box, "0 0 %g %g", &w, &h); err != nil || page != [2]string{fmt.Sprintf("%gmm", w), fmt.Sprintf("%gmm", h)} || w > 190 || h > 277 {
		t.Errorf("page %v with view box %q: not in mm, or larger than A4", page, box)
	}
	if len(paths) != 8 { // two halves each: wire and middle line at 5:1, at 1:1, and on the lock
		t.Fatalf("%d paths", len(paths))
	}
	for i, scale := range map[int]float64{0: 5, 2: 5, 4: 1} {
		got := (pathLength(t, paths[i]) + pathLength(t, paths[i+1])) / scale
		if want := c.Catch.Cut + catch.Ends; math.Abs(got-want) > 0.02 {
			t.Errorf("drawn %g:1 the loop is %.3f mm long, want %.3f", scale, got, want)
		}
	}
	for _, want := range []string{short(c.Catch.Cut, 2) + " long", "reach " + short(c.Catch.Loop.Reach, 2), "1:1", "5:1", "away from the skin"} {
		if !strings.Contains(text, want) {
			t.Errorf("the drawing does not say %q", want)
		}
	}
	marks := bendMarks(c.Catch)
	for i, m := range marks {
		if i > 0 && m <= marks[i-1] || math.Abs(m+marks[len(marks)-1-i]-c.Catch.Cut) > 1e-9 {
			t.Errorf("marks %v on %.2f mm of wire", marks, c.Catch.Cut)
		}
	}
}

// A lock without a catch has no drawing, no file for one and no object in its report; one with a catch has all three.
func TestCatchInFolder(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for _, c := range []struct {
		sides string
		has   bool
	}{{"none", false}, {"one", true}} {
		k := commission(t, append(plainJob, "catch.sides="+c.sides)...)
		listed := strings.Contains(strings.Join(FileNames(k), " "), "catch.svg")
		data, err := Report(k)
		if err != nil {
			t.Fatal(err)
		}
		var r struct {
			Job   map[string]any
			Catch *struct {
				Sides, Alloy string
				Cut          float64 `json:"wire_to_cut_mm"`
				Snap         float64 `json:"snap_n"`
				Stress       float64 `json:"peak_stress_mpa"`
				Reach        float64 `json:"reach_mm"`
				Mass         float64 `json:"mass_g"`
			}
		}
		if err := json.Unmarshal(data, &r); err != nil {
			t.Fatal(err)
		}
		if listed != c.has || (r.Catch != nil) != c.has || r.Job["catch.sides"] != c.sides {
			t.Errorf("%s: file listed %v, report %+v, key %v", c.sides, listed, r.Catch, r.Job["catch.sides"])
		}
		err = WriteCatch(io.Discard, k)
		if (err == nil) != c.has {
			t.Errorf("%s: drawing: %v", c.sides, err)
		}
		if c.has && (math.Abs(r.Catch.Cut-k.Catch.Cut) > 1e-6 || r.Catch.Snap <= 0 || r.Catch.Stress <= 0 || r.Catch.Reach != k.Catch.Loop.Reach || r.Catch.Mass <= 0.05 || r.Catch.Mass > 1) {
			t.Errorf("report: %+v", r.Catch)
		}
	}
}
