package clasp

import (
	"errors"
	"math"
	"testing"

	"claspwright/model/contour"
)

// A loose floor lies in its seat with its gap all round, at every width, domed underside or not, and never touches the box.
func TestLooseFloorInItsSeat(t *testing.T) {
	for _, sets := range [][]string{
		{"chain.width=10", "chain.thickness=4.5"}, {"chain.width=14", "chain.thickness=6.3", "chain.underside=20"},
		{"chain.width=20", "chain.thickness=9", "chain.crown=30", "floor.play=0.1"},
	} {
		l := derive(t, "gold", append(sets, "lock.floor=loose")...)
		box, err := l.Box(Finished)
		if err != nil {
			t.Fatal(err)
		}
		plate, err := l.LooseFloor(Finished)
		if err != nil {
			t.Fatal(err)
		}
		// Just outside each face of the plate, half the gap away from it and from the box.
		x, y := (l.XFloor+l.XRear)/2, l.Chamber/2+ledge
		low := l.Floor - 0.1
		for _, p := range [][3]float64{{l.XFloor - l.FloorGap/2, 0, low}, {l.XRear + ledge + l.FloorGap/2, 0, low}, {x, y + l.FloorGap/2, low}, {x, -y - l.FloorGap/2, low}, {x, y - ledge/2, l.Floor + l.FloorGap/2}} {
			q := at3(p[0], p[1], p[2])
			if b, f := box.Eval(q), plate.Eval(q); math.Abs(b-l.FloorGap/2) > 1e-9 || math.Abs(f-l.FloorGap/2) > 1e-9 {
				t.Errorf("%v: at %v %.6f from the box and %.6f from the floor, want %.3f", sets, q, b, f, l.FloorGap/2)
			}
		}
		a, err := contour.Of(box, 0.005)
		if err != nil {
			t.Fatal(err)
		}
		b, err := contour.Of(plate, 0.005)
		if err != nil {
			t.Fatal(err)
		}
		if at, yes := contour.Overlap(a, b); yes {
			t.Errorf("%v: box and floor overlap at %v", sets, at)
		}
		lo, hi := contour.Bounds(b)
		if hi.Z-l.Floor > 1e-6 || lo.Z < -1e-6 || lo.Z > 1e-6 {
			t.Errorf("%v: the floor goes from z %.4f to %.4f, want 0 to %.4f", sets, lo.Z, hi.Z, l.Floor)
		}
		for _, stage := range []Stage{Finished, Casting} { // the casting's chamber is open through the seat, with no skin between
			s, err := l.Box(stage)
			if err != nil {
				t.Fatal(err)
			}
			for _, x := range []float64{l.XFloor + 0.2, l.XRear - 0.2} {
				if d := s.Trace(at3(x, l.Chamber/2-0.2, (l.Floor+l.ZLip)/2), at3(0, 0, -1), 20); d < 20 {
					t.Errorf("%v, %s: something lies %.3f mm below the chamber's middle at x %.2f", sets, stage, d, x)
				}
			}
		}
	}
}

// Walls that leave no rim are refused by their own keys.
func TestLooseFloorThatHasNoSeat(t *testing.T) {
	for _, c := range []struct{ set, key string }{
		{"lock.wall=0.7", "lock.wall"}, {"lock.end_wall=0.7", "lock.end_wall"}, {"stock.window=0.5", "stock.window"},
	} {
		_, err := deriveOf(t, "chain.width=14", "chain.thickness=6.3", "metal.alloy=au585-yellow", "lock.floor=loose", c.set)
		var no *Refusal
		if !errors.As(err, &no) || no.Key != c.key {
			t.Errorf("%s: %v, want a refusal of %s", c.set, err, c.key)
		}
		if _, err := deriveOf(t, "chain.width=14", "chain.thickness=6.3", "metal.alloy=au585-yellow", c.set); err != nil {
			t.Errorf("%s with a window: %v", c.set, err)
		}
	}
}
