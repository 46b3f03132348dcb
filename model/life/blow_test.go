package life

import (
	"math"
	"testing"
)

// By hand: 6 N for 0.6 mm is 10 N/mm; 0.5 mm down, 10 x 0.25/2 = 1.25 mJ. A lock of 27 g with 100 g of chain weighs 127 x 9.80665 = 1245.44 mN and gains 1.25 mJ in
// 1.25/1245.44 m = 1.00366 mm.
func TestBlowByHand(t *testing.T) {
	near(t, "work", Blow(6, 0.6, 0.5), 1.25)
	near(t, "fall", Fall(1.25, 127), 1.00366)
	if Blow(6, 0, 0.5) != 0 || Blow(6, 0.6, -0.1) != 0 || !math.IsInf(Fall(1, 0), 1) {
		t.Error("no travel, no drop or no mass")
	}
}

// Work is the sum of force times way.
func TestBlowIsTheSumOfForceTimesWay(t *testing.T) {
	const steps = 10000
	sum := 0.0
	for i := range steps {
		at := 0.47 * (float64(i) + 0.5) / steps
		sum += 8.3 / 0.57 * at * 0.47 / steps
	}
	near(t, "work", Blow(8.3, 0.57, 0.47), sum)
}

// By hand: 180 MPa at 0.6 mm, kept down by 0.1: 30 MPa.
func TestPresetByHand(t *testing.T) {
	near(t, "preset", Preset(180, 0.6, 0.1), 30)
	if Preset(180, 0.6, 0) != 0 || Preset(180, 0.6, -0.12) != 0 || Preset(180, 0, 0.1) != 0 {
		t.Error("a leaf that nothing keeps down is under stress")
	}
}

// A section of layers that are elastic up to the yield and flow beyond it, bent far past it and let go until no moment is left: what stands at the
// surface. E 90 GPa, yield 300, strain at the surface 20 times that of yield.
func TestBentLayers(t *testing.T) {
	const e, yield, layers = 90000.0, 300.0, 40000
	strain := 20 * yield / e
	stress := func(z, back float64) float64 { // z from -1 to 1; back is the strain given back at the surface
		return math.Max(-yield, math.Min(yield, e*strain*z)) - e*back*z
	}
	moment := func(back float64) (m float64) {
		for i := range layers {
			z := -1 + 2*(float64(i)+0.5)/layers
			m += stress(z, back) * z * 2 / layers
		}
		return m
	}
	lo, hi := 0.0, strain
	for range 60 {
		if mid := (lo + hi) / 2; moment(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	surface, inside := stress(1, lo), 0.0
	for i := range layers {
		inside = math.Max(inside, stress(float64(i)/layers, lo))
	}
	if got := -surface; math.Abs(got-Bent(yield)) > 0.01*yield {
		t.Errorf("layers keep %.2f MPa at the surface against the bend, Bent says %.2f", got, Bent(yield))
	}
	if inside < 0.9*yield || inside > yield {
		t.Errorf("greatest inside %.1f MPa, about a yield is said", inside)
	}
}

func TestBinds(t *testing.T) {
	for _, c := range []struct {
		metal    string
		fineness float64
		binds    bool
	}{
		{"platinum", 950, true}, {"platinum", 900, true}, {"palladium", 950, true}, {"palladium", 500, true},
		{"gold", 999, true}, {"gold", 916, true}, {"gold", 750, false}, {"gold", 585, false},
		{"silver", 999, true}, {"silver", 958, false}, {"silver", 925, false}, {"copper", 0, false},
	} {
		if Binds(c.metal, c.fineness) != c.binds {
			t.Errorf("%s %g: %v", c.metal, c.fineness, !c.binds)
		}
	}
}
