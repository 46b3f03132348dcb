package clasp

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Ball is a ball of a diameter round a point.
func Ball(at r3.Vec, diameter float64, tag string) *solid.Solid {
	r := diameter / 2
	low, out, top := r2.Vec{Y: -r}, r2.Vec{X: r}, r2.Vec{Y: r}
	b := solid.NewRevolve(solid.Chain{{A: low, B: out, R: r, Tag: tag}, {A: out, B: top, R: r, Tag: tag}, {A: top, B: low, Tag: "axis"}})
	return solid.New(b, solid.Pose{O: at, X: r3.Vec{X: 1}, Y: r3.Vec{Y: 1}, Z: r3.Vec{Z: 1}})
}

// Stud is the ball on its neck at one side of the box (-1 is y < 0), as it stands when it is soldered in.
func (l *Lock) Stud(side float64) *solid.Solid {
	c := l.Catch
	neck := solid.NewRod(c.Neck/2, l.Width/2-c.Dimple, l.Width/2+c.Centre, "neck", "neck")
	return solid.Join(solid.New(neck, l.outwards(side)), Ball(r3.Vec{X: c.XStud, Y: side * (l.Width/2 + c.Centre), Z: c.Z}, c.Ball, "ball"))
}

// outwards is a frame at the stud whose z looks out of a side, its origin at mid-width.
func (l *Lock) outwards(side float64) solid.Pose {
	at := r3.Vec{X: l.Catch.XStud, Z: l.Catch.Z}
	if side < 0 {
		return solid.Pose{O: at, X: r3.Vec{X: 1}, Y: r3.Vec{Z: 1}, Z: r3.Vec{Y: -1}}
	}
	return solid.Pose{O: at, X: r3.Vec{Z: 1}, Y: r3.Vec{X: 1}, Z: r3.Vec{Y: 1}}
}

// HingeTube is the tube in its seat at one side of the block.
func (l *Lock) HingeTube(side float64) *solid.Solid {
	c := l.Catch
	at := solid.Pose{O: r3.Vec{X: c.XTube, Y: side * (l.Width/2 + c.Lies), Z: c.Z}, X: r3.Vec{X: 1}, Y: r3.Vec{Y: 1}, Z: r3.Vec{Z: 1}}
	rod := func(d, half float64) *solid.Solid {
		return solid.New(solid.NewRod(d/2, -half, half, "tube", "tube"), at)
	}
	return solid.Cut(rod(c.Outside, c.Tube/2), rod(c.Bore, c.Tube))
}
