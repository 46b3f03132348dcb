package model

import (
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// leastWall is what a caster fills, mm: 0.5 for broad walls in gold and in trial castings that stand for it, 0.8 in silver and the platinum metals (trade
// pages, no address).
func leastWall(metal string) float64 {
	if metal == "gold" || metal == "copper" {
		return 0.5
	}
	return 0.8
}

// leastWall is what the job's caster fills, or what any does.
func (c *Commission) leastWall() float64 {
	if v, ok := c.Job.Number("casting.wall"); ok {
		return v
	}
	return leastWall(c.Lock.Metal)
}

// walls are measured through the metal of the finished box.
func (c *Commission) walls() []finding.Finding {
	l := c.Lock
	f := feeler{c.boxed(), c.part(clasp.PartTongue).Solid}
	if l.Slitted() {
		return c.slitWalls(f)
	}
	least := c.leastWall()
	low := r3.Vec{X: l.BesideHoles((l.XPad + l.XWindow) / 2), Y: l.YLeaf(), Z: (l.Floor + l.ZLip) / 2}
	front := r3.Vec{X: (l.XNotch + l.XStep) / 2, Y: l.YLeaf(), Z: l.ZFront - 0.05}
	corner := r3.Add(front, r3.Vec{Y: l.Chamber/2 - 1e-3})
	lip := r3.Vec{X: l.Lip + 0.05, Y: l.Bearing(), Z: (l.ZLip + l.ZFront) / 2}
	wall := func(check string, v float64, at r3.Vec, key string) finding.Finding {
		return finding.AtLeast(check, "mm", v, least, at, finding.Stop, "thinner than the caster fills; raise "+key)
	}
	floor, floorAt := f.wall(r3.Add(low, r3.Vec{Y: l.Chamber/2 - 1e-3}), downZ), r3.Vec{X: low.X}
	if x := l.DeepestX(); l.Hollow > 0 { // thinnest in the middle of the lock
		if v := f.wall(r3.Vec{X: x, Y: l.Outer() - 1e-3, Z: l.Floor + 1e-3}, downZ); v < floor {
			floor, floorAt = v, r3.Vec{X: x, Z: l.HollowAt(x)}
		}
	}
	out := []finding.Finding{
		wall("floor", floor, floorAt, "lock.floor_wall"),
		wall("side wall", f.wall(low, acrossY), r3.Vec{X: low.X, Y: l.Width / 2, Z: low.Z}, "lock.wall"),
		wall("end wall", f.wall(r3.Vec{X: l.XRear - 0.05, Y: low.Y, Z: low.Z}, alongX), r3.Vec{X: l.BoxLength, Z: low.Z}, "lock.end_wall"),
		wall("roof at the corner, square to the face", f.square(l, corner), corner, "lock.roof"),
		wall("lip", f.wall(lip, backX), lip, "lock.lip"),
	}
	if l.Double() {
		out = append(out, wall("wall between the chambers", f.wall(low, r3.Scale(-1, acrossY)), r3.Vec{X: low.X, Z: low.Z}, "lock.partition"))
	}
	return out
}

// square is the roof's thickness at the chamber's corner, square to the crown.
func (f feeler) square(l *clasp.Lock, corner r3.Vec) float64 {
	dy, dz := l.Square(corner.Y)
	return f.wall(corner, r3.Vec{Y: dy, Z: dz})
}

// castability are what printer and caster must be able to make, with stock on.
func (c *Commission) castability() []finding.Finding {
	l := c.Lock
	if l.Rolled() {
		return nil // neither leaf nor fold is cast
	}
	at := r3.Vec{X: l.XFold, Z: l.ZLeaf}
	gap, _ := c.Job.Number("casting.gap")
	return []finding.Finding{
		finding.AtLeast("leaf in the pattern", "mm", l.Leaf+l.Stock.Leaf, 0.6, at, finding.Caution, "thinner than prints and fills safely; more stock.leaf, or a thicker leaf"),
		finding.AtLeast("slot between the leaves", "mm", 2*l.CastFold(), gap, at, finding.Caution, "a thinner blade of investment breaks off; raise tongue.fold"),
	}
}

// wearing are remarks on the finished piece on the wrist.
func (c *Commission) wearing() []finding.Finding {
	l := c.Lock
	whole := l.Whole()
	return []finding.Finding{
		c.standOff(),
		finding.AtMost("length over width", "x", whole/l.Width, 2, r3.Vec{X: l.BoxLength}, finding.Caution, "longer than twice the width, it stands off a wrist; a longer leaf needs it, a neck chain does not mind"),
	}
}
