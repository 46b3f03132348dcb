package contour

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// triangulateAll turns the loops of every group into facets.
func triangulateAll(groups []*group, pts []r3.Vec, names []string) (*Mesh, error) {
	m := &Mesh{Tags: names}
	number := make([]int32, len(pts))
	for _, g := range groups {
		ts, err := g.triangulate(pts)
		if err != nil {
			return nil, err
		}
		for _, t := range ts {
			for k, v := range t {
				if number[v] == 0 {
					m.V = append(m.V, pts[v])
					number[v] = int32(len(m.V))
				}
				t[k] = number[v] - 1
			}
			m.T = append(m.T, t)
			m.Face = append(m.Face, g.tag)
			m.On = append(m.On, int32(g.face))
		}
	}
	return m, nil
}

// triangulate cuts the group's area into triangles: holes are joined to their outlines by the shortest bridge that
// crosses nothing, ears are cut off roundest first, and edges are then swapped as long as that makes the smaller angle
// larger (Delaunay's criterion, C. L. Lawson 1977).
func (g *group) triangulate(pts []r3.Vec) ([][3]int32, error) {
	flat := flatten(g.plane.N)
	at := map[int32]r2.Vec{}
	for _, l := range g.loops {
		for _, v := range l {
			at[v] = flat(pts[v])
		}
	}
	var out [][3]int32
	for _, ring := range bridged(g.loops, at) {
		ts, ok := clipEars(ring, at)
		if !ok {
			p := pts[ring[0]]
			return nil, fmt.Errorf("contour: a face near (%.3f, %.3f, %.3f) cannot be cut into triangles", p.X, p.Y, p.Z)
		}
		out = append(out, ts...)
	}
	swapEdges(out, at, g.rim())
	return out, nil
}

// rim is the set of edges of the loops, which must stay.
func (g *group) rim() map[[2]int32]bool {
	rim := map[[2]int32]bool{}
	for _, l := range g.loops {
		for i, v := range l {
			rim[[2]int32{v, l[(i+1)%len(l)]}] = true
		}
	}
	return rim
}

func areaOf(l []int32, at map[int32]r2.Vec) float64 {
	a := 0.0
	for i, v := range l {
		a += r2.Cross(at[v], at[l[(i+1)%len(l)]])
	}
	return a / 2
}

// bridged sorts loops into outlines and holes and joins each hole to the outline round it.
func bridged(loops [][]int32, at map[int32]r2.Vec) [][]int32 {
	var outs, holes [][]int32
	for _, l := range loops {
		if areaOf(l, at) > 0 {
			outs = append(outs, l)
		} else {
			holes = append(holes, l)
		}
	}
	of := make([][][]int32, len(outs))
	for _, h := range holes {
		best, area := -1, math.Inf(1)
		for i, o := range outs {
			if a := areaOf(o, at); a < area && surrounds(o, h, at) {
				best, area = i, a
			}
		}
		if best >= 0 {
			of[best] = append(of[best], h)
		}
	}
	for i, o := range outs {
		outs[i] = joinHoles(o, of[i], at)
	}
	return outs
}

// surrounds says whether outline o goes round hole h: whether the first point of h that is not a point of o lies in o.
func surrounds(o, h []int32, at map[int32]r2.Vec) bool {
	for _, v := range h {
		if !has(o, v) {
			return winds(o, at[v], at)
		}
	}
	return false
}

func winds(o []int32, p r2.Vec, at map[int32]r2.Vec) bool {
	in := false
	for i, v := range o {
		a, b := at[v], at[o[(i+1)%len(o)]]
		if (a.Y > p.Y) != (b.Y > p.Y) {
			x := r2.Cross(r2.Sub(b, a), r2.Sub(p, a))
			if b.Y > a.Y && x > 0 || b.Y < a.Y && x < 0 {
				in = !in
			}
		}
	}
	return in
}

// joinHoles takes the holes into the ring, nearest first.
func joinHoles(ring []int32, holes [][]int32, at map[int32]r2.Vec) []int32 {
	for len(holes) > 0 {
		h, i, j := shortestBridge(ring, holes, at)
		hole := holes[h]
		next := append([]int32{}, ring[:i+1]...)
		next = append(next, hole[j:]...)
		next = append(next, hole[:j+1]...)
		ring = append(next, ring[i:]...)
		holes = append(holes[:h:h], holes[h+1:]...)
	}
	return ring
}

// shortestBridge finds the shortest link from the ring to a hole that crosses no edge: hole h, place i of the ring, place
// j of the hole.
func shortestBridge(ring []int32, holes [][]int32, at map[int32]r2.Vec) (h, i, j int) {
	type link struct {
		d       float64
		h, i, j int
	}
	var ls []link
	for h, hole := range holes {
		for i, u := range ring {
			for j, v := range hole {
				ls = append(ls, link{r2.Norm2(r2.Sub(at[u], at[v])), h, i, j})
			}
		}
	}
	sort.Slice(ls, func(a, b int) bool {
		if ls[a].d != ls[b].d {
			return ls[a].d < ls[b].d
		}
		if ls[a].h != ls[b].h {
			return ls[a].h < ls[b].h
		}
		if ls[a].i != ls[b].i {
			return ls[a].i < ls[b].i
		}
		return ls[a].j < ls[b].j
	})
	for _, l := range ls {
		u, v := ring[l.i], holes[l.h][l.j]
		if opens(ring, l.i, at[v], at) && clearOf(ring, u, v, at) && clearOfAll(holes, u, v, at) {
			return l.h, l.i, l.j
		}
	}
	return 0, 0, 0
}

// opens says whether the direction to p leaves place i of the ring into the area. A point that bridges pass through
// stands at several places, and only one of them faces p.
func opens(ring []int32, i int, p r2.Vec, at map[int32]r2.Vec) bool {
	n := len(ring)
	a, b, c := at[ring[(i+n-1)%n]], at[ring[i]], at[ring[(i+1)%n]]
	if cross3(a, b, c) > 0 {
		return cross3(a, b, p) > 0 && cross3(b, c, p) > 0
	}
	return cross3(a, b, p) > 0 || cross3(b, c, p) > 0
}

func clearOfAll(loops [][]int32, u, v int32, at map[int32]r2.Vec) bool {
	for _, l := range loops {
		if !clearOf(l, u, v, at) {
			return false
		}
	}
	return true
}

// clearOf says whether the link from u to v touches no edge of the loop but at its own ends.
func clearOf(l []int32, u, v int32, at map[int32]r2.Vec) bool {
	p, q := at[u], at[v]
	for i, a := range l {
		b := l[(i+1)%len(l)]
		if a == u || a == v || b == u || b == v {
			if a != u && a != v && within2(p, q, at[a]) || b != u && b != v && within2(p, q, at[b]) {
				return false
			}
			continue
		}
		if touch(p, q, at[a], at[b]) {
			return false
		}
	}
	return true
}

func cross3(a, b, c r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(c, a)) }

// within2 says whether m lies on the segment from a to b.
func within2(a, b, m r2.Vec) bool {
	return cross3(a, b, m) == 0 && r2.Dot(r2.Sub(m, a), r2.Sub(m, b)) < 0
}

func touch(p, q, a, b r2.Vec) bool {
	s1, s2 := cross3(p, q, a), cross3(p, q, b)
	s3, s4 := cross3(a, b, p), cross3(a, b, q)
	if s1 == 0 && within2(p, q, a) || s2 == 0 && within2(p, q, b) {
		return true
	}
	return (s1 > 0) != (s2 > 0) && (s3 > 0) != (s4 > 0)
}

// shape is how round a triangle is: its least height over its longest side, negative when turned over.
func shape(a, b, c r2.Vec) float64 {
	l := max(r2.Norm2(r2.Sub(a, b)), r2.Norm2(r2.Sub(b, c)), r2.Norm2(r2.Sub(c, a)))
	return cross3(a, b, c) / l
}

// clipEars cuts a ring, which may pass points more than once, into triangles.
func clipEars(ring []int32, at map[int32]r2.Vec) ([][3]int32, bool) {
	ring = append([]int32{}, ring...)
	score := make([]float64, len(ring))
	for i := range ring {
		score[i] = earShape(ring, i, at)
	}
	var out [][3]int32
	for len(ring) > 3 {
		i := bestEar(ring, score, at)
		if i < 0 {
			return nil, false
		}
		n := len(ring)
		out = append(out, [3]int32{ring[(i+n-1)%n], ring[i], ring[(i+1)%n]})
		ring = append(ring[:i], ring[i+1:]...)
		score = append(score[:i], score[i+1:]...)
		n--
		for _, k := range []int{(i + n - 1) % n, i % n} {
			score[k] = earShape(ring, k, at)
		}
	}
	return append(out, [3]int32{ring[0], ring[1], ring[2]}), true
}

func earShape(ring []int32, i int, at map[int32]r2.Vec) float64 {
	n := len(ring)
	return shape(at[ring[(i+n-1)%n]], at[ring[i]], at[ring[(i+1)%n]])
}

// bestEar is the roundest ear, -1 when there is none.
func bestEar(ring []int32, score []float64, at map[int32]r2.Vec) int {
	order := make([]int, len(ring))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return score[order[a]] > score[order[b]] })
	for _, i := range order {
		if score[i] <= 0 {
			break
		}
		if isEar(ring, i, at) {
			return i
		}
	}
	return -1
}

// isEar says whether no other point of the ring lies in the triangle at place i.
func isEar(ring []int32, i int, at map[int32]r2.Vec) bool {
	n := len(ring)
	a, b, c := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
	pa, pb, pc := at[a], at[b], at[c]
	for _, v := range ring {
		if v == a || v == b || v == c {
			continue
		}
		p := at[v]
		if cross3(pa, pb, p) >= 0 && cross3(pb, pc, p) >= 0 && cross3(pc, pa, p) >= 0 {
			return false
		}
	}
	return true
}
