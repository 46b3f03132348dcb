package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Sight is what a cover tells of a primitive's surface in a place.
type Sight byte

// A primitive's surface is no part of the solid's, it is, or other primitives decide.
const (
	Hidden Sight = iota
	Clear
	Mixed
)

// View is what a cover tells of a primitive's surface round a point of it.
type View struct {
	Ball Sight   // within the distance asked for
	Here Sight   // at the point itself; Mixed where another face runs through it
	Near []int32 // the primitives whose surface comes within that distance and can hide it
}

// Look tells of the surface of one primitive, by its place in the order of the tree's leaves, whether it is part of the
// solid's within r of p, a point of that surface. Proven, since every node has slope at most 1: what is nowhere near 0
// in the ball keeps its sign there. The view is kept in v.
func (c *Cover) Look(p r3.Vec, r float64, leaf int32, v *View) {
	tree := c.root
	if i := c.find(p, r); i >= 0 {
		tree = c.cubes[i].tree
	}
	*v = View{Ball: Clear, Here: Clear, Near: v.Near[:0]}
	if !c.look(tree, p, r+onSurface, leaf, v) {
		v.Ball, v.Here = Hidden, Hidden
	}
}

// look narrows the view and tells whether it found the leaf.
func (c *Cover) look(tree ref, p r3.Vec, r float64, leaf int32, view *View) bool {
	n := &c.nodes[tree>>1]
	if n.leaf >= 0 {
		return n.leaf == leaf
	}
	own := -1
	for i, k := range n.kids {
		if c.look(k, p, r, leaf, view) {
			own = i
			break
		}
	}
	if own < 0 || view.Ball == Hidden {
		return own >= 0
	}
	for i, k := range n.kids {
		if i == own {
			continue
		}
		v := c.within(k, p, r)
		if n.most {
			v = -v // the least of the reverse
		}
		if v < -r {
			view.Ball, view.Here = Hidden, Hidden
			return true
		}
		if v <= r {
			view.Ball = Mixed
			if leaf := c.nodes[k>>1].leaf; leaf >= 0 {
				view.Near = append(view.Near, leaf)
			} else {
				view.Near = c.close(k, p, r, view.Near)
			}
		}
		switch {
		case v < -2*onSurface:
			view.Here = Hidden
		case v <= 2*onSurface && view.Here == Clear:
			view.Here = Mixed
		}
	}
	return true
}

// within is value where that is within r of 0; elsewhere it is on the same side of 0 and more than r from it too.
func (c *Cover) within(tree ref, p r3.Vec, r float64) float64 {
	n := &c.nodes[tree>>1]
	if n.leaf >= 0 {
		l := &c.leaves[n.leaf]
		q := l.pose.Local(p)
		d := boxDist(l.bounds, q)
		if d <= r+onSurface { // else at least that far outside, rounding or not
			d = l.shape.Dist(q)
		}
		return signed(tree, d)
	}
	d := boxDist(n.bounds, p)
	if d <= r+onSurface {
		d = c.within(n.kids[0], p, r)
		for _, k := range n.kids[1:] {
			if v := c.within(k, p, r); v > d == n.most {
				d = v
			}
		}
	}
	return signed(tree, d)
}

// close adds the leaves below a node whose surface comes within r of p.
func (c *Cover) close(tree ref, p r3.Vec, r float64, near []int32) []int32 {
	n := &c.nodes[tree>>1]
	if n.leaf >= 0 {
		if math.Abs(c.within(tree, p, r)) <= r {
			near = append(near, n.leaf)
		}
		return near
	}
	for _, k := range n.kids {
		near = c.close(k, p, r, near)
	}
	return near
}

// Faces gives the carriers of a primitive, by its place in the order of the tree's leaves, and the number of its first
// face.
func (c *Cover) Faces(leaf int32) (first int, on []Carrier) {
	l := &c.leaves[leaf]
	return l.first, l.carriers
}

// Dist is the distance of p from a primitive, by its place in the order of the tree's leaves.
func (c *Cover) Dist(leaf int32, p r3.Vec) float64 { return c.leaves[leaf].dist(p) }
