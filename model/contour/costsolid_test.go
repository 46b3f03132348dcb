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
	add := []*node{longProfile(l)}
	sub := []*node{
		boxNode(0.9, l-1.4, -benchW/2+1, benchW/2-1, 0.9, 3.6),
		boxNode(-1, 1.0, -benchW/2+1, benchW/2-1, 0.9, 2.7),
		boxNode(-1, 2.4, -1.2, 1.2, 2.2, 7),
	}
	for _, y := range []float64{-3, 3} {
		lug := then(at(l+1.2, y, 2), turnedX(math.Pi/2))
		add = append(add, boxNode(l-1, l+1.2, y-0.7, y+0.7, 0.8, 3.2), primNode("cyl", lug, 1.4, 1.2))
		sub = append(sub, primNode("cyl", lug, 2, 0.6))
	}
	for i := range seats {
		a, b := benchSeatTools(longSeat(i).pose())
		add, sub = append(add, a...), append(sub, b...)
	}
	return opNode("D", opNode("U", add...), opNode("U", sub...))
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
