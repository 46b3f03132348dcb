package export

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	yofu "github.com/yofu/dxf"
	"github.com/yofu/dxf/entity"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// drawnJobs are locks of every kind that a drawing must hold.
var drawnJobs = map[string][]string{
	"plain": plainJob, "crowned": crownedJob,
	"strip, lugs, loose floor": variedJob, "cradles": append([]string{"lock.end=cradle"}, plainJob...),
}

// svgFile is what a drawing holds, as a reader of SVG takes it.
type svgFile struct {
	Width   string `xml:"width,attr"`
	Height  string `xml:"height,attr"`
	ViewBox string `xml:"viewBox,attr"`
	Groups  []struct {
		Paths []struct {
			ID    string `xml:"id,attr"`
			Class string `xml:"class,attr"`
			D     string `xml:"d,attr"`
		} `xml:"path"`
		Texts []string `xml:"text"`
	} `xml:"g"`
}

func readDrawing(t *testing.T, data []byte) (paths map[string][][]curve, dims [][]curve, texts []string) {
	t.Helper()
	var f svgFile
	if err := xml.Unmarshal(data, &f); err != nil {
		t.Fatal(err)
	}
	if f.ViewBox != "0 0 "+strings.TrimSuffix(f.Width, "mm")+" "+strings.TrimSuffix(f.Height, "mm") || !strings.HasSuffix(f.Width, "mm") {
		t.Errorf("size %s by %s, view box %s: not 1:1", f.Width, f.Height, f.ViewBox)
	}
	paths = map[string][][]curve{}
	for _, g := range f.Groups {
		for _, p := range g.Paths {
			runs := readPath(t, p.D)
			if p.Class == "dim" {
				var all []curve
				for _, r := range runs {
					all = append(all, r...)
				}
				dims = append(dims, all)
				continue
			}
			paths[p.ID] = runs
		}
		texts = append(texts, g.Texts...)
	}
	return paths, dims, texts
}

// readPath reads path data by the rules of SVG 1.1, section 8.3 and appendix F.6 (arcs from ends to centre): a run for each move.
// y runs down.
func readPath(t *testing.T, d string) (runs [][]curve) {
	t.Helper()
	for _, c := range "MLAZ" {
		d = strings.ReplaceAll(d, string(c), " "+string(c)+" ")
	}
	f := strings.Fields(d)
	num := func() float64 {
		v, err := strconv.ParseFloat(f[0], 64)
		if err != nil {
			t.Fatalf("%v in path data", err)
		}
		f = f[1:]
		return v
	}
	var at, from r2.Vec
	for len(f) > 0 {
		op := f[0]
		f = f[1:]
		last := len(runs) - 1
		switch op {
		case "M":
			at = r2.Vec{X: num(), Y: num()}
			from = at
			runs = append(runs, nil)
		case "L":
			to := r2.Vec{X: num(), Y: num()}
			runs[last] = append(runs[last], curve{a: at, b: to})
			at = to
		case "A":
			rx, ry, turn := num(), num(), num()
			large, sweep := num() == 1, num() == 1
			to := r2.Vec{X: num(), Y: num()}
			if rx != ry || turn != 0 {
				t.Fatalf("an arc of an ellipse: %g, %g", rx, ry)
			}
			runs[last] = append(runs[last], svgArc(at, to, rx, large, sweep))
			at = to
		case "Z":
			if r2.Norm(r2.Sub(at, from)) > 1e-9 {
				runs[last] = append(runs[last], curve{a: at, b: from})
			}
			at = from
		default:
			t.Fatalf("path data has %q", op)
		}
	}
	return runs
}

// svgArc finds the centre of an arc that is given by its ends (SVG 1.1, F.6.5).
func svgArc(a, b r2.Vec, r float64, large, sweep bool) curve {
	half := r2.Scale(0.5, r2.Sub(b, a))
	d := r2.Norm(half)
	h := math.Sqrt(math.Max(0, r*r-d*d))
	n := r2.Vec{X: -half.Y / d, Y: half.X / d}
	if large == sweep {
		h = -h
	}
	return curve{a: a, b: b, c: r2.Add(r2.Add(a, half), r2.Scale(h, n)), r: r, cw: !sweep}
}

func extentOf(curves []curve) (lo, hi r2.Vec) {
	lo, hi = r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, k := range curves {
		a, b := k.extent()
		lo, hi = r2.Vec{X: min(lo.X, a.X), Y: min(lo.Y, a.Y)}, r2.Vec{X: max(hi.X, b.X), Y: max(hi.Y, b.Y)}
	}
	return lo, hi
}

func joinedRuns(runs [][]curve) (all []curve) {
	for _, r := range runs {
		all = append(all, r...)
	}
	return all
}

// enclosed is the area within closed loops of lines and arcs, by Green's theorem; an arc adds its segment.
func enclosed(loops [][]curve) float64 {
	sum := 0.0
	for _, loop := range loops {
		for _, k := range loop {
			sum += r2.Cross(k.a, k.b) / 2
			if k.r > 0 {
				_, angle := k.sweep()
				sum += k.r * k.r * (angle - math.Sin(angle)) / 2
			}
		}
	}
	return math.Abs(sum)
}

const drawnTo = 0.01 // mm, what a drawing must keep

// Measured back from the SVG by a parser of its own: what each view spans, every dimension against the lines that it stands between and
// against the model, the bar, and the section's area against that of the mesh, to 0.01 mm.
func TestDrawingSVGMeasuresBack(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for name, sets := range drawnJobs {
		t.Run(name, func(t *testing.T) {
			c := commission(t, sets...)
			var b bytes.Buffer
			if err := WriteDrawingSVG(&b, c); err != nil {
				t.Fatal(err)
			}
			paths, dims, texts := readDrawing(t, b.Bytes())
			checkViews(t, c, paths)
			checkSections(t, c, paths)
			checkGauge(t, c.Lock, joinedRuns(paths["crown-gauge"]))
			lo, hi := extentOf(joinedRuns(paths["scale"]))
			if math.Abs(hi.X-lo.X-50) > drawnTo {
				t.Errorf("the bar is %g mm long", hi.X-lo.X)
			}
			checkDims(t, c, dims, texts)
		})
	}
}

func checkViews(t *testing.T, c *model.Commission, paths map[string][][]curve) {
	t.Helper()
	e := extentsOf(model.Shown(c))
	size := r3.Sub(r3.Vec{X: max(e.boxHi.X, e.tongueHi.X), Y: e.boxHi.Y, Z: e.tongueHi.Z}, r3.Vec{X: e.tongueLo.X, Y: e.boxLo.Y, Z: e.boxLo.Z})
	for id, want := range map[string]r2.Vec{"from-above": {X: size.X, Y: size.Y}, "from-the-side": {X: size.X, Y: size.Z}, "from-the-boxs-end": {X: size.Y, Y: size.Z}} {
		lo, hi := extentOf(joinedRuns(paths[id]))
		if got := r2.Sub(hi, lo); math.Abs(got.X-want.X) > drawnTo || math.Abs(got.Y-want.Y) > drawnTo {
			t.Errorf("%s spans %.4f by %.4f mm, the lock %.4f by %.4f", id, got.X, got.Y, want.X, want.Y)
		}
	}
}

// checkSections compares area and extent of the drawn loops with a section of the finished mesh by another way.
func checkSections(t *testing.T, c *model.Commission, paths map[string][][]curve) {
	t.Helper()
	for _, p := range model.Shown(c) {
		loops := paths["section-of-the-"+p.Name]
		got, want := enclosed(loops), areaAtMiddle(p.Mesh)
		around := 0.0
		for _, k := range joinedRuns(loops) {
			around += chord(k)
		}
		if math.Abs(got-want) > drawnTo*around/10 || want == 0 {
			t.Errorf("%s: section of %.4f mm2, mesh %.4f, %.2f mm round", p.Name, got, want, around)
		}
		for i, loop := range loops {
			for k := range loop {
				if gap := r2.Norm(r2.Sub(loop[k].b, loop[(k+1)%len(loop)].a)); gap > 1e-3 {
					t.Errorf("%s: loop %d has a gap of %.4g mm", p.Name, i, gap)
				}
			}
		}
	}
}

// areaAtMiddle cuts a mesh by y = 0 facet by facet (Green's theorem over the cuts).
func areaAtMiddle(m *contour.Mesh) (area float64) {
	for _, t := range m.T {
		var ends [2]r3.Vec
		n := 0
		for k := range t {
			a, b := m.V[t[k]], m.V[t[(k+1)%3]]
			if (a.Y > 0) == (b.Y > 0) {
				continue
			}
			p := r3.Add(a, r3.Scale(-a.Y/(b.Y-a.Y), r3.Sub(b, a)))
			if n++; a.Y > 0 {
				ends[0] = p
			} else {
				ends[1] = p
			}
		}
		if n == 2 {
			area += (ends[0].X*ends[1].Z - ends[0].Z*ends[1].X) / 2
		}
	}
	return math.Abs(area)
}

// checkGauge: the cut-out is the chain's width and comes to the face at mid-width; a crown is an arc of its radius.
func checkGauge(t *testing.T, l *clasp.Lock, outline []curve) {
	t.Helper()
	lo, hi := extentOf(outline)
	if math.Abs(hi.X-lo.X-l.Width-2*gaugeBrim) > drawnTo {
		t.Errorf("gauge %.4f mm wide", hi.X-lo.X)
	}
	crown := l.Crown == 0
	for _, k := range outline {
		crown = crown || math.Abs(k.r-l.Crown) < 1e-3
	}
	if !crown {
		t.Errorf("no arc of the crown's radius %g mm", l.Crown)
	}
}

// checkDims: each dimension is as long between its leading lines as it says, and says what the model has.
func checkDims(t *testing.T, c *model.Commission, dims [][]curve, texts []string) {
	t.Helper()
	l, e := c.Lock, extentsOf(model.Shown(c))
	want := map[string]float64{
		"whole": max(e.boxHi.X, e.tongueHi.X) - e.tongueLo.X, "box": e.boxHi.X - e.boxLo.X, "block": e.boxLo.X - l.FaceGap - e.tongueLo.X, "face gap": l.FaceGap,
		"width": l.Width, "thickness": l.Thickness, "with tab": e.tongueHi.Z - e.boxLo.Z, "tab": l.TabWidth, "tip to fold": l.XFold - l.XTip, "window": l.WindowLength,
	}
	for i, lines := range dims {
		last := lines[len(lines)-1] // the dimension line itself
		name, figure, _ := cutLast(texts[i])
		v, err := strconv.ParseFloat(figure, 64)
		if err != nil || math.Abs(v-chord(last)) > 0.0051 || math.Abs(chord(last)-want[name]) > drawnTo {
			t.Errorf("%q is drawn %.4f mm long, the model has %.4f", texts[i], chord(last), want[name])
		}
		delete(want, name)
	}
	if l.WindowLength == 0 {
		delete(want, "window")
	}
	if len(want) > 0 {
		t.Errorf("no dimension for %v", want)
	}
}

func cutLast(s string) (before, after string, ok bool) {
	i := strings.LastIndex(s, " ")
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i+1:], true
}

// The DXF, read by yofu/dxf's parser, holds the same curves as the SVG, layer by layer, and its unit is the millimetre.
func TestDrawingDXFReadsBack(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for name, sets := range drawnJobs {
		c := commission(t, sets...)
		var b, s bytes.Buffer
		if err := WriteDrawingDXF(&b, c); err != nil {
			t.Fatal(err)
		}
		if err := WriteDrawingSVG(&s, c); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "drawing.dxf")
		if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		d, err := yofu.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		got := map[string][]curve{}
		texts := map[string]bool{}
		for _, e := range d.Entities() {
			k, layer, text := readEntity(t, e)
			if text != "" {
				texts[text] = true
				continue
			}
			got[layer] = append(got[layer], k)
		}
		p, err := planOf(c)
		if err != nil {
			t.Fatal(err)
		}
		compareLayers(t, name, p, got)
		for _, w := range []string{p.title, p.measurements[0].said(), "crown gauge: cut out, sits on the filed face"} {
			if !texts[w] {
				t.Errorf("%s: the words %q are missing", name, w)
			}
		}
		if head := b.String(); !strings.Contains(head, "$INSUNITS\n 70\n4\n") || !strings.Contains(head, "$MEASUREMENT\n 70\n1\n") {
			t.Errorf("%s: the unit is not stated", name)
		}
	}
}

func readEntity(t *testing.T, e entity.Entity) (k curve, layer, text string) {
	t.Helper()
	flat := func(v []float64) r2.Vec { return r2.Vec{X: v[0], Y: v[1]} }
	switch e := e.(type) {
	case *entity.Line:
		return curve{a: flat(e.Start), b: flat(e.End)}, e.Layer().Name(), ""
	case *entity.Circle:
		a := r2.Add(flat(e.Center), r2.Vec{X: e.Radius})
		return curve{a: a, b: a, c: flat(e.Center), r: e.Radius}, e.Layer().Name(), ""
	case *entity.Arc:
		at := func(deg float64) r2.Vec {
			return r2.Add(flat(e.Center), r2.Scale(e.Radius, r2.Vec{X: math.Cos(deg * math.Pi / 180), Y: math.Sin(deg * math.Pi / 180)}))
		}
		return curve{a: at(e.Angle[0]), b: at(e.Angle[1]), c: flat(e.Center), r: e.Radius}, e.Layer().Name(), ""
	case *entity.Text:
		return curve{}, e.Layer().Name(), e.Value
	}
	t.Fatalf("an entity of type %T", e)
	return k, "", ""
}

// compareLayers holds what was read against the plan: as many curves, each within 1e-5 mm, arcs by their middles too.
func compareLayers(t *testing.T, name string, p *plan, got map[string][]curve) {
	t.Helper()
	want := map[string][]curve{}
	for _, f := range p.figures {
		want[f.layer] = append(append(want[f.layer], joinedRuns(f.loops)...), f.curves...)
	}
	for _, layer := range []string{layerView, layerSection, layerCut} {
		if len(got[layer]) != len(want[layer]) || len(want[layer]) == 0 {
			t.Errorf("%s: layer %s has %d curves, want %d", name, layer, len(got[layer]), len(want[layer]))
			continue
		}
		for i, k := range want[layer] {
			if off := apart(k, got[layer][i]); off > 1e-5 {
				t.Errorf("%s: layer %s, curve %d is off by %.3g mm", name, layer, i, off)
			}
		}
	}
}

func apart(a, b curve) float64 {
	if a.cw {
		a.a, a.b, a.cw = a.b, a.a, false
	}
	mid := func(k curve) r2.Vec {
		if k.r == 0 {
			return r2.Scale(0.5, r2.Add(k.a, k.b))
		}
		s, w := k.sweep()
		return r2.Add(k.c, r2.Scale(k.r, r2.Vec{X: math.Cos(s + w/2), Y: math.Sin(s + w/2)}))
	}
	if a.r > 0 && a.a == a.b { // a circle begins anywhere
		return math.Max(r2.Norm(r2.Sub(a.c, b.c)), math.Abs(a.r-b.r))
	}
	return max(r2.Norm(r2.Sub(a.a, b.a)), r2.Norm(r2.Sub(a.b, b.b)), r2.Norm(r2.Sub(mid(a), mid(b))))
}

// From the side the hole of each lug is one whole circle, and the box's upper edge one line.
func TestOutlinesAreWhole(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	c := commission(t, variedJob...)
	parts := model.Shown(c)
	l := c.Lock
	holes := 0
	for _, k := range outlines(fromSide, parts) {
		if k.r > 0 && math.Abs(k.r-l.LugHole/2) < 1e-4 && k.a == k.b {
			holes++
		}
	}
	if holes != 2 {
		t.Errorf("%d whole circles of %g mm across for two lugs", holes, l.LugHole)
	}
	plain := commission(t, plainJob...)
	var upper []curve
	for _, k := range outlines(fromSide, model.Shown(plain)) {
		if k.r == 0 && math.Abs(k.a.Y-k.b.Y) < 1e-6 && math.Abs(k.a.Y-plain.Lock.Thickness) < 1e-4 && max(k.a.X, k.b.X) > 0 {
			upper = append(upper, k)
		}
	}
	if len(upper) != 1 || math.Abs(chord(upper[0])-plain.Lock.BoxLength) > 1e-3 {
		t.Errorf("the box's upper edge of %g mm is drawn as %v", plain.Lock.BoxLength, upper)
	}
}

// In the section the fold is two arcs of half a turn, inside and outside, by the model's own radii and centre.
func TestSectionFoldIsTwoArcs(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for name, sets := range drawnJobs {
		c := commission(t, sets...)
		l, found := c.Lock, 0
		curves := 0
		for _, p := range model.Shown(c) {
			for _, k := range joinedRuns(midSection(p)) {
				curves++
				centred := r2.Norm(r2.Sub(k.c, r2.Vec{X: l.XFold, Y: l.ZLeaf + l.Leaf + l.Fold})) < 1e-6
				if _, angle := k.sweep(); centred && (math.Abs(k.r-l.Fold) < 1e-6 || math.Abs(k.r-l.Fold-l.Leaf) < 1e-6) && math.Abs(math.Abs(angle)-math.Pi) < 1e-4 {
					found++
				}
			}
		}
		if found != 2 {
			t.Errorf("%s: %d arcs of the fold among %d curves", name, found, curves)
		}
		t.Logf("%s: %d curves in the section", name, curves)
	}
}

func TestDrawingSameBytes(t *testing.T) {
	c := commission(t, crownedJob...)
	procs := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(procs)
	want := ""
	for k := range 6 {
		runtime.GOMAXPROCS(1 + k%2)
		var b bytes.Buffer
		if err := WriteDrawingSVG(&b, c); err != nil {
			t.Fatal(err)
		}
		if err := WriteDrawingDXF(&b, c); err != nil {
			t.Fatal(err)
		}
		if want == "" {
			want = b.String()
		}
		if b.String() != want {
			t.Fatalf("the files differ the %dth time", k+1)
		}
	}
}

func TestDrawingErrors(t *testing.T) {
	c := commission(t, plainJob...)
	for name, write := range map[string]func(*failing) error{
		"svg": func(f *failing) error { return WriteDrawingSVG(f, c) }, "dxf": func(f *failing) error { return WriteDrawingDXF(f, c) },
	} {
		if err := write(&failing{left: 1000}); err == nil {
			t.Errorf("%s: a full disk went unnoticed", name)
		}
	}
}

// Lines and arcs of one line or circle become one, over gaps that are none; others stay apart.
func TestUnited(t *testing.T) {
	v := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	arc := func(r, from, to float64) curve {
		at := func(a float64) r2.Vec { return v(r*math.Cos(a), r*math.Sin(a)) }
		return curve{a: at(from), b: at(to), r: r}
	}
	for _, c := range []struct {
		name   string
		pieces []curve
		want   int
		length float64 // of all chords
	}{
		{"in a row", []curve{{a: v(0, 0), b: v(1, 0)}, {a: v(2, 0), b: v(1.001, 0)}}, 1, 2},
		{"with a gap", []curve{{a: v(0, 0), b: v(1, 0)}, {a: v(2, 0), b: v(1.1, 0)}}, 2, 1.9},
		{"twice", []curve{{a: v(0, 0), b: v(0, 3)}, {a: v(0, 3), b: v(0, 0)}}, 1, 3},
		{"parallel", []curve{{a: v(0, 0), b: v(1, 0)}, {a: v(0, 1e-3), b: v(1, 1e-3)}}, 2, 2},
		{"a corner", []curve{{a: v(0, 0), b: v(1, 0)}, {a: v(1, 0), b: v(1, 1)}}, 2, 2},
		{"a half circle in pieces, over the end of the count", []curve{arc(2, 5.5, 6), arc(2, 6, 6.5), arc(2, 6.5, 5.5+math.Pi)}, 1, 4},
		{"a whole circle", []curve{arc(1, 0, 2), arc(1, 2, 4), arc(1, 4, 2*math.Pi)}, 1, 0},
		{"two circles", []curve{arc(1, 0, 2), arc(1.01, 0, 2)}, 2, 2 * 2.01 * math.Sin(1)},
		{"dust", []curve{{a: v(0, 0), b: v(1e-3, 0)}}, 0, 0},
	} {
		got := united(c.pieces)
		sum := 0.0
		for _, k := range got {
			sum += chord(k)
		}
		if len(got) != c.want || math.Abs(sum-c.length) > 1e-9 {
			t.Errorf("%s: %d curves, %.6f long, want %d, %.6f: %s", c.name, len(got), sum, c.want, c.length, fmt.Sprint(got))
		}
	}
}
