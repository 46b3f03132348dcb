// Package contour turns a signed-distance solid into a closed triangle mesh with sharp edges, and proves what it made.
//
// How: each primitive is faceted within a share of the tolerance, corners on its surface, with edges where other faces touch
// it. Where facets of different primitives meet, the segments that they have in common are computed, cut at each other, and
// kept where there is surface on one side of them only; kept segments close to loops round pieces of facets. Corners are then
// slid to where the true surfaces meet, edges that are shorter than anybody can use are drawn together, edges that bend more
// than the tolerance allows get more corners, and the loops are cut into triangles.
//
// Facets that cannot be part of the surface are never cut: a primitive's distance says of most that they lie whole inside or
// outside of it, and the solid's formula, with that put in, is then constant.
//
// Guaranteed of every mesh that Verify accepts, and it is asked about every mesh that leaves the program: see there. Straight
// edges between flat faces are exact to a float32. Volume and Area are sums over the facets; a solid's volume differs from
// its mesh's by no more than Proof.GapMM3, facet area times distance, to first order and where the surface was walked.
//
// Not guaranteed: that Of succeeds. A solid whose faces come nearer to each other than a few 1e-6 mm without meeting, or whose
// curved faces graze each other within the tolerance, may give an error, or a mesh that Verify refuses.
//
// Sources: signs of determinants by a float filter with exact arithmetic behind it, after J. R. Shewchuk (1997), in Verify; the
// interval test of two facets on the line where their planes meet, after T. Moeller, A Fast Triangle-Triangle Intersection
// Test, 1997; ear clipping with bridged holes, after D. Eberly, Triangulation by Ear Clipping, 2002; swaps after C. L. Lawson,
// 1977; convex cells after S. Hertel and K. Mehlhorn, 1983.
package contour

import (
	"fmt"

	"claspwright/model/solid"
)

// chordShare is the part of the tolerance that facets of faces curved one way may use. The rest is left for edges between two
// curved faces, whose chords leave the true edge by more than each face's own facets leave the face.
const chordShare = 0.83

// doubleShare is the same for faces that are curved both ways; few of their edges need that room.
const doubleShare = 0.95

// finer is by how much the chord is made smaller when a coarser one gives no sound mesh, as happens where faces graze each
// other.
var finer = []float64{1, 0.8, 0.55, 0.42, 0.3}

// Of meshes a solid within a tolerance, in mm. The same solid and tolerance give the same mesh on any number of cores.
// It fails when no chord gives a sound mesh with every facet within the tolerance of its face; the error says near which
// point.
func Of(s *solid.Solid, tolerance float64) (*Mesh, error) { return Finely(s, tolerance, 1) }

// Finely is Of, with facets of cylinders and cones, but not of balls and rings, within a part of the tolerance (above 0, at
// most 1): where much volume hangs on wide faces that are curved one way, as it does on a crown.
func Finely(s *solid.Solid, tolerance, part float64) (*Mesh, error) {
	if !(tolerance > 0) {
		return nil, fmt.Errorf("contour: tolerance %g mm is not positive", tolerance)
	}
	if !(part > 0 && part <= 1) {
		return nil, fmt.Errorf("contour: part %g of the tolerance is not above 0 and at most 1", part)
	}
	var first error
	for _, share := range finer {
		m, err := once(s, tolerance, solid.Chord{Single: share * chordShare * part * tolerance, Double: share * doubleShare * tolerance})
		if err == nil {
			return m, nil
		}
		if first == nil {
			first = err
		}
	}
	return nil, first
}

// once meshes with one pair of chords.
func once(s *solid.Solid, tolerance float64, chord solid.Chord) (*Mesh, error) {
	leaves, formula := s.Facet(chord)
	a := newArrangement(leaves, formula)
	pieces := a.pieces()
	groups, pts, err := a.assemble(pieces, s)
	if err != nil {
		return nil, err
	}
	sh := &sheet{groups: groups, pts: pts, carriers: s.Carriers(), tolerance: tolerance}
	if err := sh.finish(); err != nil {
		return nil, err
	}
	names, _ := distinct(s.Tags())
	m, err := triangulateAll(sh.groups, sh.pts, names)
	if err != nil {
		return nil, err
	}
	if err := m.within(tolerance, sh.carriers); err != nil {
		return nil, err
	}
	if _, fault := sound(m); fault != nil {
		return nil, fault
	}
	return m, nil
}

// within fails where a facet leaves its face by more than the tolerance, as it may where points were slid far.
func (m *Mesh) within(tolerance float64, carriers []solid.Carrier) error {
	far := make([]float64, len(m.T))
	inParallel(len(m.T), func(f int) {
		if c := &carriers[m.On[f]]; c.Curved() {
			far[f], _ = c.Away(m.triangle(int32(f)), tolerance/16)
		}
	})
	for f, d := range far {
		if d > tolerance {
			p := m.V[m.T[f][0]]
			return fmt.Errorf("contour: a facet near (%.3f, %.3f, %.3f) is %.2g mm off its face", p.X, p.Y, p.Z, d)
		}
	}
	return nil
}
