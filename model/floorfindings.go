package model

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
)

// slenderCore is how many times its own height a core may stand free, held at its foot alone. Common practice, no source: of a
// box lock's core 2 mm high and 12 mm deep casters say that it wants a way through the floor, or leads.
const slenderCore = 6

// flooring says what the way in which the chamber is opened asks of caster and bench.
func (c *Commission) flooring() []finding.Finding {
	l := c.Lock
	var out []finding.Finding
	if l.FloorKind == "closed" {
		out = append(out, finding.AtMost("core of the closed chamber", "x", l.CoreFree()/l.Mouth, slenderCore, r3.Vec{X: l.XRear, Z: (l.Floor + l.ZLip) / 2}, finding.Caution,
			fmt.Sprintf("%.1f mm of core stand free behind a mouth %.1f mm high and may break or float: core.holes, a window or a loose floor, or ask the caster", l.CoreFree(), l.Mouth)))
	}
	if l.Hollow > 0 {
		out = append(out, finding.Finding{Check: "rims of the hollowed underside", Grade: finding.Note, Measured: l.HollowAt(l.Middle()), Unit: "mm", At: r3.Vec{X: l.Middle(), Y: l.Width / 2, Z: l.HollowAt(l.Middle())},
			Say: "the hollow, so deep in the middle, meets the sides square: ease its rims by hand, they lie on the skin"})
	}
	if l.Loose() {
		out = append(out, c.seated()...)
	}
	if n := len(l.XCoreHoles); n > 0 {
		through := "both side walls"
		if l.Double() {
			through += " and the wall between the chambers, where they stay open,"
		}
		out = append(out, finding.Finding{Check: "core holes", Grade: finding.Note, Measured: l.CoreHole, Unit: "mm", At: r3.Vec{X: l.XCoreHoles[0], Y: l.Width / 2, Z: l.ZCoreHole},
			Say: fmt.Sprintf("%d through %s for graphite leads, whose dust is not to be breathed; close each with a wire plug that stays out of the chamber, soldered before the leaf is hardened", n, through)})
	}
	return out
}

// seated holds a loose floor against its seat.
func (c *Commission) seated() []finding.Finding {
	l := c.Lock
	box, plate := c.part(clasp.PartBox).Mesh, c.part(clasp.PartFloor).Mesh
	if at, yes := contour.Overlap(box, plate); yes {
		return []finding.Finding{{Check: "solder gap of the floor", Grade: finding.Stop, Unit: "mm", At: at, Say: "the loose floor does not go into its seat; more floor.play"}}
	}
	gap, at, _ := contour.Distance(contour.NewTree(box), contour.NewTree(plate))
	lo, hi := contour.Bounds(plate)
	return []finding.Finding{
		finding.AtMost("solder gap of the floor", "mm", gap, 0.13, at, finding.Note,
			"wider than solder is drawn in by itself (0.05 to 0.13 mm, AWS Brazing Handbook, from memory); less floor.play"),
		finding.AtLeast("ledge of the floor", "mm", min(hi.Y, -lo.Y)-l.Outer(), 0.3, r3.Vec{X: l.XFold, Y: l.Outer(), Z: l.Floor}, finding.Caution, "the loose floor has too little to lie against; a thicker lock.wall"),
		{Check: "loose floor", Grade: finding.Note, Unit: "mm", At: r3.Vec{X: l.XFold}, Measured: l.FloorWall,
			Say: "file the chamber first, then solder the floor in with hard solder, the tongue out, before the leaf is hardened; no solder may run on to the floor's inside"},
	}
}
