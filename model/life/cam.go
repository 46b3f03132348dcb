package life

import "math"

// Cam is a sloped catch under the pull of the chain. On a face that leans by a against square, shoulders that are about to slide down feel
// the normal force N and friction mu N up the face. Along the chain the pull is F = N (cos a + mu sin a), and N (sin a - mu cos a) is what
// presses them down: D = F tan(a - phi), tan phi = mu, an inclined plane pushed level (J. E. Shigley, Mechanical Engineering
// Design, on wedges and screws, from memory; any handbook of statics). Up to phi friction alone holds whatever the pull. Past it nothing does
// but the leaf, which gives no force until it is pressed down, and then stiffness times way.
type Cam struct {
	Slope    float64 // a, degrees
	Friction float64 // mu
	Angle    float64 // phi, degrees
	Opens    bool    // by itself: a is at phi or past it
	Pull     float64 // N at which the leaf lets the shoulders slide off; infinite where friction holds, and at phi itself
	Lifted   float64 // the same with the lift that the pull itself gives the leaf
}

// atPhi is by how much a slope may miss the friction angle by rounding and still be at it, degrees.
const atPhi = 1e-9

// Camming is the catch on a slope of degrees with a friction, held up by a leaf of a stiffness in N/mm, whose shoulders go down by drop, mm, before they
// are free. With no leaf, stiffness 0, the least pull opens it. lift is the force up at the tip that a pull of 1 N makes by opening the fold: it
// is the part of tan(a - phi) that the leaf does not feel.
func Camming(slope, friction, stiffness, drop, lift float64) Cam {
	c := Cam{Slope: slope, Friction: friction, Angle: math.Atan(friction) * 180 / math.Pi, Pull: math.Inf(1), Lifted: math.Inf(1)}
	past := slope - c.Angle
	c.Opens = slope > 0 && past >= -atPhi
	if !c.Opens || past <= atPhi {
		return c
	}
	tan, leaf := math.Tan(past*math.Pi/180), stiffness*math.Max(0, drop)
	c.Pull = leaf / tan
	if tan > lift {
		c.Lifted = leaf / (tan - math.Max(0, lift))
	}
	return c
}
