package model

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/finding"
)

// Limits of a slit tongue; common practice, no source.
const (
	leastPinch = 1.5 // N on each tab; both must be pressed at once, which a sleeve does not
	bestPinch  = 4.0 // N
)

// lipAt is where shoulder and lip meet.
func (c *Commission) lipAt() r3.Vec {
	l := c.Lock
	if l.Slitted() {
		return r3.Vec{X: l.Lip, Y: l.Plate.Lip + l.Engagement/2, Z: (l.ZLeaf + l.ZUpper) / 2}
	}
	return r3.Vec{X: l.Lip, Y: l.NotchWidth/2 + l.Shoulder()/2, Z: l.ZLip}
}

// pinching judges finger and thumb on the two tabs of a slit tongue.
func (c *Commission) pinching() []finding.Finding {
	s, l, p := c.Spring, c.Lock, c.Lock.Plate
	tab := r3.Vec{X: l.XTip + l.TabThickness/2, Y: p.Tab[1], Z: l.TabTop()}
	head := r3.Vec{X: l.XTip, Y: p.Head, Z: (l.ZLeaf + l.ZUpper) / 2}
	return []finding.Finding{
		finding.AtLeast("force to open", "N", s.Release.Force, leastPinch, tab, finding.Caution, "on each tab, so light that the flanks hardly spring back; a shorter or thicker leaf"),
		finding.AtMost("force to open, for a thumb", "N", s.Release.Force, mostForce, tab, finding.Caution, "on each tab, hard to pinch; a longer or thinner leaf"),
		finding.AtLeast("way to the stop", "mm", s.Stop.Drop, l.Travel+stopPast, head, finding.Stop, "the heads meet the spine before the shoulders are free; a larger tongue.fold"),
		finding.AtMost("stop over travel", "x", s.Stop.Drop/l.Travel, mostStop, head, finding.Caution, "the tabs can be pinched much further than they need"),
		finding.AtLeast("end play", "mm", c.Fit.EndPlay, s.Stop.Back+tipClear, r3.Vec{X: l.XTip, Y: p.Tip, Z: head.Z}, finding.Stop, "pinched, the shoulders swing towards the lip and must not strike it; raise tongue.end_play"),
	}
}

// slitWalls are measured through the metal of a slit lock's box.
func (c *Commission) slitWalls(f feeler) []finding.Finding {
	l, p := c.Lock, c.Lock.Plate
	least := c.leastWall()
	mid := (l.ZLeaf + l.ZUpper) / 2
	wall := func(check string, v float64, at r3.Vec, key string) finding.Finding {
		return finding.AtLeast(check, "mm", v, least, at, finding.Stop, "thinner than the caster fills; raise "+key)
	}
	x := (l.XNotch + l.XStep) / 2
	front := r3.Vec{X: x, Y: p.Front - 1e-3, Z: l.ZFront - 0.01}
	floor := f.wall(r3.Vec{X: x, Y: p.Front - 1e-3, Z: l.Floor + 0.01}, downZ)
	if l.Hollow > 0 {
		floor = min(floor, f.wall(r3.Vec{X: l.DeepestX(), Y: p.Lip - 0.1, Z: l.Floor + 0.01}, downZ))
	}
	lip := r3.Vec{X: l.Lip + 0.05, Y: (p.Lip + p.Front) / 2, Z: mid}
	return []finding.Finding{
		wall("floor", floor, r3.Vec{X: x, Y: p.Front}, "lock.floor_wall"),
		wall("side wall", f.wall(r3.Vec{X: x, Z: mid, Y: p.Front - 0.01}, acrossY), r3.Vec{X: x, Y: l.Width / 2, Z: mid}, "lock.wall"),
		wall("end wall", f.wall(r3.Vec{X: l.XRear - 0.05, Z: mid}, alongX), r3.Vec{X: l.BoxLength, Z: mid}, "lock.end_wall"),
		wall("roof at the corner, square to the face", f.square(l, front), front, "lock.roof"),
		wall("lip", f.wall(lip, backX), lip, "lock.lip"),
	}
}

// slitSized says how a slit tongue came by its sizes.
func (c *Commission) slitSized(z *Sizing) string {
	l := c.Lock
	return fmt.Sprintf("found by the spring: flanks %.2f mm thick at the root, %.2f mm long, the plate %.2f mm; it asks for this yield", l.Leaf, l.Length, l.Plate.Thick)
}
