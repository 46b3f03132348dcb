package export

import (
	"bufio"
	"errors"
	"fmt"
	"io"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// stlHeader is the length of the free text at the head of a binary STL file, bytes.
const stlHeader = 80

// WriteSTL writes a mesh as binary STL, millimetres. The free text at its head names the tool, the part, the stage and
// the unit, and does not begin with "solid", by which many readers tell the text form. The normals are those of the
// facets. Coordinates already fit a float32, so nothing is rounded.
func WriteSTL(w io.Writer, m *contour.Mesh, part string, stage clasp.Stage) error {
	if m == nil || len(m.T) == 0 {
		return errors.New("stl: no facets to write")
	}
	header := make([]byte, stlHeader)
	copy(header, fmt.Sprintf("%s part %s, stage %s, millimetre", signature(), part, stage))
	s := stl.Solid{BinaryHeader: header, Triangles: make([]stl.Triangle, 0, len(m.T))}
	for _, t := range m.T {
		s.AppendTriangle(stl.Triangle{
			Normal:   vec32(normal(m, t)),
			Vertices: [3]stl.Vec3{vec32(m.V[t[0]]), vec32(m.V[t[1]]), vec32(m.V[t[2]])},
		})
	}
	buffered := bufio.NewWriter(w) // the library writes facet by facet
	if err := s.WriteAll(buffered); err != nil {
		return err
	}
	return buffered.Flush()
}

// normal is the outward unit normal of a facet, zero if it has no area.
func normal(m *contour.Mesh, t [3]int32) r3.Vec {
	a, b, c := m.V[t[0]], m.V[t[1]], m.V[t[2]]
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	if size := r3.Norm(n); size > 0 {
		return r3.Scale(1/size, n)
	}
	return r3.Vec{}
}

// vec32 also turns -0 into 0, which would be other bytes for the same place.
func vec32(v r3.Vec) stl.Vec3 {
	return stl.Vec3{float32(v.X) + 0, float32(v.Y) + 0, float32(v.Z) + 0}
}
