package contour

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// workshop builds solids in a frame.
type workshop struct {
	t     testing.TB
	frame solid.Pose
}

func (w workshop) place(s solid.Shape, at solid.Pose) *solid.Solid {
	return solid.New(s, then(w.frame, at))
}

func (w workshop) block(x0, y0, z0, x1, y1, z1 float64) *solid.Solid {
	w.t.Helper()
	return w.tilted(0, 0, 0, vec(x0, y0, z0), vec(x1, y1, z1))
}

// tilted is a block, given in its own frame, turned by an angle about the y axis through (x, z).
func (w workshop) tilted(x, z, a float64, lo, hi r3.Vec) *solid.Solid {
	w.t.Helper()
	b, err := solid.NewBlock(lo, hi, "side")
	if err != nil {
		w.t.Fatal(err)
	}
	return w.place(b, then(at(x, 0, z), turnedY(a)))
}

func (w workshop) rod(at solid.Pose, r, lo, hi float64) *solid.Solid {
	return w.place(solid.NewRod(r, lo, hi, "rod", "rod end"), at)
}

func (w workshop) upright(x, y, r, lo, hi float64) *solid.Solid { return w.rod(at(x, y, 0), r, lo, hi) }

// extruded is a rod on the z axis too, as a prism over two half circles.
func (w workshop) extruded(r, lo, hi float64) *solid.Solid {
	a, b := vec2(r, 0), vec2(-r, 0)
	return w.place(solid.NewPrism(solid.Chain{{A: a, B: b, R: r, Tag: "half"}, {A: b, B: a, R: r, Tag: "half"}}, lo, hi, "end"), solid.Upright)
}

func (w workshop) ball(x, y, z, r float64) *solid.Solid {
	low, high := vec2(0, -r), vec2(0, r)
	return w.place(solid.NewRevolve(solid.Chain{{A: low, B: high, R: r, Tag: "ball"}, {A: high, B: low, Tag: "axis"}}), at(x, y, z))
}

func (w workshop) turned(x, y, z float64, pts ...r2.Vec) *solid.Solid {
	return w.place(turnedProfile(pts...), at(x, y, z))
}

// alongY is the pose of what lies along y through (x, z).
func alongY(x, z float64) solid.Pose { return then(at(x, 0, z), turnedX(-math.Pi/2)) }

// spun is the upright pose turned about its z axis, so that facets of equal cylinders do not fall on each other.
func spun(a float64) solid.Pose {
	s, c := math.Sincos(a)
	return solid.Pose{X: vec(c, s, 0), Y: vec(-s, c, 0), Z: vec(0, 0, 1)}
}

// inModel builds in the model's own frame.
func inModel(t testing.TB) workshop { return workshop{t, solid.Upright} }
