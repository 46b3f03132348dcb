package survey

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// throat is the narrowest place of the widest way from a hollow to where it met the outside: the grid's way, straightened,
// then finer about its narrowest place.
func (f *flood) throat(g *gauge, b *basin) (bore float64, at r3.Vec) {
	way, far := f.way(b), b.throat+f.g.step
	step := f.g.step
	rough := newBand(way, int(math.Ceil(length(way)/step))+1)
	_, at = rough.widen(g, step, far)
	fine := newBand(rough.about(at, 2*step), 9)
	return fine.polish(g, step/2)
}

// polish moves each inner point of the band to the widest place near it, square to the band, by trial steps that are
// halved, and gives the narrowest of them.
func (b band) polish(g *gauge, step float64) (bore float64, at r3.Vec) {
	bore = math.Inf(1)
	for i := 1; i < len(b)-1; i++ {
		x, y := across(unit(r3.Sub(b[len(b)-1], b[0])))
		p := b[i]
		best := g.signed(p)
		for s, left := step, 40; s > polished && left > 0; left-- {
			better := false
			for k := range 8 {
				sin, cos := math.Sincos(float64(k)*math.Pi/4 + s/step)
				q := along(along(p, x, s*cos), y, s*sin)
				if d := g.signed(q); d > best {
					best, p, better = d, q, true
					break
				}
			}
			if !better {
				s /= 2
			}
		}
		if 2*best < bore {
			bore, at = 2*best, p
		}
	}
	return bore, at
}

// polished is the last step of polish, mm.
const polished = 1e-3

// signed is the true distance from the surface, negative in the metal, no more than 2 mm.
func (g *gauge) signed(p r3.Vec) float64 {
	d, _ := g.dist(p, 2)
	if g.c.Metal(p) {
		return -d
	}
	return d
}

// way is the middles of cells from inside the hollow to beyond, uphill to wider cells on both sides of where they met.
func (f *flood) way(b *basin) []r3.Vec {
	reach := 2*b.throat + 4*f.g.step
	in, out := f.uphill(b.inner, reach), f.uphill(b.beyond, reach)
	var way []r3.Vec
	for i := len(in) - 1; i >= 0; i-- {
		way = append(way, in[i])
	}
	return append(way, out...)
}

// uphill goes from a cell to the wider one that it was flooded from, and on, no further than reach.
func (f *flood) uphill(i int, reach float64) []r3.Vec {
	out := []r3.Vec{f.g.middle(i)}
	for apart(out[0], out[len(out)-1]) < reach && int(f.parent[i]) != i {
		i = int(f.parent[i])
		out = append(out, f.g.middle(i))
	}
	return out
}

func length(way []r3.Vec) (sum float64) {
	for i := 1; i < len(way); i++ {
		sum += apart(way[i-1], way[i])
	}
	return sum
}

// band is a way of evenly spaced points.
type band []r3.Vec

// newBand spaces n points evenly along a way.
func newBand(way []r3.Vec, n int) band {
	n = max(n, 5)
	out := band{way[0]}
	each, left := length(way)/float64(n-1), 0.0
	left = each
	for i := 1; i < len(way); i++ {
		p := way[i-1]
		for d := apart(p, way[i]); d >= left && len(out) < n-1; d = apart(p, way[i]) {
			p = along(p, unit(r3.Sub(way[i], p)), left)
			out = append(out, p)
			left = each
		}
		left -= apart(p, way[i])
	}
	return append(out, way[len(way)-1])
}

// rounds of widen, and by how much its step shrinks each time.
const (
	bandRounds = 30
	bandShrink = 0.87
)

// widen moves each point but the ends, unless it is further than far from it already, away from the surface, square to the band, by ever smaller steps, and so to the
// widest place of its own section; points are spaced evenly now and then. It gives the narrowest of them. (The nudged
// elastic band of H. Jonsson, G. Mills and K. W. Jacobsen, 1998, for the way whose narrowest place is widest.)
func (b band) widen(g *gauge, step, far float64) (bore float64, at r3.Vec) {
	wide := make([]float64, len(b))
	best := make(band, len(b))
	for round := range bandRounds {
		for i := range b {
			d, y := g.dist(b[i], far)
			if d < far && g.c.Metal(b[i]) {
				d = -d
			}
			if d > wide[i] || round == 0 {
				wide[i], best[i] = d, b[i]
			}
			if i == 0 || i == len(b)-1 || d == 0 || d == far {
				continue
			}
			tangent := unit(r3.Sub(b[i+1], b[i-1]))
			up := r3.Scale(1/d, r3.Sub(b[i], y))
			up = r3.Sub(up, r3.Scale(r3.Dot(up, tangent), tangent))
			if size := math.Sqrt(r3.Norm2(up)); size > 1e-6 {
				b[i] = along(b[i], up, step*min(1, 1/size))
			}
		}
		if step *= bandShrink; round%10 == 9 && round < bandRounds/2 {
			copy(b, newBand(b, len(b)))
			clear(wide)
		}
	}
	copy(b, best)
	bore = math.Inf(1)
	for i, w := range wide {
		if i > 0 && i < len(b)-1 && 2*w < bore { // the ends stay where they are and tell nothing
			bore, at = 2*w, best[i]
		}
	}
	return bore, at
}

// about is the part of the band within reach of a point.
func (b band) about(p r3.Vec, reach float64) []r3.Vec {
	near := 0
	for i := range b {
		if apart(b[i], p) < apart(b[near], p) {
			near = i
		}
	}
	lo, hi := near, near
	for lo > 0 && apart(b[lo], p) < reach {
		lo--
	}
	for hi < len(b)-1 && apart(b[hi], p) < reach {
		hi++
	}
	return b[lo : hi+1]
}
