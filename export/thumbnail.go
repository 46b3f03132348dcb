package export

import (
	"bytes"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/contour"
)

const thumbnailSide = 256 // pixels, the size that the 3MF Core Specification recommends for a thumbnail (from memory)

// thumbnail draws objects where they lie on the plate: a few from the corner, a plate full from above.
func thumbnail(objects []body, stood []*contour.Mesh, moves []r3.Vec) ([]byte, error) {
	cam := from(r3.Vec{X: -0.45, Y: -0.75, Z: 0.9})
	if len(objects) > 4 {
		cam = fromAbove
	}
	parts := make([]model.Part, len(objects))
	for i, o := range objects {
		m := &contour.Mesh{V: make([]r3.Vec, len(stood[i].V)), T: o.mesh.T, Face: make([]int32, len(o.mesh.T)), Tags: []string{""}}
		for k, v := range stood[i].V {
			m.V[k] = r3.Add(v, moves[i])
		}
		parts[i] = model.Part{Name: o.part, Mesh: m}
	}
	x0, y0, x1, y1 := cam.extent(parts)
	const edge = 8
	cam.scale = (thumbnailSide - 2*edge) / math.Max(x1-x0, y1-y0)
	cam.dx = thumbnailSide/2 - (x0+x1)/2*cam.scale
	cam.dy = thumbnailSide/2 - (y0+y1)/2*cam.scale
	img := blank(thumbnailSide, thumbnailSide)
	render(img, stage(cam, parts, false))
	var b bytes.Buffer
	err := encode(&b, img)
	return b.Bytes(), err
}
