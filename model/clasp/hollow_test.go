package clasp

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"testing"
)

// The exact stand-off of a straight lock 20 mm long on a wrist of 30 mm radius, by Pythagoras: 30 - sqrt(900 - 100) = 1.7157 mm.
func TestSagitta(t *testing.T) {
	if got := Sagitta(30, 20); math.Abs(got-1.7157) > 5e-5 {
		t.Errorf("stand-off %.6f mm, want 1.7157", got)
	}
}

// segmentArea is the area of the underside's hollow in (x, z) above z = 0 between x0 and x1, integral of the arc's height in closed form.
func segmentArea(l *Lock, x0, x1 float64) float64 {
	half := l.Whole()/2 - land
	r, c := l.Hollow, l.Middle()
	prim := func(d float64) float64 { return (d*math.Sqrt(r*r-d*d) + r*r*math.Asin(d/r)) / 2 }
	a, b := clamp(x0-c, -half, half), clamp(x1-c, -half, half)
	return prim(b) - prim(a) - (b-a)*math.Sqrt(r*r-half*half)
}

// Sharp long edges, flat. Hollowing takes the segment under the arc, as wide as the lock, off box and block; what window or loose floor
// have taken already stays away.
func TestHollowAgainstClosedForms(t *testing.T) {
	for _, size := range [][3]float64{{10, 5.5, 40}, {14, 6.5, 40}, {20, 9, 30}} {
		l := derive(t, "gold", fmt.Sprintf("chain.width=%g", size[0]), fmt.Sprintf("chain.thickness=%g", size[1]), fmt.Sprintf("lock.hollow=%g", size[2]), "chain.edge=0", "lock.floor=closed")
		s, err := l.Box(Finished)
		near(t, "box", volume(t, s, err), boxVolume(l)-l.Width*segmentArea(l, 0, l.BoxLength))
		s, err = l.Tongue(Finished)
		near(t, "tongue", volume(t, s, err), tongueVolume(l)-l.Width*segmentArea(l, -l.FaceGap-l.Block, -l.FaceGap))
		if got := l.Floor - l.HollowAt(l.DeepestX()); math.Abs(got-l.FloorWall) > 1e-9 {
			t.Errorf("%v: the floor is %.6f mm where it is thinnest, want %.6f", size, got, l.FloorWall)
		}
	}
}

// The stock lies square to the arc: on the casting the hollow's radius is less by it, about the same axis.
func TestHollowKeepsItsStock(t *testing.T) {
	l := derive(t, "gold", "chain.width=14", "chain.thickness=6.5", "lock.hollow=40", "lock.floor=loose")
	for _, part := range l.Parts() {
		s, err := l.Build(part, Casting)
		if err != nil {
			t.Fatal(err)
		}
		x := map[string]float64{PartBox: l.Lip / 2, PartTongue: -l.Block / 2, PartFloor: l.XKnee}[part]
		centre := at3(l.Middle(), 0, l.HollowAt(l.Middle())-l.Hollow)
		up := at3(x-centre.X, 0, l.HollowAt(x)-centre.Z)
		n := math.Hypot(up.X, up.Z)
		if d := s.Trace(centre, at3(up.X/n, 0, up.Z/n), 80); math.Abs(d-(l.Hollow-l.Stock.Face)) > 1e-6 {
			t.Errorf("%s: the casting's arc has a radius of %.6f mm, want %.3f", part, d, l.Hollow-l.Stock.Face)
		}
	}
}

// A hollow that the height does not hold is refused by its key, and both remedies can be made.
func TestHollowThatDoesNotFit(t *testing.T) {
	sets := []string{"chain.width=14", "metal.alloy=au585-yellow"}
	_, err := deriveOf(t, append(sets, "chain.thickness=6.3", "lock.hollow=24")...)
	var no *Refusal
	if !errors.As(err, &no) || no.Key != "lock.hollow" {
		t.Fatalf("%v, want a refusal of lock.hollow", err)
	}
	m := regexp.MustCompile(`^([0-9.]+) mm or more, .*chain.thickness of ([0-9.]+) mm`).FindStringSubmatch(no.Nearest)
	if m == nil {
		t.Fatalf("remedy: %s", no.Nearest)
	}
	for _, try := range [][]string{{"chain.thickness=6.3", "lock.hollow=" + m[1]}, {"chain.thickness=" + m[2], "lock.hollow=24"}} {
		if _, err := deriveOf(t, append(sets, try...)...); err != nil {
			t.Errorf("remedy %v: %v", try, err)
		}
	}
}
