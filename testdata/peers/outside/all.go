package outside

import (
	"fmt"
	"math"
	"testing"
)

// sameVolume is how far two sums of the same tetrahedra in float64 may differ, in parts: some 1e5 terms, each up to a
// hundred times the whole, rounded at 1e-16.
const sameVolume = 1e-9

// All are the three programs, ready to look at files.
type All struct {
	cgal     CGAL
	manifold *Manifold
}

// Start makes the three programs ready; they end with the test.
func Start(t testing.TB) All {
	t.Helper()
	return All{BuildCGAL(t), StartManifold(t)}
}

// Faults lists what the programs find amiss with an STL file that is to hold one sound part of so many facets and
// vertices and of a volume in mm3: for CGAL a closed outward surface without flat or crossing facets, for admesh nothing
// to repair, for manifold-3d a solid of that volume.
func (a All) Faults(t testing.TB, path string, facets, vertices int, volume float64) (faults []string) {
	t.Helper()
	if found := a.cgal.Look(t, path)[0]; !found.Sound() || found.Facets != facets || found.Vertices != vertices {
		faults = append(faults, fmt.Sprintf("CGAL: %+v", found))
	}
	for _, f := range Admesh(t, path) {
		faults = append(faults, "admesh: "+f)
	}
	read := a.manifold.Read(t, path)
	if read.Error != "" || read.Status != "NoError" || read.Parts != 1 || !(math.Abs(read.Volume-volume) <= sameVolume*volume) {
		faults = append(faults, fmt.Sprintf("manifold-3d: %+v, wanted %.9f mm3", read, volume))
	}
	return faults
}
