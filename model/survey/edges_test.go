package survey

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// A wedge of 30 degrees: one sharp edge, its angle, length, and place; and one cut short by a bore through the edge.
func TestWedgeEdge(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		got := SharpEdges(b.wedge(30, 6, 4), EdgeOptions{})
		if len(got) != 1 {
			t.Fatalf("%d sharp edges: %+v", len(got), got)
		}
		close(t, "angle", got[0].Least, 30, 1e-6)
		close(t, "length", got[0].Length, 4, 1e-3)
		for _, p := range got[0].Points {
			if q := b.pose.Local(p); math.Hypot(q.X, q.Z) > 1e-7 {
				t.Errorf("%v is off the edge", q)
			}
		}
		bored := solid.Cut(b.wedge(30, 6, 4), b.rod(at(0, 0.5, 0), 0.6, -3, 3))
		sum := 0.0
		for _, e := range SharpEdges(bored, EdgeOptions{}) {
			if math.Abs(e.Least-30) < 1e-6 {
				sum += e.Length
			}
		}
		close(t, "length beside the bore", sum, 4-1.2, 2e-3)
	})
}

// All edges of a block with a bore through it at 45 degrees: lengths in closed form, the angle along the slanted rim
// from 45 to 135 degrees.
func TestAllEdgesOfBoredBlock(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		slant := solid.Pose{O: vec(3, 2, 1), X: r3.Unit(vec(1, 0, -1)), Y: vec(0, 1, 0), Z: r3.Unit(vec(1, 0, 1))}
		s := solid.Cut(b.block(0, 0, 0, 6, 4, 2), b.rod(slant, 0.5, -5, 5))
		all := edgesOf(s, edgeStep)
		straight, rims := 0.0, 0.0
		for _, e := range all {
			if e.Closed {
				rims += e.Length
				close(t, "sharpest of the rim", e.Least, 45, 0.2)
				close(t, "bluntest of the rim", maxOf(e.Angles), 135, 0.2)
			} else {
				straight += e.Length
				close(t, "angle of the block", e.Least, 90, 1e-6)
			}
		}
		close(t, "straight edges", straight, 4*(6+4+2), 2e-3)
		close(t, "rims", rims, 2*ellipse(0.5, 0.5*math.Sqrt2), 0.004)
		// Below 60 degrees the rim is sharp where sin(turn) > cos(60)/cos(45), a quarter of the turn and so twice.
		sharp := 0.0
		for _, e := range SharpEdges(s, EdgeOptions{}) {
			sharp += e.Length
		}
		if !(sharp > 0.15*rims && sharp < 0.4*rims) {
			t.Errorf("sharp rim %.3f of %.3f", sharp, rims)
		}
	})
}

func maxOf(v []float64) float64 {
	m := v[0]
	for _, x := range v {
		m = max(m, x)
	}
	return m
}

// ellipse is the length of an ellipse, summed finely.
func ellipse(a, b float64) float64 {
	const n = 100000
	sum := 0.0
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / n)
		sum += math.Hypot(a*sin, b*cos) * 2 * math.Pi / n
	}
	return sum
}

// Hollow edges and right angles are not sharp; the trial lock has no sharp edge.
func TestNoSharpEdge(t *testing.T) {
	b := bench{t, frames[1].pose}
	box, tongue := trial(t)
	for _, s := range []*solid.Solid{box, tongue, solid.Cut(b.block(0, 0, 0, 6, 4, 4), b.wedge(30, 3, 9))} {
		for _, e := range SharpEdges(s, EdgeOptions{}) {
			if e.Least < 59 {
				t.Errorf("%v: %.2f degrees over %.3f at %v", e.Tags, e.Least, e.Length, e.At)
			}
		}
	}
}
