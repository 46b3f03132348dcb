package life

import (
	"math"
	"math/rand/v2"
	"testing"
)

// By hand: friction 0.2 is 11.3099 degrees; on 15 degrees the pull presses the shoulders down by tan 3.6901 = 0.064494 of itself. A leaf of 10 N/mm, 0.4 mm
// down, pushes back with 4 N: 4/0.064494 = 62.021 N. With friction 0.1 (5.7106 degrees), tan 9.2894 = 0.163567: 24.455 N.
func TestCammingByHand(t *testing.T) {
	c := Camming(15, 0.2, 10, 0.4, 0)
	near(t, "friction angle", c.Angle, 11.3099)
	near(t, "pull", c.Pull, 62.0213)
	near(t, "pull, greased", Camming(15, 0.1, 10, 0.4, 0).Pull, 24.4548)
	// The fold's lift of 0.05 N a newton leaves 0.014494: 275.97 N; one of 0.07 is more than the face presses down with.
	near(t, "pull, lifted", Camming(15, 0.2, 10, 0.4, 0.05).Lifted, 275.972)
	if f := Camming(15, 0.2, 10, 0.4, 0.07).Lifted; !math.IsInf(f, 1) {
		t.Errorf("lifted more than pressed down, it takes %g N", f)
	}
	if c.Lifted != c.Pull {
		t.Errorf("without a lift %g N and %g N", c.Lifted, c.Pull)
	}
	if !c.Opens {
		t.Error("past the friction angle it holds")
	}
	if c := Camming(15, 0.2, 0, 0.4, 0); c.Pull != 0 {
		t.Errorf("with no leaf it takes %g N", c.Pull)
	}
}

// The friction angle itself: an inclined plane holds a body by itself as long as mu >= tan a (the self-locking screw and wedge of Shigley, Mechanical
// Engineering Design, from memory). A square face opens at no friction.
func TestCammingAtTheFrictionAngle(t *testing.T) {
	for _, mu := range []float64{0.05, 0.1, 0.2, 0.3, 0.5} {
		phi := math.Atan(mu) * 180 / math.Pi
		for _, v := range []struct {
			slope float64
			opens bool
		}{{phi - 0.01, false}, {phi, true}, {phi + 0.01, true}} {
			if c := Camming(v.slope, mu, 10, 0.4, 0); c.Opens != v.opens {
				t.Errorf("friction %g, %.3f degrees: opens %v", mu, v.slope, c.Opens)
			}
		}
		if c := Camming(phi, mu, 10, 0.4, 0); !math.IsInf(c.Pull, 1) {
			t.Errorf("at the angle it takes %g N", c.Pull)
		}
	}
	if c := Camming(0, 0, 10, 0.4, 0); c.Opens || !math.IsInf(c.Pull, 1) {
		t.Errorf("square and without friction: %+v", c)
	}
}

// At the pull found, the forces on the shoulders are in balance: normal force square to the face, friction along it, the pull, the leaf; and without
// friction the principle of virtual work gives the same, F dx = D dz with dx = tan a dz.
func TestCammingIsInBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(20261127, 2))
	for range 1000 {
		slope, mu, stiff, drop := 5+85*r.Float64(), 0.4*r.Float64(), 1+30*r.Float64(), 0.1+0.5*r.Float64()
		c := Camming(slope, mu, stiff, drop, 0)
		if !c.Opens {
			if mu < math.Tan(slope*math.Pi/180) {
				t.Errorf("%g degrees, friction %g: held", slope, mu)
			}
			continue
		}
		sin, cos := math.Sincos(slope * math.Pi / 180)
		// N (cos, -sin) + mu N (sin, cos) + leaf (0, k s) + pull (-F, 0) = 0; from the second line N, and the first must then hold.
		n := stiff * drop / (sin - mu*cos)
		if f := n * (cos + mu*sin); math.Abs(f-c.Pull) > 1e-9*(1+f) {
			t.Errorf("%g degrees, friction %g: pull %g, balance %g", slope, mu, c.Pull, f)
		}
		if f := Camming(slope, 0, stiff, drop, 0).Pull; math.Abs(f*sin/cos-stiff*drop) > 1e-9*stiff {
			t.Errorf("%g degrees, no friction: virtual work gives %g, not %g", slope, stiff*drop*cos/sin, f)
		}
	}
}

// Steeper, or slipperier, it opens sooner.
func TestSteeperOpensSooner(t *testing.T) {
	r := rand.New(rand.NewPCG(20261127, 3))
	for range 2000 {
		slope, mu := 40*r.Float64(), 0.5*r.Float64()
		c := Camming(slope, mu, 9, 0.4, 0)
		if s := Camming(slope+5*r.Float64(), mu, 9, 0.4, 0); s.Pull > c.Pull || c.Opens && !s.Opens {
			t.Fatalf("%+v, steeper %+v", c, s)
		}
		if s := Camming(slope, mu*r.Float64(), 9, 0.4, 0); s.Pull > c.Pull || c.Opens && !s.Opens {
			t.Fatalf("%+v, slipperier %+v", c, s)
		}
	}
}
