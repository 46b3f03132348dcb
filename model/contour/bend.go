package contour

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// bent is an edge between two faces, one of them curved, and the corners that must go into it.
type bent struct {
	edge [2]int32 // the lower point first
	face [2]int32
	at   []r3.Vec
	left bool // some part still leaves the true edge
}

// bend gives edges between different faces, one of them curved, the corners that they need to stay within the tolerance
// of the true edge.
func (sh *sheet) bend() error {
	edges := sh.bentEdges()
	inParallel(len(edges), func(i int) {
		e := &edges[i]
		cs := []solid.Carrier{sh.carriers[e.face[0]], sh.carriers[e.face[1]]}
		if cs[0].Curved() { // what is flat must stay so exactly
			cs[0], cs[1] = cs[1], cs[0]
		}
		a, b := sh.pts[e.edge[0]], sh.pts[e.edge[1]]
		if sh.back[e.edge[0]] || sh.back[e.edge[1]] { // its ends are not on the true edge, and it stays as the facets meet
			e.left = sh.bulges(a, b, cs)
			return
		}
		e.at, e.left = sh.along(a, b, cs, 5)
	})
	more := map[[2]int32][]int32{}
	for _, e := range edges {
		if e.left {
			p := sh.pts[e.edge[0]]
			return fmt.Errorf("contour: the edge near (%.3f, %.3f, %.3f) bends too much to be followed", p.X, p.Y, p.Z)
		}
		for _, p := range e.at {
			more[e.edge] = append(more[e.edge], int32(len(sh.pts)))
			sh.pts = append(sh.pts, p)
		}
	}
	if len(more) == 0 {
		return nil
	}
	inParallel(len(sh.groups), func(i int) {
		for k, l := range sh.groups[i].loops {
			sh.groups[i].loops[k] = withMore(l, more)
		}
	})
	return nil
}

// bentEdges lists the edges between two faces, one of them curved. Both their ends lie on both faces.
func (sh *sheet) bentEdges() []bent {
	type side struct {
		edge [2]int32
		face int32
	}
	var all []side
	for _, g := range sh.groups {
		if g.whole && !sh.touched(g.loops) {
			continue
		}
		for _, l := range g.loops {
			for i, u := range l {
				v := l[(i+1)%len(l)]
				if sh.faces.n[u] > 1 && sh.faces.n[v] > 1 && (sh.curved(sh.faces.of(u)) || sh.curved(sh.faces.of(v))) {
					all = append(all, side{undirected([2]int32{u, v}), sh.alike[g.face]})
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b side) int {
		if d := edgeOrder(a.edge, b.edge); d != 0 {
			return d
		}
		return int(a.face) - int(b.face)
	})
	var edges []bent
	for i := 0; i+1 < len(all); i++ {
		a, b := all[i], all[i+1]
		if a.edge == b.edge && a.face != b.face && (sh.carriers[a.face].Curved() || sh.carriers[b.face].Curved()) {
			edges = append(edges, bent{edge: a.edge, face: [2]int32{a.face, b.face}})
		}
	}
	return edges
}

// touched says whether a loop has two points that lie on more than one face.
func (sh *sheet) touched(loops [][]int32) bool {
	n := 0
	for _, l := range loops {
		for _, v := range l {
			if sh.faces.n[v] > 1 {
				n++
			}
		}
	}
	return n > 1
}

// bendShare is the part of the tolerance that an edge may leave the true edge by.
const bendShare = 0.97

// along lists the points that must go between a and b, in order; left says that some part still leaves the true edge by too
// much. An edge that bends to both sides leaves its chord most at the quarters.
func (sh *sheet) along(a, b r3.Vec, cs []solid.Carrier, depth int) (out []r3.Vec, left bool) {
	if !sh.bulges(a, b, cs) {
		return nil, false
	}
	mid := lerp(a, b, 0.5)
	q, ok := solid.Settle(mid, cs)
	if !ok || r3.Norm2(r3.Sub(q, mid)) > r3.Norm2(r3.Sub(b, a)) {
		return nil, false // not an edge that can be followed here, such as two faces that run together
	}
	if depth == 0 {
		return nil, true
	}
	before, left1 := sh.along(a, q, cs, depth-1)
	after, left2 := sh.along(q, b, cs, depth-1)
	return append(append(before, q), after...), left1 || left2
}

// bulges says whether an edge leaves the true one by more than it may.
func (sh *sheet) bulges(a, b r3.Vec, cs []solid.Carrier) bool {
	length := r3.Norm2(r3.Sub(b, a))
	for _, t := range []float64{0.5, 0.25, 0.75} {
		if sh.leaves(lerp(a, b, t), cs, length) {
			return true
		}
	}
	return false
}

// leaves says whether a point of an edge is further from the true edge than it may be.
func (sh *sheet) leaves(p r3.Vec, cs []solid.Carrier, length float64) bool {
	limit := bendShare * sh.tolerance
	d0, n0 := cs[0].Off(p)
	d1, n1 := cs[1].Off(p)
	// To first order it is as far as the step that brings it onto both tangent planes.
	cos := r3.Dot(n0, n1)
	if sin2 := 1 - cos*cos; sin2 > 0.01 && (d0*d0+d1*d1-2*cos*d0*d1)/sin2 < 0.25*limit*limit {
		return false
	}
	q, ok := solid.Settle(p, cs)
	d := r3.Norm2(r3.Sub(q, p))
	return ok && d > limit*limit && d <= length
}

// withMore is a loop with the new points of its edges.
func withMore(l []int32, more map[[2]int32][]int32) []int32 {
	var out []int32 // nil as long as nothing is new
	for i, u := range l {
		if out != nil {
			out = append(out, u)
		}
		v := l[(i+1)%len(l)]
		add := more[undirected([2]int32{u, v})]
		if add == nil {
			continue
		}
		if out == nil {
			out = slices.Clone(l[:i+1])
		}
		if u < v {
			out = append(out, add...)
			continue
		}
		for k := len(add) - 1; k >= 0; k-- {
			out = append(out, add[k])
		}
	}
	if out == nil {
		return l
	}
	return out
}
