package contour

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Ray gives the first facet met from p along dir (any length but 0) no further than far, and the distance, mm. Rays
// through an edge or corner meet one of the facets there: the side of each edge is found by a product that only changes
// its sign when the edge is run the other way (after S. Woop, C. Benthin and I. Wald, Watertight Ray/Triangle
// Intersection, Journal of Computer Graphics Techniques 2 (2013)). Distances carry rounding; one just below 0 is lost.
func (t *Tree) Ray(p, dir r3.Vec, far float64) (dist float64, facet int, ok bool) {
	r, ok := newRay(p, dir, far)
	if !ok || len(t.nodes) == 0 {
		return 0, -1, false
	}
	t.rayIn(0, &r)
	return r.best, int(r.facet), r.facet >= 0
}

// ray is seen along its own main axis k: x and y of a point are sheared so that the ray is the point (0, 0).
type ray struct {
	p, dir  r3.Vec
	i, j, k int
	si, sj  float64
	best    float64
	facet   int32
}

func newRay(p, dir r3.Vec, far float64) (ray, bool) {
	length := r3.Norm(dir)
	if !finite(p) || !finite(dir) || !(length > 0) || !(far >= 0) {
		return ray{}, false
	}
	r := ray{p: p, dir: r3.Scale(1/length, dir), best: far, facet: -1}
	r.k = longestAxis(r3.Vec{X: math.Abs(dir.X), Y: math.Abs(dir.Y), Z: math.Abs(dir.Z)})
	r.i, r.j = (r.k+1)%3, (r.k+2)%3
	main := component(r.dir, r.k)
	r.si, r.sj = component(r.dir, r.i)/main, component(r.dir, r.j)/main
	return r, true
}

func (t *Tree) rayIn(at int32, r *ray) {
	n := &t.nodes[at]
	if !r.reaches(n) {
		return
	}
	if n.right == 0 {
		for _, f := range t.leaf(n) {
			if d, ok := r.hit(t.facet(f)); ok && (d < r.best || d == r.best && (r.facet < 0 || f < r.facet)) {
				r.best, r.facet = d, f
			}
		}
		return
	}
	first, second := n.left, n.right
	side := component(r.dir, r.k)
	if (component(t.nodes[second].lo, r.k)-component(t.nodes[first].lo, r.k))*side < 0 {
		first, second = second, first
	}
	t.rayIn(first, r)
	t.rayIn(second, r)
}

// reaches tells whether the ray meets the box no further than its best, with room for rounding.
func (r *ray) reaches(n *treeNode) bool {
	near, far := 0.0, r.best
	for axis := range 3 {
		lo, hi := component(n.lo, axis)-component(r.p, axis), component(n.hi, axis)-component(r.p, axis)
		slack := 1e-12 * (math.Abs(component(r.p, axis)) + math.Abs(lo) + math.Abs(hi))
		lo, hi = lo-slack, hi+slack
		d := component(r.dir, axis)
		if math.Abs(d) < 1e-300 {
			if lo > 0 || hi < 0 {
				return false
			}
			continue
		}
		a, b := lo/d, hi/d
		near, far = max(near, min(a, b)), min(far, max(a, b))
	}
	return near <= far*(1+1e-12)+1e-12
}

// hit is the distance along the ray to a triangle, if it is met from 0 to best.
func (r *ray) hit(t triangle) (float64, bool) {
	var x, y, z [3]float64
	main := component(r.dir, r.k)
	for i, v := range t {
		w := r3.Sub(v, r.p)
		z[i] = component(w, r.k)
		x[i] = component(w, r.i) - float64(r.si*z[i])
		y[i] = component(w, r.j) - float64(r.sj*z[i])
	}
	u := float64(x[2]*y[1]) - float64(y[2]*x[1])
	v := float64(x[0]*y[2]) - float64(y[0]*x[2])
	w := float64(x[1]*y[0]) - float64(y[1]*x[0])
	if (u < 0 || v < 0 || w < 0) && (u > 0 || v > 0 || w > 0) {
		return 0, false
	}
	sum := u + v + w
	if sum == 0 {
		return 0, false // seen edge on
	}
	d := (u*z[0] + v*z[1] + w*z[2]) / sum / main
	return d, d >= 0 && d <= r.best
}
