package outside

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// CGAL is the compiled helper selfcross.cpp.
type CGAL struct{ program string }

// Crossed is what CGAL finds in one file, see selfcross.cpp. Where Surface is false the rest is not asked.
type Crossed struct {
	Facets, Vertices                   int
	Surface, Closed, Outward           int // 1 yes, 0 no, -1 not asked
	FlatFacets, CrossingPairs, NrParts int // -1 not asked
}

// Sound is a closed outward surface in one part without flat or crossing facets.
func (c Crossed) Sound() bool {
	return c.Surface == 1 && c.Closed == 1 && c.Outward == 1 && c.FlatFacets == 0 && c.CrossingPairs == 0 && c.NrParts == 1
}

// BuildCGAL compiles the helper unless that was done since its source was last changed. Tests of several packages may do
// so at the same time: the program appears whole, by a rename.
func BuildCGAL(t testing.TB) CGAL {
	t.Helper()
	source, built := filepath.Join(home(t), "selfcross.cpp"), filepath.Join(home(t), "build", "selfcross")
	if isNewer(built, source) {
		return CGAL{built}
	}
	if err := os.MkdirAll(filepath.Dir(built), 0o777); err != nil {
		t.Fatal(err)
	}
	fresh := fmt.Sprintf("%s.%d", built, os.Getpid())
	run(t, "g++", "-std=c++17", "-O1", "-o", fresh, source, "-lmpfr", "-lgmp")
	if err := os.Rename(fresh, built); err != nil {
		t.Fatal(err)
	}
	return CGAL{built}
}

func isNewer(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && x.ModTime().After(y.ModTime())
}

// Look asks for all files in one process.
func (c CGAL) Look(t testing.TB, files ...string) []Crossed {
	t.Helper()
	const form = "facets %d vertices %d surface %d closed %d outward %d flat %d crossing %d parts %d"
	lines := bytes.Split(bytes.TrimSpace(run(t, c.program, files...)), []byte("\n"))
	if len(lines) != len(files) {
		t.Fatalf("selfcross: %d lines for %d files", len(lines), len(files))
	}
	out := make([]Crossed, len(files))
	for i, line := range lines {
		o := &out[i]
		if _, err := fmt.Sscanf(string(line), form, &o.Facets, &o.Vertices, &o.Surface, &o.Closed, &o.Outward, &o.FlatFacets, &o.CrossingPairs, &o.NrParts); err != nil {
			t.Fatalf("selfcross: %v in %q", err, line)
		}
	}
	return out
}
