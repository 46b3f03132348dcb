//go:build long

package contour

import (
	"encoding/json"
	"math"
	"testing"
)

// longBox is the benchmark box with as many rows of seats as are asked for: seven rows as there, six seats to a row but
// for the first, and each further row makes it longer by the pitch.
func longBox(seats int) *node {
	rows := max(7, (seats+2+5)/6)
	l := benchL + benchPitch*float64(rows-7)
	places := make([]benchSeat, seats)
	for i := range places {
		places[i] = longSeat(i)
	}
	return benchBoxOf(l, longProfile(l), places)
}

// longSeat is the place of a seat: two on either side of the notch, then six to a row.
func longSeat(i int) benchSeat {
	if i >= 2 {
		i += 2
	}
	return benchSeat{1.5 + benchPitch*float64(i/6), (float64(i%6) - 2.5) * benchPitch / benchCrown}
}

// longProfile is benchProfile with a crown as long as the box needs it.
func longProfile(l float64) *node {
	n := benchProfile(0, l, false)
	crown := n.Kids[1]
	crown.Args[0] = math.Max(60, l+40)
	return n
}

func TestLongBoxIsTheBenchmarkBox(t *testing.T) {
	ours, err := json.Marshal(longBox(40))
	if err != nil {
		t.Fatal(err)
	}
	want, err := json.Marshal(benchBox(40))
	if err != nil {
		t.Fatal(err)
	}
	if string(ours) != string(want) {
		t.Errorf("with 40 seats:\n%s\nwant\n%s", ours, want)
	}
	last := longSeat(199)
	if l := benchL + benchPitch*27; last.x > l-2 || longBox(200).prims() != 12+200*7 {
		t.Errorf("200 seats: the last at %v of %v, %d primitives", last.x, l, longBox(200).prims())
	}
}
