package clasp

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// The upper profile runs from the middle of one side to the middle of the other at the same height, without a gap, over the
// face at mid-width; flat, crowned, with two arcs, and over a domed underside.
func TestUpperProfile(t *testing.T) {
	for name, l := range map[string]*Lock{
		"flat":        {Width: 12.4, Thickness: 5.2, Edge: 0.3},
		"sharp":       {Width: 12.4, Thickness: 5.2},
		"crowned":     {Width: 12.4, Thickness: 5.2, Crown: 18.6, Edge: 0.3},
		"two arcs":    {Width: 12.4, Thickness: 5.2, Crown: 30, CrownJoin: 4, CrownFlank: 12, Edge: 0.3},
		"domed below": {Width: 12.4, Thickness: 5.2, Underside: 25, Edge: 0.3},
		"both":        {Width: 12.4, Thickness: 5.2, Crown: 18.6, Underside: 25, Edge: 0.3},
	} {
		ch, err := l.UpperProfile()
		if err != nil {
			t.Fatal(err)
		}
		first, last := ch[0].A, ch[len(ch)-1].B
		if math.Abs(first.X-l.Width/2) > 1e-9 || math.Abs(last.X+l.Width/2) > 1e-9 || math.Abs(first.Y-last.Y) > 1e-9 || first.Y <= 0 || first.Y >= l.Thickness {
			t.Errorf("%s: from %v to %v", name, first, last)
		}
		for i := 1; i < len(ch); i++ {
			if gap := r2.Norm(r2.Sub(ch[i].A, ch[i-1].B)); gap > 1e-9 {
				t.Errorf("%s: a gap of %g mm before piece %d", name, gap, i)
			}
		}
		if q, _ := ch.Closest(r2.Vec{Y: l.Thickness + 1}); math.Abs(q.Y-l.Thickness) > 1e-9 || math.Abs(q.X) > 1e-6 {
			t.Errorf("%s: over the middle at %v", name, q)
		}
	}
}
