package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// A leaf may be cast opened, where the investment cannot keep the narrow slot, and closed at the bench. The fold is cast as a shorter
// arc of a larger radius, its middle line as long as that of the finished fold, so that the closed leaf is the finished one;
// the upper leaf with the thumb tab is turned up about the fold's centre as it is.

// opened finds by how much the leaf is cast opened.
func (d *deriver) opened() {
	l := d.l
	if angle := d.set("tongue.opening"); l.Make == "opened" {
		l.Opening = angle * math.Pi / 180
	}
}

// opened is where a stage has fold and upper leaf: the finished ones, or turned up.
type opened struct {
	l     *Lock
	angle float64 // radians
	fold  float64 // inside radius
}

func (l *Lock) openedAt(stage Stage) opened {
	if stage == Finished {
		return opened{l, 0, l.Fold}
	}
	return opened{l, l.Opening, l.CastFold()}
}

// CastFold is the inside radius with which the fold is cast, mm: r pi/(pi - opening) in the middle of the leaf.
func (l *Lock) CastFold() float64 {
	if l.Opening == 0 {
		return l.Fold
	}
	return (l.Fold+l.Leaf/2)*math.Pi/(math.Pi-l.Opening) - l.Leaf/2
}

// ClosingStrain is the strain of the leaf's outer and inner fibre when it is closed: half the thickness times the change of curvature,
// t/2 (1/r - 1/r_cast) = t opening/(2 pi r), with r in the middle of the leaf. All of it is taken to go into the fold.
func (l *Lock) ClosingStrain() float64 {
	return l.Leaf * l.Opening / (2 * math.Pi * (l.Fold + l.Leaf/2))
}

// endStock is the stock on the fold's end: that of the window, but on an opened fold no more than the leaf's, since between less than half a
// turn of rounds an end that stands further out has no length.
func (o opened) endStock(s Stock) float64 {
	if o.angle == 0 {
		return s.Window
	}
	return math.Min(s.Window, s.Leaf)
}

// at is where a point (x, z) of the finished upper leaf is: up by what the fold is wider, then turned about its centre.
func (o opened) at(p r2.Vec) r2.Vec {
	centre := r2.Vec{X: o.l.XFold, Y: o.l.ZLeaf + o.l.Leaf + o.fold}
	q := r2.Sub(r2.Vec{X: p.X, Y: p.Y + 2*(o.fold-o.l.Fold)}, centre)
	sin, cos := math.Sincos(o.angle)
	return r2.Add(centre, r2.Vec{X: q.X*cos + q.Y*sin, Y: q.Y*cos - q.X*sin})
}

func (o opened) side(s solid.Side) solid.Side {
	if o.angle != 0 {
		s.P, s.Q = o.at(s.P), o.at(s.Q)
	}
	return s
}

func (o opened) pose(p solid.Pose) solid.Pose {
	if o.angle == 0 {
		return p
	}
	sin, cos := math.Sincos(o.angle)
	turn := func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X*cos + v.Z*sin, Y: v.Y, Z: v.Z*cos - v.X*sin} }
	at := o.at(r2.Vec{X: p.O.X, Y: p.O.Z})
	return solid.Pose{O: r3.Vec{X: at.X, Y: p.O.Y, Z: at.Y}, X: turn(p.X), Y: turn(p.Y), Z: turn(p.Z)}
}

// CastTip is the middle of the tip's underside as it is cast, just below the metal.
func (l *Lock) CastTip() r3.Vec {
	p := l.openedAt(Casting).at(r2.Vec{X: l.XTip, Y: l.ZTip - l.Taper*l.Leaf - 1e-3})
	return r3.Vec{X: p.X, Y: l.YLeaf(), Z: p.Y}
}
