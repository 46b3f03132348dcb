package export

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// A binary STL file is 80 bytes of text, a count of 4 bytes and 50 bytes a facet (Marshall Burns, Automated
// Fabrication, 1993, section 6.5).
func TestSTLReadsBack(t *testing.T) {
	m := commission(t, plainJob...).Parts[0].Mesh
	var b bytes.Buffer
	if err := WriteSTL(&b, m, "box", clasp.Finished); err != nil {
		t.Fatal(err)
	}
	data := b.Bytes()
	if len(data) != 84+50*len(m.T) || int(binary.LittleEndian.Uint32(data[80:])) != len(m.T) {
		t.Fatalf("%d bytes, count %d, for %d facets", len(data), binary.LittleEndian.Uint32(data[80:]), len(m.T))
	}
	head := strings.TrimRight(string(data[:80]), "\x00")
	if want := "claspwright " + Version() + " part box, stage finished, millimetre"; head != want {
		t.Errorf("header %q, want %q", head, want)
	}
	s, err := stl.ReadAll(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	for i, tri := range s.Triangles {
		checkFacet(t, m, i, tri)
	}
}

func checkFacet(t *testing.T, m *contour.Mesh, i int, tri stl.Triangle) {
	t.Helper()
	for k, v := range tri.Vertices {
		if p := m.V[m.T[i][k]]; float64(v[0]) != p.X || float64(v[1]) != p.Y || float64(v[2]) != p.Z {
			t.Fatalf("facet %d: corner %v, mesh has %v", i, v, p)
		}
	}
	n := r3.Vec{X: float64(tri.Normal[0]), Y: float64(tri.Normal[1]), Z: float64(tri.Normal[2])}
	a, b, c := m.V[m.T[i][0]], m.V[m.T[i][1]], m.V[m.T[i][2]]
	if math.Abs(r3.Norm(n)-1) > 1e-6 || r3.Dot(n, r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) <= 0 {
		t.Fatalf("facet %d: normal %v", i, n)
	}
}

func TestSTLHeaderNeverTooLong(t *testing.T) {
	m := commission(t, plainJob...).Parts[0].Mesh
	var b bytes.Buffer
	if err := WriteSTL(&b, m, strings.Repeat("long ", 40), clasp.Casting); err != nil {
		t.Fatal(err)
	}
	if len(b.Bytes()) != 84+50*len(m.T) || bytes.HasPrefix(b.Bytes(), []byte("solid")) {
		t.Error("a long part name spoils the file")
	}
}

func TestSTLErrors(t *testing.T) {
	if err := WriteSTL(&bytes.Buffer{}, &contour.Mesh{}, "box", clasp.Finished); err == nil {
		t.Error("an empty mesh was written")
	}
	m := commission(t, plainJob...).Parts[0].Mesh
	if err := WriteSTL(&failing{left: 1000}, m, "box", clasp.Finished); !errors.Is(err, errDisk) {
		t.Errorf("got %v, want the writer's error", err)
	}
}

var errDisk = errors.New("no space left on the test's disk")

// failing takes so many bytes and no more.
type failing struct{ left int }

func (f *failing) Write(p []byte) (int, error) {
	if len(p) > f.left {
		n := f.left
		f.left = 0
		return n, errDisk
	}
	f.left -= len(p)
	return len(p), nil
}

func TestVersionHoldsNoDate(t *testing.T) {
	for v, want := range map[string]string{
		"": "(devel)", "(devel)": "(devel)", "v1.2.3": "v1.2.3", "v0.0.0-20260102030405-0123456789ab": "(devel)",
		"v1.2.4-0.20260102030405-0123456789ab+dirty": "(devel)",
	} {
		if got := stable(v); got != want {
			t.Errorf("%q: got %q, want %q", v, got, want)
		}
	}
}
