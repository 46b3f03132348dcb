package contour

import (
	"container/heap"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// ear is a place of a ring that may be cut off.
type ear struct {
	shape float64
	at    int
	stamp int // the place's neighbours as they were
}

type earHeap []ear

func (h earHeap) Len() int { return len(h) }
func (h earHeap) Less(i, j int) bool {
	return h[i].shape > h[j].shape || h[i].shape == h[j].shape && h[i].at < h[j].at
}
func (h earHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *earHeap) Push(x any)   { *h = append(*h, x.(ear)) }
func (h *earHeap) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

// clipper cuts a ring, which may pass points more than once, into triangles.
type clipper struct {
	v          []int32
	xy         []r2.Vec
	prev, next []int
	stamp      []int
	bent       []bool
	hollow     []int // places that were not convex at the start; only these can lie in an ear
	gone       []bool
	todo       earHeap
	blocked    []int
}

func (p *polygon) clipEars(ring []int32) ([][3]int32, bool) {
	n := len(ring)
	c := clipper{v: ring, xy: make([]r2.Vec, n), prev: make([]int, n), next: make([]int, n), stamp: make([]int, n), gone: make([]bool, n)}
	for i, v := range ring {
		c.xy[i], c.prev[i], c.next[i] = p.at[v], (i+n-1)%n, (i+1)%n
	}
	c.bent = p.bent
	for i := range ring {
		if cross3(c.xy[c.prev[i]], c.xy[i], c.xy[c.next[i]]) <= 0 {
			c.hollow = append(c.hollow, i)
		}
		c.offer(i)
	}
	return c.clip(n)
}

// offer puts a place on the list if it stands out.
func (c *clipper) offer(i int) {
	c.stamp[i]++
	n := len(c.v)
	if c.bent != nil && c.bent[c.v[i]] && c.prev[i] == (i+n-1)%n && c.next[i] == (i+1)%n {
		return
	}
	if s := shape(c.xy[c.prev[i]], c.xy[i], c.xy[c.next[i]]); s > 0 {
		heap.Push(&c.todo, ear{s, i, c.stamp[i]})
	}
}

func (c *clipper) clip(left int) (out [][3]int32, ok bool) {
	for left > 3 {
		if len(c.todo) == 0 {
			return nil, false
		}
		e := heap.Pop(&c.todo).(ear)
		if c.gone[e.at] || e.stamp != c.stamp[e.at] {
			continue
		}
		if !c.isEar(e.at) {
			c.blocked = append(c.blocked, e.at)
			if len(c.todo) > 0 {
				continue
			}
			return nil, false
		}
		i, a, b := e.at, c.prev[e.at], c.next[e.at]
		out = append(out, [3]int32{c.v[a], c.v[i], c.v[b]})
		c.gone[i] = true
		c.next[a], c.prev[b] = b, a
		left--
		c.offer(a)
		c.offer(b)
		for _, k := range c.blocked { // what was in the way may be gone
			if !c.gone[k] && k != a && k != b {
				c.offer(k)
			}
		}
		c.blocked = c.blocked[:0]
		c.tidy(left)
	}
	for i := range c.v {
		if !c.gone[i] {
			return append(out, [3]int32{c.v[i], c.v[c.next[i]], c.v[c.next[c.next[i]]]}), true
		}
	}
	return out, true
}

// tidy drops hollow places that are gone when they are the most.
func (c *clipper) tidy(left int) {
	if len(c.hollow) > 32 && len(c.hollow) > 2*left {
		c.hollow = slices.DeleteFunc(c.hollow, func(i int) bool { return c.gone[i] })
	}
}

// isEar says whether no other point of the ring lies in the triangle at place i.
func (c *clipper) isEar(i int) bool {
	a, b := c.prev[i], c.next[i]
	pa, pb, pc := c.xy[a], c.xy[i], c.xy[b]
	x0, x1 := min(pa.X, pb.X, pc.X), max(pa.X, pb.X, pc.X)
	y0, y1 := min(pa.Y, pb.Y, pc.Y), max(pa.Y, pb.Y, pc.Y)
	for _, k := range c.hollow {
		q := c.xy[k]
		if q.X < x0 || q.X > x1 || q.Y < y0 || q.Y > y1 || c.gone[k] {
			continue
		}
		if v := c.v[k]; v == c.v[a] || v == c.v[i] || v == c.v[b] {
			continue
		}
		if cross3(pa, pb, q) >= 0 && cross3(pb, pc, q) >= 0 && cross3(pc, pa, q) >= 0 {
			return false
		}
	}
	return true
}
