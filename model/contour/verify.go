package contour

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Field is a solid known by its signed distance alone: negative inside, 1-Lipschitz, |Eval| at most the distance to
// the surface, zero exactly on it. All lengths in mm. It must allow calls from several goroutines.
type Field interface {
	Eval(p r3.Vec) float64
}

// Surface is a field that can also name a point truly on its surface near p, and the face it lies on; ok is false if
// it finds none.
type Surface interface {
	Field
	Witness(p r3.Vec) (q r3.Vec, face int, ok bool)
}

// What Verify promises, by the names that a Fault carries.
const (
	ClauseIndex      = "indices"
	ClauseCoordinate = "coordinates"
	ClauseUnused     = "no unused vertex"
	ClauseEqual      = "no equal vertices"
	ClauseDegenerate = "no degenerate facet"
	ClauseClosed     = "closed"
	ClauseOriented   = "oriented"
	ClauseEdge       = "two facets an edge"
	ClauseFan        = "one fan a vertex"
	ClauseCross      = "no self-intersection"
	ClauseOutward    = "outward"
	ClauseVertex     = "vertices on the surface"
	ClauseFacet      = "facets within tolerance"
)

const (
	// VertexLimit is how far a vertex may lie from the surface, mm: rounding to float32 moves a point below 32 mm by up
	// to 1.7e-6, below 64 mm by up to 3.4e-6.
	VertexLimit = 4e-6
	// HeightLimit is the least height of a facet over its longest edge, mm.
	HeightLimit = 1e-6
	// SampleSpacing is the greatest distance between neighbouring samples of one facet, mm.
	SampleSpacing = 0.5
)

// Proof is what Verify found true of a mesh, and by how much.
type Proof struct {
	Facets, Vertices int
	Shells           int     // connected pieces of surface, hollows included
	Samples          int     // places at which the mesh was compared with the surface
	VertexMM         float64 // greatest distance of a vertex from the surface, an upper bound
	DeviationMM      float64 // greatest distance of a sample from the surface, an upper bound at that sample
	At, On           r3.Vec  // that sample, and the point of the surface it was compared with
	GapMM3           float64 // volume between mesh and surface: facet area times distance, summed over the samples
}

// Fault is the first promise that a mesh was found to break.
type Fault struct {
	Clause string // one of the Clause constants
	At     r3.Vec // where, mm
	Say    string // what is wrong there
}

func (f *Fault) Error() string {
	return fmt.Sprintf("mesh: %s: %s, at (%.6g, %.6g, %.6g)", f.Clause, f.Say, f.At.X, f.At.Y, f.At.Z)
}

// Verify proves that a mesh is sound and lies on a surface, or returns the first fault as a *Fault.
//
// Exactly proven, whatever the mesh: indices are valid; coordinates are finite and float32 holds them; no vertex is
// unused, no two are equal; no facet is lower than HeightLimit; each directed edge occurs once and its reverse once; the
// facets round a vertex form one ring; no two facets have a point in common but a common corner or edge; shells face
// outward (hollows into the hollow). These tests use exact arithmetic where rounding could decide.
//
// Measured: every vertex is within VertexLimit of the surface, and every sample of every facet within tolerance (mm).
// Samples are the corners, points along the edges, and points within, no further apart than SampleSpacing. The distance
// of a sample is that to a witness truly on the surface, so it is never too small; between samples nothing is claimed.
//
// Not proven: that the mesh covers all of the surface. A missing shell shows in the volume (see Quadrature).
//
// The answer is the same on any number of cores. A tolerance that is not above 0 and a nil argument are errors too, but
// no Fault.
func Verify(m *Mesh, s Surface, tolerance float64) (Proof, error) {
	if m == nil || s == nil {
		return Proof{}, errors.New("verify: needs a mesh and a surface")
	}
	if !(tolerance > 0) || math.IsInf(tolerance, 1) {
		return Proof{}, fmt.Errorf("verify: tolerance: %g mm is not a length above 0", tolerance)
	}
	proof := Proof{Facets: len(m.T), Vertices: len(m.V)}
	shells, err := sound(m)
	if err != nil {
		return proof, err
	}
	proof.Shells = shells
	if err := onSurface(m, s, tolerance, &proof); err != nil {
		return proof, err
	}
	return proof, nil
}

// sound proves everything that can be said without the surface and counts the shells. The order matters: each step
// relies on those before it.
func sound(m *Mesh) (shells int, err error) {
	for _, check := range []func(*Mesh) *Fault{indices, coordinates, vertices, heights} {
		if fault := check(m); fault != nil {
			return 0, fault
		}
	}
	twin, fault := twins(m)
	if fault == nil {
		fault = fans(m, twin)
	}
	if fault != nil {
		return 0, fault
	}
	tree := NewTree(m)
	if fault := crossings(tree); fault != nil {
		return 0, fault
	}
	shell, shells := shellsOf(twin)
	if fault := outward(tree, shell, shells); fault != nil {
		return shells, fault
	}
	return shells, nil
}
