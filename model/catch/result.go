package catch

import "math"

// Result is what a loop does on its ball.
type Result struct {
	Path       Path    // middle line of half the loop
	Cut        float64 // wire to cut, mm
	Long       float64 // tube's axis to the outside of the outer eye, mm
	Wide       float64 // along the tube, mm
	Half       float64 // how far each half is pushed aside, mm
	Aside      float64 // N on each half for that
	Force      float64 // N to press the loop over the ball, and to lift it off
	Stress     float64 // greatest in the wire as it passes the ball, MPa
	At         Point   // where
	Cantilever float64 // stress of each half as a plain cantilever of the reach, MPa
}

// Analyse computes a loop of a metal with Young's modulus e, MPa, and friction mu on the ball. It fails when the loop's parts do
// not fit together.
func (l Loop) Analyse(e, mu float64) (*Result, error) {
	p, err := l.Path()
	if err != nil {
		return nil, err
	}
	r := &Result{Path: p, Long: l.Long(), Wide: l.Wide(), Half: l.Snap / 2}
	r.Cut, _ = l.Cut()
	s := p.held(l.Tube/2).spread(l.toWaist(p)-l.Tube/2, e*Inertia(l.Wire))
	r.Aside = s.Stiff * r.Half
	r.Stress, r.At = 32*s.Moment*r.Aside/(math.Pi*math.Pow(l.Wire, 3))*Curved(s.Round, l.Wire), s.At
	r.Force = over(s.Stiff, r.Half, (l.Ball+l.Wire)/2, mu)
	r.Cantilever = Cantilever(e, l.Wire, r.Half, l.Reach)
	return r, nil
}

// toWaist is how far along the path the waist is nearest to the axis: where its arc runs level.
func (l Loop) toWaist(p Path) float64 {
	return p[0].Length + p[1].Length + p[2].Length - l.Waist()*p[3].Heading
}

// held is the path from the mouth of the tube on: the tube holds the wire as if clamped there.
func (p Path) held(from float64) Path {
	first := p[0]
	first.From, first.Heading = p[0].At(from)
	first.Length -= from
	return append(Path{first}, p[1:]...)
}

// over is the force that presses the loop over the ball. Both halves slide up the ball; where the wire touches, the ball's
// normal stands at an angle b to the loop's plane, and cos b = (both - left)/both, with both the radii of ball and wire together and left the
// way aside that is left to go. Of the push F on a half, friction makes F tan(b + atan mu) along the way. Beyond the ball's
// middle the wire slips on by itself. The way off, from below, is the same.
func over(stiff, off, both, mu float64) float64 {
	most := 0.0
	for i := range steps + 1 {
		push, _ := on(stiff, off, both, mu, off*float64(i)/steps)
		most = math.Max(most, push)
	}
	return most
}

// on is the force on both halves when each has been pushed aside so far, and how high the wire then is over the ball's middle.
func on(stiff, off, both, mu, aside float64) (push, high float64) {
	b := math.Acos(math.Min(1, (both-off+aside)/both)) // at its end rounding may go past the middle
	return 2 * stiff * aside * math.Tan(b+math.Atan(mu)), both * math.Sin(b)
}

// steps on the way over the ball; the greatest force is flat, so that this many give it within a thousandth.
const steps = 200
