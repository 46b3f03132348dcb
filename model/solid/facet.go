package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Plane is the set N.p = D; the solid of which it is a facet lies where N.p < D.
type Plane struct {
	N r3.Vec // unit, outward
	D float64
}

// Above is the signed distance of p from the plane.
func (e Plane) Above(p r3.Vec) float64 { return e.N.X*p.X + e.N.Y*p.Y + e.N.Z*p.Z - e.D }

func planeThrough(a, b, c r3.Vec) Plane {
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	n = r3.Scale(1/math.Sqrt(r3.Norm2(n)), n)
	return Plane{N: n, D: r3.Dot(n, a)}
}

// Chord is how far facets may leave a curved face, mm: one that is curved one way, and one that is curved both ways,
// where facets go with the square of their number along each.
type Chord struct{ Single, Double float64 }

// Facet is a convex polygon, its corners anticlockwise seen from outside.
type Facet struct {
	V     []int32 // corners, numbers of points
	Plane Plane
	Face  int // number of the face that it approximates
}

// Cell is a convex piece of a primitive: where all its planes have the point below them.
type Cell struct {
	Planes []Plane
	Corner []int32 // numbers of points that its bounds go round
	Box    r3.Box
}

// Faceted is a primitive as facets, and as the union of convex cells that the facets bound. Cells may abut inside.
type Faceted struct {
	Pts    []r3.Vec
	Facets []Facet
	Cells  []Cell
}

// point adds a point and gives its number.
func (f *Faceted) point(p r3.Vec) int32 {
	f.Pts = append(f.Pts, p)
	return int32(len(f.Pts) - 1)
}

// add adds a facet; its plane goes through the first corner and two that stand far from it.
func (f *Faceted) add(face int, v ...int32) {
	n := len(v)
	e := planeThrough(f.Pts[v[0]], f.Pts[v[(n+1)/3]], f.Pts[v[(2*n+1)/3]])
	f.Facets = append(f.Facets, Facet{V: v, Plane: e, Face: face})
}

// oneCell makes the whole primitive, known to be convex, its only cell.
func (f *Faceted) oneCell() {
	var c Cell
	for _, g := range f.Facets {
		c.Planes = append(c.Planes, g.Plane)
	}
	for i := range f.Pts {
		c.Corner = append(c.Corner, int32(i))
	}
	f.Cells = []Cell{c}
}

// at is the faceted primitive at a pose, with the bounds of its cells; face numbers begin at first. Facets and cells that
// do not reach the bounds of the whole solid are left out.
func (f *Faceted) at(m Pose, first int, bounds r3.Box) Faceted {
	out := Faceted{Pts: make([]r3.Vec, len(f.Pts)), Facets: make([]Facet, 0, len(f.Facets)), Cells: make([]Cell, 0, len(f.Cells))}
	for i, p := range f.Pts {
		out.Pts[i] = m.World(p)
	}
	for _, g := range f.Facets {
		if !boxesApart(boxOf(out.Pts, g.V), bounds, aside) {
			out.Facets = append(out.Facets, Facet{V: g.V, Plane: m.plane(g.Plane), Face: g.Face + first})
		}
	}
	for _, c := range f.Cells {
		box := boxOf(out.Pts, c.Corner)
		if boxesApart(box, bounds, aside) {
			continue
		}
		planes := make([]Plane, len(c.Planes))
		for k, e := range c.Planes {
			planes[k] = m.plane(e)
		}
		out.Cells = append(out.Cells, Cell{Planes: planes, Corner: c.Corner, Box: box})
	}
	return out
}

// aside is how far from the solid's bounds a facet must be to be left out, mm.
const aside = 1e-3

// boxOf is the bounds of some of the points.
func boxOf(pts []r3.Vec, which []int32) r3.Box {
	b := r3.Box{Min: pts[which[0]], Max: pts[which[0]]}
	for _, i := range which[1:] {
		b = unite(b, r3.Box{Min: pts[i], Max: pts[i]})
	}
	return b
}

func (m Pose) plane(e Plane) Plane {
	n := m.Turn(e.N)
	return Plane{N: n, D: e.D + r3.Dot(n, m.O)}
}

// FacetedLeaf is one primitive of a solid, faceted in the model's frame.
type FacetedLeaf struct {
	Faceted
	Box   r3.Box
	Slack float64 // no facet lies further from the primitive, mm; with room to spare
	prim  *Solid
}

// Dist is the exact signed distance of the primitive itself, negative inside, mm.
func (l *FacetedLeaf) Dist(p r3.Vec) float64 { return l.prim.shape.Dist(l.prim.pose.Local(p)) }

// Facet approximates every primitive of the solid within a distance. Faces are numbered as in Tags. Curved faces have an
// edge wherever another face touches them along a line, and those that lie on the same cylinder are cut alike. The
// second result says which points the solid holds, given which primitives hold them.
func (s *Solid) Facet(within Chord) ([]FacetedLeaf, Formula) {
	prims := s.prims(nil, 0, false, math.Inf(1))
	contacts := contactsOf(prims, within.Single)
	w := workshop{within: within}
	var out []FacetedLeaf
	for i, p := range prims {
		f := w.facet(p, contacts[i])
		g := f.at(p.pose, p.first, s.bounds)
		all := make([]int32, len(g.Pts))
		for k := range all {
			all[k] = int32(k)
		}
		out = append(out, FacetedLeaf{Faceted: g, Box: boxOf(g.Pts, all), Slack: 2 * p.coarser() * math.Max(within.Single, within.Double), prim: p.Solid})
	}
	return out, s.formula()
}

// prim is a primitive of a solid and the number of its first face.
type prim struct {
	*Solid
	first int
	taken bool    // the solid lies outside of it, since it is taken away
	reach float64 // only so far from its axis can it be part of the surface, mm
}

// coarser is by how much more than the chord facets may leave the primitive where they are out of reach.
func (p prim) coarser() float64 {
	if r, ok := p.shape.(*Revolve); ok && p.reach < r.box.Max.X {
		return r.box.Max.X / p.reach
	}
	return 1
}

func (s *Solid) prims(out []prim, first int, taken bool, reach float64) []prim {
	if s.op == Leaf {
		return append(out, prim{s, first, taken, reach})
	}
	for i, k := range s.kids {
		near := math.Inf(1)
		if s.op == Intersection {
			near = k.reachIn(s.kids)
		}
		out = k.prims(out, first, taken != (s.op == Difference && i > 0), near)
		first += k.faces
	}
	return out
}

// reachIn is the least radius of the cylinders round the primitive's own axis that it is cut down to by the others.
func (s *Solid) reachIn(others []*Solid) float64 {
	reach := math.Inf(1)
	if _, ok := s.shape.(*Revolve); !ok {
		return reach
	}
	for _, o := range others {
		r, ok := o.shape.(*Revolve)
		if !ok || o == s {
			continue
		}
		if coaxial(o.pose, s.pose) {
			reach = math.Min(reach, r.box.Max.X)
		}
	}
	return reach
}
