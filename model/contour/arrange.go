package contour

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// The lengths below which two things count as one, mm. Rounding of float64 at a few tens of millimetres stays a
// thousand times below the first; what differs on purpose differs by far more than the last.
const (
	on     = 1e-11 // a corner lies on a plane; small, since at a shallow angle it stands for many times as much along it
	weld   = 1e-8  // two computed points are one
	beside = 3e-8  // a point halfway between welded points lies on a plane
)

// sameDir and sameOff are how far two planes may differ and still be one carrier: direction as a sine, offset in mm. Rounding through a
// rigid pose stays a hundred times below it; planes that differ on purpose differ a hundred times more.
const (
	sameDir = 1e-10
	sameOff = 1e-9
)

// workOrder, when set by a test, is the order in which pieces of work are taken up. It must not show in the mesh.
var workOrder func(n int) []int

// inParallel does n small pieces of work on all cores.
func inParallel(n int, work func(i int)) {
	if workOrder == nil {
		parallel(n, work)
		return
	}
	order := workOrder(n)
	parallel(n, func(k int) { work(order[k]) })
}

// inParallelWith does n larger pieces of work on all cores; start gives each core its own room.
func inParallelWith(n int, start func() func(i int)) {
	order := func(k int) int { return k }
	if workOrder != nil {
		shuffled := workOrder(n)
		order = func(k int) int { return shuffled[k] }
	}
	parallelWith(n, 1, func() (func(int), func()) {
		work := start()
		return func(k int) { work(order(k)) }, func() {}
	})
}

// arrangement is the faceted solid, ready for cutting.
type arrangement struct {
	leaves  []solid.FacetedLeaf
	box     [][]r3.Box      // of each leaf's facets
	near    [][]int32       // of each leaf: the others that reach its bounds
	formula []solid.Formula // of each leaf: the solid's, others than the near ones taken to be far
	start   []int           // number of each leaf's first facet, and of all at the end
}

func newArrangement(leaves []solid.FacetedLeaf, f solid.Formula) *arrangement {
	n := len(leaves)
	a := &arrangement{leaves: leaves, box: make([][]r3.Box, n), near: make([][]int32, n), formula: make([]solid.Formula, n), start: make([]int, n+1)}
	for i, l := range leaves {
		a.start[i+1] = a.start[i] + len(l.Facets)
	}
	inParallelWith(n, func() func(i int) {
		known, room := make([]solid.Known, n), solid.Scratch{}
		return func(i int) {
			l := &leaves[i]
			a.box[i] = make([]r3.Box, len(l.Facets))
			for k, g := range l.Facets {
				a.box[i][k] = boundsOf(l.Pts, g.V)
			}
			for j := range leaves {
				known[j] = solid.Unknown
				if i != j && apart(l.Box, leaves[j].Box) {
					known[j] = solid.Outside
				} else if i != j {
					a.near[i] = append(a.near[i], int32(j))
				}
			}
			room.Reset()
			a.formula[i] = f.Given(known, &room).Clone()
		}
	})
	return a
}

func boundsOf(pts []r3.Vec, which []int32) r3.Box {
	b := r3.Box{Min: pts[which[0]], Max: pts[which[0]]}
	for _, i := range which[1:] {
		b = stretched(b, pts[i])
	}
	return b
}

func stretched(b r3.Box, p r3.Vec) r3.Box {
	return r3.Box{
		Min: r3.Vec{X: math.Min(b.Min.X, p.X), Y: math.Min(b.Min.Y, p.Y), Z: math.Min(b.Min.Z, p.Z)},
		Max: r3.Vec{X: math.Max(b.Max.X, p.X), Y: math.Max(b.Max.Y, p.Y), Z: math.Max(b.Max.Z, p.Z)},
	}
}

func apart(a, b r3.Box) bool {
	return a.Min.X > b.Max.X+weld || b.Min.X > a.Max.X+weld || a.Min.Y > b.Max.Y+weld || b.Min.Y > a.Max.Y+weld ||
		a.Min.Z > b.Max.Z+weld || b.Min.Z > a.Max.Z+weld
}

// piece is a facet that may be part of the surface.
type piece struct {
	leaf, facet int32
	formula     solid.Formula // what is left of the solid's formula near the facet
	open        []int32       // leaves whose surface may cross the facet, or lie in its plane
	flush       []int32       // those among them with a facet in its plane
	cuts        []seam        // segments that they have in common with it
	cross       []r3.Vec      // where such segments cross
	beside      bool          // another primitive comes near, so that corners of other facets may lie on the rim
	over        bool          // of a facet that nothing cuts: the solid lies above it
}

// whole says whether no other primitive reaches the facet, so that all of it is surface.
func (p *piece) whole() bool { return !p.beside }

// seam is a segment that a facet has in common with a facet of another leaf.
type seam struct {
	a, b r3.Vec
	leaf int32
}

// pieces finds the facets that may be part of the surface, and what cuts them.
func (a *arrangement) pieces() []piece {
	type job struct{ leaf, from, to int }
	var jobs []job
	for i, l := range a.leaves {
		for k := 0; k < len(l.Facets); k += 64 {
			jobs = append(jobs, job{i, k, min(k+64, len(l.Facets))})
		}
	}
	found := make([][]piece, len(jobs))
	inParallelWith(len(jobs), func() func(n int) {
		c := cutter{a: a, known: make([]solid.Known, len(a.leaves))}
		return func(n int) {
			j := jobs[n]
			out := make([]piece, 0, j.to-j.from)
			for k := j.from; k < j.to; k++ {
				if p, ok := c.piece(int32(j.leaf), int32(k)); ok {
					if len(p.open) > 0 {
						c.cut(&p)
					}
					out = append(out, p)
				}
			}
			found[n] = out
		}
	})
	return slices.Concat(found...)
}

// piece looks at what is near one facet. ok is false when it cannot be surface.
func (c *cutter) piece(leaf, facet int32) (p piece, ok bool) {
	a := c.a
	l := &a.leaves[leaf]
	box := a.box[leaf][facet]
	mid, r := ballOf(l, facet, box)
	c.open = c.open[:0]
	for _, i := range a.near[leaf] {
		c.known[i] = a.state(i, box, mid, r)
		if c.known[i] == solid.Unknown {
			c.open = append(c.open, i)
		}
	}
	c.known[leaf] = solid.Unknown
	mark := c.scratch
	p = piece{leaf: leaf, facet: facet, formula: a.formula[leaf].Given(c.known, &c.scratch)}
	if _, constant := p.formula.Constant(); !constant {
		for _, i := range c.open {
			flush := a.flush(i, l.Facets[facet].Plane, box, l.Pts[l.Facets[facet].V[0]])
			if flush {
				p.flush = append(p.flush, i)
			}
			if flush || p.formula.Mentions(i) {
				p.open = append(p.open, i)
			}
		}
		if len(p.flush) > 0 || p.formula.Mentions(leaf) {
			p.beside = len(c.open) > 0
			p.over = len(p.open) == 0 && p.formula.HoldsNone()
			return p, true
		}
	}
	c.scratch = mark // what was written there may be written over
	return p, false
}

// ballOf is a ball round a facet.
func ballOf(l *solid.FacetedLeaf, facet int32, box r3.Box) (c r3.Vec, r float64) {
	c = r3.Scale(0.5, r3.Add(box.Min, box.Max))
	for _, v := range l.Facets[facet].V {
		r = math.Max(r, r3.Norm2(r3.Sub(l.Pts[v], c)))
	}
	return c, math.Sqrt(r)
}

// state says whether what lies in the box and in the ball is all inside or all outside of the leaf, as it is faceted.
func (a *arrangement) state(i int32, box r3.Box, c r3.Vec, r float64) solid.Known {
	l := &a.leaves[i]
	if apart(l.Box, box) {
		return solid.Outside
	}
	d, far := l.Dist(c), r+l.Slack+beside
	switch {
	case d > far:
		return solid.Outside
	case d < -far:
		return solid.Inside
	}
	return solid.Unknown
}

// comparable is how close a plane must come to a point of another for the two to be compared, mm.
const comparable = 1e-6

// flush says whether a leaf has a facet in the plane e that reaches the box; c is a point of the plane.
func (a *arrangement) flush(i int32, e solid.Plane, box r3.Box, c r3.Vec) bool {
	for k := range a.leaves[i].Facets {
		if g := &a.leaves[i].Facets[k]; math.Abs(g.Plane.Above(c)) < comparable && !apart(box, a.box[i][k]) && coincide(e, g.Plane) {
			return true
		}
	}
	return false
}

// coincide says whether two planes are the same, whichever way they face.
func coincide(a, b solid.Plane) bool {
	dot := r3.Dot(a.N, b.N)
	if math.Abs(dot) < 1-1e-6 {
		return false
	}
	return math.Abs(a.D-math.Copysign(b.D, b.D*dot)) <= sameOff && r3.Norm2(r3.Cross(a.N, b.N)) <= sameDir*sameDir
}
