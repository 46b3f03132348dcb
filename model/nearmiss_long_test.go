//go:build long

package model

import (
	"testing"

	"claspwright/model/finding"
)

// A lock that is not quite spoiled is stopped by no check.
func TestLongNearMisses(t *testing.T) {
	if len(spoilings) < 24 {
		t.Fatalf("only %d", len(spoilings))
	}
	for _, s := range spoilings {
		t.Run(s.what, func(t *testing.T) {
			t.Parallel()
			for _, f := range judgedAs(t, s, s.near).Findings {
				if f.Grade == finding.Stop {
					t.Errorf("by %g only, a stop: %s %.4g, limit %.4g: %s", s.near, f.Check, f.Measured, f.Limit, f.Say)
				}
				if f.Check == s.check {
					t.Logf("%s by %g: %s %.4g, limit %.4g", s.what, s.near, f.Check, f.Measured, f.Limit)
				}
			}
		})
	}
}
