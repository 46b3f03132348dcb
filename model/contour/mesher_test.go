package contour

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

func block(t testing.TB, x0, y0, z0, x1, y1, z1 float64) *solid.Solid {
	t.Helper()
	b, err := solid.NewBlock(r3.Vec{X: x0, Y: y0, Z: z0}, r3.Vec{X: x1, Y: y1, Z: z1}, "side")
	if err != nil {
		t.Fatal(err)
	}
	return solid.New(b, solid.Upright)
}

func TestOfBlockFacets(t *testing.T) {
	m, err := Of(block(t, 0, 0, 0, 1, 2, 3), 0.005)
	if err != nil {
		t.Fatal(err)
	}
	if len(m.T) != 12 || len(m.V) != 8 {
		t.Fatalf("a box has 12 facets and 8 corners, got %d and %d", len(m.T), len(m.V))
	}
}

func TestOfFusedBlocksMergeTheirCoplanarFaces(t *testing.T) {
	m, err := Of(solid.Join(block(t, 0, 0, 0, 2, 1, 1), block(t, 1, 0, 0, 3, 1, 1)), 0.005)
	if err != nil {
		t.Fatal(err)
	}
	if len(m.T) != 12 || len(m.V) != 8 {
		t.Fatalf("two overlapping blocks in line are one block: 12 facets, 8 corners; got %d, %d", len(m.T), len(m.V))
	}
}

func TestOfThroughHole(t *testing.T) {
	m, err := Of(solid.Cut(block(t, 0, 0, 0, 3, 3, 3), block(t, 1, 1, -1, 2, 2, 4)), 0.005)
	if err != nil {
		t.Fatal(err)
	}
	// genus 1: V - E + F = 0 with E = 3F/2
	if 2*len(m.V) != len(m.T) || len(m.V) != 16 {
		t.Fatalf("a square hole: 16 corners, 32 facets; got %d, %d", len(m.V), len(m.T))
	}
}
