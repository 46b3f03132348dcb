package clasp

import "math"

// stack is what the height of a lock must hold beside floor and roof, mm: play below the leaf, two leaves, the slot
// between them, the rise, the engagement and the top gap.
func stack(floorPlay, leaf, fold, rise, engagement, topGap float64) float64 {
	return floorPlay + 2*leaf + 2*fold + rise + engagement + topGap
}

// heightSlack lets a height that is just enough count as enough: sums of decimals are off by rounding.
const heightSlack = 1e-9

// leafChoice is a leaf that may fit: thickness at the fold and inside radius of the fold.
type leafChoice struct{ leaf, fold float64 }

// castLeaves lists the cast leaves to be tried for a chain of width w, best first: the full fold, a tighter fold (about
// 5 % more stress), then a thinner leaf down to the least that casts.
func castLeaves(w float64) []leafChoice {
	t := clamp(0.045*w, leastCast, 0.7)
	cs := []leafChoice{{t, fullFold(t)}, {t, tightFold(t)}}
	for n := 1; n <= 20; n++ {
		if u := t - 0.01*float64(n); u >= leastCast {
			cs = append(cs, leafChoice{u, fullFold(u)}, leafChoice{u, tightFold(u)})
		}
	}
	return cs
}

// leastCast is the thinnest finished leaf that is cast, mm; with stock the pattern has 0.6.
const leastCast = 0.5

// stripLeaf is the flattest leaf of rolled strip, 0.35 mm folded to half its thickness, which decides whether a strip
// would fit where no cast leaf does.
var stripLeaf = leafChoice{0.35, 0.5 * 0.35}

func fullFold(t float64) float64  { return math.Max(0.25, 0.6*t) }
func tightFold(t float64) float64 { return math.Max(0.25, 0.5*t) }

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }
