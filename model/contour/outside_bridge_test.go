//go:build outside

package contour

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/deadsy/sdfx/sdf"

	"claspwright/model/solid"
)

// What the tests from outside the package need of those inside.

// BenchBox is the benchmark box with some of its 40 seats, as a solid and as the JSON tree that peers get.
func BenchBox(t testing.TB, seats int) (*solid.Solid, []byte) { return benchSolid(t, benchBox(seats)) }

// BenchTongue is the benchmark tongue in the same two forms.
func BenchTongue(t testing.TB) (*solid.Solid, []byte) { return benchSolid(t, benchTongue()) }

func benchSolid(t testing.TB, n *node) (*solid.Solid, []byte) {
	tree, err := json.Marshal(n)
	if err != nil {
		t.Fatal(err)
	}
	return n.solid(t), tree
}

// CurvedArea is the area of a mesh's facets that lie on curved faces, mm2.
func CurvedArea(m *Mesh, s *solid.Solid) (sum float64) {
	carriers := s.Carriers()
	for f, face := range m.On {
		if carriers[face].Curved() {
			sum += m.triangle(int32(f)).area()
		}
	}
	return sum
}

// Octree, OctreeCells and OffAtLeast are octree, octreeCells and offAtLeast.
func Octree(s *solid.Solid, cells int) []*sdf.Triangle3 { return octree(s, cells) }

func OctreeCells(s *solid.Solid, within time.Duration) int { return octreeCells(s, within) }

func OffAtLeast(s *solid.Solid, facets []*sdf.Triangle3) float64 { return offAtLeast(s, facets) }
