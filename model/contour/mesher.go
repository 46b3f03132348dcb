// Package contour turns a signed-distance solid into a closed triangle mesh with sharp edges, and proves what it made.
//
// How: each primitive is faceted within a share of the tolerance; each facet is clipped against the convex cells of
// the primitives near it; the tree is evaluated just below and just above each fragment, and those where the verdict
// changes are the surface. Fragments are welded by position, T-joints repaired, merged per plane and triangulated.
//
// Guaranteed, because Verify is run on every mesh that leaves the program: closed, oriented, 2-manifold, no facet of
// zero area, no self-intersection, vertices on the surface as far as a float32 can hold them. Straight edges between
// flat faces are exact to the same rounding; vertices on curved edges are slid to where the true surfaces meet, and the
// edge between them is a chord. Not guaranteed in this form: a solid whose faces come nearer to each other than a few
// 1e-6 mm without meeting, or whose curved faces meet nearly tangent, may give an error.
package contour

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// chordShare is the part of the tolerance that facets of curved faces may use. A fifth of it keeps the volume of a
// crowned lock within 0.03 % and costs little, since facets go with the root.
const chordShare = 0.2

// doubleShare is the same for faces that are curved both ways, balls and rings: little volume hangs on them, and their
// facets go with one over the chord error.
const doubleShare = 0.6

// Of meshes a solid within a tolerance, in mm. The same solid and tolerance give the same mesh. It fails when the
// fragments do not close; the error says near which point.
func Of(s *solid.Solid, tolerance float64) (*Mesh, error) {
	if !(tolerance > 0) {
		return nil, fmt.Errorf("contour: tolerance %g mm is not positive", tolerance)
	}
	leaves, holds := s.Facet(solid.Chord{Single: tolerance * chordShare, Double: tolerance * doubleShare})
	a := newArrangement(leaves, holds)
	frags := a.surface()
	return assemble(frags, s)
}

// same is how far two planes may differ and still be one carrier: direction as a sine, offset in mm. Float64 rounding
// through a rigid pose stays a hundred times below it; planes that differ on purpose differ a hundred times more.
const (
	sameDir = 1e-10
	sameOff = 1e-9
)

// on is the distance within which a point counts as lying on a clipping plane, mm: a thousand roundings of a float64 at 40 mm.
// It must stay so small: where an edge meets the plane at a shallow angle, it stands for many times as much along the edge.
const on = 1e-11

// arrangement is the faceted solid ready for clipping.
type arrangement struct {
	leaves []solid.FacetedLeaf
	holds  func([]bool) bool
	box    []r3.Box
}

// fragment is a piece of the surface: a convex polygon seen anticlockwise from outside.
type fragment struct {
	pts   []r3.Vec
	plane solid.Plane // outward
	face  int
}

func newArrangement(leaves []solid.FacetedLeaf, holds func([]bool) bool) *arrangement {
	a := &arrangement{leaves: leaves, holds: holds}
	for _, l := range leaves {
		var pts []r3.Vec
		for _, f := range l.Facets {
			pts = append(pts, f.Pts...)
		}
		a.box = append(a.box, boundsOf(pts))
	}
	return a
}

func boundsOf(pts []r3.Vec) r3.Box {
	b := r3.Box{Min: pts[0], Max: pts[0]}
	for _, p := range pts[1:] {
		b.Min = r3.Vec{X: math.Min(b.Min.X, p.X), Y: math.Min(b.Min.Y, p.Y), Z: math.Min(b.Min.Z, p.Z)}
		b.Max = r3.Vec{X: math.Max(b.Max.X, p.X), Y: math.Max(b.Max.Y, p.Y), Z: math.Max(b.Max.Z, p.Z)}
	}
	return b
}

func apart(a, b r3.Box) bool {
	return a.Min.X > b.Max.X+on || b.Min.X > a.Max.X+on || a.Min.Y > b.Max.Y+on || b.Min.Y > a.Max.Y+on ||
		a.Min.Z > b.Max.Z+on || b.Min.Z > a.Max.Z+on
}

// surface is every fragment of a facet across which the solid changes.
func (a *arrangement) surface() []fragment {
	var out []fragment
	for own, l := range a.leaves {
		for _, f := range l.Facets {
			near := a.near(own, f)
			for _, pts := range a.shatter(f, near) {
				if g, ok := a.judge(own, near, f, pts); ok {
					out = append(out, g)
				}
			}
		}
	}
	return out
}

// near lists the other leaves that may reach a facet.
func (a *arrangement) near(own int, f solid.Facet) []int {
	b := boundsOf(f.Pts)
	var out []int
	for i := range a.leaves {
		if i != own && !apart(a.box[i], b) {
			out = append(out, i)
		}
	}
	return out
}

// shatter clips a facet against the cells near it, so that no cell's side crosses any piece.
func (a *arrangement) shatter(f solid.Facet, near []int) [][]r3.Vec {
	pieces := [][]r3.Vec{f.Pts}
	for _, i := range near {
		for _, cell := range a.leaves[i].Cells {
			var next [][]r3.Vec
			for _, p := range pieces {
				next = append(next, clip(p, f.Plane, cell)...)
			}
			pieces = next
		}
	}
	return pieces
}

// clip splits a polygon into the piece inside a cell and the pieces outside; it leaves the polygon whole when the cell
// does not reach it.
func clip(poly []r3.Vec, carrier solid.Plane, cell []solid.Plane) [][]r3.Vec {
	var outs [][]r3.Vec
	inside := poly
	for _, e := range cell {
		if coincide(carrier, e) != 0 {
			continue
		}
		in, out := split(inside, e)
		if len(in) < 3 {
			return [][]r3.Vec{poly}
		}
		if len(out) >= 3 {
			outs = append(outs, out)
		}
		inside = in
	}
	if len(outs) == 0 {
		return [][]r3.Vec{poly}
	}
	return append(outs, inside)
}

// coincide is 1 for equal planes, -1 for equal planes that face opposite ways, else 0.
func coincide(a, b solid.Plane) int {
	if r3.Norm2(r3.Cross(a.N, b.N)) > sameDir*sameDir {
		return 0
	}
	if r3.Dot(a.N, b.N) > 0 {
		if math.Abs(a.D-b.D) <= sameOff {
			return 1
		}
		return 0
	}
	if math.Abs(a.D+b.D) <= sameOff {
		return -1
	}
	return 0
}

// split cuts a convex polygon by a plane into the part below and the part above; points within on of the plane belong
// to both.
func split(poly []r3.Vec, e solid.Plane) (below, above []r3.Vec) {
	d := make([]float64, len(poly))
	lo, hi := 0.0, 0.0
	for i, p := range poly {
		d[i] = e.Above(p)
		lo, hi = math.Min(lo, d[i]), math.Max(hi, d[i])
	}
	if hi <= on {
		return poly, nil
	}
	if lo >= -on {
		return nil, poly
	}
	for i, p := range poly {
		j := (i + 1) % len(poly)
		if d[i] <= on {
			below = append(below, p)
		}
		if d[i] >= -on {
			above = append(above, p)
		}
		if (d[i] < -on && d[j] > on) || (d[i] > on && d[j] < -on) {
			q := crossing(p, poly[j], d[i], d[j])
			below, above = append(below, q), append(above, q)
		}
	}
	return below, above
}

// crossing is where the edge meets the plane, computed the same from either end.
func crossing(p, q r3.Vec, dp, dq float64) r3.Vec {
	if dp > dq {
		p, q, dp, dq = q, p, dq, dp
	}
	return r3.Add(p, r3.Scale(dp/(dp-dq), r3.Sub(q, p)))
}

// judge evaluates the tree just below and just above a piece and returns it as seen from outside if the solid changes
// there. Where facets of several leaves coincide, the first leaf that changes there brings the piece.
func (a *arrangement) judge(own int, near []int, f solid.Facet, pts []r3.Vec) (fragment, bool) {
	c := r3.Vec{}
	for _, p := range pts {
		c = r3.Add(c, p)
	}
	c = r3.Scale(1/float64(len(pts)), c)
	below, above := make([]bool, len(a.leaves)), make([]bool, len(a.leaves))
	below[own] = true
	for _, i := range near {
		below[i], above[i] = sides(a.leaves[i].Cells, f.Plane, c)
		if i < own && below[i] != above[i] {
			return fragment{}, false
		}
	}
	in, out := a.holds(below), a.holds(above)
	if in == out {
		return fragment{}, false
	}
	g := fragment{pts: pts, plane: f.Plane, face: f.Face}
	if out {
		g = g.turned()
	}
	return g, true
}

func (g fragment) turned() fragment {
	pts := make([]r3.Vec, len(g.pts))
	for i, p := range g.pts {
		pts[len(pts)-1-i] = p
	}
	return fragment{pts: pts, plane: solid.Plane{N: r3.Scale(-1, g.plane.N), D: -g.plane.D}, face: g.face}
}

// sides says whether the points just below and just above c, a point of the plane, lie in the union of the cells.
func sides(cells [][]solid.Plane, carrier solid.Plane, c r3.Vec) (below, above bool) {
	for _, cell := range cells {
		b, t := true, true
		for _, e := range cell {
			switch coincide(carrier, e) {
			case 1:
				t = false
			case -1:
				b = false
			default:
				if e.Above(c) > 0 {
					b, t = false, false
				}
			}
			if !b && !t {
				break
			}
		}
		below, above = below || b, above || t
	}
	return below, above
}
