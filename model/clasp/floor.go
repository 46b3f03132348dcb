package clasp

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// A loose floor is a plate as thick as the floor, soldered in from below. It lies against ledges cut into the undersides of the side
// walls and of the end wall; in front it meets the floor that stays with the box under the lip, so that the mouth keeps its
// height.

const (
	ledge      = 0.45 // how far the plate reaches under a wall, mm; common practice, no source
	frontFloor = 1.0  // floor behind the lip that stays with the box, mm
	leastRim   = 0.3  // of wall outside the seat, mm, with which a lock is still tried; the rules keep what the caster fills
)

// looseFloor takes what a loose floor is given.
func (d *deriver) looseFloor() {
	if gap := d.set("floor.play"); d.l.Loose() {
		d.l.FloorGap = gap
	}
}

// Loose says whether the floor is a part of its own.
func (l *Lock) Loose() bool { return l.FloorKind == "loose" }

// seatWall is the least wall over a ledge, mm: ledge, gap, and a rim as thick as the caster fills; 0 without a loose floor.
func (l *Lock) seatWall() float64 {
	if !l.Loose() {
		return 0
	}
	rim := 0.5
	if heavyWalls(l.Metal) {
		rim = 0.8
	}
	return ledge + l.FloorGap + max(rim, l.Edge+easeRoom)
}

// easeRoom is what stays of the underside between eased edge and seat, mm.
const easeRoom = 0.1

// floorEdge is how far from mid-width the floor has its least thickness over a domed underside: at the chamber's corner, or at the
// edge of a loose floor.
func (l *Lock) floorEdge() float64 {
	if l.Loose() {
		return l.Outer() + ledge
	}
	return l.Outer()
}

// checkFloor refuses a loose floor that has no seat.
func (l *Lock) checkFloor() error {
	if !l.Loose() {
		return nil
	}
	rim := ledge + l.FloorGap + max(leastRim, l.Edge+easeRoom)
	switch end := ledge + l.FloorGap + leastRim + l.groove(); {
	case l.Wall < rim-heightSlack:
		return &Refusal{Key: "lock.wall", Say: fmt.Sprintf("%.4g mm leaves no rim beside a loose floor, which lies %.2f mm under the wall", l.Wall, ledge),
			Nearest: fmt.Sprintf("at least %.2f mm, a smaller chain.edge, or another lock.floor", Up(rim))}
	case l.EndWall < end-heightSlack:
		return &Refusal{Key: "lock.end_wall", Say: fmt.Sprintf("%.4g mm leaves no rim behind a loose floor, which lies %.2f mm under the end", l.EndWall, ledge),
			Nearest: fmt.Sprintf("at least %.2f mm, or another lock.floor", Up(end))}
	case l.Stock.Window > ledge-0.1:
		return &Refusal{Key: "stock.window", Say: fmt.Sprintf("%.4g mm fills the ledge of the loose floor, %.2f mm wide", l.Stock.Window, ledge), Nearest: fmt.Sprintf("at most %.2f mm", ledge-0.1)}
	}
	return nil
}

// seatFront is where the seat begins behind the floor that stays with the box.
func (l *Lock) seatFront(s Stock) float64 { return l.XFloor - l.FloorGap + s.Window }

// seat is the hollow for the plate: as high as the floor, open below. The ledge stays as cast, no file lies on so narrow a one.
func (l *Lock) seat(s Stock) (*solid.Solid, error) {
	y := l.Outer() + ledge + l.FloorGap - s.Window
	ch, err := plateOutline(l.seatFront(s), l.XRear+ledge+l.FloorGap-s.Window, y, max(windowCorner-s.Window, 0), tagFloorSeat)
	if err != nil {
		return nil, err
	}
	p := solid.NewPrism(ch, -beyond, l.Floor+l.FloorGap, tagLedge).WithEnds(tagHidden, tagLedge)
	return solid.New(p, solid.Upright), nil
}

// LooseFloor builds the plate at a stage, where it lies in the closed lock. Its underside is the lock's.
func (l *Lock) LooseFloor(stage Stage) (*solid.Solid, error) {
	s := l.Stock.at(stage)
	body, err := l.boxBody(s, 0)
	if err != nil {
		return nil, err
	}
	y := l.Outer() + ledge + s.Window
	ch, err := plateOutline(l.XFloor-s.Window, l.XRear+ledge+s.Window, y, windowCorner-l.FloorGap+s.Window, tagPlate)
	if err != nil {
		return nil, err
	}
	p := solid.NewPrism(ch, -beyond, l.Floor+s.Chamber, tagFloor).WithEnds(tagHidden, tagFloor)
	plate := solid.Common(body, solid.New(p, solid.Upright))
	if l.Hollow > 0 {
		plate = solid.Cut(plate, l.wrist(s)...)
	}
	return plate, nil
}

// plateOutline is a rectangle in (x, y) with round corners.
func plateOutline(x0, x1, y, round float64, tag string) (solid.Chain, error) {
	side := func(ax, ay, bx, by float64) solid.Side {
		return solid.Side{P: r2.Vec{X: ax, Y: ay}, Q: r2.Vec{X: bx, Y: by}, Round: round, Tag: tag}
	}
	ch, err := solid.Outline(side(x0, -y, x1, -y), side(x1, -y, x1, y), side(x1, y, x0, y), side(x0, y, x0, -y))
	for i := range ch {
		ch[i].Tag = tag
	}
	return ch, err
}
