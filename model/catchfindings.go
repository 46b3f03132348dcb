package model

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/finding"
)

// caught judges the safety catch, or that there is none.
func (c *Commission) caught() []finding.Finding {
	if c.Catch == nil {
		return c.uncaught()
	}
	out := c.catchSprings()
	out = append(out, c.catchStands()...)
	out = append(out, c.catchSeats()...)
	return append(out, c.catchMetal()...)
}

// uncaught says what a lock without a catch risks.
func (c *Commission) uncaught() []finding.Finding {
	if c.Lock.Double() && c.Lock.Catch.Why == "" {
		return []finding.Finding{c.secondLeaf()}
	}
	f := finding.Finding{Check: "safety catch", Grade: finding.Caution, Unit: "mm", At: r3.Vec{X: c.Lock.XTip, Z: c.Lock.Thickness},
		Say: "none: a blow on the tab opens the lock and the bracelet is lost; catch.sides = \"one\""}
	if why := c.Lock.Catch.Why; why != "" {
		f.Say = "none, for want of room: " + why + "; a blow on the tab opens the lock, so sew or chain the bracelet safe"
	}
	if wear, _ := c.Job.Text("chain.wear"); wear == "necklace" {
		f.Grade, f.Say = finding.Note, "none: a blow on the tab opens the lock, which a necklace seldom meets"
	}
	return []finding.Finding{f}
}

// stud is the middle of the first stud's ball.
func (c *Commission) stud() r3.Vec {
	l := c.Lock
	return r3.Vec{X: l.Catch.XStud, Y: l.CatchSides()[0] * (l.Width/2 + l.Catch.Centre), Z: l.Catch.Z}
}

// Forces on the catch that a finger finds comfortable, N. Common practice, no source.
const (
	lightSnap = 1
	heavySnap = 6
)

// catchSprings judges the loop as it passes the ball.
func (c *Commission) catchSprings() []finding.Finding {
	k, at := c.Catch, c.stud()
	out := []finding.Finding{
		finding.AtLeast("force of the catch", "N", k.Force, lightSnap, at, finding.Caution, "so light that cloth may lift it off (common practice, no source); thicker catch.wire, more catch.snap or less catch.reach"),
		finding.AtMost("force of the catch, for a nail", "N", k.Force, heavySnap, at, finding.Caution, "hard on a finger nail (common practice, no source); thinner catch.wire, less catch.snap or more catch.reach"),
	}
	need := Safety * k.Stress
	if !k.Metal.Known() {
		out = append(out, finding.Finding{Check: "stress in the catch", Grade: finding.Caution, Measured: k.Stress, Unit: "MPa", At: at,
			Say: fmt.Sprintf("yield not known: ask for hard wire with %.0f MPa", need)})
	} else {
		of := ""
		if k.Metal.Estimated {
			of = "; the yield is estimated from hardness"
		}
		out = append(out, finding.AtMost("stress in the catch", "MPa", k.Stress, k.Metal.Yield.Value/Safety, at, finding.Caution,
			fmt.Sprintf("the loop is bent open as it passes the ball and holds less each time: it needs hard drawn wire of %.0f MPa; another catch.alloy, less catch.snap or more catch.reach%s", need, of)))
	}
	return append(out, finding.Finding{Check: "life of the catch", Grade: finding.Note, Unit: "MPa", Measured: k.Stress, At: at,
		Say: "no published data on its fatigue: look at the loop often"})
}

// How far a catch may stand out over the chain, and how long a loop's reach may be, mm. Common practice, no source.
const (
	mostOverhang  = 1.5
	grossOverhang = 2.0
	mostReach     = 7.0
)

// catchStands judges how the catch stands on the lock.
func (c *Commission) catchStands() []finding.Finding {
	k, l, at := c.Catch, c.Lock, c.stud()
	grade := finding.Note
	if l.Catch.Overhang() > grossOverhang {
		grade = finding.Caution
	}
	reach := r3.Vec{X: l.Catch.XTube, Y: at.Y, Z: at.Z}
	eye := r3.Vec{X: l.Catch.XTube + k.Long, Y: at.Y, Z: at.Z}
	return []finding.Finding{
		finding.AtMost("catch over the side", "mm", l.Catch.Overhang(), mostOverhang, at, grade, "cloth catches on it; smaller catch.ball"),
		finding.AtMost("reach of the catch", "mm", k.Loop.Reach, mostReach, reach, finding.Caution, "so long a loop sways and unhooks; a smaller catch.reach, or heavier wire"),
		finding.AtLeast("catch within the box", "mm", l.BoxLength-eye.X, 0, eye, finding.Note, "the outer eye stands out over the chain; a smaller catch.reach or catch.ball"),
	}
}

// behindSeat is the least metal that may stay behind a seat, mm: the least wall that casters name, for a small place.
const behindSeat = 0.4

// catchSeats judges what the seats leave of block and box.
func (c *Commission) catchSeats() []finding.Finding {
	k, l := c.Catch, c.Lock
	tube := r3.Vec{X: l.Catch.XTube, Y: l.CatchSides()[0] * (l.Width/2 - l.Catch.Seat), Z: l.Catch.Z}
	stud := r3.Vec{X: l.Catch.XStud, Y: l.CatchSides()[0] * (l.Width/2 - l.Catch.Dimple), Z: l.Catch.Z}
	out := []finding.Finding{
		finding.AtLeast("metal round the tube's seat", "mm", k.Tube, behindSeat, tube, finding.Stop, "the seat breaks through; a longer lock.block, or catch.sides = \"none\""),
		finding.AtLeast("wall behind the stud's seat", "mm", k.Stud, behindSeat, stud, finding.Stop, "thinner than the caster fills; a thicker lock.wall"),
	}
	if l.Catch.Dimple == 0 {
		out = append(out, finding.Finding{Check: "stud's seat", Grade: finding.Note, Measured: l.Wall, Unit: "mm", At: stud,
			Say: "the wall is too thin for a dimple, so none is cast: mark the place off catch.svg, and solder the stud on flat"})
	}
	return out
}

// catchMetal warns of nickel, and of a mark that the catch spoils.
func (c *Commission) catchMetal() (out []finding.Finding) {
	a := c.Catch.Alloy
	box, _ := c.ownAlloys()
	if ni := a.Holds("Ni"); ni > 0 {
		out = append(out, remark("nickel in the catch", finding.Caution, fmt.Sprintf("%s holds %g %% nickel and the loop lies beside the skin: at most 0.5 ug/cm2 a week may come off "+
			"(REACH Annex XVII entry 27), tested by EN 1811; nickel white gold under stress also cracks in chlorine", a.ID, ni))...)
	}
	if a.Base() != box[0].Base() || a.Metal != box[0].Metal || a.Fineness < box[0].Fineness {
		out = append(out, remark("mark of the catch", finding.Caution, fmt.Sprintf("the catch is of %s, the box of %s: all parts must reach the fineness that is marked (Hallmarking Act 1973, s. 4, United Kingdom); %s", a.ID, box[0].ID, office))...)
	}
	for i := range out {
		out[i].At = c.stud()
	}
	return out
}
