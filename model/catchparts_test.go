package model

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/catch"
	"claspwright/model/contour"
)

// The wire that pictures show has the volume of the wire that is cut, its circle drawn as a polygon of 20 sides, and stud and
// hinge tube those of their closed forms.
func TestCatchPartsHaveTheirVolumes(t *testing.T) {
	c := commission(t, Want{}, "chain.width=14", "chain.thickness=6", "metal.alloy=au750-yellow", "chain.wear=bracelet", "tongue.sizes=rule")
	path, err := c.Catch.Loop.Path()
	if err != nil {
		t.Fatal(err)
	}
	d := c.Lock.Catch
	var line []r3.Vec
	for _, p := range middleLine(path) {
		line = append(line, r3.Vec{X: p.U, Z: p.V})
	}
	wire := contour.Volume(tube(line, r3.Vec{Y: 1}, d.Wire/2))
	polygon := 20 / (2 * math.Pi) * math.Sin(2*math.Pi/20)
	if want := polygon * math.Pi / 4 * d.Wire * d.Wire * (path.Length() - catch.Ends/2); math.Abs(wire/want-1) > 2e-3 {
		t.Errorf("half a loop has %.5f mm3, want %.5f", wire, want)
	}
	parts, err := c.CatchParts()
	if err != nil || len(parts) != 2 || parts[0].Name != LoopPart || parts[1].Name != StudPart {
		t.Fatalf("%d parts, %v", len(parts), err)
	}
	disc := func(d float64) float64 { return math.Pi / 4 * d * d }
	cap := (d.Ball - math.Sqrt(d.Ball*d.Ball-d.Neck*d.Neck)) / 2 // of the ball where the neck goes in, above its rim
	in := d.Ball/2 - cap
	stud := math.Pi/6*math.Pow(d.Ball, 3) + disc(d.Neck)*(d.Dimple+d.Centre-in) - math.Pi*cap*cap*(3*d.Ball/2-cap)/3
	if got := contour.Volume(parts[1].Mesh); math.Abs(got/stud-1) > 0.02 {
		t.Errorf("the stud has %.4f mm3, want %.4f", got, stud)
	}
	hinge, err := contour.Of(c.Lock.HingeTube(-1), 0.001)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := contour.Volume(hinge), (disc(d.Outside)-disc(d.Bore))*d.Tube; math.Abs(got/want-1) > 0.005 {
		t.Errorf("the tube has %.4f mm3, want %.4f", got, want)
	}
}
