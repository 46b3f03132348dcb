package contour

import "gonum.org/v1/gonum/spatial/r3"

// Mesh is an indexed triangle mesh, facets anticlockwise seen from outside. Coordinates are millimetres and already
// hold no more than a float32 can, so that writing a file changes nothing.
type Mesh struct {
	V    []r3.Vec   // vertices, each used, no two equal
	T    [][3]int32 // facets, indices into V
	Face []int32    // for each facet the index into Tags of the surface it lies on
	On   []int32    // for each facet the number of the solid's face that it lies on, as Solid.Tags and Carriers number them
	Tags []string   // what the surfaces are: "roof", "lip underside", ...
}
