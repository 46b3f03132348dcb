package clasp

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/params"
)

// refusal derives a lock that must be refused.
func refusal(t *testing.T, sets ...string) *Refusal {
	t.Helper()
	job, err := params.Parse("test", nil, append([]string{"metal.alloy=au585-yellow"}, sets...))
	if err != nil {
		t.Fatal(err)
	}
	_, err = Derive(job, "gold", nil)
	var no *Refusal
	if !errors.As(err, &no) {
		t.Fatalf("%v: %v, want a refusal", sets, err)
	}
	return no
}

// Walls, chambers and the wall between them fill the width; under a crown the roof keeps its thickness at the chambers' outermost corner,
// written out by the sagitta.
func TestDoubleFillsTheWidth(t *testing.T) {
	for _, crown := range []float64{0, 30} {
		l := derive(t, "gold", "tongue.count=2", "chain.width=20", "chain.thickness=8.4", fmt.Sprintf("chain.crown=%g", crown))
		if got := 2*l.Wall + 2*l.Chamber + l.Partition; math.Abs(got-20) > 1e-12 {
			t.Errorf("walls and chambers make %.9f mm", got)
		}
		corner, fall, lean := 10-l.Wall, 0.0, 1.0
		if crown > 0 {
			fall = crown - math.Sqrt(crown*crown-corner*corner)
			lean = crown / math.Sqrt(crown*crown-corner*corner)
		}
		if got, want := l.ZFront, l.Thickness-fall-l.Roof*lean; math.Abs(got-want) > 1e-9 {
			t.Errorf("crown %g: chamber's front reaches %.6f mm, by hand %.6f", crown, got, want)
		}
	}
}

// Both halves are the same on both sides of mid-width, at every stage, and the first leaf stands in y > 0.
func TestDoubleIsMirrored(t *testing.T) {
	l := derive(t, "gold", "tongue.count=2", "chain.width=20", "chain.thickness=8.4", "chain.crown=40", "tongue.make=opened", "catch.sides=none")
	r := rand.New(rand.NewPCG(7, 7))
	for _, stage := range []Stage{Finished, Casting} {
		for _, part := range l.Parts() {
			s, err := l.Build(part, stage)
			if err != nil {
				t.Fatal(err)
			}
			for range 4000 {
				p := r3.Vec{X: -10 + 28*r.Float64(), Y: 11 * r.Float64(), Z: -1 + 11*r.Float64()}
				if a, b := s.Eval(p), s.Eval(r3.Vec{X: p.X, Y: -p.Y, Z: p.Z}); math.Abs(a-b) > 1e-9 {
					t.Fatalf("%s, %s: %.9f and %.9f beside each other at %v", part, stage, a, b, p)
				}
			}
		}
	}
	tongue, err := l.Tongue(Finished)
	if err != nil {
		t.Fatal(err)
	}
	tip := r3.Vec{X: l.XTip + l.TabThickness/2, Z: l.Thickness + l.TabHeight/2}
	if tongue.Eval(l.OnLeaf(tip)) >= 0 || tongue.Eval(tip) <= 0 {
		t.Error("no tab over the first leaf, or one at mid-width")
	}
}

// Where two leaves have no room the key is named, and what is said to help does.
func TestDoubleRefusals(t *testing.T) {
	for _, more := range [][]string{nil, {"lock.wall=0.7", "lock.partition=0.7"}, {"lock.wall=2.5"}, {"lock.floor=loose"}} {
		at := func(w float64) []string {
			return append([]string{"tongue.count=2", fmt.Sprintf("chain.width=%.2f", w), "chain.thickness=5.5", "catch.sides=none"}, more...)
		}
		no := refusal(t, at(9)...)
		if no.Key != "tongue.count" || !strings.Contains(no.Say, "no room") {
			t.Errorf("%+v", no)
		}
		var width float64
		if _, err := fmt.Sscanf(no.Nearest[strings.Index(no.Nearest, "chain.width"):], "chain.width of %g", &width); err != nil {
			t.Fatal(no.Nearest, err)
		}
		if l := derive(t, "gold", at(width)...); l.Chamber < leastChamber-1e-9 || l.Chamber > leastChamber+0.01 {
			t.Errorf("%v, %.2f mm: chambers of %.4f mm", more, width, l.Chamber)
		}
		refusal(t, at(width-0.02)...)
	}
	if no := refusal(t, "tongue.count=2", "chain.width=20", "chain.thickness=9", "tongue.make=strip"); no.Key != "tongue.count" {
		t.Errorf("%+v", no)
	}
}

// By rule a double tongue has no safety catch, a single one has; one that is asked for is built.
func TestDoubleNeedsNoCatch(t *testing.T) {
	wide := []string{"chain.width=20", "chain.thickness=8.4"}
	for want, sets := range map[string][]string{"one": wide, "none": append(wide[:2:2], "tongue.count=2"), "both": append(wide[:2:2], "tongue.count=2", "catch.sides=both")} {
		if l := derive(t, "gold", sets...); l.Catch.Sides != want {
			t.Errorf("%v: a catch on %q, want %q", sets, l.Catch.Sides, want)
		}
	}
}
