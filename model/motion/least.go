// Package motion holds the two halves of a lock against each other: the least distance between solids with proof on both
// sides, the bent leaf as a solid, and how far the closed lock turns before it touches.
//
// Every distance comes as two bounds. The upper one is the distance of two points that truly lie on the two surfaces. The
// lower one holds for whole patches of surface: two patches are no nearer to each other than the boxes that hold them, and
// a patch is left out only where the solid's own field proves that none of it is surface. Points alone never decide
// that nothing touches. Rounding is left aside: it stays below 1e-12 mm for solids of some tens of mm.
package motion

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Gap is what lies between two solids.
type Gap struct {
	Lower   float64 // no two points of the surfaces (outside expected places) are nearer, mm; -Depth where the solids overlap
	Upper   float64 // the distance of P and Q, mm; infinite where the search stopped beyond its limit before it met any two points, -Depth where the solids overlap
	P, Q    r3.Vec  // points of the two surfaces; where the solids overlap both are one point in both metals
	Overlap bool    // the solids have metal in common, proven by the point P
	Depth   float64 // how far P lies in both metals, mm: in truth it may be more there, and deeper elsewhere
	Stopped bool    // the search gave up after its most steps: the bounds hold but may be apart
	Steps   int     // pairs of patches that were looked at
}

// Touch tells whether the solids touch, or come nearer than the clearance wanted (mm, 0 for touching alone), as far as is
// proven: certain is false where the bounds leave it open.
func (g Gap) Touch(wanted float64) (touch, certain bool) {
	switch {
	case g.Overlap || g.Upper <= wanted:
		return true, true
	case g.Lower >= wanted && g.Lower > 0:
		return false, true
	}
	return true, false
}

// Place is where a contact is expected: all that lies within R of the line along y through (X, Z), mm.
type Place struct{ X, Z, R float64 }

func (c Place) holds(p r3.Vec) bool { return math.Hypot(p.X-c.X, p.Z-c.Z) <= c.R }

// Options of a search.
type Options struct {
	Tolerance float64 // the bounds come together to this, mm; 0.001 when 0
	Limit     float64 // distances beyond it are of no interest: the search stops when Lower reaches it, mm; infinite when 0
	Expected  []Place // pairs of points of which either lies in one of these do not count; in the frame of b
	Half      bool    // both solids are mirror-symmetric about y = 0: only points of a with y >= 0 are looked at
	Most      int     // pairs of patches to look at, 3 million when 0
}

func (o Options) set() Options {
	if o.Tolerance == 0 {
		o.Tolerance = 0.001
	}
	if o.Limit == 0 {
		o.Limit = math.Inf(1)
	}
	if o.Most == 0 {
		o.Most = 3_000_000
	}
	return o
}

// Least is the least distance between two solids, mm.
func Least(a, b *solid.Solid, o Options) Gap {
	return LeastOf([]Placed{{NewBody(a), solid.Upright}}, NewBody(b), o)
}

// LeastOf is the least distance between the union of some placed bodies and one at rest, mm. Parts of the union may
// overlap each other.
//
// Method: pairs of patches, the nearest first; one of a pair is halved until its two bounds meet. Faces that run parallel are
// settled whole, since the box round a flat patch has no thickness.
func LeastOf(a []Placed, b *Body, o Options) Gap {
	s := search{b: b, o: o.set(), gap: Gap{Upper: math.Inf(1)}, cut: math.Inf(1), hunt: hunting}
	for _, p := range a {
		s.a = append(s.a, &placed{Body: p.Body, at: p.At})
	}
	return s.run()
}

// search is one search for the least distance.
type search struct {
	a      []*placed
	b      *Body
	o      Options
	heap   pairs
	cut    float64 // pairs that were left aside are no nearer than this
	missed int     // points beside the surface so far
	hunt   int     // so many more pairs are looked at for common metal where the surfaces meet
	gap    Gap
}

func (s *search) run() Gap {
	for part := range s.a {
		for i := range s.a[part].eldest {
			for j := range s.b.eldest {
				s.offer(int32(part), int32(i), int32(j))
			}
		}
	}
	for len(s.heap.list) > 0 && s.heap.list[0].far < s.enough() && !s.gap.Overlap {
		if s.gap.Steps++; s.gap.Steps > s.o.Most || s.full() {
			s.gap.Stopped = true
			break
		}
		if s.touching() {
			s.hunt--
		}
		s.step(s.heap.pop())
	}
	if len(s.heap.list) > 0 {
		s.cut = min(s.cut, s.heap.list[0].far)
	}
	s.swallowed()
	if s.gap.Overlap {
		s.deepen()
	} else {
		s.gap.Lower = min(s.cut, s.gap.Upper)
	}
	return s.gap
}

// mostPatches is how many patches a body may be cut into: beyond, surfaces run so close beside each other that the search would go on until memory ends. A
// sound lock takes some ten thousand.
const mostPatches = 400_000

// full tells whether one of the bodies has been cut into as many patches as it may.
func (s *search) full() bool {
	for _, a := range s.a {
		if len(a.patches) > mostPatches {
			return true
		}
	}
	return len(s.b.patches) > mostPatches
}

// hunting is how many pairs are looked at after two surfaces were found to meet, to tell a touch from an overlap.
const hunting = 1500

func (s *search) touching() bool { return s.gap.Upper <= s.o.Tolerance }

// enough is the lower bound from which on a pair is of no interest.
func (s *search) enough() float64 {
	if s.touching() && s.hunt > 0 {
		return min(1e-9, s.o.Limit)
	}
	return min(s.gap.Upper-s.o.Tolerance, s.o.Limit)
}

// offer takes up a pair unless it is too far apart or does not count.
func (s *search) offer(part, i, j int32) {
	p, q := s.a[part].hullOf(i), &s.b.patches[j].hull
	if s.o.Half && p.mid.Y+p.half.Y < 0 {
		return
	}
	far := p.apart(q, s.enough())
	if far >= s.enough() {
		s.cut = min(s.cut, far)
		return
	}
	if !s.expected(p) && !s.expected(q) {
		s.heap.push(pair{far: far, part: part, i: i, j: j})
	}
}

// expected tells whether the whole hull lies in a place of expected contact.
func (s *search) expected(h *hull) bool {
	for _, c := range s.o.Expected {
		if math.Hypot(math.Abs(h.mid.X-c.X)+h.half.X, math.Abs(h.mid.Z-c.Z)+h.half.Z) <= c.R {
			return true
		}
	}
	return false
}

func (s *search) counts(p r3.Vec) bool {
	for _, c := range s.o.Expected {
		if c.holds(p) {
			return false
		}
	}
	return true
}

// smallest is the size of patches that are not halved any more, mm.
const smallest = 1e-6

// step looks at a pair: drops it where one of the two is no surface, tries two of its points, and halves one.
func (s *search) step(it pair) {
	a := s.a[it.part]
	if !a.visible(it.i) || !s.b.visible(it.j) {
		return
	}
	p, q := a.hullOf(it.i), &s.b.patches[it.j].hull
	way := s.try(it, p)
	if it.far == 0 && s.crossed(a, it, p, q) {
		return
	}
	if max(p.radius, q.radius) < smallest {
		s.cut = min(s.cut, it.far)
		return
	}
	if n := norm(way); n > 1e-9 {
		way = r3.Scale(1/n, way)
	} else {
		way = r3.Vec{}
	}
	least := s.o.Tolerance / 8
	ours, theirs := a.cuttable(it.i), s.b.cuttable(it.j)
	if ours && (!theirs || p.radius >= q.radius) || !theirs && first(p, q, way, least) {
		k := a.split(it.i)
		s.offer(it.part, k, it.j)
		s.offer(it.part, k+1, it.j)
		return
	}
	k := s.b.split(it.j)
	s.offer(it.part, it.i, k)
	s.offer(it.part, it.i, k+1)
}

// lopsided is by how much one of a pair may be larger than the other before it is halved whatever else.
const lopsided = 6

// first tells whether p is to be halved and not q: the one that reaches further along the way between the two, which is what keeps the
// lower bound down; the larger one where neither does by more than least, as across a gap between flats, where the two meet, or where it is
// much larger.
func first(p, q *hull, way r3.Vec, least float64) bool {
	if max(p.radius, q.radius) < lopsided*min(p.radius, q.radius) {
		if a, b := p.reach(way), q.reach(way); max(a, b) > least {
			return a >= b
		}
	}
	return p.radius >= q.radius
}

// try goes to and fro between the two patches; where that ends in two points of the surfaces that are nearer than
// any so far, they are kept. Beside edges it ends next to the surface, as patches are cut a little aside: there, once the patches are small
// and now and then before, the points are brought on to the surface. way leads from one patch to the other.
func (s *search) try(it pair, h *hull) (way r3.Vec) {
	a := s.a[it.part]
	q := s.b.point(it.j, h.on)
	var p, own r3.Vec
	for range 3 {
		own = a.point(it.i, a.at.Local(q))
		p = a.at.World(own)
		q = s.b.point(it.j, p)
	}
	way = r3.Sub(q, p)
	if norm(way) >= s.gap.Upper {
		return way
	}
	if !a.holdsOnSurface(own) || !s.b.holdsOnSurface(q) {
		small := h.radius+s.b.patches[it.j].radius < s.o.Tolerance
		if s.missed++; s.missed%rarely != 0 && !small {
			return way
		}
		var ok, ok2 bool
		own, _, ok = a.solid.Witness(own)
		if q, _, ok2 = s.b.solid.Witness(q); !ok || !ok2 {
			return way
		}
		p = a.at.World(own)
	}
	if d := norm(r3.Sub(p, q)); d < s.gap.Upper && s.counts(p) && s.counts(q) {
		s.gap.Upper, s.gap.P, s.gap.Q = d, p, q
		if d < 1e-6 {
			s.wedge(a, p)
		}
	}
	return way
}

// rarely is how seldom points beside the surface are brought on to it while patches are large.
const rarely = 16

// slope is the direction in which a field grows, by differences.
func slope(f func(r3.Vec) float64, p r3.Vec) r3.Vec {
	const h = 1e-5 // mm
	d := func(e r3.Vec) float64 { return f(r3.Add(p, r3.Scale(h, e))) - f(r3.Sub(p, r3.Scale(h, e))) }
	return unit(r3.Vec{X: d(r3.Vec{X: 1}), Y: d(r3.Vec{Y: 1}), Z: d(r3.Vec{Z: 1})})
}

// wedge looks for common metal from where two surfaces cross: in the direction in which both fields fall alike, which lies between the
// faces however small the angle between them is.
func (s *search) wedge(a *placed, p r3.Vec) {
	both := r3.Add(slope(a.eval, p), slope(s.b.cover.Eval, p))
	if norm(both) < 1e-9 {
		return
	}
	both = unit(both)
	for step := 0.5; step > 1e-4 && !s.gap.Overlap; step /= 2 {
		if q := r3.Sub(p, r3.Scale(step, both)); max(a.eval(q), s.b.cover.Eval(q)) < -inMetal && s.counts(q) {
			s.gap.Overlap, s.gap.P, s.gap.Q = true, q, q
		}
	}
}

// inMetal is how deep a point must lie for an overlap to be proven by it, mm: far above rounding.
const inMetal = 1e-7

// crossed looks for common metal at a pair that may meet: at the middles, and once surfaces are known to meet at the corners too.
func (s *search) crossed(a *placed, it pair, p, q *hull) bool {
	if s.common(a, p.on, true) || s.common(a, q.on, false) {
		return true
	}
	if !s.touching() {
		return false
	}
	for _, c := range a.corners(it.i) {
		if s.common(a, a.at.World(c), true) {
			return true
		}
	}
	for _, c := range s.b.corners(it.j) {
		if s.common(a, c, false) {
			return true
		}
	}
	return false
}

// common looks whether a point of one surface, of a's where ours, lies in the metal of the other: then there is metal that both have.
func (s *search) common(a *placed, p r3.Vec, ours bool) bool {
	in, on := a.eval, s.b.cover.Eval
	if ours {
		in, on = on, in
	}
	if in(p) < -inMetal && on(p) <= onSurface && s.counts(p) {
		s.gap.Overlap, s.gap.P, s.gap.Q = true, p, p
		return true
	}
	return false
}

// swallowed looks whether one of the two lies wholly within the other, so that no surfaces meet: it holds a point of each wall
// of the one against the other's metal. A separate piece that lies within the other is missed only if none of its walls has a point of
// surface in the middles that surfacePoint tries.
func (s *search) swallowed() {
	for _, a := range s.a {
		for i := range a.eldest {
			if p, ok := a.surfacePoint(int32(i)); ok && !s.gap.Overlap {
				s.common(a, a.at.World(p), true)
			}
		}
		for j := range s.b.eldest {
			if q, ok := s.b.surfacePoint(int32(j)); ok && !s.gap.Overlap {
				s.common(a, q, false)
			}
		}
	}
}

// surfacePoint is a point of a wall that is surface, looked for in its middle and in the middles of its parts.
func (b *Body) surfacePoint(i int32) (p r3.Vec, ok bool) {
	row := []int32{i}
	for k := 0; k < len(row) && k < 32; k++ {
		if !b.visible(row[k]) {
			continue
		}
		if p := b.patches[row[k]].on; b.holdsOnSurface(p) {
			return p, true
		}
		kid := b.split(row[k])
		row = append(row, kid, kid+1)
	}
	return p, false
}

// deepen goes from a point in both metals to where it is deeper, by ever smaller steps along the axes and down both fields, and sets both
// bounds to the depth there.
func (s *search) deepen() {
	ours := func(p r3.Vec) float64 {
		in := math.Inf(1)
		for _, a := range s.a {
			in = min(in, a.eval(p))
		}
		return in
	}
	p := s.gap.P
	depth := func(p r3.Vec) float64 { return -max(ours(p), s.b.cover.Eval(p)) }
	best := depth(p)
	for step := 0.25; step > 1e-5; {
		moved := false
		m, n := slope(ours, p), slope(s.b.cover.Eval, p)
		for _, d := range [...]r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}, r3.Scale(-1, m), r3.Scale(-1, n), r3.Scale(-1, unit(r3.Add(m, n)))} {
			q := r3.Add(p, r3.Scale(step, d))
			if v := depth(q); v > best && s.counts(q) {
				p, best, moved = q, v, true
			}
		}
		if !moved {
			step /= 2
		}
	}
	s.gap.P, s.gap.Q = p, p
	s.gap.Depth, s.gap.Lower, s.gap.Upper = max(best, 0), -max(best, 0), -max(best, 0)
}
