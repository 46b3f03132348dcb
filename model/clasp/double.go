package clasp

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// A double tongue has two equal leaves side by side on one block. Each has its own chamber, lip, notch and tab, so that either catches
// without the other. The wall between the chambers carries roof and lip, which span half as far, and keeps the leaves from each other; it
// costs the caster a second core. What is made for one leaf at mid-width is put where each leaf stands.

// leastChamber is the narrowest chamber of a double tongue, mm: below 5 mm inside there is no room for one (trade, a goldsmith's exercise on a double
// tongue for a tube clasp); taken here for each chamber, whose shoulders and tab are as wide as those of a narrow lock.
const leastChamber = 5

// Double says that there are two leaves.
func (l *Lock) Double() bool { return l.Leaves == 2 }

// YLeaf is where the first leaf has its middle, mm; the second has it at -YLeaf.
func (l *Lock) YLeaf() float64 { return l.Pitch / 2 }

// Outer is how far from mid-width the chambers reach, mm: their outermost corner, where the crown leaves the least height.
func (l *Lock) Outer() float64 { return (l.Pitch + l.Chamber) / 2 }

// OnLeaf is where a place of a leaf at mid-width stands on the first leaf.
func (l *Lock) OnLeaf(p r3.Vec) r3.Vec { return r3.Vec{X: p.X, Y: p.Y + l.YLeaf(), Z: p.Z} }

// Bearing is the middle of the first leaf's outer shoulder, mm from mid-width.
func (l *Lock) Bearing() float64 { return l.YLeaf() + l.NotchWidth/2 + l.Shoulder()/2 }

// TabTop is the height of the thumb tab's top: that of the face where it is highest beside the tab, which off the middle is the tab's inner side,
// and tab.height.
func (l *Lock) TabTop() float64 {
	if l.Slitted() {
		return l.Thickness - l.top().fall((l.Plate.Tab[0]+l.Plate.Tab[1])/2) + l.TabHeight
	}
	return l.Thickness - l.top().fall(math.Max(0, l.YLeaf()-l.TabWidth/2)) + l.TabHeight
}

// TabSpan is the width over all thumb tabs, mm.
func (l *Lock) TabSpan() float64 { return l.Pitch + l.TabWidth }

// Middles are the middles of the leaves, mm from mid-width.
func (l *Lock) Middles() []float64 {
	if l.Double() {
		return []float64{l.YLeaf(), -l.YLeaf()}
	}
	return []float64{0}
}

// eachLeaf puts what was made for a leaf at mid-width where each leaf stands.
func (l *Lock) eachLeaf(of ...*solid.Solid) (out []*solid.Solid) {
	if !l.Double() {
		return of
	}
	for _, y := range l.Middles() {
		for _, s := range of {
			out = append(out, s.Moved(r3.Vec{Y: y}))
		}
	}
	return out
}

// beside finds the wall between two chambers.
func (d *deriver) beside() {
	l := d.l
	l.Leaves = int(d.set("tongue.count"))
	if v := d.num("lock.partition", max(d.leastWall(), 0.04*l.Width)); l.Double() {
		l.Partition = v
	}
}

// checkDouble refuses two leaves that have no room.
func (d *deriver) checkDouble() error {
	l := d.l
	switch {
	case !l.Double():
		return nil
	case l.Slitted():
		return &Refusal{Key: "tongue.count", Say: "2 slit plates, one beside the other, are not made: one has two flanks already", Nearest: `tongue.count = 1, or tongue.make = "cast"`}
	case l.Rolled():
		return &Refusal{Key: "tongue.count", Say: "2 leaves of rolled strip, one beside the other, are not made", Nearest: `tongue.count = 1, or tongue.make = "cast"`}
	case l.Chamber >= leastChamber-heightSlack:
		return nil
	}
	return &Refusal{Key: "tongue.count", Say: fmt.Sprintf("2 leaves have chambers %.2f mm wide in a lock of %.4g mm; below %d mm inside a double tongue has no room", l.Chamber, l.Width, leastChamber),
		Nearest: fmt.Sprintf("tongue.count = 1, or chain.width of %.2f mm or more", Up(d.leastDouble()))}
}

// leastDouble is the narrowest chain that a double tongue of this job has room in, mm; walls grow with it where they are not given.
func (d *deriver) leastDouble() float64 {
	for w := d.l.Width; ; {
		l := *d.l
		l.Width, l.Resolved = w, nil
		t := *d
		t.l = &l
		t.walls()
		if l.Chamber >= leastChamber-heightSlack/2 {
			return w
		}
		w += float64(l.Leaves) * (leastChamber - l.Chamber) // walls take less than a fifth of what the width gains
	}
}
