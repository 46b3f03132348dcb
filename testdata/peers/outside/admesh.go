package outside

import (
	"fmt"
	"path/filepath"
	"regexp"
	"testing"
)

var admeshCount = regexp.MustCompile(`(?m)^(Number of parts|Degenerate facets|Edges fixed|Facets removed|Facets added|Facets reversed|Backwards edges|Normals fixed|Total disconnected facets)\s*:\s*(\d+)`)

// Admesh lets admesh look for open edges, facets without area and wrong normals in an STL file, and lists what it finds
// amiss; one part is wanted.
func Admesh(t testing.TB, path string) (faults []string) {
	t.Helper()
	out := run(t, "admesh", path)
	counts := admeshCount.FindAllSubmatch(out, -1)
	if len(counts) < 6 {
		t.Fatalf("%s: admesh says no counts:\n%s", filepath.Base(path), out)
	}
	for _, c := range counts {
		wanted := "0"
		if string(c[1]) == "Number of parts" {
			wanted = "1"
		}
		if string(c[2]) != wanted {
			faults = append(faults, fmt.Sprintf("%s: %s", c[1], c[2]))
		}
	}
	return faults
}
