package contour

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
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
	ClauseCovered    = "all of the surface"
	ClauseSharp      = "sharp edges kept"
)

const (
	// VertexLimit is how far a vertex may lie from the surface, mm: rounding to float32 moves a point below 32 mm by up
	// to 1.7e-6, below 64 mm by up to 3.4e-6.
	VertexLimit = 4e-6
	// HeightLimit is the least height of a facet over its longest edge, mm.
	HeightLimit = 1e-6
	// SampleSpacing is the greatest distance between neighbouring samples of one facet that names no face, mm.
	SampleSpacing = 0.5
)

// Proof is what Verify found true of a mesh, and by how much. All distances are upper bounds at the places named.
type Proof struct {
	Facets, Vertices int
	Shells           int     // connected pieces of surface, hollows included
	Samples          int     // places of the mesh that were compared with the surface
	Walked, Sharp    int     // places of the surface, and of its sharp edges, that were compared with the mesh
	VertexMM         float64 // greatest distance of a vertex of flats alone from the surface, and of any vertex from its flats
	CurvedVertexMM   float64 // greatest distance of a vertex on curved faces and edges from the surface
	EdgeMM           float64 // greatest distance of a sharp mesh edge's middle from the true edge, curved ones
	DeviationMM      float64 // greatest distance of any point of a facet or sharp edge from the surface
	At, On           r3.Vec  // a place where that is reached or nearly so, and the point of the surface it was compared with
	MissMM           float64 // greatest distance of a sample of the surface from the mesh
	SharpMM          float64 // greatest distance of a sample of a true sharp edge from the mesh's sharp edges
	GapMM3           float64 // volume between mesh and surface, at most, to first order: facet area times distance
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
// For a *solid.Solid and a mesh whose facets name the solid's faces (Mesh.On), proven in closed form: the whole of each
// facet lies within tolerance (mm) of the plane, cylinder, cone, ball or ring that carries its face, or, where it lies
// on another face, within tolerance of points truly on the surface, piece by piece; a vertex where flats alone meet
// lies within VertexLimit of a point truly on the surface, any other within tolerance of one and within VertexLimit of
// the flats it belongs to; below the middle of each facet is a point truly on the surface, within tolerance. A place
// counts as truly on the surface where the field is zero to 2e-9 mm; no distance is taken from the field.
//
// Measured: the middle of each curved sharp edge of the mesh lies within tolerance of the true curve. And the way back,
// for every *solid.Solid: the faces of all primitives are walked in cells no further than WalkSpacing from middle to
// corner, EdgeSpacing where another face comes into the cell. A cell is left out only where the field, which has slope
// at most 1, proves that no point of it is surface. Middles of cells that are on the true surface lie within tolerance
// of the mesh; where faces cross in a cell, at more than 2 degrees, a point of their curve is solved for, corners too,
// and those on a true sharp edge lie within tolerance of a sharp edge of the mesh (of the mesh itself, where facets
// name no faces). So a piece of surface that is smaller than a cell, with no such point in it, can be missed. That the
// facets of a face stay within its trim rests on this: a facet can leave its true face only across a true edge, and
// such an edge has one of the mesh along it.
//
// For any other surface, or where facets name no faces, the way there is measured too: every vertex is within
// VertexLimit of the surface, and every sample of every facet within tolerance. Samples are the corners, points along
// the edges, and points within, no further apart than SampleSpacing; each is compared with a witness truly on the
// surface, and between samples nothing is claimed; nor then, but for a *solid.Solid, that the mesh covers all of the
// surface.
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
	b, fault := sound(m)
	if fault != nil {
		return proof, fault
	}
	proof.Shells = b.shells
	if fault := b.against(s, tolerance, &proof); fault != nil {
		return proof, fault
	}
	return proof, nil
}

// against compares a sound mesh with a surface.
func (b *body) against(s Surface, tolerance float64, proof *Proof) *Fault {
	known, ok := s.(*solid.Solid)
	if !ok {
		return onSurface(b.tree.mesh, s, tolerance, proof)
	}
	if fault := named(b.tree.mesh, known); fault != nil {
		return fault
	}
	p := newProver(b, known, tolerance)
	there := func(proof *Proof) *Fault { return onSurface(b.tree.mesh, s, tolerance, proof) }
	if b.tree.mesh.On != nil {
		there = p.there
	}
	if fault := there(proof); fault != nil {
		return fault
	}
	return p.back(proof)
}

// VerifyGrown proves a mesh that is another one with each coordinate multiplied by the growth g along its axis and
// rounded to what a float32 holds; proof is what Verify found of the other, called ungrown, within tolerance (mm). The
// grown mesh is proven sound anew, since rounding may fold it. Its distances from the grown surface follow: growth
// multiplies each distance by at most the greatest of its factors, and rounding adds at most what it moves a vertex by,
// which is measured. The sum must not exceed tolerance either.
func VerifyGrown(m, ungrown *Mesh, g r3.Vec, proof Proof, tolerance float64) (Proof, error) {
	if m == nil || ungrown == nil {
		return Proof{}, errors.New("verify: needs a grown mesh and the one it was grown from")
	}
	if !slices.Equal(m.T, ungrown.T) || len(m.V) != len(ungrown.V) {
		return Proof{}, faultAt(ClauseIndex, r3.Vec{}, "the grown mesh is not the same mesh grown")
	}
	b, fault := sound(m)
	if fault != nil {
		return proof, fault
	}
	grown, fault := proof.grown(m, ungrown, g, tolerance)
	if fault != nil {
		return grown, fault
	}
	grown.Shells = b.shells
	return grown, nil
}

// grown is the proof after growth.
func (p Proof) grown(m, ungrown *Mesh, g r3.Vec, tolerance float64) (Proof, *Fault) {
	most := max(math.Abs(g.X), math.Abs(g.Y), math.Abs(g.Z))
	moved := 0.0
	for i, v := range ungrown.V {
		d := r3.Norm(r3.Sub(m.V[i], grownBy(v, g)))
		if d > VertexLimit {
			return p, faultAt(ClauseVertex, m.V[i], "vertex %d is %.3g mm from where growth puts it, %g mm are allowed",
				i, d, VertexLimit)
		}
		moved = max(moved, d)
	}
	for _, d := range []*float64{&p.VertexMM, &p.CurvedVertexMM, &p.EdgeMM, &p.DeviationMM, &p.MissMM, &p.SharpMM} {
		*d = *d*most + moved
	}
	p.At, p.On = grownBy(p.At, g), grownBy(p.On, g)
	p.GapMM3 = p.GapMM3*most*most*most + moved*Area(m)
	if d := max(p.DeviationMM, p.MissMM, p.SharpMM); d > tolerance {
		return p, faultAt(ClauseFacet, p.At, "growth makes the distance %.3g mm, %g mm are allowed", d, tolerance)
	}
	return p, nil
}

func grownBy(v, g r3.Vec) r3.Vec { return r3.Vec{X: v.X * g.X, Y: v.Y * g.Y, Z: v.Z * g.Z} }

// body is a sound mesh with what was found on the way.
type body struct {
	tree   *Tree
	twin   []int32
	shells int
}

// sound proves everything that can be said without the surface. The order matters: each step relies on those before it.
func sound(m *Mesh) (*body, *Fault) {
	for _, check := range []func(*Mesh) *Fault{indices, coordinates, vertices, heights} {
		if fault := check(m); fault != nil {
			return nil, fault
		}
	}
	twin, fault := twins(m)
	if fault == nil {
		fault = fans(m, twin)
	}
	if fault != nil {
		return nil, fault
	}
	tree := NewTree(m)
	if fault := crossings(tree); fault != nil {
		return nil, fault
	}
	shell, shells := shellsOf(twin)
	return &body{tree, twin, shells}, outward(tree, shell, shells)
}
