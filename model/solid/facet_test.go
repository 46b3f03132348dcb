package solid

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// body is a primitive to be faceted.
type body struct {
	name   string
	shape  Shape
	convex bool // and turned: one cell
}

// turnedLines is the solid of revolution whose profile is the lines through points (distance from the axis, z), closed
// along the axis or by one more line.
func turnedLines(pts ...r2.Vec) *Revolve {
	var ch Chain
	for i, p := range pts {
		ch = append(ch, Seg{A: p, B: pts[(i+1)%len(pts)], Tag: fmt.Sprint(i)})
	}
	return NewRevolve(ch)
}

// roundEnded is a rod of radius r from lo to hi with half a ball beyond hi and, if both, beyond lo; lo = hi and both is
// a ball of two pieces.
func roundEnded(r, lo, hi float64, both bool) *Revolve {
	p := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	ch := Chain{{A: p(0, lo), B: p(r, lo), Tag: "flat"}}
	if both {
		ch = Chain{{A: p(0, lo-r), B: p(r, lo), C: p(0, lo), R: r, Tag: "low"}}
	}
	if hi > lo {
		ch = append(ch, Seg{A: p(r, lo), B: p(r, hi), Tag: "side"})
	}
	ch = append(ch, Seg{A: p(r, hi), B: p(0, hi+r), C: p(0, hi), R: r, Tag: "high"})
	return NewRevolve(append(ch, Seg{A: p(0, hi+r), B: ch[0].A, Tag: "axis"}))
}

// capOf is the part of a ball above the circle at an angle from its upper pole, radians, less than three quarters of pi.
func capOf(r, angle float64) *Revolve {
	sin, cos := math.Sincos(angle)
	foot, rim, top := r2.Vec{Y: r * cos}, r2.Vec{X: r * sin, Y: r * cos}, r2.Vec{Y: r}
	return NewRevolve(Chain{{A: foot, B: rim, Tag: "flat"}, {A: rim, B: top, R: r, Tag: "ball"}, {A: top, B: foot, Tag: "axis"}})
}

func wholeBall(r float64) *Revolve {
	low, high := r2.Vec{Y: -r}, r2.Vec{Y: r}
	return NewRevolve(Chain{{A: low, B: high, R: r, Tag: "ball"}, {A: high, B: low, Tag: "axis"}})
}

// roundedRod is a rod whose upper edge is rounded by one radius and whose lower edge, if it is not 0, by another.
func roundedRod(t testing.TB, r, h, low, high float64) *Revolve {
	s := func(x0, y0, x1, y1, round float64) Side {
		return Side{P: r2.Vec{X: x0, Y: y0}, Q: r2.Vec{X: x1, Y: y1}, Round: round, Tag: "side"}
	}
	return NewRevolve(mustOutline(t, s(0, 0, r, 0, low), s(r, 0, r, h, high), s(r, h, 0, h, 0), s(0, h, 0, 0, 0)))
}

func scaled(ch Chain, by float64) Chain {
	var out Chain
	for _, s := range ch {
		s.A, s.B, s.C, s.R = r2.Scale(by, s.A), r2.Scale(by, s.B), r2.Scale(by, s.C), by*s.R
		out = append(out, s)
	}
	return out
}

// disc is a circle of radius r as arcs from angle to angle, radians, each at most half a turn on.
func disc(r float64, angles ...float64) Chain {
	var ch Chain
	at := func(a float64) r2.Vec { sin, cos := math.Sincos(a); return r2.Vec{X: r * cos, Y: r * sin} }
	for i, a := range angles {
		ch = append(ch, Seg{A: at(a), B: at(angles[(i+1)%len(angles)]), R: r, Tag: "arc"})
	}
	return ch.closed()
}

// waist is a bar with hollow sides, made by clockwise arcs.
func waist(w, h, sink float64) Chain {
	r := (h*h/4 + sink*sink) / (2 * sink) // of a circle through three points, sink deep over a chord h
	p := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	return Chain{{A: p(-w, -h/2), B: p(w, -h/2), Tag: "end"}, {A: p(w, -h/2), B: p(w, h/2), C: p(w-sink+r, 0), R: r, CW: true, Tag: "hollow"},
		{A: p(w, h/2), B: p(-w, h/2), Tag: "end"}, {A: p(-w, h/2), B: p(-w, -h/2), C: p(sink-w-r, 0), R: r, CW: true, Tag: "hollow"}}
}

// convexBodies draws one of each convex primitive of revolution, about size mm wide.
func convexBodies(t testing.TB, r *rand.Rand, size float64) []body {
	t.Helper()
	u := func(lo, hi float64) float64 { return size * (lo + (hi-lo)*r.Float64()) }
	p := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	w := u(0.5, 1)
	return []body{
		{name: "rod", shape: NewRod(w, u(-1, -0.1), u(0.1, 3), "rod", "end")},
		{name: "cone", shape: turnedLines(p(0, 0), p(w, 0), p(0, u(0.2, 2)))},
		{name: "cone upside down", shape: turnedLines(p(0, 0), p(w, u(0.2, 2)), p(0, 2*size))},
		{name: "cup", shape: turnedLines(p(0, 0), p(w, 0), p(u(1.1, 2), u(0.2, 1)), p(0, size))},
		{name: "two cones", shape: turnedLines(p(0, u(-2, -0.2)), p(w, 0), p(0, u(0.2, 2)))},
		{name: "capsule", shape: roundEnded(w, 0, u(0.1, 3), true)},
		{name: "drill", shape: roundEnded(w, 0, u(0.1, 3), false)},
		{name: "ball", shape: wholeBall(w)},
		{name: "ball of two halves", shape: roundEnded(w, size, size, true)},
		{name: "flat cap", shape: capOf(w, 0.1+0.9*r.Float64())},
		{name: "high cap", shape: capOf(w, 1.6+0.7*r.Float64())},
		{name: "rounded rod", shape: roundedRod(t, w, u(0.6, 2), 0, u(0.05, 0.45))},
		{name: "twice rounded rod", shape: roundedRod(t, w, u(1, 2), u(0.05, 0.45), u(0.05, 0.45))},
	}
}

// otherBodies draws one of each primitive that is not convex, or a prism.
func otherBodies(t testing.TB, r *rand.Rand, size float64) []body {
	t.Helper()
	u := func(lo, hi float64) float64 { return size * (lo + (hi-lo)*r.Float64()) }
	p := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	w := u(0.5, 1)
	spool := Chain{
		{A: p(0, -size), B: p(2*w, -0.6*w), Tag: "cone"}, {A: p(2*w, -0.6*w), B: p(w, 0.4*w), C: p(2*w, 0.4*w), R: w, CW: true, Tag: "hollow"},
		{A: p(w, 0.4*w), B: p(w/2, w), Tag: "cone"}, {A: p(w/2, w), B: p(0, 1.5*w), C: p(0, w), R: w / 2, Tag: "ball"}, {A: p(0, 1.5*w), B: p(0, -size), Tag: "axis"},
	}
	return []body{
		{name: "ring", shape: NewRing(u(1, 2), w/2, "ring")},
		{name: "thin ring", shape: NewRing(u(1, 2), w/20, "ring")},
		{name: "pipe", shape: turnedLines(p(w, 0), p(1.5*w, 0), p(1.2*w, size), p(w, size))},
		{name: "seat", shape: turnedLines(p(0, 0), p(w/2, 0), p(w/2, w), p(w, 1.4*w), p(w, 2*w), p(0, 2*w))},
		{name: "spool", shape: NewRevolve(spool)},
		{name: "ell", shape: NewPrism(scaled(ell(t), w), 0, size, "end")},
		{name: "rounded bar", shape: NewPrism(rectangle(t, 2*w, w, u(0.05, 0.2), 0), -size, size, "end")},
		{name: "disc", shape: NewPrism(disc(w, 0.3, 2.9, 4.4), 0, size, "end")},
		{name: "waist", shape: NewPrism(waist(w, 2*w, u(0.05, 0.4)), 0, size, "end")},
	}
}

// chords are those that the tests try, in parts of the size of a body: from coarse to what a mesh of a lock asks for.
var chords = []Chord{{0.2, 0.3}, {0.02, 0.02}, {0.005, 0.008}, {0.002, 0.0015}}

// faceting is a body as facets, and what is to be held of it.
type faceting struct {
	*testing.T
	body
	*Faceted
	chord Chord
	room  float64 // what float64 leaves at that size, mm
}

// Facets of every kind of primitive, at several sizes and chords.
func TestFacetsOfPrimitives(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 1))
	for i, size := range []float64{0.13, 1, 9} {
		if testing.Short() && i == 2 {
			break
		}
		for _, b := range allBodies(t, r, size) {
			t.Run(fmt.Sprintf("%s of %g mm", b.name, size), func(t *testing.T) {
				for k, c := range chords {
					if k == len(chords)-1 && (i != 1 || testing.Short()) || k == 0 && b.name == "thin ring" {
						continue // the finest once; a chord above the wire's radius leaves nothing of it
					}
					f := b.shape.Facet(Chord{size * c.Single, size * c.Double}, nil)
					x := faceting{t, b, &f, Chord{size * c.Single, size * c.Double}, 1e-12 * math.Max(1, size)}
					x.nearThePrimitive()
					x.closed()
					x.convexCells()
					x.sameAsThePrimitive(r)
				}
			})
		}
	}
}

func allBodies(t testing.TB, r *rand.Rand, size float64) []body {
	all := convexBodies(t, r, size)
	for i := range all {
		all[i].convex = true
	}
	return append(all, otherBodies(t, r, size)...)
}

// overFacet calls do for a lattice of points of a facet, cut like a fan.
func (f *Faceted) overFacet(g Facet, n int, do func(p r3.Vec)) {
	a := f.Pts[g.V[0]]
	for k := 1; k+1 < len(g.V); k++ {
		b, c := f.Pts[g.V[k]], f.Pts[g.V[k+1]]
		for i := range n + 1 {
			for j := range n + 1 - i {
				u, v := float64(i)/float64(n), float64(j)/float64(n)
				do(r3.Add(r3.Scale(1-u-v, a), r3.Add(r3.Scale(u, b), r3.Scale(v, c))))
			}
		}
	}
}

// nearThePrimitive holds that every corner lies on the primitive and every facet within the chord of it, rings too, where
// what goes round the axis and what goes round the wire add up; facets of flat faces, which reach beyond a hollow arc by
// its chords, as well. So none comes near FacetedLeaf.Slack.
func (x faceting) nearThePrimitive() {
	carriers := x.shape.Carriers()
	for _, p := range x.Pts {
		if d := x.shape.Dist(p); math.Abs(d) > x.room {
			x.Fatalf("chord %v: corner %v is %g off", x.chord, p, d)
		}
	}
	for _, g := range x.Facets {
		limit := x.chord.Single
		if carriers[g.Face].radius != 0 {
			limit = x.chord.Double
		}
		x.overFacet(g, 5, func(p r3.Vec) {
			if d := math.Abs(x.shape.Dist(p)); d > limit+x.room {
				x.Fatalf("chord %v: facet of face %d is %g of what it may be off at %v", x.chord, g.Face, d/limit, p)
			}
			if d, _ := carriers[g.Face].Off(p); !carriers[g.Face].Curved() && math.Abs(d) > x.room {
				x.Fatalf("facet of flat face %d is %g off its plane at %v", g.Face, d, p)
			}
		})
	}
}

// closes says of which edge the opposite is missing or which edge stands twice; points are told apart by where they are,
// since wedges have points of the axis several times.
func (f *Faceted) closes() error {
	seen := map[[2]r3.Vec]bool{}
	for _, g := range f.Facets {
		for k, v := range g.V {
			e := [2]r3.Vec{f.Pts[v], f.Pts[g.V[(k+1)%len(g.V)]]}
			if seen[e] {
				return fmt.Errorf("edge %v stands twice", e)
			}
			if e[0] == e[1] {
				return fmt.Errorf("edge at %v has no length", e[0])
			}
			seen[e] = true
		}
	}
	for e := range seen {
		if !seen[[2]r3.Vec{e[1], e[0]}] {
			return fmt.Errorf("edge %v has nothing beyond", e)
		}
	}
	return nil
}

// volume is by the divergence theorem, over facets cut like fans.
func (f *Faceted) volume() float64 {
	sum := 0.0
	for _, g := range f.Facets {
		for k := 1; k+1 < len(g.V); k++ {
			sum += r3.Dot(f.Pts[g.V[0]], r3.Cross(f.Pts[g.V[k]], f.Pts[g.V[k+1]])) / 6
		}
	}
	return sum
}

// closed holds that facets close, face outwards, are plane and convex, and that their planes are theirs.
func (x faceting) closed() {
	if err := x.closes(); err != nil {
		x.Fatalf("chord %v: %v", x.chord, err)
	}
	if v := x.volume(); v <= 0 {
		x.Errorf("chord %v: volume %g", x.chord, v)
	}
	for _, g := range x.Facets {
		if math.Abs(r3.Norm(g.Plane.N)-1) > 1e-12 {
			x.Fatalf("normal %v is not of length one", g.Plane.N)
		}
		for k, v := range g.V {
			p, q, s := x.Pts[v], x.Pts[g.V[(k+1)%len(g.V)]], x.Pts[g.V[(k+2)%len(g.V)]]
			if d := g.Plane.Above(p); math.Abs(d) > 10*x.room {
				x.Fatalf("chord %v: corner %v is %g off its facet's plane", x.chord, p, d)
			}
			if turn := r3.Dot(g.Plane.N, r3.Cross(r3.Sub(q, p), r3.Sub(s, q))); turn <= 0 {
				x.Fatalf("chord %v: facet of face %d turns by %g at %v", x.chord, g.Face, turn, q)
			}
		}
	}
}

// convexCells holds that a cell has all its corners below its planes. A convex solid of revolution is one cell with a plane
// for each facet: all its corners lie on or below the planes of all facets.
func (x faceting) convexCells() {
	if x.convex && len(x.Cells) > 1 {
		x.Errorf("chord %v: %d cells", x.chord, len(x.Cells))
	}
	if len(x.Facets) > 3000 && len(x.Cells) == 1 { // it would take too long
		return
	}
	for _, c := range x.Cells {
		for _, e := range c.Planes {
			for _, i := range c.Corner {
				if d := e.Above(x.Pts[i]); d > 100*x.room {
					x.Fatalf("chord %v: corner %v is %g above a plane of its cell", x.chord, x.Pts[i], d)
				}
			}
		}
	}
}

// held says how many cells hold a point, and how many by more than room.
func (f *Faceted) held(p r3.Vec, room float64) (in, well int) {
	for _, c := range f.Cells {
		most := math.Inf(-1)
		for _, e := range c.Planes {
			most = math.Max(most, e.Above(p))
		}
		if most <= 0 {
			in++
		}
		if most < -room {
			well++
		}
	}
	return in, well
}

// turnsRound is how often the facets go round a point: the solid angles that they span, over a whole one (A. van
// Oosterom, J. Strackee, The solid angle of a plane triangle, IEEE Trans. Biomed. Eng. 30, 1983).
func (f *Faceted) turnsRound(p r3.Vec) float64 {
	sum := 0.0
	for _, g := range f.Facets {
		for k := 1; k+1 < len(g.V); k++ {
			a, b, c := r3.Sub(f.Pts[g.V[0]], p), r3.Sub(f.Pts[g.V[k]], p), r3.Sub(f.Pts[g.V[k+1]], p)
			x, y, z := r3.Norm(a), r3.Norm(b), r3.Norm(c)
			sum += 2 * math.Atan2(r3.Dot(a, r3.Cross(b, c)), x*y*z+r3.Dot(a, b)*z+r3.Dot(b, c)*x+r3.Dot(c, a)*y)
		}
	}
	return sum / (4 * math.Pi)
}

// sameAsThePrimitive holds that the cells hold what the primitive holds, but for what is within a chord of its surface,
// that they do not overlap, and that the facets go round just the points that a cell holds. The cell of a convex primitive
// does not reach beyond it at all.
func (x faceting) sameAsThePrimitive(r *rand.Rand) {
	inner := math.Max(x.chord.Single, x.chord.Double)
	outer := inner
	if x.convex {
		outer = 0
	}
	box := x.shape.Bounds()
	for n := range 200 {
		d := r3.Sub(box.Max, box.Min)
		p := r3.Add(box.Min, r3.Vec{X: d.X * r.Float64(), Y: d.Y * r.Float64(), Z: d.Z * r.Float64()})
		if n%3 > 0 { // near the surface
			q, _ := x.shape.Closest(p)
			p = r3.Add(q, r3.Scale((4*r.Float64()-2)*inner/math.Max(r3.Norm(r3.Sub(p, q)), 1e-9), r3.Sub(p, q)))
		}
		at := x.shape.Dist(p)
		in, well := x.held(p, 100*x.room)
		if at < -inner && in == 0 || at > outer+100*x.room && in > 0 || well > 1 {
			x.Fatalf("chord %v: %v at %g is in %d cells, well inside %d", x.chord, p, at, in, well)
		}
		if n < 30 && len(x.Facets) < 2000 && !x.grazes(p, 1e-6) {
			if k := x.turnsRound(p); math.Abs(k-float64(in)) > 1e-6 {
				x.Fatalf("chord %v: %d cells hold %v, facets go round it %g times", x.chord, in, p, k)
			}
		}
	}
}

// grazes says whether a point is so near to a facet's plane that rounding decides on which side it is.
func (f *Faceted) grazes(p r3.Vec, room float64) bool {
	for _, g := range f.Facets {
		if math.Abs(g.Plane.Above(p)) < room {
			return true
		}
	}
	return false
}

// In a solid, facets stand at the primitives' poses: corners on the leaf as Dist has it, no facet further off than Slack,
// faces numbered as Tags and on their carriers, bounds round all corners.
func TestFacetsOfASolid(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 2))
	solids := samples(t)
	for i := range 4 {
		solids[fmt.Sprint("tangle ", i)] = tangle(r, 12)
	}
	inside := 0
	for _, name := range slices.Sorted(maps.Keys(solids)) {
		s := solids[name]
		leaves, formula := s.Facet(Chord{0.03, 0.04})
		carriers, first := s.Carriers(), 0
		if len(leaves) != s.leaves {
			t.Fatalf("%s: %d leaves faceted of %d", name, len(leaves), s.leaves)
		}
		for i := range leaves {
			l := &leaves[i]
			faces := len(l.prim.shape.Faces())
			for _, p := range l.Pts {
				if d := l.Dist(p); math.Abs(d) > 1e-11 || boxDist(l.Box, p) > 0 {
					t.Fatalf("%s: corner %v is %g off its leaf, %g out of its box", name, p, d, boxDist(l.Box, p))
				}
			}
			for _, g := range l.Facets {
				if g.Face < first || g.Face >= first+faces {
					t.Fatalf("%s: face %d of leaf %d, whose faces are %d on", name, g.Face, i, first)
				}
				l.overFacet(g, 3, func(p r3.Vec) {
					if d := math.Abs(l.Dist(p)); d > l.Slack {
						t.Fatalf("%s: facet %g off, slack %g", name, d, l.Slack)
					}
					if d := math.Abs(g.Plane.Above(p)); d > 1e-11 {
						t.Fatalf("%s: facet %g off its plane", name, d)
					}
				})
				for _, v := range g.V {
					if d, _ := carriers[g.Face].Off(l.Pts[v]); math.Abs(d) > 1e-10 {
						t.Fatalf("%s: corner %g off the carrier of face %d", name, d, g.Face)
					}
				}
			}
			for _, c := range l.Cells {
				for _, v := range c.Corner {
					if boxDist(c.Box, l.Pts[v]) > 0 {
						t.Fatalf("%s: corner %v out of its cell's box", name, l.Pts[v])
					}
				}
			}
			first += faces
		}
		inside += agrees(t, name, s, leaves, formula, r)
	}
	if inside < 1000 { // else the comparison would say little
		t.Errorf("only %d points inside", inside)
	}
}

// agrees holds that formula and cells say together what Eval says, beyond the slack; it gives the number of points inside.
func agrees(t *testing.T, name string, s *Solid, leaves []FacetedLeaf, formula Formula, r *rand.Rand) (inside int) {
	t.Helper()
	b := s.Bounds()
	in := make([]bool, len(leaves))
	for range 1500 {
		d := r3.Sub(b.Max, b.Min)
		p := r3.Add(b.Min, r3.Vec{X: d.X * r.Float64(), Y: d.Y * r.Float64(), Z: d.Z * r.Float64()})
		slack := 0.0
		for i := range leaves {
			k, _ := leaves[i].held(p, 0)
			in[i], slack = k > 0, math.Max(slack, leaves[i].Slack)
		}
		if at := s.Eval(p); math.Abs(at) > slack && formula.Holds(in) != (at < 0) {
			t.Fatalf("%s: at %v, where the field is %g, the formula says %v", name, p, at, formula.Holds(in))
		} else if at < 0 {
			inside++
		}
	}
	return inside
}

// A turned primitive that others of its axis cut down to less is faceted coarser where it cannot be surface, and within
// the chord where it can; its slack says how far it may be off.
func TestFacetsWithinReach(t *testing.T) {
	const chord, reach = 0.01, 0.6
	rod := func(r float64) *Solid { return New(NewRod(r, -1, 5, "rod", "end"), Upright) }
	for _, c := range []struct {
		name string
		wide Shape
	}{
		{"cone", turnedLines(r2.Vec{Y: -0.5}, r2.Vec{X: 2, Y: -0.5}, r2.Vec{Y: 3.5})},
		{"rod", NewRod(2, -0.5, 0.5, "rod", "end")},
	} {
		alone, _ := New(c.wide, Upright).Facet(Chord{chord, chord})
		leaves, _ := Common(New(c.wide, Upright), rod(reach)).Facet(Chord{chord, chord})
		l := &leaves[0]
		if len(l.Facets) >= len(alone[0].Facets) {
			t.Errorf("%s: %d facets though cut down, %d alone", c.name, len(l.Facets), len(alone[0].Facets))
		}
		for _, g := range l.Facets {
			l.overFacet(g, 30, func(p r3.Vec) {
				limit := l.Slack
				if math.Hypot(p.X, p.Y) < reach {
					limit = chord
				}
				if d := math.Abs(l.Dist(p)); d > limit {
					t.Fatalf("%s: %g off at %v, where %g is allowed", c.name, d, p, limit)
				}
			})
		}
	}
}

// Shapes that differ in nothing but tags are faceted once, unless one of them has contacts.
func TestCongruentShapesAreFacetedOnce(t *testing.T) {
	rod := func(r float64, tag string) *Revolve { return NewRod(r, -1, 1, tag, "end") }
	bar := func(r, hi float64) *Prism { return NewPrism(rectangle(t, 2, 1, r, 0), 0, hi, "end") }
	block := func(x float64, tag string) *Block {
		b, err := NewBlock(r3.Vec{}, r3.Vec{X: x, Y: 1, Z: 1}, tag)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	near := map[int][]r3.Vec{1: {{X: 1}}}
	for _, c := range []struct {
		name    string
		a, b    Shape
		reach   float64
		contact contacts
		same    bool
	}{
		{"rods", rod(1, "a"), rod(1, "b"), math.Inf(1), nil, true},
		{"rods of other radius", rod(1, "a"), rod(1.001, "a"), math.Inf(1), nil, false},
		{"rods of other reach", rod(1, "a"), rod(1, "a"), 0.5, nil, false},
		{"rods of a reach beyond them", rod(1, "a"), rod(1, "a"), 2, nil, false},
		{"rods, one in contact", rod(1, "a"), rod(1, "a"), math.Inf(1), near, false},
		{"prisms", bar(0.1, 2), bar(0.1, 2), math.Inf(1), nil, true},
		{"prisms of other round", bar(0.1, 2), bar(0.2, 2), math.Inf(1), nil, false},
		{"prisms of other height", bar(0.1, 2), bar(0.1, 3), math.Inf(1), nil, false},
		{"blocks", block(1, "a"), block(1, "b"), math.Inf(1), nil, true},
		{"blocks of other size", block(1, "a"), block(2, "a"), math.Inf(1), nil, false},
		{"rod and block", rod(1, "a"), block(1, "a"), math.Inf(1), nil, false},
	} {
		w := workshop{within: Chord{0.01, 0.01}}
		f := w.facet(prim{Solid: New(c.a, Upright), reach: math.Inf(1)}, nil)
		g := w.facet(prim{Solid: New(c.b, Upright), reach: c.reach}, c.contact)
		if (f == g) != c.same {
			t.Errorf("%s: faceted once: %v", c.name, f == g)
		}
	}
}
