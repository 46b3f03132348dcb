package export

import (
	"archive/zip"
	"bytes"
	"fmt"
	"image/png"
	"io"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/layer"
)

// read3MF reads a package by the library's own reader: strictly, and validated.
func read3MF(t *testing.T, data []byte) *go3mf.Model {
	t.Helper()
	var m go3mf.Model
	d := go3mf.NewDecoder(bytes.NewReader(data), int64(len(data)))
	d.Strict = true
	if err := d.Decode(&m); err != nil {
		t.Fatal(err)
	}
	if err := m.Validate(); err != nil {
		t.Fatal(err)
	}
	return &m
}

func meshOf3MF(o *go3mf.Object) *contour.Mesh {
	m := &contour.Mesh{}
	for _, v := range o.Mesh.Vertices.Vertex {
		m.V = append(m.V, r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])})
	}
	for _, f := range o.Mesh.Triangles.Triangle {
		m.T = append(m.T, [3]int32{int32(f.V1), int32(f.V2), int32(f.V3)})
	}
	return m
}

// Read back: unit, words, names, every corner to the last bit, volumes; all parts above the plate, none nearer to another
// than the gap.
func TestPatternReadsBack(t *testing.T) {
	for _, sets := range [][]string{plainJob, variedJob, append([]string{"print.pose=drawn"}, plainJob...)} {
		c := commission(t, sets...)
		var b bytes.Buffer
		if err := WritePattern(&b, c); err != nil {
			t.Fatal(err)
		}
		m := read3MF(t, b.Bytes())
		parts := at(c, clasp.Pattern)
		if m.Units != go3mf.UnitMillimeter || len(m.Resources.Objects) != len(parts) || len(m.Build.Items) != len(parts) {
			t.Fatalf("unit %v, %d objects and %d items for %d parts", m.Units, len(m.Resources.Objects), len(m.Build.Items), len(parts))
		}
		words := map[string]string{}
		for _, d := range m.Metadata {
			words[d.Name.Local] = d.Value
		}
		if words["Title"] != "pattern of a box lock 12.4 x 5.2 mm" || words["Application"] != signature() || !strings.Contains(words["Description"], "do not scale again") {
			t.Errorf("words %q", words)
		}
		var placed []bounds
		for i, p := range parts {
			o := m.Resources.Objects[i]
			if o.Name != p.Name+" 12.4 x 5.2 mm" || o.PartNumber != p.Name {
				t.Errorf("part %d is called %q, %q", i, o.Name, o.PartNumber)
			}
			got := meshOf3MF(o)
			if !slices.Equal(got.T, p.Mesh.T) || !slices.Equal(got.V, p.Mesh.V) {
				t.Errorf("%s: corners or facets differ", p.Name)
			}
			if v := contour.Volume(got); math.Abs(v-p.VolumeMM3) > 1e-6*p.VolumeMM3 {
				t.Errorf("%s: %.6f mm3, mesh has %.6f", p.Name, v, p.VolumeMM3)
			}
			stood := standing(p.Mesh, m.Build.Items[i].Transform)
			if v := contour.Volume(stood); math.Abs(v/p.VolumeMM3-1) > 1e-6 {
				t.Errorf("%s: on the plate %.6f mm3, mesh has %.6f", p.Name, v, p.VolumeMM3)
			}
			b := boundsOf(stood)
			if pose := c.PoseOf(p.Name); math.Abs(b.hi.Z-b.lo.Z-pose.Terms.Height) > 1e-5 || !strings.Contains(words["Description"], fmt.Sprintf("Height of the %s in print %.3f mm", p.Name, b.hi.Z-b.lo.Z)) {
				t.Errorf("%s stands %.4f mm high, %.4f stated: %s", p.Name, b.hi.Z-b.lo.Z, pose.Terms.Height, words["Description"])
			}
			placed = append(placed, b)
		}
		checkApart(t, placed)
	}
}

// standing puts a mesh on the plate by the matrix of its build item.
func standing(m *contour.Mesh, by go3mf.Matrix) *contour.Mesh {
	out := *m
	out.V = make([]r3.Vec, len(m.V))
	for i, v := range m.V {
		at := func(k int) float64 {
			return v.X*float64(by[k]) + v.Y*float64(by[4+k]) + v.Z*float64(by[8+k]) + float64(by[12+k])
		}
		out.V[i] = r3.Vec{X: at(0), Y: at(1), Z: at(2)}
	}
	return &out
}

// checkApart holds parts on a plate against the stated gap and against the plate's corner.
func checkApart(t *testing.T, placed []bounds) {
	t.Helper()
	for i, a := range placed {
		if min(a.lo.X, a.lo.Y, a.lo.Z) < -1e-5 || a.lo.Z > 0.0011 || a.hi.X > plateWide+0.01 && a.lo.X > 0.01 {
			t.Errorf("part %d lies at %v to %v", i, a.lo, a.hi)
		}
		for j, b := range placed[:i] {
			gap := max(a.lo.X-b.hi.X, b.lo.X-a.hi.X, a.lo.Y-b.hi.Y, b.lo.Y-a.hi.Y)
			if gap < plateGap-1e-5 {
				t.Errorf("parts %d and %d are %.4f mm apart", j, i, gap)
			}
		}
	}
}

// A file that is to be scaled by the caster must not say that it is scaled.
func TestPatternSaysWhoScales(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for growth, want := range map[string]string{"1": "left to the caster", "1.02": "do not scale again"} {
		said := patternWords(commission(t, append([]string{"casting.growth=" + growth}, plainJob...)...))
		if !strings.Contains(said, want) {
			t.Errorf("growth %s: %q", growth, said)
		}
	}
}

// The thumbnail is a PNG of the stated side with something in it, and the zip holds no time.
func TestPatternPackage(t *testing.T) {
	var b bytes.Buffer
	if err := WritePattern(&b, commission(t, plainJob...)); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		if f.ModifiedDate != 0 || f.ModifiedTime != 0 || len(f.Extra) > 0 {
			t.Errorf("%s carries a time", f.Name)
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if "/"+f.Name == thumbnailPath {
			checkThumbnail(t, data)
		}
	}
	want := "3D/3dmodel.model Metadata/thumbnail.png [Content_Types].xml _rels/.rels"
	if got := strings.Join(names, " "); got != want {
		t.Errorf("holds %s, want %s", got, want)
	}
}

func checkThumbnail(t *testing.T, data []byte) {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if img.Bounds().Dx() != thumbnailSide || img.Bounds().Dy() != thumbnailSide {
		t.Errorf("thumbnail of %v", img.Bounds())
	}
	inked := 0
	for y := range thumbnailSide {
		for x := range thumbnailSide {
			if r, g, b, _ := img.At(x, y).RGBA(); r+g+b < 3*0xffff {
				inked++
			}
		}
	}
	if share := float64(inked) / (thumbnailSide * thumbnailSide); share < 0.1 || share > 0.9 {
		t.Errorf("thumbnail is painted on %.0f %%", 100*share)
	}
}

// The library stamps times and walks maps in no order; repacked, forty files are one.
func TestPatternSameBytes(t *testing.T) {
	c := commission(t, plainJob...)
	procs := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(procs)
	var want []byte
	for k := range 40 {
		runtime.GOMAXPROCS(1 + k%2)
		var b bytes.Buffer
		if err := WritePattern(&b, c); err != nil {
			t.Fatal(err)
		}
		if want == nil {
			want = b.Bytes()
		}
		if !bytes.Equal(b.Bytes(), want) {
			t.Fatalf("the file differs the %dth time", k+1)
		}
	}
}

func TestPatternErrors(t *testing.T) {
	m := commission(t, plainJob...).Parts[0].Mesh
	flat := *m
	flat.T = append(slices.Clone(m.T), [3]int32{0, 0, 1})
	open := *m
	open.T = m.T[:len(m.T)-1]
	for name, bad := range map[string]*contour.Mesh{"no mesh": nil, "no facets": {}, "a facet of two corners": &flat, "a missing facet": &open} {
		if err := write3MF(io.Discard, []body{{"box", "box", "box", bad, layer.Drawn}}, "t", "d"); err == nil {
			t.Errorf("%s was written", name)
		}
	}
	if err := WritePattern(&failing{left: 1000}, commission(t, plainJob...)); err == nil {
		t.Error("a full disk went unnoticed")
	}
	none := *commission(t, plainJob...)
	none.Parts = nil
	if err := WritePattern(io.Discard, &none); err == nil {
		t.Error("a commission without a pattern was written")
	}
}
