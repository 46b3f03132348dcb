package clasp

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/params"
)

// A core hole that the lock cannot hold is refused by its own key, and the remedy that is named can be made.
func TestCoreHoleThatDoesNotFit(t *testing.T) {
	for _, size := range []string{"chain.width=10 chain.thickness=4.5", "chain.width=14 chain.thickness=6.3 chain.crown=21", "chain.width=20 chain.thickness=9"} {
		for _, holes := range []string{"core.holes=1", "core.holes=2"} {
			sets := append(regexp.MustCompile(" ").Split(size, -1), "metal.alloy=au585-yellow", "lock.floor=closed", holes)
			_, err := deriveOf(t, append(sets, "core.hole=2")...)
			var no *Refusal
			if !errors.As(err, &no) {
				if err != nil {
					t.Errorf("%s: %v", size, err)
				}
				continue // it fits
			}
			most := regexp.MustCompile(`at most ([0-9.]+) mm`).FindStringSubmatch(no.Nearest)
			if no.Key != "core.hole" || most == nil {
				t.Fatalf("%s: %v, %s", size, no, no.Nearest)
			}
			if _, err := deriveOf(t, append(sets, "core.hole="+most[1])...); err != nil {
				t.Errorf("%s, %s: the remedy %s mm: %v", size, holes, most[1], err)
			}
		}
	}
}

// On the solid, a core hole is as wide as it says at every stage, through both walls, and clear of floor, roof and end.
func TestCoreHolesOnTheSolid(t *testing.T) {
	l := derive(t, "gold", "chain.width=14", "chain.thickness=6.3", "lock.floor=closed", "core.holes=2")
	for _, stage := range []Stage{Finished, Casting} {
		s, err := l.Box(stage)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range l.XCoreHoles {
			for _, y := range []float64{-1, 1} {
				p := at3(x, y*(l.Width/2-l.Wall/2), l.ZCoreHole)
				for _, dir := range []float64{-1, 1} {
					for _, d := range []float64{s.Trace(p, at3(dir, 0, 0), 9), s.Trace(p, at3(0, 0, dir), 9)} {
						if math.Abs(d-l.CoreHole/2) > 1e-6 {
							t.Errorf("%s: %.6f mm from the axis to the metal, want %.3f", stage, d, l.CoreHole/2)
						}
					}
				}
				if d := s.Trace(p, at3(0, y, 0), 9); d != 9 {
					t.Errorf("%s: the bore is closed after %.3f mm", stage, d)
				}
			}
		}
	}
}

// What stands free: all of it without leads; with one at the rear half the way to it; with two the longer half of both ways.
func TestCoreThatStandsFree(t *testing.T) {
	for holes, want := range []func(l *Lock) float64{
		func(l *Lock) float64 { return l.XRear },
		func(l *Lock) float64 { return (l.XRear - 1) / 2 }, // 0.5 mm of wall and half a lead of 1 mm
		func(l *Lock) float64 { x := l.XStep + StepRun + 1; return math.Max(x/2, (l.XRear-1-x)/2) },
	} {
		l := derive(t, "gold", "chain.width=14", "chain.thickness=6.3", "lock.floor=closed", fmt.Sprintf("core.holes=%d", holes))
		if got := l.CoreFree(); math.Abs(got-want(l)) > 1e-9 {
			t.Errorf("%d holes: %.4f mm stand free, want %.4f", holes, got, want(l))
		}
	}
}

func deriveOf(t testing.TB, sets ...string) (*Lock, error) {
	t.Helper()
	job, err := params.Parse("test", nil, sets)
	if err != nil {
		t.Fatal(err)
	}
	return Derive(job, "gold", nil)
}

func at3(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
