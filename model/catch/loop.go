package catch

import (
	"errors"
	"fmt"
	"math"
)

// Loop is a figure-eight loop of round wire: two ends in a tube, from there two legs that run together to the waist, in
// which the ball sits, and apart again round the outer eye, at whose end the finger lifts it. It is alike on both sides of U.
type Loop struct {
	Wire  float64 // diameter
	Ball  float64 // diameter
	Tube  float64 // length
	Reach float64 // tube's axis to the ball's middle
	Snap  float64 // how much narrower the waist is inside than the ball
	Eye   float64 // radius of the outer eye, to the middle of the wire
}

// Ends is the gap that the two ends of the wire leave between each other in the tube, mm. Common practice, no source.
const Ends = 0.2

// Standing is how much straight wire stands out of the tube before its bend begins, mm.
const Standing = 0.1

// Bend is the radius of the bend at the tube, to the middle of the wire: one wire, so that the inside is half a wire, as small as
// hard wire takes without cracking (common practice, no source).
func (l Loop) Bend() float64 { return l.Wire }

// Waist is the radius of the waist, to the middle of the wire.
func (l Loop) Waist() float64 { return math.Max(2*l.Wire, 1) }

// Half is the distance of the wire's middle from the U axis at the waist: half the opening and half the wire.
func (l Loop) Half() float64 { return (l.Ball - l.Snap + l.Wire) / 2 }

// Path is the middle line of half the loop, from the tube's middle to the end of the outer eye. Its arcs touch each other and
// the leg, so that every length has a closed form: the leg is the inner tangent of bend and waist; waist and eye
// touch from outside. It fails when the parts do not fit together.
func (l Loop) Path() (Path, error) {
	rb, rw, a := l.Bend(), l.Waist(), l.Half()
	top := l.Tube/2 + Standing // where the bend begins
	across, along := a+rw-top, l.Reach-rb
	apart := math.Hypot(along, across)
	if !(apart > rb+rw) || along <= 0 {
		return nil, fmt.Errorf("a reach of %.2f mm leaves no leg between bend and waist", l.Reach)
	}
	down := math.Atan2(across, along) - math.Asin((rb+rw)/apart)
	if down >= math.Pi/2 || l.Eye <= a {
		return nil, errors.New("the outer eye is no wider than the waist")
	}
	up := math.Acos((a + rw) / (l.Eye + rw))
	return Path(nil).straight(top).arc(rb, down).straight(math.Sqrt(apart*apart-(rb+rw)*(rb+rw))).
		arc(rw, up).arc(l.Eye, -math.Pi/2), nil
}

// Long is how far the loop reaches from the tube's axis to the outside of the outer eye, mm.
func (l Loop) Long() float64 {
	rw := l.Waist()
	c := math.Sqrt((l.Eye+rw)*(l.Eye+rw) - (l.Half()+rw)*(l.Half()+rw))
	return l.Reach + c + l.Eye + l.Wire/2
}

// Wide is the greatest width of the loop along the tube, outside, mm.
func (l Loop) Wide() float64 {
	return 2*math.Max(l.Eye, l.Tube/2+Standing+l.Bend()) + l.Wire
}

// Cut is the length of wire to cut: both halves of the middle line, less the gap between the ends in the tube. It is the
// length after bending; bends as wide as these hardly lengthen a wire.
func (l Loop) Cut() (float64, error) {
	p, err := l.Path()
	if err != nil {
		return 0, err
	}
	return 2*p.Length() - Ends, nil
}
