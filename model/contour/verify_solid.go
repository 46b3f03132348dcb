package contour

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// truly is how near to zero the field must be where a point counts as lying on the surface, mm: two roundings as
// solid.Witness allows, since faces that count as one may lie 1e-9 mm apart.
const truly = 2e-9

// prover compares a mesh, which is known to be sound, with the solid whose faces its facets name.
type prover struct {
	mesh      *Mesh
	solid     *solid.Solid
	tolerance float64
	tree      *Tree
	twin      []int32
	carriers  []solid.Carrier
	walls     []solid.Wall
	leafOf    []int32   // for each face the place of its primitive in the order of the tree's leaves
	around    [][]int32 // for each vertex the faces of the facets round it, each once
	creases   *Tree     // the mesh's edges between faces that cross, each a flat triangle
	arcs      []int32   // those between faces one of which is curved

	lock   sync.Mutex
	covers []*solid.Cover // that no worker uses just now
}

func newProver(b *body, s *solid.Solid, tolerance float64) *prover {
	m := b.tree.mesh
	p := &prover{mesh: m, solid: s, tolerance: tolerance, tree: b.tree, twin: b.twin, carriers: s.Carriers(), walls: s.Walls()}
	p.leafOf = make([]int32, len(p.carriers))
	for _, w := range p.walls {
		p.leafOf[w.Face] = w.Leaf
	}
	if m.On != nil {
		p.around = facesRound(m)
		p.creases = p.findCreases()
	}
	return p
}

// named proves that each facet names a face of the solid, if the mesh has such names.
func named(m *Mesh, s *solid.Solid) *Fault {
	if m.On == nil {
		return nil
	}
	if len(m.On) != len(m.T) {
		return faultAt(ClauseIndex, r3.Vec{}, "%d facets but %d faces of the solid named", len(m.T), len(m.On))
	}
	faces := len(s.Tags())
	for f, on := range m.On {
		if on < 0 || int(on) >= faces {
			return faultAt(ClauseIndex, m.V[m.T[f][0]], "facet %d names face %d of the solid's %d", f, on, faces)
		}
	}
	return nil
}

// spread does n pieces of work on all cores, each worker with a cover of its own.
func (p *prover) spread(n, chunk int, work func(c *solid.Cover, i int)) {
	parallelWith(n, chunk, func() (func(i int), func()) {
		p.lock.Lock()
		defer p.lock.Unlock()
		var c *solid.Cover
		if k := len(p.covers) - 1; k >= 0 {
			c, p.covers = p.covers[k], p.covers[:k]
		} else {
			c = solid.NewCover(p.solid, EdgeSpacing)
		}
		return func(i int) { work(c, i) }, func() {
			p.lock.Lock()
			defer p.lock.Unlock()
			p.covers = append(p.covers, c)
		}
	})
}

// facesRound lists for each vertex the faces that its facets name.
func facesRound(m *Mesh) [][]int32 {
	start := make([]int32, len(m.V)+1)
	for _, c := range m.T {
		for _, v := range c {
			start[v+1]++
		}
	}
	for v := range m.V {
		start[v+1] += start[v]
	}
	all := make([]int32, 3*len(m.T))
	out := make([][]int32, len(m.V))
	for v := range out {
		out[v] = all[start[v]:start[v]:start[v+1]]
	}
	for f, c := range m.T {
	corner:
		for _, v := range c {
			for _, on := range out[v] {
				if on == m.On[f] {
					continue corner
				}
			}
			out[v] = append(out[v], m.On[f])
		}
	}
	return out
}

// there is the way from the mesh to the solid: vertices, facets and edges.
func (p *prover) there(proof *Proof) *Fault {
	if fault := p.vertices(proof); fault != nil {
		return fault
	}
	if fault := p.facets(proof); fault != nil {
		return fault
	}
	return p.chords(proof)
}

// corner is what was found of one vertex.
type corner struct {
	reading
	flat bool    // flat faces alone meet there
	off  float64 // from the flat faces among those that meet there, mm
}

func (p *prover) vertices(proof *Proof) *Fault {
	found := make([]corner, len(p.mesh.V))
	p.spread(len(found), 256, func(c *solid.Cover, v int) { p.vertex(c, v, &found[v]) })
	for v := range found {
		r := &found[v]
		limit, most := p.tolerance, &proof.CurvedVertexMM
		if r.flat {
			limit, most = VertexLimit, &proof.VertexMM
		}
		*most = max(*most, r.dev)
		proof.VertexMM = max(proof.VertexMM, r.off)
		proof.Samples++
		if fault := r.fault(ClauseVertex, limit, "vertex", v); fault != nil {
			return fault
		}
		if r.off > VertexLimit {
			return faultAt(ClauseVertex, p.mesh.V[v], "vertex %d lies %.3g mm off a flat face, %g mm are allowed", v, r.off, VertexLimit)
		}
	}
	return nil
}

// vertex finds a point truly on the surface near a vertex: where the carriers round it meet, the foot on one of them, or
// a witness.
func (p *prover) vertex(c *solid.Cover, v int, r *corner) {
	at := p.mesh.V[v]
	faces := p.around[v]
	r.flat, r.at, r.dev, r.lost = true, at, math.Inf(1), true
	for _, f := range faces {
		if on := &p.carriers[f]; on.Curved() {
			r.flat = false
		} else {
			d, _ := on.Off(at)
			r.off = max(r.off, math.Abs(d))
		}
	}
	if q, ok := p.meeting(at, faces); ok {
		r.try(c, q)
	}
	if !r.lost && r.dev <= VertexLimit/2 {
		return
	}
	for _, f := range faces {
		r.try(c, p.carriers[f].Foot(at))
	}
	if r.lost || r.dev > VertexLimit/2 {
		if q, d, ok := nearWitness(p.solid, at); ok && d < r.dev {
			r.dev, r.on, r.lost = d, q, false
		}
	}
}

// parts tells whether a point truly lies on the surface and metal and air meet there: the field is zero too where faces
// abut inside the metal, or in the air at the mouth of a tool that ends in a face.
func parts(c *solid.Cover, q, normal r3.Vec) bool {
	step := r3.Scale(sector, normal)
	return c.On(q, truly) && c.Metal(r3.Add(q, step)) != c.Metal(r3.Sub(q, step))
}

// try takes q if it lies on the surface and no nearer point was found.
func (r *reading) try(c *solid.Cover, q r3.Vec) {
	if d := r3.Norm(r3.Sub(r.at, q)); d < r.dev && c.On(q, truly) {
		r.dev, r.on, r.lost = d, q, false
	}
}

// meeting is where the carriers of faces meet near a point.
func (p *prover) meeting(at r3.Vec, faces []int32) (r3.Vec, bool) {
	switch len(faces) {
	case 1:
		return p.carriers[faces[0]].Foot(at), true
	case 2:
		if q, _, ok := solid.Meet(at, &p.carriers[faces[0]], &p.carriers[faces[1]]); ok {
			return q, true
		}
	}
	cs := make([]solid.Carrier, 0, len(faces))
	for _, curved := range []bool{false, true} { // flats first, as a vertex must stay in them
		for _, f := range faces {
			if p.carriers[f].Curved() == curved {
				cs = append(cs, p.carriers[f])
			}
		}
	}
	return solid.Settle(at, cs)
}

func (p *prover) facets(proof *Proof) *Fault {
	found := make([]reading, len(p.mesh.T))
	p.spread(len(found), 256, func(c *solid.Cover, f int) { p.facet(c, f, &found[f]) })
	for f := range found {
		r := &found[f]
		proof.take(r)
		if fault := r.fault(ClauseFacet, p.tolerance, "facet", f); fault != nil {
			return fault
		}
	}
	return nil
}

// facet bounds the distance of a facet from its carrier and finds a point of the surface under it. Where the carrier does
// not serve, since the facet lies on another face, the facet is proven piece by piece.
func (p *prover) facet(c *solid.Cover, f int, r *reading) {
	t := p.mesh.triangle(int32(f))
	on := &p.carriers[p.mesh.On[f]]
	away, _ := on.Away(t, p.tolerance/64)
	mid := r3.Scale(1.0/3, r3.Add(t[0], r3.Add(t[1], t[2])))
	r.samples = 1
	if away > p.tolerance {
		p.pieces(c, t, r)
		r.gap = t.area() * r.dev
		return
	}
	r.at, r.dev, r.lost = mid, math.Inf(1), true
	d, n := on.Off(mid)
	if q := r3.Sub(mid, r3.Scale(d, n)); p.shows(c, q, p.mesh.On[f]) || parts(c, q, n) {
		r.dev, r.on, r.lost = math.Abs(d), q, false
	} else if q, d, ok := nearWitness(p.solid, mid); ok {
		r.dev, r.on, r.lost = d, q, false
	}
	r.dev = max(r.dev, away)
	r.gap = t.area() * r.dev
}

// shows tells whether q lies on the primitive that brings a face and nothing hides it there.
func (p *prover) shows(c *solid.Cover, q r3.Vec, face int32) bool {
	leaf := p.leafOf[face]
	if math.Abs(c.Dist(leaf, q)) > truly {
		return false
	}
	var v solid.View
	c.Look(q, 0, leaf, &v)
	return v.Here == solid.Clear
}

// mostPieces ends the proof of a facet piece by piece.
const mostPieces = 4096

// pieces proves a facet without a carrier: it is cut until from the middle of each piece the way to a point of the
// surface and that to its own corners are together within the tolerance.
func (p *prover) pieces(c *solid.Cover, t triangle, r *reading) {
	todo := []triangle{t}
	for len(todo) > 0 {
		u := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		mid := r3.Scale(1.0/3, r3.Add(u[0], r3.Add(u[1], u[2])))
		reach := max(r3.Norm(r3.Sub(u[0], mid)), r3.Norm(r3.Sub(u[1], mid)), r3.Norm(r3.Sub(u[2], mid)))
		r.samples++
		q, d, ok := nearWitness(p.solid, mid)
		if !ok || d > p.tolerance || r.samples > mostPieces {
			r.at, r.on, r.dev, r.lost = mid, q, math.Max(d, p.tolerance)+reach, !ok
			return
		}
		if d+reach > p.tolerance {
			todo = u.halves(todo)
			continue
		}
		if d+reach > r.dev {
			r.at, r.on, r.dev = mid, q, d+reach
		}
	}
}

// halves adds the two halves of a triangle cut through its longest edge.
func (t triangle) halves(to []triangle) []triangle {
	long, length := 0, 0.0
	for i := range 3 {
		if d := r3.Norm2(r3.Sub(t[(i+1)%3], t[i])); d > length {
			long, length = i, d
		}
	}
	a, b, c := t[long], t[(long+1)%3], t[(long+2)%3]
	mid := lerp(a, b, 0.5)
	return append(to, triangle{a, mid, c}, triangle{mid, b, c})
}

// Sines of the angle between two faces: from the lesser on an edge of the mesh counts as sharp, from the greater on an
// edge of the solid must be one. Between them lies what the ends of one mesh edge may differ by.
const (
	sharpMesh  = 0.01
	sharpSolid = 0.03
)

// edge gives the two faces at a directed edge that is the first of its pair; ok is false for the second, and where both
// facets name one face.
func (p *prover) edge(half int32) (a, b r3.Vec, j, k int32, ok bool) {
	other := p.twin[half]
	j, k = p.mesh.On[half/3], p.mesh.On[other/3]
	if half > other || j == k {
		return a, b, j, k, false
	}
	c := p.mesh.T[half/3]
	return p.mesh.V[c[half%3]], p.mesh.V[c[(half+1)%3]], j, k, true
}

// findCreases gathers the edges between faces that cross, at one end, at the other or in the middle.
func (p *prover) findCreases() *Tree {
	edges := &Mesh{}
	for half := range int32(len(p.twin)) {
		a, b, j, k, ok := p.edge(half)
		if !ok {
			continue
		}
		on, other := &p.carriers[j], &p.carriers[k]
		if max(sineAt(a, on, other), sineAt(b, on, other), sineAt(lerp(a, b, 0.5), on, other)) > sharpMesh {
			n := int32(len(edges.V))
			edges.V = append(edges.V, a, b)
			edges.T = append(edges.T, [3]int32{n, n + 1, n + 1})
			if on.Curved() || other.Curved() {
				p.arcs = append(p.arcs, half)
			}
		}
	}
	return NewTree(edges)
}

func sineAt(p r3.Vec, a, b *solid.Carrier) float64 {
	_, na := a.Off(p)
	_, nb := b.Off(p)
	return r3.Norm(r3.Cross(na, nb))
}

// chords measures each edge between faces that cross, one of them curved, at its middle, where the chord stands
// furthest off its curve or nearly so. Edges between flats are straight: they are as good as their ends.
func (p *prover) chords(proof *Proof) *Fault {
	found := make([]reading, len(p.arcs))
	p.spread(len(found), 128, func(c *solid.Cover, i int) { p.chord(c, p.arcs[i], &found[i]) })
	for i := range found {
		r := &found[i]
		proof.EdgeMM = max(proof.EdgeMM, r.dev)
		proof.take(r)
		if fault := r.fault(ClauseFacet, p.tolerance, "the edge after corner", int(p.arcs[i])); fault != nil {
			return fault
		}
	}
	return nil
}

func (p *prover) chord(c *solid.Cover, half int32, r *reading) {
	a, b, j, k, _ := p.edge(half)
	mid := lerp(a, b, 0.5)
	q, _, ok := solid.Meet(mid, &p.carriers[j], &p.carriers[k])
	if !ok {
		return // tangent there: where such an edge runs makes no difference to the distance
	}
	r.samples, r.at, r.dev, r.lost = 1, mid, math.Inf(1), true
	if r.try(c, q); r.lost || r.dev > p.tolerance {
		if q, d, ok := nearWitness(p.solid, mid); ok && d < r.dev {
			r.dev, r.on, r.lost = d, q, false
		}
	}
}
