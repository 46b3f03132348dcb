package solid

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// contactChord is the chord of all solids of this file, mm; their cylinders have radii about 1 mm.
const contactChord = 0.004

// site builds solids in a frame and looks at their facets there.
type site struct {
	*testing.T
	frame Pose
}

// onSites runs a test in the model's own frame and in one that is turned and moved, where what coincides does so but for
// rounding.
func onSites(t *testing.T, do func(s site)) {
	t.Run("upright", func(t *testing.T) { do(site{t, Upright}) })
	x := r3.Unit(r3.Vec{X: 0.7, Y: -0.4, Z: 0.3})
	y := r3.Unit(r3.Cross(r3.Vec{X: 0.1, Y: 0.2, Z: 0.9}, x))
	t.Run("askew", func(t *testing.T) {
		do(site{t, Pose{O: r3.Vec{X: 7.3, Y: -4.1, Z: 2.9}, X: x, Y: y, Z: r3.Cross(x, y)}})
	})
}

// put places a shape at a pose of the site's frame.
func (s site) put(shape Shape, at Pose) *Solid {
	return New(shape, Pose{O: s.frame.World(at.O), X: s.frame.Turn(at.X), Y: s.frame.Turn(at.Y), Z: s.frame.Turn(at.Z)})
}

// spunAt is the upright pose at a place of the plane, turned about its z axis, so that equal cylinders have their own
// corners elsewhere.
func spunAt(x, y, angle float64) Pose {
	sin, cos := math.Sincos(angle)
	return Pose{O: r3.Vec{X: x, Y: y}, X: r3.Vec{X: cos, Y: sin}, Y: r3.Vec{X: -sin, Y: cos}, Z: r3.Vec{Z: 1}}
}

// headDown is a pose with z and y turned over.
func headDown(p Pose) Pose {
	p.Y, p.Z = r3.Scale(-1, p.Y), r3.Scale(-1, p.Z)
	return p
}

func (s site) rod(x, y, r float64) *Solid {
	return s.put(NewRod(r, -2, 2, "rod", "end"), spunAt(x, y, 0.123+x+2*y))
}

func (s site) block(x0, y0, x1, y1 float64) *Solid {
	s.Helper()
	b, err := NewBlock(r3.Vec{X: x0, Y: y0, Z: -3}, r3.Vec{X: x1, Y: y1, Z: 3}, "side")
	if err != nil {
		s.Fatal(err)
	}
	return s.put(b, Upright)
}

// seen is the facets of one leaf in the site's frame.
type seen struct {
	site
	Faceted
}

func (s site) facet(solid *Solid) (out []seen) {
	leaves, _ := solid.Facet(Chord{contactChord, contactChord})
	for _, l := range leaves {
		f := Faceted{Cells: l.Cells}
		for _, p := range l.Pts {
			f.Pts = append(f.Pts, s.frame.Local(p))
		}
		for _, g := range l.Facets {
			n := r3.Sub(s.frame.Local(g.Plane.N), s.frame.Local(r3.Vec{}))
			g.Plane = Plane{n, g.Plane.D - r3.Dot(g.Plane.N, s.frame.O)}
			f.Facets = append(f.Facets, g)
		}
		out = append(out, seen{s, f})
	}
	return out
}

// same is how far corners that ought to be the same may be apart, mm.
const same = 1e-12

// at is the corner at a place, -1 for none.
func (f seen) at(p r3.Vec) int32 {
	for i, q := range f.Pts {
		if r3.Norm(r3.Sub(p, q)) < 5*same {
			return int32(i)
		}
	}
	return -1
}

// edge says whether a facet ends along the segment between two places.
func (f seen) edge(p, q r3.Vec) bool {
	a, b := f.at(p), f.at(q)
	for _, g := range f.Facets {
		for k, v := range g.V {
			if w := g.V[(k+1)%len(g.V)]; a >= 0 && b >= 0 && (v == a && w == b || v == b && w == a) {
				return true
			}
		}
	}
	return false
}

// upright says whether a rod from z -2 to 2 has an edge along it through a place of the plane.
func (f seen) upright(x, y float64) bool {
	return f.edge(r3.Vec{X: x, Y: y, Z: -2}, r3.Vec{X: x, Y: y, Z: 2})
}

// across says whether a rod from z -2 to 2 has a facet between edges at -x and x, both at y.
func (f seen) across(x, y float64) bool {
	return f.edge(r3.Vec{X: -x, Y: y, Z: 2}, r3.Vec{X: x, Y: y, Z: 2})
}

// A rod of radius 1 mm about the z axis and a plane at y = 1 mm, under all operations: where the solid lies on the same
// side of both, the rod's edge is exactly at the contact; where it does not, the rod has a chord across it, as deep as
// the chord allows, and no corner there.
func TestTangentPlane(t *testing.T) {
	onSites(t, func(s site) {
		rod, base := s.rod(0, 0, 1), s.block(-5, -5, 5, 5)
		below, above := s.block(-3, 0.2, 3, 1), s.block(-3, 1, 3, 2)
		for _, c := range []struct {
			name  string
			solid *Solid
			rod   int // its number among the leaves
			edge  bool
		}{
			{"joined, plane over it", Join(rod, below), 0, true},
			{"joined, plane beyond it", Join(rod, above), 0, false},
			{"both taken away, same side", Cut(base, rod, below), 1, true},
			{"both taken away, opposite sides", Cut(base, rod, above), 1, false},
			{"bore under a face", Cut(s.block(-3, -3, 3, 1), rod), 1, false},
			{"common", Common(rod, s.block(-3, -3, 3, 1)), 0, true},
			{"block taken off", Cut(rod, above), 0, true},
			{"taken from what is taken away", Cut(base, Cut(rod, above)), 1, true},
		} {
			f := s.facet(c.solid)[c.rod]
			if got := f.upright(0, 1); got != c.edge {
				s.Errorf("%s: edge at the contact: %v", c.name, got)
			}
			deep := 1 - contactChord
			if got := f.across(math.Sqrt(1-deep*deep), deep); got == c.edge {
				s.Errorf("%s: chord across the contact: %v", c.name, got)
			}
		}
	})
}

// A plane that cuts off less than eight chords of a rod: the rod has an edge where the plane comes in and goes out, to
// 1e-12 mm, and one between.
func TestNearlyTangentPlane(t *testing.T) {
	onSites(t, func(s site) {
		for _, chords := range []float64{0.01, 0.5, 1, 3, 7.9} {
			y := 1 - chords*contactChord
			x := math.Sqrt(1 - y*y)
			for name, solid := range map[string]*Solid{"joined": Join(s.rod(0, 0, 1), s.block(-3, y, 3, 2)), "common": Common(s.rod(0, 0, 1), s.block(-3, -3, 3, y))} {
				f := s.facet(solid)[0]
				pole := f.at(r3.Vec{Y: 1, Z: 2}) >= 0 // what is cut off, its edges too, may have been left out already
				if !f.upright(x, y) || !f.upright(-x, y) || !pole {
					s.Errorf("%s, %g chords deep: edges %v %v, corner between them %v", name, chords, f.upright(-x, y), f.upright(x, y), pole)
				}
			}
		}
	})
}

// sides are the planes along an upright rod.
func (f seen) sides() (out []Plane) {
	for _, g := range f.Facets {
		if math.Abs(g.Plane.N.Z) < 0.5 {
			out = append(out, g.Plane)
		}
	}
	return out
}

// reach is how far an upright rod's facets reach at x = 0 along y.
func (f seen) reach() (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	for _, e := range f.sides() {
		if y := e.D / e.N.Y; e.N.Y > same {
			high = math.Min(high, y)
		} else if e.N.Y < -same {
			low = math.Max(low, y)
		}
	}
	return low, high
}

// Two upright rods that touch in a line. From outside they keep apart: facets across the contact, side by side. One
// within the other goes over into it when both are metal; a bore that touches the wall keeps clear of it.
func TestParallelCylindersThatTouch(t *testing.T) {
	onSites(t, func(s site) {
		for _, r := range []float64{1, 0.7, 0.3} {
			f := s.facet(Join(s.rod(0, 0, 1), s.rod(0, 1+r, r)))
			_, under := f[0].reach()
			over, _ := f[1].reach()
			if under >= 1 || over <= 1 || under < 1-1.001*contactChord || over > 1+1.001*contactChord {
				s.Errorf("rods of 1 and %g mm touching: facets at %.9f and %.9f on either side of the contact at 1", r, under, over)
			}
		}
		for _, r := range []float64{0.9, 0.5} {
			f := s.facet(Join(s.rod(0, 0, 1), s.rod(0, 1-r, r)))
			if !f[0].upright(0, 1) || !f[1].upright(0, 1) {
				s.Errorf("rod of %g mm in one of 1 mm: edge at the contact %v, %v", r, f[1].upright(0, 1), f[0].upright(0, 1))
			}
			f = s.facet(Cut(s.rod(0, 0, 1), s.rod(0, 1-r, r)))
			for _, p := range f[1].Pts {
				for _, e := range f[0].sides() {
					if d := e.Above(p); d > -1e-6 {
						s.Fatalf("bore of %g mm: corner %v is %g above a facet of the rod round it", r, p, d)
					}
				}
			}
		}
	})
}

// Two upright rods that nearly touch: the lines where they cut each other, from the two circles' equations, are edges of
// both, to 1e-12 mm.
func TestParallelCylindersThatNearlyTouch(t *testing.T) {
	onSites(t, func(s site) {
		for _, r := range []float64{1, 0.4} {
			for _, chords := range []float64{0.1, 2, 7.5} {
				for name, d := range map[string]float64{"outside": 1 + r - chords*contactChord, "inside": 1 - r + chords*contactChord} {
					if d < same || r == 1 && name == "inside" { // equal rods have no inside
						continue
					}
					y := (d*d + 1 - r*r) / (2 * d)
					x := math.Sqrt(1 - y*y)
					for i, f := range s.facet(Join(s.rod(0, 0, 1), s.rod(0, d, r))) {
						if !f.upright(x, y) || !f.upright(-x, y) {
							s.Errorf("rod %d of 1 and %g mm, %g chords too near from %s: no edge where they cut each other", i, r, chords, name)
						}
					}
				}
			}
		}
	})
}

// through says whether an edge along a rod of radius 1 mm goes through a place: a segment between corners at its ends.
func (f seen) through(p, along r3.Vec) bool {
	return f.edge(r3.Add(p, r3.Scale(-2, along)), r3.Add(p, r3.Scale(2, along)))
}

// lying is a rod along the direction (cos, sin) of an angle in the xy plane, at a height.
func (s site) lying(r, angle, z float64) (rod *Solid, along r3.Vec) {
	sin, cos := math.Sincos(angle)
	along = r3.Vec{X: cos, Y: sin}
	spin, roll := math.Sincos(0.3 + angle) // about its own axis
	x, y := r3.Vec{X: -sin, Y: cos}, r3.Vec{Z: 1}
	at := Pose{O: r3.Vec{Z: z}, X: r3.Add(r3.Scale(roll, x), r3.Scale(spin, y)), Y: r3.Add(r3.Scale(-spin, x), r3.Scale(roll, y)), Z: along}
	return s.put(NewRod(r, -2, 2, "rod", "end"), at), along
}

// Cylinders whose axes cross have edges through the poles, the places on the common perpendicular where they touch: equal
// ones through both, others that touch from within at one.
func TestCrossingCylinders(t *testing.T) {
	onSites(t, func(s site) {
		for _, angle := range []float64{math.Pi / 2, 1, 0.2} {
			for _, c := range []struct {
				r, z         float64 // of the second rod
				above, below bool    // whether they touch there
			}{{1, 0, true, true}, {0.6, 0.4, true, false}, {0.6, -0.4, false, true}, {1 - 3*contactChord, 0, true, true}, {0.6, 0, false, false}} {
				a, along := s.lying(1, 0.1, 0)
				b, across := s.lying(c.r, 0.1+angle, c.z)
				for name, solid := range map[string]*Solid{"joined": Join(a, b), "cut": Cut(a, b)} {
					f := s.facet(solid)
					got := [4]bool{
						f[0].through(r3.Vec{Z: 1}, along), f[1].through(r3.Vec{Z: c.z + c.r}, across),
						f[0].through(r3.Vec{Z: -1}, along), f[1].through(r3.Vec{Z: c.z - c.r}, across),
					}
					for i, want := range [4]bool{c.above, c.above, c.below, c.below} {
						if want && !got[i] || got[i] && !c.above && !c.below { // with an edge at one pole there may be one at the other
							s.Errorf("%s at %g rad, radii 1 and %g: edges through the poles above and below %v, touching %v, %v", name, angle, c.r, got, c.above, c.below)
							break
						}
					}
				}
			}
		}
	})
}

// ring gives the directions, radians, of the corners at a distance from the z axis and a height.
func (f seen) ring(r, z float64) (out []float64) {
	for _, p := range f.Pts {
		if math.Abs(p.Z-z) < 5*same && math.Abs(math.Hypot(p.X, p.Y)-r) < 5*same {
			out = append(out, math.Atan2(p.Y, p.X))
		}
	}
	return out
}

// sameRing holds that two lists of directions are equal but for their order, to what a corner may be off.
func (s site) sameRing(name string, a, b []float64) {
	s.Helper()
	if len(a) != len(b) || len(a) < 3 {
		s.Errorf("%s: %d corners against %d", name, len(a), len(b))
		return
	}
	for _, p := range a {
		best := math.Inf(1)
		for _, q := range b {
			best = math.Min(best, math.Abs(math.Remainder(p-q, 2*math.Pi)))
		}
		if best > 5*same {
			s.Errorf("%s: a corner %g rad from the nearest of the other", name, best)
			return
		}
	}
}

// A prism over arcs and a rod on the same cylinder, as the end of a bar and the pin in it: the same corners.
func TestCoincidentCylinders(t *testing.T) {
	onSites(t, func(s site) {
		for _, turned := range []float64{0, 0.4, 2} {
			round := s.put(NewPrism(disc(1, 0.3, 2.9, 4.4), 0, 1, "end"), Upright)
			rod := s.put(NewRod(1, -1, 0.5, "rod", "end"), spunAt(0, 0, turned))
			for _, c := range []struct {
				name            string
				solid           *Solid
				rod, roundPrism int // their numbers among the leaves
			}{
				{"joined", Join(rod, round), 0, 1},
				{"cut", Cut(rod, round), 0, 1},
				{"common", Common(rod, round), 0, 1},
				{"joined, the prism first", Join(round, rod), 1, 0},
				{"rod taken from the prism", Cut(round, rod), 1, 0},
			} {
				f := s.facet(c.solid)
				s.sameRing(c.name, f[c.roundPrism].ring(1, 0), f[c.rod].ring(1, -1))
				for _, a := range []float64{0.3, 2.9, 4.4} { // where the prism's faces end
					sin, cos := math.Sincos(a)
					if f[c.rod].at(r3.Vec{X: cos, Y: sin, Z: -1}) < 0 {
						s.Errorf("%s: the rod has no edge where the prism's face ends at %g rad", c.name, a)
					}
				}
			}
		}
		// Part of the circle only: a half round with a flat side.
		half := s.put(NewPrism(Chain{{A: r2.Vec{X: 1}, B: r2.Vec{X: -1}, R: 1, Tag: "round"}, {A: r2.Vec{X: -1}, B: r2.Vec{X: 1}, Tag: "flat"}}, 0, 1, "end"), spunAt(0, 0, 0.2))
		f := s.facet(Join(half, s.put(NewRod(1, -1, 0.5, "rod", "end"), spunAt(0, 0, 1))))
		var there []float64
		for _, a := range f[1].ring(1, -1) {
			if m := math.Remainder(a-0.2, 2*math.Pi); m > -5*same && m < math.Pi+5*same || m < 5*same-math.Pi {
				there = append(there, a)
			}
		}
		s.sameRing("half round", f[0].ring(1, 0), there)
	})
}

// A stone's seat: a bore, a cone and a wider bore on one axis, each in a pose of its own, one of them head down. The
// corners on the circles that they have in common are the same.
func TestCoaxialSeat(t *testing.T) {
	p := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	onSites(t, func(s site) {
		bore := s.put(NewRod(0.5, -2, 0, "bore", "end"), spunAt(0, 0, 0.4))
		cone := s.put(turnedLines(p(0, 0), p(0.5, 0), p(1, 0.7), p(0, 0.7)), spunAt(0, 0, 1.1))
		upsideDown := s.put(turnedLines(p(0, -0.7), p(1, -0.7), p(0.5, 0), p(0, 0)), headDown(spunAt(0, 0, 1.1)))
		wide := s.put(NewRod(1, 0.7, 2, "wide", "end"), spunAt(0, 0, 2.5))
		far := s.put(NewRod(0.5, -2, 0, "bore", "end"), spunAt(3, 0, 0.4)) // on another axis
		alone := len(s.facet(far)[0].Facets)
		base := s.block(-3, -3, 5, 3)
		for _, c := range []struct {
			name                  string
			solid                 *Solid
			bore, cone, wide, far int // their numbers among the leaves
		}{
			{"seat", Cut(base, cone, bore, wide, far), 2, 1, 3, 4},
			{"seat from below", Cut(base, bore, cone, wide, far), 1, 2, 3, 4},
			{"seat of a cone upside down", Cut(base, upsideDown, wide, bore, far), 3, 1, 2, 4},
		} {
			f := s.facet(c.solid)
			bore, cone, wide := f[c.bore], f[c.cone], f[c.wide]
			s.sameRing(c.name+", bore and cone", bore.ring(0.5, 0), cone.ring(0.5, 0))
			s.sameRing(c.name+", cone and wide bore", cone.ring(1, 0.7), wide.ring(1, 0.7))
			s.sameRing(c.name+", along the bore", bore.ring(0.5, 0), bore.ring(0.5, -2))
			if need := math.Ceil(2 * math.Pi / step(contactChord, 1)); float64(len(wide.ring(1, 0.7))) < need {
				s.Errorf("%s: %d corners round the wide bore, the chord needs %g", c.name, len(wide.ring(1, 0.7)), need)
			}
			if n := len(f[c.far].Facets); n != alone {
				s.Errorf("%s: a bore on another axis has %d facets, alone %d", c.name, n, alone)
			}
		}
	})
}

// A round-ended drill of a rod and a ball: the ball has a ring of corners at its equator, and they are the rod's.
func TestRoundEndedDrill(t *testing.T) {
	onSites(t, func(s site) {
		for name, at := range map[string]Pose{"ball upright": spunAt(0, 0, 0.7), "ball head down": headDown(spunAt(0, 0, 0.7))} {
			for kind, ball := range map[string]*Revolve{"of one piece": wholeBall(0.8), "of two halves": roundEnded(0.8, 0, 0, true)} {
				rod := s.put(NewRod(0.8, 0, 2, "rod", "end"), spunAt(0, 0, 0.2))
				for how, solid := range map[string]*Solid{"joined": Join(rod, s.put(ball, at)), "cut": Cut(s.block(-3, -3, 3, 3), rod, s.put(ball, at))} {
					f := s.facet(solid)
					f = f[len(f)-2:]
					s.sameRing(name+" "+kind+" "+how, f[0].ring(0.8, 0), f[1].ring(0.8, 0))
				}
			}
		}
	})
}

// Primitives that are apart, or whose faces are further than eight chords from touching, have no say in each other's
// edges.
func TestNoContact(t *testing.T) {
	onSites(t, func(s site) {
		rod := s.rod(0, 0, 1)
		for name, other := range map[string]*Solid{
			"plane apart": s.block(-3, 1.01, 3, 2), "plane deep in": s.block(-3, 0.5, 3, 2), "rod apart": s.rod(0, 2.5, 1), "rod deep in": s.rod(0, 1, 1),
			"thin rod within": s.rod(0, 0, 0.5), "tilted block": s.put(NewPrism(rectangle(t, 2, 2, 0, 0), 0, 1, "end"), Pose{O: r3.Vec{Z: 1}, X: r3.Vec{X: 0.8, Z: 0.6}, Y: r3.Vec{Y: 1}, Z: r3.Vec{X: -0.6, Z: 0.8}}),
		} {
			alone, with := s.facet(rod)[0], s.facet(Join(rod, other))[0]
			if len(alone.Pts) != len(with.Pts) {
				s.Errorf("%s: %d corners instead of %d", name, len(with.Pts), len(alone.Pts))
			}
		}
	})
}
