package model

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/catch"
	"claspwright/model/clasp"
	"claspwright/model/metal"
	"claspwright/model/solid"
	"claspwright/params"
)

// Catch is the safety catch with its metal, and what its seats leave of the halves.
type Catch struct {
	*catch.Result
	Loop     catch.Loop
	Alloy    params.Alloy
	Metal    Spring  // of hard drawn wire; without a result
	Gram     float64 // of loop, bead, tube and stud, one side
	Tube     float64 // metal left round the tube's seat in the block, mm
	Stud     float64 // metal left behind the stud's seat in the box, mm; the whole wall where there is no dimple
	Friction float64
}

// Bead is the diameter of the grip bead at the end of the outer eye: two wires, the published 1 mm on 0.5 (Professional Jeweler,
// April 2002).
func (k *Catch) Bead() float64 { return 2 * k.Loop.Wire }

// catchLoop hands the lock's numbers to the catch.
func catchLoop(c clasp.Catch) catch.Loop {
	return catch.Loop{Wire: c.Wire, Ball: c.Ball, Tube: c.Tube, Reach: c.Reach, Snap: c.Snap, Eye: c.Eye}
}

// makeCatch computes the commission's safety catch, if it has one.
func (c *Commission) makeCatch() error {
	if !c.Lock.HasCatch() {
		return nil
	}
	k := &Catch{Loop: catchLoop(c.Lock.Catch)}
	var err error
	if k.Alloy, err = c.catchAlloy(); err != nil {
		return err
	}
	k.Metal = metalIn(k.Alloy, "hammered")
	k.Friction, _ = c.Job.Number("tongue.friction")
	if k.Result, err = k.Loop.Analyse(k.Metal.Metal.E, k.Friction); err != nil {
		return err
	}
	k.Gram = metal.Density(k.Alloy) / 1000 * (catchVolume(c.Lock.Catch, k.Cut) + math.Pi/6*math.Pow(k.Bead(), 3))
	k.Tube = roundTube(c.Lock, c.part("tongue").Solid)
	k.Stud = behindStud(c.Lock, c.part("box").Solid)
	c.Catch = k
	return nil
}

// catchAlloy is the alloy of the catch: the box's unless another is given.
func (c *Commission) catchAlloy() (params.Alloy, error) {
	id, given := c.Job.Text("catch.alloy")
	if !given {
		id, _ = c.Job.Text("metal.alloy")
	}
	return c.Job.Alloy(id)
}

// catchVolume is the metal of one side's catch: the wire as cut, the tube, the ball, and the neck from the bottom of its seat
// to the ball's middle, less what of that lies in the ball, taken as a cylinder. In mm3.
func catchVolume(c clasp.Catch, cut float64) float64 {
	disc := func(d float64) float64 { return math.Pi / 4 * d * d }
	in := math.Sqrt(c.Ball*c.Ball-c.Neck*c.Neck) / 2
	return disc(c.Wire)*cut + (disc(c.Outside)-disc(c.Bore))*c.Tube + math.Pi/6*math.Pow(c.Ball, 3) + disc(c.Neck)*(c.Dimple+c.Centre-in)
}

// roundTube is the least metal beside the bottom of the tube's seat, traced through the block inwards and to both ends.
func roundTube(l *clasp.Lock, block *solid.Solid) float64 {
	c := l.Catch
	const in = 1e-4 // mm into the metal, to leave the seat's own surface
	least := math.Inf(1)
	half := c.SeatHalf()
	for _, side := range l.CatchSides() {
		y := side * (l.Width/2 - c.Seat)
		for _, probe := range []struct{ from, dir r3.Vec }{
			{r3.Vec{X: c.XTube, Y: y - side*in, Z: c.Z}, r3.Vec{Y: -side}},
			{r3.Vec{X: c.XTube - half - in, Y: y + side*c.Seat/2, Z: c.Z}, backX},
			{r3.Vec{X: c.XTube + half + in, Y: y + side*c.Seat/2, Z: c.Z}, alongX},
		} {
			least = math.Min(least, in+block.Trace(probe.from, probe.dir, 2*l.Width+l.Block))
		}
	}
	return least
}

// behindStud is the metal between the stud's seat and the chamber, traced square to the side.
func behindStud(l *clasp.Lock, box *solid.Solid) float64 {
	c := l.Catch
	const in = 1e-4
	least := math.Inf(1)
	for _, side := range l.CatchSides() {
		p := r3.Vec{X: c.XStud, Y: side * (l.Width/2 - c.Dimple - in), Z: c.Z}
		least = math.Min(least, in+box.Trace(p, r3.Vec{Y: -side}, 2*l.Width))
	}
	return least
}
