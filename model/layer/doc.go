// Package layer finds how a part is best turned for printing in layers: with the least that hangs in the air, a foot to stand on, no islands where it can
// be, and no steps on the faces that must fit. It knows triangles and numbers only.
package layer
