package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Prepared pieces give what Closest and Inside give, to the last bit, on and beside the chain too.
func TestEdgesGiveWhatTheChainGives(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	ring := NewRing(2, 0.7, "ring").chain
	horseshoe := Chain{{A: r2.Vec{X: 1}, B: r2.Vec{Y: 1}, R: 1, CW: true}, {A: r2.Vec{Y: 1}, B: r2.Vec{X: 1}}}
	for name, ch := range map[string]Chain{"ell": ell(t), "ring": ring, "more than half a turn": horseshoe} {
		edges := ch.edges()
		places := []r2.Vec{{}, {X: 1}, {X: 2}}
		for range 4000 {
			p := r2.Vec{X: 7*r.Float64() - 1.5, Y: 7*r.Float64() - 1.5}
			on, i := ch.Closest(p)
			places = append(places, p, on, ch[i].A, r2.Vec{X: p.X, Y: ch[i].A.Y}, r2.Scale(0.5, r2.Add(ch[i].A, ch[i].B)))
		}
		for _, p := range places {
			q, _ := ch.Closest(p)
			want := math.Sqrt(r2.Norm2(r2.Sub(p, q)))
			if ch.Inside(p) {
				want = -want
			}
			if got := depth(edges, edges, p); got != want {
				t.Fatalf("%s at %v: %g, the chain says %g", name, p, got, want)
			}
		}
	}
}
