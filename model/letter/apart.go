package letter

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// points are places along the outline of a letter.
type points []r2.Vec

// every is how far apart they are at most, cap heights; a distance of two letters is then good to 0.001.
const every = 0.02

func sampled(cs []Contour) (out points) {
	for _, c := range cs {
		for _, k := range c {
			n := max(2, int(math.Ceil((r2.Norm(r2.Sub(k.K, k.A))+r2.Norm(r2.Sub(k.B, k.K)))/every)))
			for i := range n {
				out = append(out, k.At(float64(i)/float64(n)))
			}
		}
	}
	return out
}

func (s points) moved(x float64) points {
	out := make(points, len(s))
	for i, p := range s {
		out[i] = r2.Add(p, r2.Vec{X: x})
	}
	return out
}

// distance is that of two letters, the other moved along the line first.
func (s points) distance(other points, x float64) float64 {
	best := math.Inf(1)
	for _, b := range other {
		q := r2.Add(b, r2.Vec{X: x})
		for _, a := range s {
			best = math.Min(best, r2.Norm2(r2.Sub(a, q)))
		}
	}
	return math.Sqrt(best)
}
