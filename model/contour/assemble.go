package contour

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// group is the part of the surface that lies in one plane, faces one way and carries one tag: it becomes one polygon.
type group struct {
	plane  solid.Plane
	tag    int32
	face   int  // of its first facet; the others have the same carrier
	curved bool // it is a facet of a curved face
	whole  bool // it is a facet that nothing cut
	edges  [][2]int32
	loops  [][]int32
	one    [1][]int32 // room for the loop of a facet
}

// assemble numbers the corners of the pieces and joins their borders to loops.
func (a *arrangement) assemble(pieces []piece, s *solid.Solid) ([]*group, []r3.Vec, error) {
	pts, polys, ends := a.number(pieces)
	borders := a.borders(pieces, pts, polys, ends)
	_, tagOf := distinct(s.Tags())
	carriers := s.Carriers()
	g := gatherer{seen: map[groupKey][]*group{}}
	for i := range pieces {
		p := &pieces[i]
		f := &a.leaves[p.leaf].Facets[p.facet]
		curved := carriers[f.Face].Curved()
		switch {
		case !p.whole():
			g.take(f, tagOf[f.Face], curved, borders[i])
		case curved:
			g.whole(f, tagOf[f.Face], polys[i], p.over)
		default:
			g.take(f, tagOf[f.Face], curved, rimOf(polys[i], p.over))
		}
	}
	errs := make([]error, len(g.groups))
	inParallel(len(g.groups), func(i int) { errs[i] = g.groups[i].trace(pts) })
	for _, err := range errs {
		if err != nil {
			return nil, nil, err
		}
	}
	return g.groups, pts, nil
}

// distinct numbers the different tags in the order of their first use.
func distinct(tags []string) (names []string, of []int32) {
	seen := map[string]int32{}
	for _, t := range tags {
		id, ok := seen[t]
		if !ok {
			id = int32(len(names))
			seen[t] = id
			names = append(names, t)
		}
		of = append(of, id)
	}
	return names, of
}

// number gives every corner of a piece and every end of a cut a number: the points, each piece's polygon, and the ends
// of its cuts.
func (a *arrangement) number(pieces []piece) (pts []r3.Vec, polys [][]int32, ends [][][2]int32) {
	corners, cuts := 0, 0
	for i := range pieces {
		p := &pieces[i]
		corners += len(a.leaves[p.leaf].Facets[p.facet].V)
		cuts += len(p.cuts)
	}
	w := newWelder(weld, corners/3+cuts)
	allCorners, allEnds := make([]int32, 0, corners), make([][2]int32, 0, cuts)
	corner := make([][]int32, len(a.leaves)) // of each leaf's points: number + 1, 0 when it has none
	polys, ends = make([][]int32, len(pieces)), make([][][2]int32, len(pieces))
	for i := range pieces {
		p := &pieces[i]
		l := &a.leaves[p.leaf]
		if corner[p.leaf] == nil {
			corner[p.leaf] = make([]int32, len(l.Pts))
		}
		from, fromEnd := len(allCorners), len(allEnds)
		for _, v := range l.Facets[p.facet].V {
			n := &corner[p.leaf][v]
			if *n == 0 {
				*n = w.add(l.Pts[v]) + 1
			}
			allCorners = append(allCorners, *n-1)
		}
		for _, c := range p.cuts {
			allEnds = append(allEnds, [2]int32{w.add(c.a), w.add(c.b)})
		}
		for _, q := range p.cross {
			w.add(q)
		}
		polys[i], ends[i] = allCorners[from:len(allCorners):len(allCorners)], allEnds[fromEnd:]
	}
	return w.pts, polys, ends
}

// borders finds the borders of every piece that something comes near.
func (a *arrangement) borders(pieces []piece, pts []r3.Vec, polys [][]int32, ends [][][2]int32) [][]border {
	out := make([][]border, len(pieces))
	var cut []int32
	for i := range pieces {
		if !pieces[i].whole() {
			cut = append(cut, int32(i))
		}
	}
	near := newAlongside(pts)
	const chunk = 32
	inParallelWith((len(cut)+chunk-1)/chunk, func() func(n int) {
		j := judge{a: a, pts: pts}
		for k := range j.in {
			j.in[k] = make([]bool, len(a.leaves))
		}
		return func(n int) {
			for _, i := range cut[n*chunk : min((n+1)*chunk, len(cut))] {
				out[i] = j.borders(&pieces[i], polys[i], ends[i], near)
			}
		}
	})
	return out
}

// rimOf is the borders of a facet that is surface as a whole.
func rimOf(poly []int32, over bool) (out []border) {
	surface := 1
	if over {
		surface = -1
	}
	for i, u := range poly {
		out = bordersOf(out, stretch{u: u, v: poly[(i+1)%len(poly)]}, surface, true)
	}
	return out
}

// gatherer sorts borders into groups.
type gatherer struct {
	groups []*group
	seen   map[groupKey][]*group
	room   []group // for new ones
}

// groupKey buckets planes coarsely; equal planes fall into the same or a neighbouring bucket.
type groupKey struct {
	tag int32
	d   int64
}

// take adds the borders of one facet. Facets of flat faces that lie in one plane and carry one tag form one group.
func (g *gatherer) take(f *solid.Facet, tag int32, curved bool, bs []border) {
	var of [2]*group
	for _, b := range bs {
		k := 0
		plane := f.Plane
		if b.over {
			k, plane = 1, flipped(f.Plane)
		}
		if of[k] == nil {
			of[k] = g.find(plane, tag, f.Face, curved)
		}
		of[k].edges = append(of[k].edges, [2]int32{b.u, b.v})
	}
}

func (g *gatherer) find(plane solid.Plane, tag int32, face int, curved bool) *group {
	key := groupKey{tag, int64(math.Floor(plane.D * 1000))}
	if !curved {
		for d := key.d - 1; d <= key.d+1; d++ {
			for _, old := range g.seen[groupKey{tag, d}] {
				if coincide(old.plane, plane) && r3.Dot(old.plane.N, plane.N) > 0 {
					return old
				}
			}
		}
	}
	n := g.add(group{plane: plane, tag: tag, face: face, curved: curved})
	if !curved {
		g.seen[key] = append(g.seen[key], n)
	}
	return n
}

func (g *gatherer) add(n group) *group {
	if len(g.room) == cap(g.room) {
		g.room = make([]group, 0, 1024)
	}
	g.room = append(g.room, n)
	last := &g.room[len(g.room)-1]
	g.groups = append(g.groups, last)
	return last
}

// whole adds a facet of a curved face that nothing cuts.
func (g *gatherer) whole(f *solid.Facet, tag int32, poly []int32, over bool) {
	plane := f.Plane
	if over {
		slices.Reverse(poly)
		plane = flipped(plane)
	}
	n := g.add(group{plane: plane, tag: tag, face: f.Face, curved: true, whole: true})
	n.one[0] = poly
	n.loops = n.one[:]
}

func flipped(e solid.Plane) solid.Plane { return solid.Plane{N: r3.Scale(-1, e.N), D: -e.D} }

// trace cancels edges that run both ways and joins the rest to loops, the surface on their left.
func (g *group) trace(pts []r3.Vec) error {
	if g.whole {
		return nil
	}
	edges := cancelled(g.edges)
	g.edges = nil
	used := make([]bool, len(edges))
	flat := flatten(g.plane.N)
	for i := range edges {
		if used[i] {
			continue
		}
		var loop []int32
		for at := i; ; {
			used[at] = true
			loop = append(loop, edges[at][0])
			if edges[at][1] == edges[i][0] {
				break
			}
			n := follow(edges, used, at, pts, flat)
			if n < 0 {
				p := pts[edges[at][1]]
				return fmt.Errorf("contour: the surface does not close near (%.3f, %.3f, %.3f)", p.X, p.Y, p.Z)
			}
			at = n
		}
		g.loops = append(g.loops, loop)
	}
	return nil
}

func edgeOrder(a, b [2]int32) int {
	if a[0] != b[0] {
		return int(a[0]) - int(b[0])
	}
	return int(a[1]) - int(b[1])
}

// cancelled leaves out edges that run both ways, and sorts the others.
func cancelled(edges [][2]int32) [][2]int32 {
	slices.SortFunc(edges, func(a, b [2]int32) int {
		if d := edgeOrder(undirected(a), undirected(b)); d != 0 {
			return d
		}
		return edgeOrder(a, b)
	})
	out := edges[:0]
	for i := 0; i < len(edges); {
		n := i
		up := 0 // how many more run upwards than downwards
		for ; n < len(edges) && undirected(edges[n]) == undirected(edges[i]); n++ {
			if edges[n][0] < edges[n][1] {
				up++
			} else {
				up--
			}
		}
		e := undirected(edges[i])
		for ; up > 0; up-- {
			out = append(out, e)
		}
		for ; up < 0; up++ {
			out = append(out, [2]int32{e[1], e[0]})
		}
		i = n
	}
	slices.SortFunc(out, edgeOrder)
	return out
}

func undirected(e [2]int32) [2]int32 { return [2]int32{min(e[0], e[1]), max(e[0], e[1])} }

// follow is the unused edge that goes on from the end of edge at; at a fork the one with the sharpest turn to the left,
// so that loops that touch in a point stay apart. It is -1 when there is none. Edges are sorted.
func follow(edges [][2]int32, used []bool, at int, pts []r3.Vec, flat func(r3.Vec) r2.Vec) int {
	e := edges[at]
	i, _ := slices.BinarySearchFunc(edges, [2]int32{e[1], math.MinInt32}, edgeOrder)
	best, bestTurn := -1, math.Inf(-1)
	d := r2.Sub(flat(pts[e[1]]), flat(pts[e[0]]))
	for ; i < len(edges) && edges[i][0] == e[1]; i++ {
		if used[i] {
			continue
		}
		f := r2.Sub(flat(pts[edges[i][1]]), flat(pts[e[1]]))
		if t := math.Atan2(r2.Cross(d, f), r2.Dot(d, f)); t > bestTurn {
			best, bestTurn = i, t
		}
	}
	return best
}

// flatten projects a plane onto the two axes that it is least steep to; orientation is kept and coordinates are the
// points' own, so nothing is rounded.
func flatten(n r3.Vec) func(r3.Vec) r2.Vec {
	x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)
	switch {
	case x >= y && x >= z:
		if n.X > 0 {
			return func(p r3.Vec) r2.Vec { return r2.Vec{X: p.Y, Y: p.Z} }
		}
		return func(p r3.Vec) r2.Vec { return r2.Vec{X: p.Z, Y: p.Y} }
	case y >= z:
		if n.Y > 0 {
			return func(p r3.Vec) r2.Vec { return r2.Vec{X: p.Z, Y: p.X} }
		}
		return func(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Z} }
	}
	if n.Z > 0 {
		return func(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Y} }
	}
	return func(p r3.Vec) r2.Vec { return r2.Vec{X: p.Y, Y: p.X} }
}
