package solid

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// Plane is the set N.p = D; the solid of which it is a facet lies where N.p < D.
type Plane struct {
	N r3.Vec // unit, outward
	D float64
}

// Above is the signed distance of p from the plane.
func (e Plane) Above(p r3.Vec) float64 { return r3.Dot(e.N, p) - e.D }

func planeThrough(a, b, c r3.Vec) Plane {
	n := r3.Unit(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
	return Plane{N: n, D: r3.Dot(n, a)}
}

// Chord is how far facets may leave a curved face, mm: one that is curved one way, and one that is curved both ways,
// where facets go with the square of their number along each.
type Chord struct{ Single, Double float64 }

// Facet is a convex polygon, anticlockwise seen from outside.
type Facet struct {
	Pts   []r3.Vec
	Plane Plane
	Face  int // number of the face that it approximates
}

// Faceted is a primitive as facets, and as the union of convex cells that the facets bound. Cells may abut inside.
type Faceted struct {
	Facets []Facet
	Cells  [][]Plane
}

func (f *Faceted) add(face int, pts ...r3.Vec) {
	f.Facets = append(f.Facets, Facet{Pts: pts, Plane: planeThrough(pts[0], pts[1], pts[2]), Face: face})
}

// FacetedLeaf is one primitive of a solid, faceted in the model's frame.
type FacetedLeaf struct{ Faceted }

// Facet approximates every primitive of the solid within a distance. Faces are numbered as in Tags. The second result
// says, for a set of primitives that hold a point, whether the solid holds it.
func (s *Solid) Facet(within Chord) ([]FacetedLeaf, func(in []bool) bool) {
	var out []FacetedLeaf
	s.facetInto(within, 0, &out)
	return out, func(in []bool) bool { ok, _ := s.holds(in); return ok }
}

func (s *Solid) facetInto(within Chord, first int, out *[]FacetedLeaf) {
	if s.op != Leaf {
		for _, k := range s.kids {
			k.facetInto(within, first, out)
			first += k.faces
		}
		return
	}
	f := s.shape.Facet(within)
	for i := range f.Facets {
		g := &f.Facets[i]
		for k, p := range g.Pts {
			g.Pts[k] = s.pose.World(p)
		}
		g.Plane = s.pose.plane(g.Plane)
		g.Face += first
	}
	for _, c := range f.Cells {
		for k, e := range c {
			c[k] = s.pose.plane(e)
		}
	}
	*out = append(*out, FacetedLeaf{f})
}

func (m Pose) plane(e Plane) Plane {
	n := m.Turn(e.N)
	return Plane{N: n, D: e.D + r3.Dot(n, m.O)}
}

// holds evaluates the tree as a Boolean expression over its leaves, and says how many of them it used.
func (s *Solid) holds(in []bool) (ok bool, used int) {
	if s.op == Leaf {
		return in[0], 1
	}
	for i, k := range s.kids {
		v, n := k.holds(in[used:])
		used += n
		switch {
		case i == 0:
			ok = v
		case s.op == Union:
			ok = ok || v
		case s.op == Intersection:
			ok = ok && v
		default:
			ok = ok && !v
		}
	}
	return ok, used
}
