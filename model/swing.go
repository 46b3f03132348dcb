package model

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/chain"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
)

// hung is the first link that moves at a chain end, in the end's frame. At a pad the end link is halved and soldered on, in
// a cradle it is let in whole, and the next link hangs in its far bow; in a lug a connecting link hangs itself.
func hung(l *clasp.Lock) chain.Hung {
	k := chain.Link{Wire: l.Wire, Width: l.LinkWidth, Length: l.LinkLength, Angle: l.LinkAngle}
	switch l.End {
	case "lug":
		k, sag := connecting(l)
		return chain.Hung{Link: k, Pivot: l.LugCentre(), Near: (k.Wire - sag) / 2}
	case "cradle":
		inner := l.BowCentre() + math.Max(0, l.LinkLength-l.LinkWidth) + l.LinkWidth/2
		return chain.Hung{Link: k, Pivot: r3.Vec{X: inner + l.Wire/2}, Near: -l.Wire / 2}
	}
	return chain.Hung{Link: k, Pivot: r3.Vec{X: l.LinkLength/2 + l.Wire/2}, Near: -l.Wire / 2}
}

// connecting is the thickest link that the lug takes: its bow goes through the lug's thickness on a curve, so the hole must
// hold the wire, the sag of the bow's inner side over that thickness, and 0.3 mm. It is at most as thick as the chain's
// wire.
func connecting(l *clasp.Lock) (k chain.Link, sag float64) {
	k.Width = 1.6 * l.LugThickness
	sag = (k.Width - math.Sqrt(k.Width*k.Width-l.LugThickness*l.LugThickness)) / 2
	k.Wire = math.Min(l.Wire, l.LugHole-0.3-sag)
	k.Length = math.Max(2.5*k.Wire, 1.2*k.Width)
	return k, sag
}

// measureSwing measures how far the next link swings at the box's and the block's end.
func (c *Commission) measureSwing() [2]chain.Swing {
	h := hung(c.Lock)
	return [2]chain.Swing{
		chain.SwingOf(h, roomAbout(c.part("box")), c.Lock.EndFrame(true)),
		chain.SwingOf(h, roomAbout(c.part("tongue")), c.Lock.EndFrame(false)),
	}
}

// roomAbout is the distance from a finished part: the field's lower bound first, then the distance to the mesh, which is
// right to the chords of the mesh.
func roomAbout(p *Part) chain.Room {
	tree := contour.NewTree(p.Mesh)
	return chain.Room{Near: p.Solid.Eval, True: func(q r3.Vec) float64 {
		_, _, d := tree.Nearest(q)
		if p.Solid.Eval(q) < 0 {
			return -d
		}
		return d
	}}
}

// swinging judges the chain ends: the next link must be free of the lock and hang down by 30 degrees on a wrist (common
// practice, no source).
func (c *Commission) swinging() []finding.Finding {
	var out []finding.Finding
	least := 0.3 // so that dirt and a cloth pass
	if c.Lock.End == "lug" {
		least = 0.05 // the wire turns in the hole
	}
	for i, s := range c.Swing {
		end := []string{"box", "block"}[i]
		at := c.Lock.EndFrame(i == 0).O
		out = append(out,
			finding.AtLeast("next link clear of the "+end, "mm", s.Rest, least, at, finding.Caution, "the next link rubs on the lock; a longer link at the end (link.length), or another lock.end"),
			finding.AtLeast("next link swings down at the "+end, "deg", math.Min(s.Down, s.Up), 30, at, finding.Caution, "the chain cannot follow the wrist there; a longer link at the end (link.length), or a lug"))
	}
	if c.Lock.End == "lug" {
		k, _ := connecting(c.Lock)
		f := finding.AtLeast("wire of the connecting link", "mm", k.Wire, 0.8, c.Lock.EndFrame(true).O, finding.Stop, fmt.Sprintf("the lug takes a connecting link of %.2f mm wire at most, %.1f mm wide inside; the chain's own wire has %.2f mm", k.Wire, k.Width, c.Lock.Wire))
		if f.Grade == finding.OK {
			f.Grade = finding.Note // the goldsmith must know it before ordering
		}
		out = append(out, f)
	}
	return out
}
