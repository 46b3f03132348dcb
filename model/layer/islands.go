package layer

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// islands counts the places where metal begins on nothing: lowest vertices of the surface, above the first layer, with the metal over
// them, that are still apart from anything lower a layer higher up. Vertices up to a height, with the edges between them, are
// joined as the surface up to that height is.
func (b *Body) islands(h []float64, lo float64, up r3.Vec, layer float64) (n int) {
	done := make([]bool, len(h)) // told by a flood that began as low, or from an island below
	var front, seen []int32
	in := make([]bool, len(h))
	for i := range h {
		if done[i] || h[i] <= lo+layer || r3.Dot(b.around[i], up) >= 0 || !b.lowest(h, i) {
			continue
		}
		top, apart := h[i]+layer, true
		front, seen = append(front[:0], int32(i)), append(seen[:0], int32(i))
		in[i] = true
		for len(front) > 0 {
			v := front[len(front)-1]
			front = front[:len(front)-1]
			for _, w := range b.beside[b.from[v]:b.from[v+1]] {
				if in[w] || h[w] > top {
					continue
				}
				apart = apart && h[w] >= h[i]-same
				in[w] = true
				front, seen = append(front, w), append(seen, w)
			}
		}
		for _, v := range seen {
			in[v] = false
			done[v] = done[v] || math.Abs(h[v]-h[i]) <= same
		}
		if apart {
			n++
			for _, v := range seen {
				done[v] = true
			}
		}
	}
	return n
}

// same is within what heights count as one, mm: rounding to float32.
const same = 1e-5

func (b *Body) lowest(h []float64, i int) bool {
	for _, w := range b.beside[b.from[i]:b.from[i+1]] {
		if h[w] < h[i]-same {
			return false
		}
	}
	return true
}
