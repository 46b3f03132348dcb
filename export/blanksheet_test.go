package export

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"claspwright/model"
)

var stripJob = []string{"chain.width=10", "chain.thickness=4", "metal.alloy=au750-yellow", "tongue.make=strip"}

// svgDoc is what a viewer reads of the drawing.
type svgDoc struct {
	Width  string `xml:"width,attr"`
	Height string `xml:"height,attr"`
	Box    string `xml:"viewBox,attr"`
	G      struct {
		Paths []struct {
			ID    string `xml:"id,attr"`
			Class string `xml:"class,attr"`
			D     string `xml:"d,attr"`
		} `xml:"path"`
		Circles []struct {
			R float64 `xml:"r,attr"`
		} `xml:"circle"`
		Texts []string `xml:"text"`
	} `xml:"g"`
}

// The blank is drawn 1:1: a unit of the drawing is a millimetre, and its cut line measures what the model has flattened.
func TestBlankIsDrawnToScale(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	c := commission(t, stripJob...)
	var b bytes.Buffer
	if err := WriteBlank(&b, c); err != nil {
		t.Fatal(err)
	}
	var d svgDoc
	if err := xml.Unmarshal(b.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	if want := "0 0 " + strings.TrimSuffix(d.Width, "mm") + " " + strings.TrimSuffix(d.Height, "mm"); d.Box != want || !strings.HasSuffix(d.Width, "mm") || !strings.HasSuffix(d.Height, "mm") {
		t.Errorf("view box %q, width %q, height %q", d.Box, d.Width, d.Height)
	}
	var w, h float64
	fmt.Sscanf(d.Box, "0 0 %g %g", &w, &h)
	folds := 0
	for _, p := range d.G.Paths {
		switch {
		case p.ID == "cut":
			lo, hi := pathBounds(t, p.D)
			if got, want := hi[0]-lo[0], c.Strip.Blank.Tab.Flat(); math.Abs(got-want) > 0.002 {
				t.Errorf("the cut line is %.3f mm long, the blank %.3f", got, want)
			}
			if got := hi[1] - lo[1]; math.Abs(got-c.Lock.LowerWidth) > 0.002 {
				t.Errorf("the cut line is %.3f mm wide, the leaf %.3f", got, c.Lock.LowerWidth)
			}
			if lo[0] < 0 || lo[1] < 0 || hi[0] > w || hi[1] > h {
				t.Errorf("the cut line leaves the drawing")
			}
		case p.Class == "fold":
			folds++
		}
	}
	if folds != 3 || len(d.G.Circles) != 2 || math.Abs(2*d.G.Circles[0].R-c.Lock.Rivet) > 1e-9 {
		t.Errorf("%d fold lines, holes %v", folds, d.G.Circles)
	}
	if all := strings.Join(d.G.Texts, " "); !strings.Contains(all, n2(c.Strip.Blank.Tab.Flat())) || !strings.Contains(all, "drill strip and pad together") {
		t.Errorf("words: %q", all)
	}
}

// pathBounds are the least and greatest coordinates of a path of the commands M, L and A.
func pathBounds(t *testing.T, d string) (lo, hi [2]float64) {
	t.Helper()
	lo, hi = [2]float64{1e9, 1e9}, [2]float64{-1e9, -1e9}
	for _, m := range regexp.MustCompile(`[MLA]([^MLAZ]*)`).FindAllStringSubmatch(d, -1) {
		f := strings.Fields(m[1])
		for k := range 2 {
			v, err := strconv.ParseFloat(f[len(f)-2+k], 64)
			if err != nil {
				t.Fatal(err)
			}
			lo[k], hi[k] = math.Min(lo[k], v), math.Max(hi[k], v)
		}
	}
	return lo, hi
}

// A strip lock's folder and report hold its blank and its leaf, that of a cast leaf holds neither.
func TestStripLockReportsItsBlank(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	c := commission(t, stripJob...)
	data, err := Report(c)
	if err != nil {
		t.Fatal(err)
	}
	var r struct {
		Parts []struct{ Name, Stage, File string }
		Blank *struct {
			Flat  float64 `json:"flat_mm"`
			Bends []struct {
				Name  string
				Angle float64 `json:"angle_deg"`
			}
			Condition string
		}
	}
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	if r.Blank == nil || math.Abs(r.Blank.Flat-c.Strip.Blank.Tab.Flat()) > 1e-3 || len(r.Blank.Bends) != 3 || r.Blank.Condition != "hammered" {
		t.Fatalf("blank %+v", r.Blank)
	}
	if turn := r.Blank.Bends[0].Angle - r.Blank.Bends[1].Angle - r.Blank.Bends[2].Angle; math.Abs(turn-90) > 1e-3 { // the tab stands upright
		t.Errorf("the bends leave the tab at %.3f degrees", turn)
	}
	if p := r.Parts[len(r.Parts)-1]; p.Name != model.LeafPart || p.File != "finished/leaf.stl" {
		t.Errorf("last part %+v", p)
	}
	names := strings.Join(FileNames(c), " ")
	if !strings.Contains(names, "blank.svg") || !strings.Contains(names, "finished/leaf.stl") {
		t.Errorf("files %s", names)
	}
	plain := commission(t, plainJob...)
	if data, _ := Report(plain); bytes.Contains(data, []byte(`"blank"`)) || strings.Contains(strings.Join(FileNames(plain), " "), "blank") {
		t.Error("a cast leaf has a blank")
	}
	if WriteBlank(&bytes.Buffer{}, plain) == nil {
		t.Error("a blank of a cast leaf was drawn")
	}
}
