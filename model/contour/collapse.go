package contour

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// shortest is the length, in tolerances, below which an edge is joined together when nothing is lost by that.
const shortest = 0.1

// collapse draws together edges that are very short, or that sliding turned round, where one end lies on all faces that
// the other lies on: that end stays. before is where the points were.
func (sh *sheet) collapse(before []r3.Vec) {
	edges := sh.short(before)
	if len(edges) == 0 {
		return
	}
	d := joiner{sheet: sh, to: make([]int32, len(sh.pts)), in: sh.rowsOf(), more: map[int32][]int32{}}
	for i := range d.to {
		d.to[i] = int32(i)
	}
	loop := int32(0)
	for _, g := range sh.groups {
		for _, l := range g.loops {
			for _, v := range l {
				d.in.put(v, loop)
			}
			loop++
			d.left = append(d.left, int32(len(l)))
			d.flat = append(d.flat, !g.curved)
		}
	}
	for _, e := range edges {
		d.draw(e.u, e.v)
	}
	sh.rename(d.end)
}

// shortEdge is an edge to be drawn together.
type shortEdge struct {
	u, v   int32
	length float64
}

// short lists the edges that are very short or were turned round, the shortest first.
func (sh *sheet) short(before []r3.Vec) []shortEdge {
	limit := shortest * sh.tolerance
	found := make([][]shortEdge, len(sh.groups))
	inParallel(len(sh.groups), func(i int) {
		for _, l := range sh.groups[i].loops {
			for k, u := range l {
				v := l[(k+1)%len(l)]
				if u > v {
					continue
				}
				way := r3.Sub(sh.pts[v], sh.pts[u])
				if size := r3.Norm2(way); size < limit*limit || r3.Dot(way, r3.Sub(before[v], before[u])) <= 0 {
					found[i] = append(found[i], shortEdge{u, v, size})
				}
			}
		}
	})
	edges := slices.Concat(found...)
	slices.SortFunc(edges, func(a, b shortEdge) int {
		return cmp.Or(cmp.Compare(a.length, b.length), edgeOrder([2]int32{a.u, a.v}, [2]int32{b.u, b.v}))
	})
	return edges
}

// joiner keeps which points were drawn into which.
type joiner struct {
	*sheet
	to   []int32
	in   rows              // of each point: the loops that pass it
	more map[int32][]int32 // the loops of those that others were drawn into
	left []int32           // of each loop: its corners
	flat []bool            // of each loop: whether its face is, which must not vanish
}

func (d *joiner) loops(v int32) []int32 {
	if l, ok := d.more[v]; ok {
		return l
	}
	return d.in.of(v)
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
	if d.faces.n[v] > d.faces.n[u] {
		u, v = v, u
	}
	for _, f := range d.faces.of(v) {
		if !slices.Contains(d.faces.of(u), f) {
			return
		}
	}
	mine, theirs := d.loops(u), d.loops(v)
	both, all := 0, slices.Clone(mine)
	for _, l := range theirs {
		if slices.Contains(mine, l) {
			both++
			if d.flat[l] && d.left[l] <= 3 {
				return
			}
		} else {
			all = append(all, l)
		}
	}
	if both != 2 {
		return
	}
	d.to[v] = u
	d.more[u] = all
	for _, l := range theirs {
		if slices.Contains(mine, l) {
			d.left[l]--
		}
	}
}
