package contour

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// triangulateAll turns the loops of every group into facets.
func triangulateAll(groups []*group, pts []r3.Vec, names []string) (*Mesh, error) {
	ts := make([][][3]int32, len(groups))
	errs := make([]error, len(groups))
	bent := bends(groups, len(pts))
	inParallel(len(groups), func(i int) { ts[i], errs[i] = groups[i].triangulate(pts, bent) })
	m := &Mesh{Tags: names}
	number := make([]int32, len(pts))
	for i, g := range groups {
		if errs[i] != nil {
			return nil, errs[i]
		}
		for _, t := range ts[i] {
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

// bends marks the points along an edge between just two groups, one of them on a curved face. Such a point must not be
// cut off as an ear: both groups might do it, and then their facets lie on each other.
func bends(groups []*group, n int) []bool {
	count, curved := make([]int8, n), make([]bool, n)
	for _, g := range groups {
		for _, l := range g.loops {
			for _, v := range l {
				count[v] = min(count[v]+1, 3)
				curved[v] = curved[v] || g.curved
			}
		}
	}
	for v, c := range count {
		curved[v] = curved[v] && c == 2
	}
	return curved
}

// triangulate cuts the group's area into triangles: holes are joined to their outlines by short bridges that cross
// nothing, ears are cut off roundest first, and edges are then swapped as long as that makes the smaller angle larger
// (Delaunay's criterion, C. L. Lawson 1977).
func (g *group) triangulate(pts []r3.Vec, bent []bool) ([][3]int32, error) {
	flat := flatten(g.plane.N)
	if !g.curved { // the other side of the edge does not cut it off
		bent = nil
	}
	if len(g.loops) == 1 && len(g.loops[0]) <= 4 {
		if ts := small(g.loops[0], pts, flat, bent); ts != nil {
			return ts, nil
		}
	}
	p := polygon{at: map[int32]r2.Vec{}, bent: bent}
	for _, l := range g.loops {
		for _, v := range l {
			p.at[v] = flat(pts[v])
		}
	}
	var out [][3]int32
	rings, lost := p.bridged(g.loops)
	if lost >= 0 {
		q := pts[lost]
		return nil, fmt.Errorf("contour: a face near (%.3f, %.3f, %.3f) has a hole outside of it", q.X, q.Y, q.Z)
	}
	for _, ring := range rings {
		ts, ok := p.clipEars(ring)
		if !ok && p.bent != nil { // rather so than not at all
			p.bent = nil
			ts, ok = p.clipEars(ring)
		}
		if !ok {
			q := pts[ring[0]]
			return nil, fmt.Errorf("contour: a face near (%.3f, %.3f, %.3f) cannot be cut into triangles", q.X, q.Y, q.Z)
		}
		out = append(out, ts...)
	}
	s := swapper{ts: out, at: p.at, rim: g.rim(), bent: bent, pts: pts}
	if g.curved {
		s.up = g.plane.N
	}
	s.swapEdges()
	return out, nil
}

// small cuts a loop of three or four corners, nil when it does not stand out everywhere.
func small(l []int32, pts []r3.Vec, flat func(r3.Vec) r2.Vec, bent []bool) [][3]int32 {
	a, b, c := flat(pts[l[0]]), flat(pts[l[1]]), flat(pts[l[2]])
	if len(l) == 3 {
		if cross3(a, b, c) <= 0 {
			return nil
		}
		return [][3]int32{{l[0], l[1], l[2]}}
	}
	d := flat(pts[l[3]])
	one, two := min(shape(a, b, c), shape(a, c, d)), min(shape(b, c, d), shape(b, d, a))
	if bent != nil && (bent[l[1]] || bent[l[3]]) {
		one = 0
	}
	if bent != nil && (bent[l[0]] || bent[l[2]]) {
		two = 0
	}
	switch {
	case one <= 0 && two <= 0:
		return nil
	case one >= two:
		return [][3]int32{{l[0], l[1], l[2]}, {l[0], l[2], l[3]}}
	}
	return [][3]int32{{l[1], l[2], l[3]}, {l[1], l[3], l[0]}}
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

// polygon is the points of a group in its plane.
type polygon struct {
	at   map[int32]r2.Vec
	bent []bool
}

func (p *polygon) area(l []int32) float64 {
	a := 0.0
	for i, v := range l {
		a += r2.Cross(p.at[v], p.at[l[(i+1)%len(l)]])
	}
	return a / 2
}

// bridged sorts loops into outlines and holes and joins each hole to the outline round it. lost is a point of a hole that no
// outline goes round, -1 when there is none.
func (p *polygon) bridged(loops [][]int32) (outs [][]int32, lost int32) {
	var holes [][]int32
	for _, l := range loops {
		if p.area(l) > 0 {
			outs = append(outs, l)
		} else {
			holes = append(holes, l)
		}
	}
	of := make([][][]int32, len(outs))
	for _, h := range holes {
		best, area := -1, math.Inf(1)
		for i, o := range outs {
			if a := p.area(o); a < area && p.surrounds(o, h) {
				best, area = i, a
			}
		}
		if best < 0 {
			return nil, h[0]
		}
		of[best] = append(of[best], h)
	}
	for i, o := range outs {
		if outs[i], lost = p.joinHoles(o, of[i]); lost >= 0 {
			return nil, lost
		}
	}
	return outs, -1
}

// surrounds says whether outline o goes round hole h: whether the first point of h that is not a point of o lies in o.
func (p *polygon) surrounds(o, h []int32) bool {
	for _, v := range h {
		if !slices.Contains(o, v) {
			return p.winds(o, p.at[v])
		}
	}
	return false
}

func (p *polygon) winds(o []int32, q r2.Vec) bool {
	in := false
	for i, v := range o {
		a, b := p.at[v], p.at[o[(i+1)%len(o)]]
		if (a.Y > q.Y) != (b.Y > q.Y) {
			x := r2.Cross(r2.Sub(b, a), r2.Sub(q, a))
			if b.Y > a.Y && x > 0 || b.Y < a.Y && x < 0 {
				in = !in
			}
		}
	}
	return in
}

// joinHoles takes the holes into the ring, from left to right, each from its leftmost corner to the nearest corner of
// the ring that it sees. lost is a point of a hole that sees none, -1 when there is none.
func (p *polygon) joinHoles(ring []int32, holes [][]int32) (joined []int32, lost int32) {
	left := make([]int, len(holes))
	order := make([]int, len(holes))
	for i, h := range holes {
		order[i] = i
		for j, v := range h {
			if p.leftOf(v, h[left[i]]) {
				left[i] = j
			}
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		switch u, v := holes[a][left[a]], holes[b][left[b]]; {
		case p.leftOf(u, v):
			return -1
		case p.leftOf(v, u):
			return 1
		}
		return a - b
	})
	for n, h := range order {
		hole, rest := holes[h], order[n:]
		found := false
		for k := range hole {
			j := (left[h] + k) % len(hole)
			i := p.bridge(ring, hole[j], holes, rest)
			if i < 0 {
				continue
			}
			next := append([]int32{}, ring[:i+1]...)
			next = append(next, hole[j:]...)
			next = append(next, hole[:j+1]...)
			ring = append(next, ring[i:]...)
			found = true
			break
		}
		if !found {
			return nil, hole[0]
		}
	}
	return ring, -1
}

func (p *polygon) leftOf(u, v int32) bool {
	a, b := p.at[u], p.at[v]
	return a.X < b.X || a.X == b.X && (a.Y < b.Y || a.Y == b.Y && u < v)
}

// bridge is the place of the ring's nearest corner that v can be joined to without crossing anything, -1 for none.
func (p *polygon) bridge(ring []int32, v int32, holes [][]int32, rest []int) int {
	type link struct {
		d float64
		i int
	}
	ls := make([]link, len(ring))
	for i, u := range ring {
		ls[i] = link{r2.Norm2(r2.Sub(p.at[u], p.at[v])), i}
	}
	slices.SortFunc(ls, func(a, b link) int {
		return cmp.Or(cmp.Compare(a.d, b.d), a.i-b.i)
	})
	for _, l := range ls {
		u := ring[l.i]
		if !p.opens(ring, l.i, p.at[v]) || !p.clearOf(ring, u, v) {
			continue
		}
		free := true
		for _, h := range rest {
			free = free && p.clearOf(holes[h], u, v)
		}
		if free {
			return l.i
		}
	}
	return -1
}

// opens says whether the direction to q leaves place i of the ring into the area. A point that bridges pass through
// stands at several places, and only one of them faces q.
func (p *polygon) opens(ring []int32, i int, q r2.Vec) bool {
	n := len(ring)
	a, b, c := p.at[ring[(i+n-1)%n]], p.at[ring[i]], p.at[ring[(i+1)%n]]
	if cross3(a, b, c) > 0 {
		return cross3(a, b, q) > 0 && cross3(b, c, q) > 0
	}
	return cross3(a, b, q) > 0 || cross3(b, c, q) > 0
}

// clearOf says whether the link from u to v touches no edge of the loop but at its own ends.
func (p *polygon) clearOf(l []int32, u, v int32) bool {
	from, to := p.at[u], p.at[v]
	for i, a := range l {
		b := l[(i+1)%len(l)]
		if a == u || a == v || b == u || b == v {
			if a != u && a != v && within2(from, to, p.at[a]) || b != u && b != v && within2(from, to, p.at[b]) {
				return false
			}
			continue
		}
		if touch(from, to, p.at[a], p.at[b]) {
			return false
		}
	}
	return true
}

func cross3(a, b, c r2.Vec) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

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
