package clasp

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
	"claspwright/params"
)

// Catch is the safety catch: a tube on the block's side, upright; in it a figure-eight wire loop that swings outwards, away
// from the skin; on the box's side a stud, a ball on a neck. Tube and stud stand in seats that are cast; the rest is made at
// the bench, of wire and tube. The tube is on the block since that is solid and takes a seat of full depth, and
// since the loop's free eye then lies along the box and not over the chain. All in mm.
type Catch struct {
	Sides   string  // "none", "one" (the side at y < 0) or "both"
	Why     string  // why the rule gave none to a bracelet, "" otherwise
	Wire    float64 // of the loop
	Ball    float64 // diameter
	Tube    float64 // length
	Reach   float64 // tube's axis to the ball's middle
	Snap    float64 // how much narrower the waist is inside than the ball
	Bore    float64 // of the tube
	Outside float64 // of the tube
	Seat    float64 // depth of the tube's seat under the side
	Dimple  float64 // depth of the stud's seat; 0 when the wall is too thin for one
	Neck    float64 // diameter of the stud's neck
	Eye     float64 // radius of the outer eye, to the middle of the wire
	XTube   float64 // the tube's axis
	XStud   float64
	Z       float64 // middle of the side
	Lies    float64 // middle of the loop's wire over the side
	Centre  float64 // middle of the ball over the side
}

// Proportions of the catch, mm.
const (
	boreOver   = 0.05  // bore over wire, so that it turns freely: "bore just over the wire" (Professional Jeweler, April 2002)
	tubeWall   = 0.325 // so that a seat of 0.3 lets the wire lie just over the side
	seatDepth  = 0.3   // flat 1 x 2, 0.3 deep: common practice, no source
	catchPlay  = 0.05  // each side, for solder
	leastDepth = 0.1   // of a dimple; shallower guides no drill
	behindSeat = 0.5   // metal left behind a dimple; casters' least for a small place is 0.4
	neckOver   = 0.1   // the ball's middle stands over the side by wire and this at least: common practice, no source
	besideSeat = 0.6   // metal beside a seat
	intoBlock  = 1.0   // how far the leaf is anchored in the block; the tube's seat stays behind
	leastTube  = 1.5
)

// HasCatch says whether the lock has a safety catch.
func (l *Lock) HasCatch() bool { return l.Catch.Sides != "none" }

// CatchSides are the sides with a catch: -1 is y < 0.
func (l *Lock) CatchSides() []float64 {
	return map[string][]float64{"one": {-1}, "both": {-1, 1}}[l.Catch.Sides]
}

// Overhang is how far the catch stands out over the side, mm.
func (c Catch) Overhang() float64 {
	return math.Max(c.Centre+c.Ball/2, c.Outside-c.Seat)
}

// catch finds the safety catch. By rule a bracelet with one leaf has one where there is room; one that was asked for and has no room is
// refused.
func (d *deriver) catch() error {
	l := d.l
	c := &l.Catch
	wear, _ := d.job.Text("chain.wear")
	sides, given := d.job.Text("catch.sides")
	c.Sides = sides
	if !given && l.Double() {
		c.Sides = "none"
	} else if !given {
		c.Sides = map[string]string{"bracelet": "one", "necklace": "none"}[wear]
	}
	d.sizeCatch()
	if c.Sides != "none" {
		if no := d.catchRoom(); no != nil && given {
			return no
		} else if no != nil {
			c.Sides, c.Why = "none", fmt.Sprintf("%s %s", no.Key, no.Say)
		}
	}
	k, _ := params.Lookup("catch.sides")
	origin := "given"
	if !given {
		origin = "rule: " + k.Rule
	}
	l.Resolved = append(l.Resolved, params.Resolved{Key: "catch.sides", Text: c.Sides, IsText: true, Origin: origin})
	return nil
}

// sizeCatch finds its dimensions: the published typical ones for chains up to 12 mm, those for heavy locks from 28 mm.
func (d *deriver) sizeCatch() {
	l := d.l
	c := &l.Catch
	t := clamp((l.Width-12)/16, 0, 1)
	room := l.sideRoom()
	c.Wire = d.num("catch.wire", nearest(0.5+0.2*t, 0.05)) // as wire is drawn
	c.Ball = d.num("catch.ball", nearest(1.5+0.5*t, 0.1))
	c.Snap = d.set("catch.snap")
	c.Tube = d.num("catch.tube", math.Max(leastTube, math.Floor(math.Min(2+1.5*t, 2*(room-tubeOver(c.Wire)))*10+1e-6)/10))
	c.Bore = c.Wire + boreOver
	c.Outside = c.Bore + 2*tubeWall
	c.Seat = seatDepth
	c.Lies = c.Outside/2 - c.Seat
	c.Neck = math.Min(0.55*c.Ball, c.Ball-c.Snap-0.2)
	c.Eye = math.Min(1.4*c.Ball, room-c.Wire/2)
	c.Centre = math.Max(c.Lies+Tuck(c.Ball, c.Wire, c.Snap), c.Wire+neckOver)
	if deep := math.Min(seatDepth, l.Wall-behindSeat); deep >= leastDepth-1e-9 {
		c.Dimple = deep
	}
	lo, hi := l.sideSpan()
	c.Z = (lo + hi) / 2
	first := l.FaceGap + intoBlock + c.SeatHalf()
	reach := nearest(4.5+2*t, 0.25)
	c.XTube = -math.Max(first, math.Min(reach/2, l.seatBehind()))
	c.Reach = d.num("catch.reach", reach)
	c.XStud = c.XTube + c.Reach
}

// nearest is the multiple of a step that is nearest to v.
func nearest(v, step float64) float64 { return math.Round(math.Round(v/step)*step*1000) / 1000 }

// Tuck is how far below the ball's middle the wire rests: there the ball is just as wide as the waist, at the middle of the
// wire. Two circles of radii R = ball/2 and r = wire/2 touch; the wire's middle is R + r - snap/2 from the stud's axis.
func Tuck(ball, wire, snap float64) float64 {
	both := (ball + wire) / 2
	return math.Sqrt(both*both - (both-snap/2)*(both-snap/2))
}

// tubeOver is how far the loop reaches above the tube's end: a bend of one wire's radius, to the middle of the wire, half a
// wire and 0.1 mm.
func tubeOver(wire float64) float64 { return 1.5*wire + 0.1 }

// SeatHalf is half the length along the chain of the tube's seat: the tube's chord at the side, and solder.
func (c Catch) SeatHalf() float64 {
	r := c.Outside / 2
	return math.Sqrt(r*r-(r-c.Seat)*(r-c.Seat)) + catchPlay
}

// sideSpan is from where to where the lock's side is flat, between the eased edges, mm.
func (l *Lock) sideSpan() (lo, hi float64) {
	_, flank := l.top().arcs(l.Thickness)
	h := l.Width / 2
	low := rimOf(h, l.Edge, -1, arc{r2.Vec{Y: l.Underside}, l.Underside}, 0)
	top := rimOf(h, l.Edge, 1, flank, l.Thickness)
	return low.side.Y, top.side.Y
}

// sideRoom is half the height that the loop may have: the side with its eased edges.
func (l *Lock) sideRoom() float64 {
	lo, hi := l.sideSpan()
	return (hi-lo)/2 + l.Edge
}

// catchRoom says what is in the way of the catch, nil if nothing is.
func (d *deriver) catchRoom() *Refusal {
	l := d.l
	c := &l.Catch
	lo, hi := l.sideSpan()
	room := l.sideRoom()
	behind := l.seatBehind()
	for _, r := range []struct {
		bad       bool
		key, say  string
		remedy    string
		args, rem []any
	}{
		{c.Tube+2*catchPlay > hi-lo, "catch.tube", "%.2f mm does not stand on a side that is flat for %.2f mm", "a thicker chain, or catch.sides = \"none\"", []any{c.Tube, hi - lo}, nil},
		{c.Tube/2+tubeOver(c.Wire) > room+1e-9, "catch.tube", "%.2f mm and the wire's bends over it stand out over a side of %.2f mm", "at most %.2f mm with this wire, or catch.sides = \"none\"", []any{c.Tube, 2 * room}, []any{Down(2 * (room - tubeOver(c.Wire)))}},
		{c.Eye < c.Ball/2+c.Wire/2+0.15, "catch.ball", "%.2f mm takes a loop that stands out over a side of %.2f mm", "at most %.2f mm with this wire, or catch.sides = \"none\"", []any{c.Ball, 2 * room}, []any{Down(2 * (room - c.Wire - 0.15))}},
		{-c.XTube > behind+1e-9, "catch.sides", "the block of %.2f mm has no room for the hinge tube's seat between leaf and chain end", "lock.block of %.2f mm or more, or catch.sides = \"none\"", []any{l.Block}, []any{Up(l.Block - c.XTube - behind)}},
		{c.XStud-c.Neck/2 < besideSeat, "catch.reach", "%.2f mm puts the stud on the edge of the mouth", "at least %.2f mm", []any{c.Reach}, []any{Up(besideSeat + c.Neck/2 - c.XTube)}},
		{c.XStud > l.BoxLength-1.5, "catch.reach", "%.2f mm puts the stud at the end of the box", "at most %.2f mm", []any{c.Reach}, []any{Down(l.BoxLength - 1.5 - c.XTube)}},
		{c.Reach < 2*c.Wire+math.Max(2*c.Wire, 1), "catch.reach", "%.2f mm leaves no leg between the bends of %.2f mm wire", "at least %.2f mm", []any{c.Reach, c.Wire}, []any{Up(2*c.Wire + math.Max(2*c.Wire, 1))}},
		{c.Ball < c.Wire+c.Snap+0.5, "catch.ball", "%.2f mm leaves no neck in a loop of %.2f mm wire", "at least %.2f mm", []any{c.Ball, c.Wire}, []any{Up(c.Wire + c.Snap + 0.5)}},
	} {
		if r.bad {
			return &Refusal{Key: r.key, Say: fmt.Sprintf(r.say, r.args...), Nearest: fmt.Sprintf(r.remedy, r.rem...)}
		}
	}
	return nil
}

// seatBehind is how far behind the meeting plane the tube's axis may stand, mm: metal is left towards the chain end.
func (l *Lock) seatBehind() float64 {
	c := &l.Catch
	return l.FaceGap + l.Block - besideSeat - c.SeatHalf() - l.cradleNear(l.Width/2-c.Seat)
}

// cradleNear is how far a cradle's groove reaches into the block at y from the middle, at most, mm: its ring lies in a ball.
func (l *Lock) cradleNear(y float64) float64 {
	if l.End != "cradle" {
		return 0
	}
	r := l.BowRadius() + l.Wire/2 + l.CradlePlay
	return math.Max(0, math.Sqrt(math.Max(0, r*r-y*y))-l.BowCentre())
}

// catchSeats are the seats in one half.
func (l *Lock) catchSeats(box bool) ([]*solid.Solid, error) {
	if box {
		return l.studSeats(), nil
	}
	return l.tubeSeats()
}

// tubeSeats are the pockets on the block's sides in which the tubes stand.
func (l *Lock) tubeSeats() (out []*solid.Solid, err error) {
	c := l.Catch
	for _, side := range l.CatchSides() {
		in, far := side*(l.Width/2-c.Seat), side*(l.Width/2+beyond)
		lo := r3.Vec{X: c.XTube - c.SeatHalf(), Y: math.Min(in, far), Z: c.Z - c.Tube/2 - catchPlay}
		hi := r3.Vec{X: c.XTube + c.SeatHalf(), Y: math.Max(in, far), Z: c.Z + c.Tube/2 + catchPlay}
		b, err := solid.NewBlock(lo, hi, TagSeat)
		if err != nil {
			return nil, err
		}
		out = append(out, solid.New(b, solid.Upright))
	}
	return out, nil
}

// studSeats are the dimples on the box's sides in which the studs stand; none in a thin wall.
func (l *Lock) studSeats() (out []*solid.Solid) {
	c := l.Catch
	if c.Dimple == 0 {
		return nil
	}
	for _, side := range l.CatchSides() {
		rod := solid.NewRod(c.Neck/2+catchPlay, l.Width/2-c.Dimple, l.Width/2+beyond, TagSeat, TagSeat)
		out = append(out, solid.New(rod, l.outwards(side)))
	}
	return out
}

// WithoutSeats is the box as cast without dimples for the studs, for measuring walls that a dimple would hide.
func (l *Lock) WithoutSeats() (*solid.Solid, error) {
	bare := *l
	bare.Catch.Sides = "none"
	return bare.Box(Finished)
}
