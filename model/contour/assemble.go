package contour

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// weldRadius joins points that differ by rounding only, mm. Rounding to float32 comes last, in slide; the radius is its
// step between 32 and 64 mm, so that points which stay apart here stay apart in the file. Points that differ on purpose
// are further apart, and Verify refuses the mesh if they are not.
const weldRadius = 4e-6

// group is the part of the surface that lies in one plane, faces one way and carries one tag: it becomes one polygon.
type group struct {
	plane solid.Plane
	tag   int32
	face  int // of its first fragment; the others have the same carrier
	edges [][2]int32
	loops [][]int32
}

// assemble welds fragments into a mesh.
func assemble(frags []fragment, s *solid.Solid) (*Mesh, error) {
	names, tagOf := distinct(s.Tags())
	w := newWelder()
	groups, polys := gather(frags, tagOf, w)
	for g, ps := range polys {
		for _, poly := range ps {
			groups[g].addEdges(poly, w)
		}
	}
	for _, g := range groups {
		if err := g.trace(w.pts); err != nil {
			return nil, err
		}
	}
	straighten(groups, w.pts)
	slide(groups, w.pts, s.Carriers())
	return triangulateAll(groups, w.pts, names)
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

// gather sorts fragments into groups and welds their corners.
func gather(frags []fragment, tagOf []int32, w *welder) ([]*group, [][][]int32) {
	var groups []*group
	var polys [][][]int32
	seen := map[groupKey][]int{}
	for _, f := range frags {
		id := -1
		k := keyOf(f, tagOf[f.face])
		for _, n := range k.neighbours() {
			for _, i := range seen[n] {
				if groups[i].tag == tagOf[f.face] && coincide(groups[i].plane, f.plane) == 1 {
					id = i
				}
			}
		}
		if id < 0 {
			id = len(groups)
			groups = append(groups, &group{plane: f.plane, tag: tagOf[f.face], face: f.face})
			polys = append(polys, nil)
			seen[k] = append(seen[k], id)
		}
		var poly []int32
		for _, p := range f.pts {
			if v := w.add(p); len(poly) == 0 || (poly[len(poly)-1] != v && poly[0] != v) {
				poly = append(poly, v)
			}
		}
		if len(poly) >= 3 {
			polys[id] = append(polys[id], poly)
		}
	}
	return groups, polys
}

// groupKey buckets planes coarsely; equal planes fall into the same or a neighbouring bucket.
type groupKey struct {
	tag, d int32
}

func keyOf(f fragment, tag int32) groupKey { return groupKey{tag, int32(math.Floor(f.plane.D * 1000))} }

func (k groupKey) neighbours() [3]groupKey {
	return [3]groupKey{{k.tag, k.d - 1}, k, {k.tag, k.d + 1}}
}

// welder numbers points; those within weldRadius get one number and the coordinates of the first.
type welder struct {
	pts  []r3.Vec
	cell map[[3]int32][]int32
	grid map[[3]int32][]int32 // coarse, for finding points along edges
}

func newWelder() *welder {
	return &welder{cell: map[[3]int32][]int32{}, grid: map[[3]int32][]int32{}}
}

// gridStep is the cell of the coarse grid, mm.
const gridStep = 0.8

func cellOf(p r3.Vec, h float64) [3]int32 {
	return [3]int32{int32(math.Floor(p.X / h)), int32(math.Floor(p.Y / h)), int32(math.Floor(p.Z / h))}
}

func (w *welder) add(p r3.Vec) int32 {
	h := 4 * weldRadius
	k := cellOf(p, h)
	lo, hi := cellOf(r3.Sub(p, r3.Vec{X: weldRadius, Y: weldRadius, Z: weldRadius}), h), cellOf(r3.Add(p, r3.Vec{X: weldRadius, Y: weldRadius, Z: weldRadius}), h)
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for z := lo[2]; z <= hi[2]; z++ {
				for _, i := range w.cell[[3]int32{x, y, z}] {
					if r3.Norm2(r3.Sub(w.pts[i], p)) <= weldRadius*weldRadius {
						return i
					}
				}
			}
		}
	}
	id := int32(len(w.pts))
	w.pts = append(w.pts, p)
	w.cell[k] = append(w.cell[k], id)
	g := cellOf(p, gridStep)
	w.grid[g] = append(w.grid[g], id)
	return id
}

// Single rounds coordinates to what a float32 holds, and makes -0 into 0.
func Single(p r3.Vec) r3.Vec {
	f := func(x float64) float64 { return float64(float32(x)) + 0 }
	return r3.Vec{X: f(p.X), Y: f(p.Y), Z: f(p.Z)}
}

// addEdges adds the polygon's edges, each broken at every point that lies on it.
func (g *group) addEdges(poly []int32, w *welder) {
	for i, u := range poly {
		v := poly[(i+1)%len(poly)]
		prev := u
		for _, m := range w.between(u, v) {
			g.edges = append(g.edges, [2]int32{prev, m})
			prev = m
		}
		g.edges = append(g.edges, [2]int32{prev, v})
	}
}

// between lists the points on the open edge from u to v, in order.
func (w *welder) between(u, v int32) []int32 {
	a, b := w.pts[u], w.pts[v]
	d := r3.Sub(b, a)
	l2 := r3.Norm2(d)
	box := boundsOf([]r3.Vec{a, b})
	pad := r3.Vec{X: 2 * weldRadius, Y: 2 * weldRadius, Z: 2 * weldRadius}
	lo, hi := cellOf(r3.Sub(box.Min, pad), gridStep), cellOf(r3.Add(box.Max, pad), gridStep)
	type hit struct {
		t float64
		i int32
	}
	var hits []hit
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for z := lo[2]; z <= hi[2]; z++ {
				for _, i := range w.grid[[3]int32{x, y, z}] {
					if i == u || i == v {
						continue
					}
					e := r3.Sub(w.pts[i], a)
					t := r3.Dot(e, d) / l2
					if t > 0 && t < 1 && r3.Norm2(r3.Sub(e, r3.Scale(t, d))) <= 4*weldRadius*weldRadius {
						hits = append(hits, hit{t, i})
					}
				}
			}
		}
	}
	sort.Slice(hits, func(i, j int) bool { return hits[i].t < hits[j].t })
	out := make([]int32, len(hits))
	for i, h := range hits {
		out[i] = h.i
	}
	return out
}

// trace cancels edges that run both ways and joins the rest to loops, the surface on their left.
func (g *group) trace(pts []r3.Vec) error {
	count := map[[2]int32]int{}
	for _, e := range g.edges {
		if back := [2]int32{e[1], e[0]}; count[back] > 0 {
			count[back]--
		} else {
			count[e]++
		}
	}
	next := map[int32][]int32{}
	var starts [][2]int32
	for _, e := range g.edges {
		if count[e] > 0 {
			count[e]--
			next[e[0]] = append(next[e[0]], e[1])
			starts = append(starts, e)
		}
	}
	g.edges = nil
	flat := flatten(g.plane.N)
	for _, s := range starts {
		if !has(next[s[0]], s[1]) {
			continue
		}
		loop, err := walk(s, next, pts, flat)
		if err != nil {
			return err
		}
		g.loops = append(g.loops, loop)
	}
	return nil
}

func has(list []int32, v int32) bool {
	for _, x := range list {
		if x == v {
			return true
		}
	}
	return false
}

// walk follows edges from one until it comes back, at each fork taking the sharpest turn to the left, so that loops
// that touch in a point stay apart.
func walk(e [2]int32, next map[int32][]int32, pts []r3.Vec, flat func(r3.Vec) r2.Vec) ([]int32, error) {
	loop := []int32{e[0]}
	first := e[0]
	for {
		next[e[0]] = without(next[e[0]], e[1])
		if e[1] == first {
			return loop, nil
		}
		loop = append(loop, e[1])
		outs := next[e[1]]
		if len(outs) == 0 {
			p := pts[e[1]]
			return nil, fmt.Errorf("contour: the surface does not close near (%.3f, %.3f, %.3f)", p.X, p.Y, p.Z)
		}
		d := r2.Sub(flat(pts[e[1]]), flat(pts[e[0]]))
		best, bestTurn := outs[0], math.Inf(-1)
		for _, o := range outs {
			f := r2.Sub(flat(pts[o]), flat(pts[e[1]]))
			if t := math.Atan2(r2.Cross(d, f), r2.Dot(d, f)); t > bestTurn {
				best, bestTurn = o, t
			}
		}
		e = [2]int32{e[1], best}
	}
}

func without(list []int32, v int32) []int32 {
	for i, x := range list {
		if x == v {
			return append(list[:i:i], list[i+1:]...)
		}
	}
	return list
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
