// Package spring computes the leaf of a box lock as a planar frame: how it bends where it is pressed, with what force,
// and what stress that leaves in it. It knows numbers only.
//
// Frame: x along the chain, z up, mm; forces in N, moments in N mm, stresses in MPa.
package spring

// Station is one place of the bent leaf, from the root in the block round the fold to the tip. Between two stations the
// middle line is one arc, tangent to both angles.
type Station struct {
	S     float64 // along the relaxed middle line from the root, mm
	X, Z  float64 // the middle line, mm, in the lock's frame with the tongue home
	Angle float64 // of the middle line, rad: 0 along +x as in the lower leaf, pi/2 up, pi back along -x as in the upper leaf
	T     float64 // thickness, mm, half of it on either side of the middle line; the left side (up, from the lower leaf) is the inside
	Width float64 // across, mm
}
