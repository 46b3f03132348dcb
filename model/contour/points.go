package contour

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// cellKey is a cell of a cubic grid.
type cellKey [3]int32

func cellOf(p r3.Vec, h float64) cellKey {
	return cellKey{int32(math.Floor(p.X / h)), int32(math.Floor(p.Y / h)), int32(math.Floor(p.Z / h))}
}

// welder numbers points; those within its radius get one number and the coordinates of the first.
type welder struct {
	pts    []r3.Vec
	radius float64
	cell   map[[3]int64][]int32
}

func newWelder(radius float64) *welder {
	return &welder{radius: radius, cell: map[[3]int64][]int32{}}
}

func (w *welder) add(p r3.Vec) int32 {
	h := 8 * w.radius
	at := func(x float64) int64 { return int64(math.Floor(x / h)) }
	r := w.radius
	for x := at(p.X - r); x <= at(p.X+r); x++ {
		for y := at(p.Y - r); y <= at(p.Y+r); y++ {
			for z := at(p.Z - r); z <= at(p.Z+r); z++ {
				for _, i := range w.cell[[3]int64{x, y, z}] {
					if r3.Norm2(r3.Sub(w.pts[i], p)) <= r*r {
						return i
					}
				}
			}
		}
	}
	id := int32(len(w.pts))
	w.pts = append(w.pts, p)
	k := [3]int64{at(p.X), at(p.Y), at(p.Z)}
	w.cell[k] = append(w.cell[k], id)
	return id
}

// alongside finds the points on a segment, by a grid.
type alongside struct {
	pts   []r3.Vec
	order []int32 // points by cell
	from  map[cellKey][2]int32
}

// alongStep is the grid's cell, mm: about the size of a facet of a small claw, so that a cell holds few points.
const alongStep = 0.1

func newAlongside(pts []r3.Vec) *alongside {
	g := &alongside{pts: pts, order: make([]int32, len(pts)), from: make(map[cellKey][2]int32, len(pts)/2)}
	keys := make([]cellKey, len(pts))
	for i, p := range pts {
		g.order[i], keys[i] = int32(i), cellOf(p, alongStep)
	}
	slices.SortFunc(g.order, func(a, b int32) int {
		if d := keyOrder(keys[a], keys[b]); d != 0 {
			return d
		}
		return int(a) - int(b)
	})
	for i := 0; i < len(g.order); {
		n := i + 1
		for n < len(g.order) && keys[g.order[n]] == keys[g.order[i]] {
			n++
		}
		g.from[keys[g.order[i]]] = [2]int32{int32(i), int32(n)}
		i = n
	}
	return g
}

func keyOrder(a, b cellKey) int {
	for k := range a {
		if a[k] != b[k] {
			if a[k] < b[k] {
				return -1
			}
			return 1
		}
	}
	return 0
}

// between appends the points on the open segment from u to v, in order.
func (g *alongside) between(u, v int32, out []int32) []int32 {
	a, b := g.pts[u], g.pts[v]
	d := r3.Sub(b, a)
	l2 := r3.Norm2(d)
	first := len(out)
	spans := max(1, int(math.Sqrt(l2)/(2*alongStep)))
	for s := range spans {
		p, q := lerp(a, b, float64(s)/float64(spans)), lerp(a, b, float64(s+1)/float64(spans))
		lo, hi := spanCells(p, q)
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				for z := lo[2]; z <= hi[2]; z++ {
					r := g.from[cellKey{x, y, z}]
					for _, i := range g.order[r[0]:r[1]] {
						if i != u && i != v && g.lies(i, a, d, l2) {
							out = append(out, i)
						}
					}
				}
			}
		}
	}
	found := out[first:]
	if len(found) > 1 {
		slices.SortFunc(found, func(i, k int32) int {
			x, y := r3.Dot(r3.Sub(g.pts[i], a), d), r3.Dot(r3.Sub(g.pts[k], a), d)
			switch {
			case x < y:
				return -1
			case x > y:
				return 1
			}
			return int(i) - int(k)
		})
		out = out[:first+len(slices.Compact(found))]
	}
	return out
}

// spanCells are the first and last cell along each axis that a segment may touch.
func spanCells(p, q r3.Vec) (lo, hi cellKey) {
	const pad = 2 * weld
	min3 := r3.Vec{X: math.Min(p.X, q.X) - pad, Y: math.Min(p.Y, q.Y) - pad, Z: math.Min(p.Z, q.Z) - pad}
	max3 := r3.Vec{X: math.Max(p.X, q.X) + pad, Y: math.Max(p.Y, q.Y) + pad, Z: math.Max(p.Z, q.Z) + pad}
	return cellOf(min3, alongStep), cellOf(max3, alongStep)
}

// lies says whether a point lies on the open segment from a along d.
func (g *alongside) lies(i int32, a, d r3.Vec, l2 float64) bool {
	e := r3.Sub(g.pts[i], a)
	t := r3.Dot(e, d) / l2
	return t > 0 && t < 1 && r3.Norm2(r3.Sub(e, r3.Scale(t, d))) <= 4*weld*weld
}
