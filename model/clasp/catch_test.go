package clasp

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"claspwright/model/contour"
	"claspwright/params"
)

// By default a catch has the published typical proportions on chains up to 12 mm (Professional Jeweler, April 2002: reach 4 to 5,
// ball 1.5, wire 0.50, tube 2 long, bore just over the wire) and on heavier ones never leaves what is common practice: wire
// 0.6 to 0.8, ball 1.8 to 2.2, tube 3 to 4, reach at most 7; the waist 0.10 to 0.20 narrower than the ball.
func TestCatchProportions(t *testing.T) {
	in := func(what string, got, lo, hi float64) {
		t.Helper()
		if got < lo-1e-9 || got > hi+1e-9 {
			t.Errorf("%s is %.3f mm, not %.3f to %.3f", what, got, lo, hi)
		}
	}
	for _, w := range []float64{8, 10, 12} {
		c := derive(t, "gold", fmt.Sprint("chain.width=", w), fmt.Sprint("chain.thickness=", 0.45*w), "catch.sides=one").Catch
		in("reach", c.Reach, 4, 5)
		in("ball", c.Ball, 1.5, 1.5)
		in("wire", c.Wire, 0.5, 0.5)
		in("tube", c.Tube, math.Min(2, 1.5), 2)
		in("bore over wire", c.Bore-c.Wire, 0.01, 0.1)
		in("snap", c.Snap, 0.1, 0.2)
		in("room under the ball's middle", c.Centre, c.Wire+0.1, 1)
		in("overhang", c.Overhang(), 0.5, 1.5)
		in("seat's width, common practice 1", 2*c.SeatHalf(), 0.95, 1.2)
		in("depth", c.Seat, 0.3, 0.3)
	}
	if c := derive(t, "gold", "chain.width=12", "chain.thickness=5.2").Catch; c.Tube != 2 || c.Sides != "one" {
		t.Errorf("12 x 5.2 mm: %+v", c)
	}
	for _, w := range []float64{28, 34} {
		c := derive(t, "gold", fmt.Sprint("chain.width=", w), fmt.Sprint("chain.thickness=", 0.42*w), "catch.sides=both").Catch
		in("heavy reach", c.Reach, 5, 7)
		in("heavy ball", c.Ball, 1.8, 2.2)
		in("heavy wire", c.Wire, 0.6, 0.8)
		in("heavy tube", c.Tube, 3, 4)
	}
}

// A bracelet has one catch, a necklace none; what is given holds; where there is no room the rule gives none and says why, and one
// that was asked for is refused by the key in the way.
func TestCatchSides(t *testing.T) {
	size := []string{"chain.width=12.4", "chain.thickness=5.2"}
	for _, c := range []struct {
		sets []string
		want string
		n    int
	}{
		{nil, "one", 1}, {[]string{"chain.wear=necklace"}, "none", 0}, {[]string{"chain.wear=necklace", "catch.sides=both"}, "both", 2},
		{[]string{"catch.sides=none"}, "none", 0},
	} {
		l := derive(t, "gold", append(size, c.sets...)...)
		if l.Catch.Sides != c.want || len(l.CatchSides()) != c.n || l.HasCatch() != (c.n > 0) || l.Catch.Why != "" {
			t.Errorf("%v: %+v", c.sets, l.Catch)
		}
	}
	for _, c := range []struct {
		key  string
		sets []string
	}{
		{"catch.tube", []string{"catch.tube=5"}}, {"catch.ball", []string{"catch.ball=2.6", "catch.wire=0.7", "chain.crown=18"}}, {"catch.reach", []string{"catch.reach=3"}},
		{"catch.sides", []string{"lock.end=cradle", "lock.block=4.6", "cradle.sink=3", "link.width=30"}},
	} {
		l := derive(t, "gold", append(size, c.sets...)...)
		if l.Catch.Sides != "none" || l.Catch.Why == "" {
			t.Errorf("%v: by rule %q, %q", c.sets, l.Catch.Sides, l.Catch.Why)
		}
		job, err := params.Parse("test", nil, append([]string{"metal.alloy=au585-yellow", "catch.sides=one"}, append(size, c.sets...)...))
		if err != nil {
			t.Fatal(err)
		}
		_, err = Derive(job, "gold", nil)
		var no *Refusal
		if !errors.As(err, &no) || no.Key != c.key || no.Nearest == "" {
			t.Errorf("%v: %v, want a refusal of %s", c.sets, err, c.key)
		}
	}
}

// Seats have no stock: their bottoms lie as deep under the finished side in the casting, and its walls stay where they are.
// Every mesh is sound, and each seat takes its closed form of the finished half.
func TestCatchSeats(t *testing.T) {
	for _, w := range []float64{10, 14, 20} {
		for _, sides := range []string{"one", "both"} {
			sets := []string{fmt.Sprint("chain.width=", w), fmt.Sprint("chain.thickness=", 0.43*w)}
			bare := derive(t, "gold", append(sets, "catch.sides=none")...)
			l := derive(t, "gold", append(sets, "catch.sides="+sides)...)
			for _, stage := range []Stage{Finished, Casting} {
				s := l.Stock.at(stage).Face
				deeper := map[Stage]float64{Finished: 1, Casting: (l.Catch.Seat + s) / l.Catch.Seat}[stage]
				dimple := map[Stage]float64{Finished: 1, Casting: (l.Catch.Dimple + s) / l.Catch.Dimple}[stage]
				a, err := l.Tongue(stage)
				b, err2 := bare.Tongue(stage)
				taken(t, fmt.Sprint(w, sides, stage, " tube"), volume(t, b, err2)-volume(t, a, err), deeper*tubeSeatsVolume(l))
				a, err = l.Box(stage)
				b, err2 = bare.Box(stage)
				taken(t, fmt.Sprint(w, sides, stage, " stud"), volume(t, b, err2)-volume(t, a, err), dimple*studSeatsVolume(l))
			}
		}
	}
}

func taken(t *testing.T, what string, got, want float64) {
	t.Helper()
	if want <= 0 || math.Abs(got/want-1) > 0.01 {
		t.Errorf("%s: the seats take %.4f mm3, want %.4f", what, got, want)
	}
}

// However much stock there is, seats stay whole.
func TestCatchSeatsUnderStock(t *testing.T) {
	for _, sets := range [][]string{{"stock.face=0.6", "stock.leaf=0.6", "stock.pad=0.6", "stock.meeting=0.6"}, {"stock.face=0"}, {"lock.wall=0.55"}, {"lock.end=cradle"}, {"lock.end=lug"}, {"chain.crown=18"}, {"chain.edge=0.7"}} {
		l := derive(t, "gold", append([]string{"chain.width=13", "chain.thickness=6", "catch.sides=both"}, sets...)...)
		for _, stage := range []Stage{Finished, Casting} {
			box, err := l.Box(stage)
			if err != nil {
				t.Fatal(sets, err)
			}
			tongue, err := l.Tongue(stage)
			if err != nil {
				t.Fatal(sets, err)
			}
			if _, err := contour.Of(box, 0.005); err != nil {
				t.Errorf("%v %s: %v", sets, stage, err)
			}
			m, err := contour.Of(tongue, 0.005)
			if err != nil {
				t.Fatal(sets, err)
			}
			if _, err := contour.Verify(m, tongue, 0.005); err != nil {
				t.Errorf("%v %s: %v", sets, stage, err)
			}
		}
	}
}
