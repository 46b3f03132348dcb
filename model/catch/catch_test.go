package catch

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// usual is the typical loop of a bench article (Professional Jeweler, April 2002): reach 4 to 5, ball 1.5, wire 0.5, tube 2.
var usual = Loop{Wire: 0.5, Ball: 1.5, Tube: 2, Reach: 4.5, Snap: 0.1, Eye: 2.1}

// A loop with level legs, whose waist opens by 60 degrees: straights and arcs summed by hand. Half of it is 0.5 up in and over the
// tube, a quarter turn of radius 0.5, a leg of 4.5 - 0.5, 60 degrees of radius 1 and 150 degrees of radius 3.
func TestLengthByHand(t *testing.T) {
	l := Loop{Wire: 0.5, Ball: 1.6, Tube: 0.8, Reach: 4.5, Snap: 0.1, Eye: 3}
	got, err := l.Cut()
	if err != nil {
		t.Fatal(err)
	}
	half := 0.5 + math.Pi/2*0.5 + 4 + math.Pi/3*1 + 5*math.Pi/6*3
	near(t, "wire to cut", got, 2*half-0.2, 1e-12)
	near(t, "the same in figures", got, 28.173155, 1e-6)
}

// The path is walked in short chords: it is as long as its closed form, never jumps or kinks, is narrowest at the waist by the
// snap, and comes back to the axis square to it, as far out as Long says.
func TestPathWalked(t *testing.T) {
	for _, l := range []Loop{usual, {0.6, 1.8, 3, 5.5, 0.2, 2}, {0.8, 2.2, 4, 7, 0.1, 2.6}, {0.4, 1.2, 1.5, 3, 0.3, 1.5}} {
		p, err := l.Path()
		if err != nil {
			t.Fatal(l, err)
		}
		const n = 20000
		walked, narrow, wide := 0.0, math.Inf(1), 0.0
		last, heading := p.end0()
		for _, piece := range p {
			q, h := piece.At(0)
			near(t, "jump", math.Hypot(q.U-last.U, q.V-last.V), 0, 1e-12)
			near(t, "kink", h, heading, 1e-12)
			for i := range n {
				a, _ := piece.At(piece.Length * float64(i) / n)
				b, _ := piece.At(piece.Length * float64(i+1) / n)
				walked += math.Hypot(b.U-a.U, b.V-a.V)
				wide = math.Max(wide, b.V)
				if b.U > l.Bend() && b.U < l.Reach+l.Waist()/2 {
					narrow = math.Min(narrow, b.V)
				}
			}
			last, heading = piece.At(piece.Length)
		}
		near(t, "length", p.Length(), walked, 1e-7)
		near(t, "opening at the waist", 2*narrow-l.Wire, l.Ball-l.Snap, 1e-6)
		near(t, "width", l.Wide(), 2*wide+l.Wire, 1e-6)
		near(t, "end across", last.V, 0, 1e-12)
		near(t, "heading at the end", heading, -math.Pi/2, 1e-12)
		near(t, "reach outside", l.Long(), last.U+l.Wire/2, 1e-12)
		at := p.at(l.toWaist(p))
		near(t, "waist along", at.U, l.Reach, 1e-12)
		near(t, "waist across", at.V, l.Half(), 1e-12)
	}
}

func (p Path) end0() (Point, float64) { return p[0].At(0) }

func TestNoPath(t *testing.T) {
	for _, l := range []Loop{{0.5, 1.5, 2, 1, 0.1, 2}, {0.5, 1.5, 2, 4.5, 0.1, 0.9}, {0.5, 1.5, 2, 0.4, 0.1, 2}} {
		if _, err := l.Path(); err == nil {
			t.Errorf("%+v has a path", l)
		}
		if _, err := l.Analyse(90000, 0.2); err == nil {
			t.Errorf("%+v is analysed", l)
		}
	}
}

// A ring pulled apart at two ends of a diameter by F: it widens by (pi/4 - 2/pi) F R^3/(E I), its greatest moment is F R/pi, under
// the load (W. C. Young, Roark's Formulas for Stress and Strain, table of circular rings, case 1; from memory). Half of it
// is a path from one end of the other diameter to the other.
func TestSpreadOfRing(t *testing.T) {
	const r, ei = 1.7, 250.0
	ring := Path{{From: Point{-r, 0}, Heading: math.Pi / 2, Length: math.Pi * r, Radius: r, Turn: -1}}
	s := ring.spread(math.Pi*r/2, ei)
	near(t, "way of one side for 1 N", 1/s.Stiff, (math.Pi/4-2/math.Pi)*r*r*r/ei/2, 1e-12)
	near(t, "moment", s.Moment, r/math.Pi, 1e-9)
	near(t, "place", s.At.U, 0, 1e-9)
	near(t, "radius there", s.Round, r, 0)
}

// A straight held at both ends, pushed at a from one and b from the other: y = W a^3 b^3/(3 E I l^3) under the load; the greatest
// moment is at the nearer end, W a b^2/l^2 (same book, table of straight beams, both ends fixed; from memory).
func TestSpreadOfBeam(t *testing.T) {
	const length, ei = 9.0, 250.0
	for _, a := range []float64{3, 4.5, 6} {
		b := length - a
		beam := Path{{Length: length}}
		s := beam.spread(a, ei)
		near(t, "way for 1 N", 1/s.Stiff, a*a*a*b*b*b/(3*ei*length*length*length), 1e-12)
		near(t, "moment", s.Moment, math.Max(a*b*b, b*a*a)/(length*length), 1e-12)
	}
}

// 3 E d off/(2 L^2) is the cantilever's end load for that way, its moment at the root, and the stress of that in round wire.
func TestCantilever(t *testing.T) {
	const e, d, off, length = 90000, 0.5, 0.075, 4.5
	force := 3 * e * Inertia(d) * off / (length * length * length)
	near(t, "stress", Cantilever(e, d, off, length), force*length*32/(math.Pi*d*d*d), 1e-9)
	near(t, "in figures", Cantilever(e, d, off, length), 250, 1e-9)
}

// Winkler's factor for the inside of a round bar, R over r: figures of the table in W. C. Young, Roark's Formulas for Stress
// and Strain, curved beams, solid circle; from memory, given to two places. No bend of a loop is tighter than 2.
func TestCurved(t *testing.T) {
	for _, row := range [][2]float64{{2, 1.62}, {3, 1.33}, {4, 1.23}, {6, 1.14}, {10, 1.08}} {
		near(t, "factor", Curved(row[0]*0.25, 0.5), row[1], 0.011)
	}
	near(t, "straight", Curved(0, 0.5), 1, 0)
}

// Without friction the work of the push, from the first touch to the ball's middle, is what the two halves then hold: k off^2.
func TestWorkOverTheBall(t *testing.T) {
	const k, off, both = 80.0, 0.05, 1.0
	work, last, most := 0.0, 0.0, 0.0
	_, last = on(k, off, both, 0, 0)
	const n = 200000
	for i := range n { // finer towards the end, where height falls off steeply
		at := func(i int) float64 { s := 1 - float64(i)/n; return off * (1 - s*s) }
		push, _ := on(k, off, both, 0, (at(i)+at(i+1))/2)
		_, high := on(k, off, both, 0, at(i+1))
		work, last, most = work+push*(last-high), high, math.Max(most, push)
	}
	near(t, "work", work, k*off*off, 1e-6)
	near(t, "greatest push", over(k, off, both, 0), most, 1e-3*most)
	if with := over(k, off, both, 0.2); with <= most {
		t.Errorf("friction takes the push from %.3f to %.3f N", most, with)
	}
}

// The usual loop in figures. A closed eye is stiffer than two cantilevers, so its stress is above theirs; twice the snap is
// twice the stress; a longer reach and a wider eye soften it.
func TestUsualLoop(t *testing.T) {
	r, err := usual.Analyse(90000, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("cut %.2f mm, long %.2f, wide %.2f, %.2f N aside, %.2f N over, %.0f MPa at %.2f, cantilever %.0f MPa", r.Cut, r.Long, r.Wide, r.Aside, r.Force, r.Stress, r.At, r.Cantilever)
	if r.Stress <= r.Cantilever || r.Force < 1 || r.Force > 6 {
		t.Errorf("%+v", r)
	}
	for _, softer := range []func(*Loop){func(l *Loop) { l.Reach = 5.5 }, func(l *Loop) { l.Eye = 2.4 }, func(l *Loop) { l.Snap = 0.05 }, func(l *Loop) { l.Wire = 0.45 }} {
		l := usual
		softer(&l)
		if s, err := l.Analyse(90000, 0.2); err != nil || s.Stress >= r.Stress || s.Force >= r.Force {
			t.Errorf("%+v: %.1f MPa and %.2f N, not below %.1f and %.2f (%v)", l, s.Stress, s.Force, r.Stress, r.Force, err)
		}
	}
}

// The force is a number for every loop that fits together, also where rounding takes the way aside a hair past the ball's middle.
func TestForceIsANumber(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	made := 0
	for range 20000 {
		f := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
		l := Loop{Wire: f(0.4, 1), Ball: f(1.2, 2.6), Tube: f(1.5, 5), Reach: f(3, 9), Snap: f(0.05, 0.3), Eye: f(1.5, 4)}
		res, err := l.Analyse(90000, 0.2)
		if err != nil {
			continue
		}
		made++
		if !(res.Force > 0) || math.IsInf(res.Force, 0) {
			t.Fatalf("%+v: %g N", l, res.Force)
		}
	}
	if made < 1000 {
		t.Errorf("only %d loops", made)
	}
}
