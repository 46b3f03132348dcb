package contour

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// shortest is the length, in tolerances, below which an edge is joiner together when nothing is lost by that.
const shortest = 0.04

// collapse draws together edges that are very short, or that sliding turned round, where one end lies on all faces that
// the other lies on: that end stays. before is where the points were.
func (sh *sheet) collapse(before []r3.Vec) {
	d := joiner{sheet: sh, to: make([]int32, len(sh.pts)), in: make([][]int32, len(sh.pts))}
	for i := range d.to {
		d.to[i] = int32(i)
	}
	type edge struct {
		u, v int32
		l    float64
	}
	var edges []edge
	loop := int32(0)
	limit := shortest * sh.tolerance
	for _, g := range sh.groups {
		for _, l := range g.loops {
			for i, u := range l {
				d.in[u] = append(d.in[u], loop)
				v := l[(i+1)%len(l)]
				if u > v {
					continue
				}
				way := r3.Sub(sh.pts[v], sh.pts[u])
				size := r3.Norm(way)
				if size < limit || r3.Dot(way, r3.Sub(before[v], before[u])) <= 0 {
					edges = append(edges, edge{u, v, size})
				}
			}
			loop++
		}
	}
	slices.SortFunc(edges, func(a, b edge) int {
		switch {
		case a.l < b.l:
			return -1
		case a.l > b.l:
			return 1
		}
		return edgeOrder([2]int32{a.u, a.v}, [2]int32{b.u, b.v})
	})
	for _, e := range edges {
		d.draw(e.u, e.v)
	}
	sh.rename(d.end)
}

// joiner keeps which points were joiner into which.
type joiner struct {
	*sheet
	to []int32
	in [][]int32 // of each point: the loops that pass it
}

func (d *joiner) end(v int32) int32 {
	for d.to[v] != v {
		v = d.to[v]
	}
	return v
}

// draw joins the ends of an edge, if no face loses more than a corner by it: just the two loops along the edge may pass
// both ends.
func (d *joiner) draw(u, v int32) {
	u, v = d.end(u), d.end(v)
	if u == v {
		return
	}
	if len(d.faces[v]) > len(d.faces[u]) {
		u, v = v, u
	}
	if !d.allOf(d.faces[u], d.faces[v]) {
		return
	}
	both := 0
	for _, l := range d.in[v] {
		if slices.Contains(d.in[u], l) {
			both++
		}
	}
	if both != 2 {
		return
	}
	d.to[v] = u
	for _, l := range d.in[v] {
		if !slices.Contains(d.in[u], l) {
			d.in[u] = append(d.in[u], l)
		}
	}
}

// allOf says whether all carriers of the faces b are among those of a.
func (d *joiner) allOf(a, b []int32) bool {
	for _, f := range b {
		if !slices.ContainsFunc(a, func(g int32) bool { return d.carriers[g] == d.carriers[f] }) {
			return false
		}
	}
	return true
}
