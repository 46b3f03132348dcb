package export

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/contour"
)

// cutTag names the facets that a cutting plane left.
const cutTag = "cut"

// camera is a parallel projection to pixels: x to the right, y down, and a depth in mm that grows away from the eye.
type camera struct {
	right, up, ahead r3.Vec  // unit vectors
	scale            float64 // pixels a millimetre
	dx, dy           float64 // pixels, added last
}

// from is a camera that looks from a direction at the lock, with z upright.
func from(eye r3.Vec) camera {
	ahead := r3.Unit(r3.Scale(-1, eye))
	right := r3.Unit(r3.Cross(ahead, r3.Vec{Z: 1}))
	return camera{right: right, up: r3.Cross(right, ahead), ahead: ahead, scale: 1}
}

// side is a camera that looks across the chain, with x to the right whichever half is left standing: a lock is the
// same on both sides of its mid-width plane, so that the half beyond it may be mirrored.
func side(beyond float64) camera {
	return camera{right: r3.Vec{X: 1}, up: r3.Vec{Z: 1}, ahead: r3.Vec{Y: beyond}, scale: 1}
}

func (c camera) pixel(p r3.Vec) (x, y, depth float64) {
	return float64(r3.Dot(p, c.right)*c.scale) + c.dx, c.dy - float64(r3.Dot(p, c.up)*c.scale), r3.Dot(p, c.ahead)
}

// extent is the box round all parts in the picture, pixels.
func (c camera) extent(parts []model.Part) (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range parts {
		for _, v := range p.Mesh.V {
			x, y, _ := c.pixel(v)
			x0, y0, x1, y1 = math.Min(x0, x), math.Min(y0, y), math.Max(x1, x), math.Max(y1, y)
		}
	}
	return x0, y0, x1, y1
}

// isCut says whether a facet lies on the cut.
func isCut(m *contour.Mesh, facet int) bool { return m.Tags[m.Face[facet]] == cutTag }

// quarters are the three-quarter views to choose from: towards the eye, from all four corners, 30 degrees up.
var quarters = []r3.Vec{{X: -0.45, Y: -0.75, Z: 0.5}, {X: 0.45, Y: -0.75, Z: 0.5}, {X: -0.45, Y: 0.75, Z: 0.5}, {X: 0.45, Y: 0.75, Z: 0.5}}

// facingCut is the three-quarter view that sees most of the cut.
func facingCut(parts []model.Part) camera {
	best, most := 0, math.Inf(-1)
	for i, eye := range quarters {
		seen := 0.0
		for _, p := range parts {
			for f, t := range p.Mesh.T {
				if isCut(p.Mesh, f) {
					a, b, c := p.Mesh.V[t[0]], p.Mesh.V[t[1]], p.Mesh.V[t[2]]
					seen += math.Max(0, r3.Dot(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)), eye))
				}
			}
		}
		if seen > most*(1+1e-9) || i == 0 { // a tie keeps the first
			best, most = i, seen
		}
	}
	return from(quarters[best])
}
