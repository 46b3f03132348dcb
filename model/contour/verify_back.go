package contour

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

const (
	// WalkSpacing is how far the corners of a cell of the true surface lie from its middle, which is compared with the
	// mesh, at most, mm.
	WalkSpacing = 0.5
	// EdgeSpacing is the same for cells into which another face comes, mm.
	EdgeSpacing = 0.2
)

// walker goes over the true surface, face by face, and compares it with the mesh.
type walker struct {
	*prover
	cover *solid.Cover
	wall  *solid.Wall
	grid  [2]int // cells along u and v
	// Of the present cell:
	view solid.View
	near []rival // faces that it may meet
	back backReading
}

// backReading is what one face's walk gave.
type backReading struct {
	samples, sharp int
	surface, edge  float64 // greatest distance of a sample from the mesh, and of a sharp edge's from the mesh's sharp edges, mm
	fault          *Fault
}

// back is the way back from the solid to the mesh, as Verify says.
func (p *prover) back(proof *Proof) *Fault {
	walls := p.walls
	found := make([]backReading, len(walls))
	p.spread(len(walls), 1, func(c *solid.Cover, i int) {
		w := walker{prover: p, cover: c, wall: &walls[i]}
		w.walk()
		found[i] = w.back
	})
	for i := range found {
		r := &found[i]
		proof.Walked += r.samples
		proof.Sharp += r.sharp
		proof.MissMM = max(proof.MissMM, r.surface)
		proof.SharpMM = max(proof.SharpMM, r.edge)
		if r.fault != nil {
			return r.fault
		}
	}
	return nil
}

// walk goes over the wall by a grid of cells whose corners are no further than EdgeSpacing from their middles, many
// cells at once where one look serves them.
func (w *walker) walk() {
	const side = EdgeSpacing * math.Sqrt2 * (1 - 1e-12)
	count := func(speed float64, a [2]float64) int { return max(1, int(math.Ceil(speed*(a[1]-a[0])/side))) }
	w.grid = [2]int{count(w.wall.SpeedU, w.wall.U), count(w.wall.SpeedV, w.wall.V)}
	w.cells([2]int{0, w.grid[0]}, [2]int{0, w.grid[1]})
}

// cells looks at the cells from i[0] to i[1] along u and from j[0] to j[1] along v.
func (w *walker) cells(i, j [2]int) {
	at := func(a [2]float64, k [2]int, n int) [2]float64 {
		step := (a[1] - a[0]) / float64(n)
		return [2]float64{a[0] + float64(k[0])*step, a[0] + float64(k[1])*step}
	}
	u, v := at(w.wall.U, i, w.grid[0]), at(w.wall.V, j, w.grid[1])
	last := i[1]-i[0] == 1 && j[1]-j[0] == 1
	if w.back.fault != nil || !w.cut(u, v, last) {
		return
	}
	if last {
		w.quarters(u, v)
		return
	}
	for _, k := range halves(i, j) {
		for _, l := range halves(j, i) {
			w.cells(k, l)
		}
	}
}

// halves cuts a range in two unless it is one cell or much the shorter of the two.
func halves(a, other [2]int) [][2]int {
	n := a[1] - a[0]
	if n == 1 || 2*n < other[1]-other[0] {
		return [][2]int{a}
	}
	mid := a[0] + n/2
	return [][2]int{{a[0], mid}, {mid, a[1]}}
}

// quarters goes on below the grid.
func (w *walker) quarters(u, v [2]float64) {
	a, b := (u[0]+u[1])/2, (v[0]+v[1])/2
	for _, x := range [][2]float64{{u[0], a}, {a, u[1]}} {
		for _, y := range [][2]float64{{v[0], b}, {b, v[1]}} {
			if w.back.fault == nil && w.cut(x, y, true) {
				w.quarters(x, y)
			}
		}
	}
}

// cut looks at a rectangle of the face's parameters: whether the other primitives hide the face in the ball round it,
// which is then left, or cannot. It tells whether it must be cut, because other faces are in reach or it is large
// still, and otherwise compares it.
func (w *walker) cut(u, v [2]float64, last bool) bool {
	q := w.wall.At((u[0]+u[1])/2, (v[0]+v[1])/2)
	reach := math.Hypot(w.wall.SpeedU*(u[1]-u[0]), w.wall.SpeedV*(v[1]-v[0])) / 2
	own := 0.0
	if w.wall.Round {
		if own = w.cover.Dist(w.wall.Leaf, q); own > reach {
			return false
		}
	}
	if w.cover.Look(q, reach, w.wall.Leaf, &w.view); w.view.Ball == solid.Hidden {
		return false
	}
	if reach > WalkSpacing && !last {
		return true
	}
	w.others(q, reach)
	if len(w.near) > 0 && !last {
		return true
	}
	seen := math.Abs(own) <= truly && w.view.Here == solid.Clear
	if w.view.Here == solid.Mixed {
		_, n := w.wall.On.Off(q)
		seen = parts(w.cover, q, n)
	}
	if seen {
		w.compare(q)
	}
	// A point of the surface in a cell whose middle is hidden is parted from it by an edge.
	edges := w.edges(q, 1.5*reach, seen)
	return !seen && edges == 0 && len(w.near) > 0 && reach > EdgeSpacing/4
}

// rival is another face that comes near the present cell.
type rival struct {
	face int
	leaf int32
	on   *solid.Carrier
}

// others finds the faces of the primitive itself and of those that may hide it whose carriers come within reach of q. A
// flat in line with the wall is no other.
func (w *walker) others(q r3.Vec, reach float64) {
	w.near = w.near[:0]
	w.rivals(w.wall.Leaf, q, reach)
	for _, leaf := range w.view.Near {
		w.rivals(leaf, q, reach)
	}
}

func (w *walker) rivals(leaf int32, q r3.Vec, reach float64) {
	own := &w.wall.On
	first, carriers := w.cover.Faces(leaf)
	for i := range carriers {
		on := &carriers[i]
		if first+i == w.wall.Face || on.Axis() {
			continue
		}
		if math.Abs(on.Gap(q)) > reach+truly || !own.Curved() && !on.Curved() && sineAt(q, own, on) < sharpSolid {
			continue
		}
		w.near = append(w.near, rival{first + i, leaf, on})
	}
}

// edges looks near q for places where the wall crosses other faces in the true surface, corners too, compares those on
// sharp edges with the mesh, and counts them all. Where q is seen, edges are left to the wall of the other face if that
// has the greater number.
func (w *walker) edges(q r3.Vec, within float64, seen bool) (count int) {
	own := &w.wall.On
	var met [4]*solid.Carrier
	var at [4]r3.Vec
	for _, other := range w.near {
		if seen && other.face < w.wall.Face {
			continue
		}
		e, sine, ok := solid.Meet(q, own, other.on)
		if !ok || sine < sharpSolid || r3.Norm(r3.Sub(e, q)) > within ||
			math.Abs(w.cover.Dist(other.leaf, e)) > truly || !w.cover.On(e, truly) {
			continue
		}
		if count < len(met) {
			met[count], at[count] = other.on, e
		}
		count++
		if w.wall.Face < other.face && w.sharpAt(e, own, other.on) {
			w.compareSharp(e)
		}
	}
	for i := range min(count, len(met)) {
		for j := range i {
			if r3.Norm2(r3.Sub(at[i], at[j])) < VertexLimit*VertexLimit {
				continue // two faces through one curve
			}
			e, ok := solid.Settle(q, []solid.Carrier{*own, *met[i], *met[j]})
			if ok && r3.Norm(r3.Sub(e, q)) <= within && w.sharpAt(e, own, met[i]) {
				w.compareSharp(e)
			}
		}
	}
	return count
}

// sector is how far from an edge it is asked where metal lies, mm: far above the rounding of the field, far below what
// meshes resolve.
const sector = 1e-5

// sharpAt tells whether a point where two carriers cross is on a sharp edge of the solid: of the four sectors between the
// carriers metal fills one or three, or two that face each other.
func (w *walker) sharpAt(e r3.Vec, a, b *solid.Carrier) bool {
	if !w.cover.On(e, truly) {
		return false
	}
	_, na := a.Off(e)
	_, nb := b.Off(e)
	s, d := r3.Unit(r3.Add(na, nb)), r3.Unit(r3.Sub(na, nb))
	// Seen along the edge the tangents run between these four directions.
	metal := func(dir r3.Vec, size float64) bool { return w.cover.Metal(r3.Add(e, r3.Scale(size*sector, dir))) }
	s1, d1, s2, d2 := metal(s, 1), metal(d, 1), metal(s, -1), metal(d, -1)
	sum := 0
	for _, in := range []bool{s1, d1, s2, d2} {
		if in {
			sum++
		}
	}
	return sum == 1 || sum == 3 || sum == 2 && s1 == s2
}

// compare measures from a point of the true surface to the mesh.
func (w *walker) compare(q r3.Vec) {
	w.back.samples++
	d, ok := w.tree.within(q, w.tolerance)
	if !ok {
		w.miss(ClauseCovered, q, w.tree, "the surface")
		return
	}
	w.back.surface = max(w.back.surface, d)
}

// compareSharp measures from a point of a true sharp edge to the sharp edges of the mesh.
func (w *walker) compareSharp(e r3.Vec) {
	if w.creases == nil { // the facets do not name their faces
		w.compare(e)
		return
	}
	w.back.sharp++
	d, ok := w.creases.within(e, w.tolerance)
	if !ok {
		w.miss(ClauseSharp, e, w.creases, "a sharp edge of the solid")
		return
	}
	w.back.edge = max(w.back.edge, d)
}

func (w *walker) miss(clause string, q r3.Vec, from *Tree, what string) {
	if w.back.fault != nil {
		return
	}
	say := fmt.Sprintf("%s has nothing of the mesh near it", what)
	if _, facet, d := from.Nearest(q); facet >= 0 {
		say = fmt.Sprintf("%s runs %.3g mm from the mesh, %g mm are allowed", what, d, w.tolerance)
	}
	w.back.fault = &Fault{Clause: clause, At: q, Say: say}
}
