// Package solid holds signed-distance solids: immutable trees of exact primitives under union, intersection and
// difference.
//
// Guaranteed: Eval is negative inside, has slope at most 1, never exceeds the distance in size, and is zero exactly on
// the surface; bounds contain the solid; a witness lies on the surface within 1e-9 mm. Not guaranteed: that Eval is the
// distance itself on the wrong side of a Boolean, and that a witness is the nearest point of the surface.
//
// Parts that are joined must overlap a little: two that merely abut leave a sheet of zeros inside.
package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Op is what an inner node of the tree does with its children.
type Op byte

// The operations. A Leaf has no children.
const (
	Leaf Op = iota
	Union
	Intersection
	Difference // the first child less all others
)

// Solid is a node of the tree. It is immutable and may be shared between trees.
type Solid struct {
	op     Op
	kids   []*Solid
	shape  Shape
	pose   Pose
	bounds r3.Box
	leaves int // leaves in this subtree
	faces  int // faces that they bring
}

// Shape is a primitive in its own frame.
type Shape interface {
	// Dist is the exact signed distance, negative inside.
	Dist(p r3.Vec) float64
	// Closest is the nearest point of the surface and the index of the face that it lies on.
	Closest(p r3.Vec) (q r3.Vec, face int)
	// Bounds contains the shape.
	Bounds() r3.Box
	// Faces names the faces, one tag each.
	Faces() []string
	// Carriers lists the plane, cylinder, cone, ball or ring that each face is part of.
	Carriers() []Carrier
	// Facet approximates the shape by facets within a distance, with edges along its cylinders at the contacts.
	Facet(within Chord, at contacts) Faceted
}

// New is a primitive at a pose.
func New(s Shape, at Pose) *Solid {
	return &Solid{op: Leaf, shape: s, pose: at, bounds: at.box(s.Bounds()), leaves: 1, faces: len(s.Faces())}
}

// Join is the union of solids, which should overlap where they meet.
func Join(parts ...*Solid) *Solid { return inner(Union, parts) }

// Common is the intersection of solids.
func Common(parts ...*Solid) *Solid { return inner(Intersection, parts) }

// Cut is a solid less the others.
func Cut(s *Solid, tools ...*Solid) *Solid { return inner(Difference, append([]*Solid{s}, tools...)) }

func inner(op Op, kids []*Solid) *Solid {
	s := &Solid{op: op, kids: kids, bounds: kids[0].bounds}
	for i, k := range kids {
		s.leaves += k.leaves
		s.faces += k.faces
		switch {
		case i == 0 || op == Difference:
		case op == Union:
			s.bounds = unite(s.bounds, k.bounds)
		case op == Intersection:
			s.bounds = overlap(s.bounds, k.bounds)
		}
	}
	return s
}

// Bounds contains the solid; it is tight for primitives and unions.
func (s *Solid) Bounds() r3.Box { return s.bounds }

// Eval is the signed distance field: negative inside, at most the distance in size, zero on the surface.
func (s *Solid) Eval(p r3.Vec) float64 {
	switch s.op {
	case Leaf:
		return s.shape.Dist(s.pose.Local(p))
	case Union:
		d := math.Inf(1)
		for _, k := range s.kids {
			// Outside its bounds by b > 0, a part is at least b away.
			if b := boxDist(k.bounds, p); b == 0 || b < d {
				d = math.Min(d, k.Eval(p))
			}
		}
		return d
	case Intersection:
		d := s.kids[0].Eval(p)
		for _, k := range s.kids[1:] {
			d = math.Max(d, k.Eval(p))
		}
		return d
	}
	d := s.kids[0].Eval(p)
	for _, k := range s.kids[1:] {
		// Outside its bounds by b > 0, a tool is at least b away, so it cannot raise d above -b.
		if b := boxDist(k.bounds, p); b > 0 && d >= -b {
			continue
		}
		d = math.Max(d, -k.Eval(p))
	}
	return d
}

// Tags names every face of the solid, leaf by leaf, in the order of the face numbers that Witness and Facet use.
func (s *Solid) Tags() []string {
	if s.op == Leaf {
		return s.shape.Faces()
	}
	var t []string
	for _, k := range s.kids {
		t = append(t, k.Tags()...)
	}
	return t
}

// active is the leaf that decides Eval at p, the number of its first face, and the value.
func (s *Solid) active(p r3.Vec) (leaf *Solid, first int, f float64) {
	if s.op == Leaf {
		return s, 0, s.Eval(p)
	}
	offset := 0
	for i, k := range s.kids {
		if b := boxDist(k.bounds, p); i > 0 && b > 0 && (s.op == Union && b >= f || s.op == Difference && -b <= f) {
			offset += k.faces // too far away to decide, as in Eval
			continue
		}
		l, n, v := k.active(p)
		if s.op == Difference && i > 0 {
			v = -v
		}
		if i == 0 || (s.op == Union && v < f) || (s.op != Union && v > f) {
			leaf, first, f = l, offset+n, v
		}
		offset += k.faces
	}
	return leaf, first, f
}

// onSurface is how near to zero Eval must be for a point to count as lying on the surface, mm: float64 rounding at a
// few tens of millimetres through a rigid pose stays below it.
const onSurface = 1e-9

// Witness is a point that truly lies on the surface, near p, and the number of a face that it lies on. It is found by
// projecting, again and again, onto the primitive that decides the field there; |p-q| is an upper bound of the distance
// from p to the surface. ok is false when that does not settle.
func (s *Solid) Witness(p r3.Vec) (q r3.Vec, face int, ok bool) {
	q = p
	var last, before Carrier // of the latest two primitives that decided, for edges
	for i := range 64 {
		leaf, first, _ := s.active(q)
		c, local := leaf.shape.Closest(leaf.pose.Local(q))
		q, face = leaf.pose.World(c), first+local
		if math.Abs(s.Eval(q)) <= onSurface {
			return q, face, true
		}
		if i < patience {
			continue
		}
		if here := leaf.pose.carrier(leaf.shape.Carriers()[local]); here != last {
			last, before = here, last
		}
		if e, ok := Settle(q, []Carrier{last, before}); i > patience && ok && math.Abs(s.Eval(e)) <= onSurface {
			return e, face, true
		}
	}
	return s.cast(p)
}

// patience is how many projections Witness makes before it takes the point to be near an edge, where projecting to and
// fro converges slowly, and goes to the edge itself by Newton's method.
const patience = 6

// cast finds a witness where projection goes to and fro, as it does deep inside overlapping parts: the nearest of the
// surface points met along the axes.
func (s *Solid) cast(p r3.Vec) (q r3.Vec, face int, ok bool) {
	const far = 1e3 // mm; no lock is larger
	best := far
	for _, dir := range []r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}} {
		if d := s.Trace(p, dir, best); d < best {
			best, q, ok = d, r3.Add(p, r3.Scale(d, dir)), true
		}
	}
	if !ok {
		return p, 0, false
	}
	leaf, first, _ := s.active(q)
	_, local := leaf.shape.Closest(leaf.pose.Local(q))
	return q, first + local, true
}

// Trace goes from p along the unit vector dir and returns how far it is to the surface, to 1e-9 mm along the field, or max when none
// is met before or the line only grazes a face. It is meant to start outside, or inside, and stops at the first zero.
func (s *Solid) Trace(p, dir r3.Vec, max float64) float64 {
	t := 0.0
	for range mostSteps {
		d := math.Abs(s.Eval(r3.Add(p, r3.Scale(t, dir))))
		if d <= onSurface {
			return t
		}
		if t += d; t >= max { // safe: the surface is at least d away
			break
		}
	}
	return max
}

// mostSteps ends a trace that creeps along a face that it grazes without ever meeting it.
const mostSteps = 4000
