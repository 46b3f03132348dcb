package model

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// readings of a crown, exact to the caliper's hundredth.
func readings(thick, r, under float64, places ...float64) string {
	s := ""
	for _, y := range places {
		z := thick - r + math.Sqrt(r*r-y*y)
		if under > 0 {
			z -= under - math.Sqrt(under*under-y*y)
		}
		s += fmt.Sprintf("%g %.2f, ", y, z)
	}
	return "chain.heights=" + s[:len(s)-2]
}

// A crown filed to 18.6 mm, read at seven places with a caliper: the lock's crown comes back within the stated interval,
// with a flat and with a domed underside, and both halves are made with it.
func TestCrownFromReadings(t *testing.T) {
	plainRunOnly(t)
	for _, under := range []float64{0, 45} {
		sets := append([]string{fmt.Sprintf("chain.underside=%g", under), readings(5.8, 18.6, under, 0, 2, -2, 4, -4, 5.8, -5.8)},
			"chain.width=12.4", "chain.thickness=5.8", "metal.alloy=au585-yellow")
		c := commission(t, Want{Checks: true, Prove: true}, sets...)
		r := c.Crown.Radius()
		if r.Low > 18.6 || r.High < 18.6 || c.Lock.Crown != r.Value {
			t.Errorf("underside %g: radius %.3f (%.3f to %.3f), drawn with %.3f, filed to 18.6", under, r.Value, r.Low, r.High, c.Lock.Crown)
		}
		if c.Crown.Greatest > 0.01 {
			t.Errorf("residual %.4f mm of readings to a hundredth", c.Crown.Greatest)
		}
		if worst := finding.Worst(c.Findings); worst == finding.Stop {
			t.Errorf("stopped: %+v", c.Findings)
		}
	}
}

// Readings that do not belong to the chain are refused with what they say.
func TestCrownReadingsRefused(t *testing.T) {
	for _, heights := range []string{"0 5.4, 3 5.2, -3 5.2", "0 5.20, 3 5.60, -3 5.60, 5 6.3", "0 5.20, 1 4.6, -1 4.6, 2 2.5"} {
		_, err := Make(context.Background(), job(t, append(trial, "chain.heights="+heights)...), Want{})
		var r *clasp.Refusal
		if !errors.As(err, &r) || r.Key != "chain.heights" {
			t.Errorf("%s: %v", heights, err)
		} else {
			t.Log(r.Error(), "|", r.Hint())
		}
	}
}
