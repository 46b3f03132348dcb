package contour

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// mergeRadius joins points that a file could not tell apart, mm: the step of a float32 between 32 and 64 mm.
const mergeRadius = 4e-6

// sheet is the surface as loops round pieces of facets, on its way to becoming a mesh.
type sheet struct {
	groups    []*group
	pts       []r3.Vec
	carriers  []solid.Carrier
	tolerance float64
	faces     [][]int32 // of each point: the faces that it lies on, flat ones first, each carrier once
}

// finish takes out corners that nothing needs, brings the others onto the true surfaces, and rounds to float32.
func (sh *sheet) finish() {
	straighten(sh.groups, sh.pts)
	sh.lookUp()
	before := slices.Clone(sh.pts)
	sh.slide()
	sh.collapse(before)
	sh.unspike()
	sh.bend()
	sh.merge()
	for i, p := range sh.pts {
		sh.pts[i] = Single(p)
	}
}

// Single rounds coordinates to what a float32 holds, and makes -0 into 0.
func Single(p r3.Vec) r3.Vec {
	f := func(x float64) float64 { return float64(float32(x)) + 0 }
	return r3.Vec{X: f(p.X), Y: f(p.Y), Z: f(p.Z)}
}

// lookUp finds the faces at every point.
func (sh *sheet) lookUp() {
	sh.faces = make([][]int32, len(sh.pts))
	for _, g := range sh.groups {
		for _, l := range g.loops {
			for _, v := range l {
				if !slices.Contains(sh.faces[v], int32(g.face)) {
					sh.faces[v] = append(sh.faces[v], int32(g.face))
				}
			}
		}
	}
	inParallel(len(sh.faces), func(v int) { sh.faces[v] = sh.unlike(sh.faces[v]) })
}

// unlike keeps one face of each carrier, flats first: what is flat must stay so exactly.
func (sh *sheet) unlike(faces []int32) []int32 {
	var flats, curved []int32
	for _, f := range faces {
		c := sh.carriers[f]
		list := &flats
		if c.Curved() {
			list = &curved
		}
		if !slices.ContainsFunc(*list, func(g int32) bool { return sh.carriers[g] == c }) {
			*list = append(*list, f)
		}
	}
	return append(flats, curved...)
}

// curved says whether one of the faces is.
func (sh *sheet) curved(faces []int32) bool {
	return len(faces) > 0 && sh.carriers[faces[len(faces)-1]].Curved()
}

func (sh *sheet) carriersOf(faces []int32) []solid.Carrier {
	out := make([]solid.Carrier, len(faces))
	for i, f := range faces {
		out[i] = sh.carriers[f]
	}
	return out
}

// slide moves each point that lies off a true face to where the carriers of all faces at it meet. Flat faces stay flat,
// since theirs is one of the carriers. A point that does not settle, as at a tangency, stays, and Verify judges it.
func (sh *sheet) slide() {
	inParallel(len(sh.pts), func(v int) {
		if !sh.curved(sh.faces[v]) {
			return
		}
		cs := sh.carriersOf(sh.faces[v])
		if offAny(sh.pts[v], cs) {
			if q, ok := solid.Settle(sh.pts[v], cs); ok && r3.Norm(r3.Sub(q, sh.pts[v])) < farthest*sh.tolerance {
				sh.pts[v] = q
			}
		}
	})
}

// farthest is how far, in tolerances, a point may be slid: facets are within one of the faces, and those that meet at 6
// degrees bring it to ten.
const farthest = 10

// offAny says whether p is off one of the carriers by more than float64 rounding.
func offAny(p r3.Vec, cs []solid.Carrier) bool {
	for _, c := range cs {
		if d, _ := c.Off(p); math.Abs(d) > 1e-9 {
			return true
		}
	}
	return false
}

// bend gives edges between different faces, one of them curved, the corners that they need to stay within the tolerance
// of the true edge.
func (sh *sheet) bend() {
	type side struct {
		edge [2]int32
		face int32
	}
	var all []side
	for _, g := range sh.groups {
		for _, l := range g.loops {
			for i, u := range l {
				v := l[(i+1)%len(l)]
				all = append(all, side{[2]int32{min(u, v), max(u, v)}, int32(g.face)})
			}
		}
	}
	slices.SortFunc(all, func(a, b side) int {
		if d := edgeOrder(a.edge, b.edge); d != 0 {
			return d
		}
		return int(a.face) - int(b.face)
	})
	type bent struct {
		edge [2]int32
		at   []r3.Vec
	}
	var edges []bent
	var faces [][]int32
	for i := 0; i+1 < len(all); i++ {
		a, b := all[i], all[i+1]
		if a.edge != b.edge || sh.carriers[a.face] == sh.carriers[b.face] {
			continue
		}
		fs := sh.unlike([]int32{a.face, b.face})
		if sh.curved(fs) {
			edges, faces = append(edges, bent{edge: a.edge}), append(faces, fs)
		}
	}
	inParallel(len(edges), func(i int) {
		e := &edges[i]
		e.at = sh.along(sh.pts[e.edge[0]], sh.pts[e.edge[1]], sh.carriersOf(faces[i]), 4)
	})
	more := map[[2]int32][]int32{}
	for _, e := range edges {
		for _, p := range e.at {
			more[e.edge] = append(more[e.edge], int32(len(sh.pts)))
			sh.pts = append(sh.pts, p)
		}
	}
	if len(more) > 0 {
		for _, g := range sh.groups {
			for k, l := range g.loops {
				g.loops[k] = withMore(l, more)
			}
		}
	}
}

// bendShare is the part of the tolerance that an edge may leave the true edge by.
const bendShare = 0.85

// along lists the points that must go between a and b, in order.
func (sh *sheet) along(a, b r3.Vec, cs []solid.Carrier, depth int) []r3.Vec {
	mid := lerp(a, b, 0.5)
	q, ok := solid.Settle(mid, cs)
	if d := r3.Norm(r3.Sub(q, mid)); !ok || depth == 0 || d <= bendShare*sh.tolerance || d > r3.Norm(r3.Sub(b, a)) {
		return nil
	}
	out := append(sh.along(a, q, cs, depth-1), q)
	return append(out, sh.along(q, b, cs, depth-1)...)
}

// withMore is a loop with the new points of its edges.
func withMore(l []int32, more map[[2]int32][]int32) []int32 {
	var out []int32
	for i, u := range l {
		out = append(out, u)
		v := l[(i+1)%len(l)]
		add := more[[2]int32{min(u, v), max(u, v)}]
		if u < v {
			out = append(out, add...)
		} else {
			for k := len(add) - 1; k >= 0; k-- {
				out = append(out, add[k])
			}
		}
	}
	return out
}

// merge makes points that a file could not tell apart one.
func (sh *sheet) merge() {
	w := newWelder(mergeRadius)
	to := make([]int32, len(sh.pts))
	for i := range to {
		to[i] = -1
	}
	for _, g := range sh.groups {
		for _, l := range g.loops {
			for _, v := range l {
				if to[v] < 0 {
					to[v] = w.add(sh.pts[v])
				}
			}
		}
	}
	sh.pts = w.pts
	sh.rename(func(v int32) int32 { return to[v] })
}

// rename gives points new numbers and takes out what that leaves without area.
func (sh *sheet) rename(to func(int32) int32) {
	for _, g := range sh.groups {
		loops := g.loops[:0]
		for _, l := range g.loops {
			for i, v := range l {
				l[i] = to(v)
			}
			if l = withoutSpikes(l); len(l) >= 3 {
				loops = append(loops, l)
			}
		}
		g.loops = loops
	}
}

// withoutSpikes takes out points that stand twice in a row, and ways that go out and come straight back.
func withoutSpikes(l []int32) []int32 {
	for again := true; again && len(l) > 0; {
		again = false
		for i := 0; i < len(l) && len(l) > 1; i++ {
			n := len(l)
			switch a, b, c := l[i], l[(i+1)%n], l[(i+2)%n]; {
			case a == b:
				l = slices.Delete(l, i, i+1)
				again = true
			case a == c && n > 2:
				j := (i + 1) % n
				l = slices.Delete(l, j, j+1) // then a stands twice in a row
				again = true
			}
		}
	}
	return l
}
