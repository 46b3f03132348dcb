package contour

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// cellKey is a cell of a cubic grid.
type cellKey [3]int64

func cellOf(p r3.Vec, step float64) cellKey {
	return cellKey{int64(math.Floor(p.X / step)), int64(math.Floor(p.Y / step)), int64(math.Floor(p.Z / step))}
}

// bucket spreads cells over a table whose size is a power of two.
func (k cellKey) bucket(size int) int {
	h := uint64(k[0])*0x9e3779b97f4a7c15 ^ uint64(k[1])*0xc2b2ae3d27d4eb4f ^ uint64(k[2])*0x165667b19e3779f9
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	h ^= h >> 32
	return int(h & uint64(size-1))
}

// grid is points in cubic cells, in a hash table with chains. Cells that share a bucket are not told apart; who asks must
// look at the points themselves.
type grid struct {
	pts  []r3.Vec
	step float64
	head []int32 // number + 1 of the latest point in a bucket
	next []int32 // number + 1 of the one before it
}

func newGrid(step float64, room int) *grid {
	size := 64
	for size < room {
		size *= 2
	}
	return &grid{step: step, head: make([]int32, size), pts: make([]r3.Vec, 0, room), next: make([]int32, 0, room)}
}

// put adds a point and gives its number.
func (g *grid) put(p r3.Vec) int32 {
	if len(g.pts) >= 2*len(g.head) {
		g.widen()
	}
	b := cellOf(p, g.step).bucket(len(g.head))
	g.pts, g.next = append(g.pts, p), append(g.next, g.head[b])
	g.head[b] = int32(len(g.pts))
	return g.head[b] - 1
}

func (g *grid) widen() {
	g.head = make([]int32, 4*len(g.head))
	for i, p := range g.pts {
		b := cellOf(p, g.step).bucket(len(g.head))
		g.next[i] = g.head[b]
		g.head[b] = int32(i + 1)
	}
}

// cells calls do for every bucket that a box touches, with its latest point's number + 1. One bucket may come twice.
func (g *grid) cells(lo, hi r3.Vec, do func(first int32)) {
	a, b := cellOf(lo, g.step), cellOf(hi, g.step)
	for x := a[0]; x <= b[0]; x++ {
		for y := a[1]; y <= b[1]; y++ {
			for z := a[2]; z <= b[2]; z++ {
				if first := g.head[cellKey{x, y, z}.bucket(len(g.head))]; first > 0 {
					do(first)
				}
			}
		}
	}
}

// welder numbers points; those within its radius get one number and the coordinates of the first.
type welder struct {
	*grid
	radius float64
}

func newWelder(radius float64, room int) *welder { return &welder{newGrid(16*radius, room), radius} }

func (w *welder) add(p r3.Vec) int32 {
	r := r3.Vec{X: w.radius, Y: w.radius, Z: w.radius}
	found := int32(math.MaxInt32)
	w.cells(r3.Sub(p, r), r3.Add(p, r), func(i int32) {
		for ; i > 0; i = w.next[i-1] {
			if i-1 < found && r3.Norm2(r3.Sub(w.pts[i-1], p)) <= w.radius*w.radius {
				found = i - 1
			}
		}
	})
	if found < math.MaxInt32 {
		return found
	}
	return w.put(p)
}

// alongStep is the cell in which points along segments are looked for, mm: about a facet of a small claw, so that it
// holds few points.
const alongStep = 0.1

// alongside finds the points on a segment.
type alongside struct{ *grid }

func newAlongside(pts []r3.Vec) *alongside {
	g := newGrid(alongStep, len(pts))
	for _, p := range pts {
		g.put(p)
	}
	return &alongside{g}
}

// between appends the points on the open segment from u to v, in order.
func (g *alongside) between(u, v int32, out []int32) []int32 {
	a, b := g.pts[u], g.pts[v]
	d := r3.Sub(b, a)
	l2 := r3.Norm2(d)
	first := len(out)
	spans := max(1, int(math.Sqrt(l2)/(2*alongStep)))
	for s := range spans {
		lo, hi := spanBox(lerp(a, b, float64(s)/float64(spans)), lerp(a, b, float64(s+1)/float64(spans)))
		g.cells(lo, hi, func(i int32) {
			for ; i > 0; i = g.next[i-1] {
				if k := i - 1; k != u && k != v && g.lies(k, a, d, l2) {
					out = append(out, k)
				}
			}
		})
	}
	found := out[first:]
	if len(found) < 2 {
		return out
	}
	slices.SortFunc(found, func(i, k int32) int {
		x, y := r3.Dot(r3.Sub(g.pts[i], a), d), r3.Dot(r3.Sub(g.pts[k], a), d)
		return cmp.Or(cmp.Compare(x, y), int(i)-int(k))
	})
	return out[:first+len(slices.Compact(found))]
}

// spanBox is the bounds of a segment with what counts as lying on it.
func spanBox(p, q r3.Vec) (lo, hi r3.Vec) {
	const pad = 2 * weld
	return r3.Vec{X: min(p.X, q.X) - pad, Y: min(p.Y, q.Y) - pad, Z: min(p.Z, q.Z) - pad},
		r3.Vec{X: max(p.X, q.X) + pad, Y: max(p.Y, q.Y) + pad, Z: max(p.Z, q.Z) + pad}
}

// lies says whether a point lies on the open segment from a along d.
func (g *alongside) lies(i int32, a, d r3.Vec, l2 float64) bool {
	e := r3.Sub(g.pts[i], a)
	t := r3.Dot(e, d)
	if t <= 0 || t >= l2 {
		return false
	}
	return r3.Norm2(r3.Sub(e, r3.Scale(t/l2, d))) <= 4*weld*weld
}
