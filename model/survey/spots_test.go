package survey

import (
	"math"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
	"claspwright/model/solid"
)

// Solids with known least walls and gaps, upright and askew. Size is held to 0.001 mm from both sides; Floor must not
// exceed the truth and must be proven for nearly all of the surface.
func TestKnownSpots(t *testing.T) {
	turn := 20 / radian
	for _, c := range []struct {
		name  string
		make  func(b bench) *solid.Solid
		metal bool
		want  float64
	}{
		{"block", func(b bench) *solid.Solid { return b.block(0, 0, 0, 5, 4, 0.9) }, true, 0.9},
		{"plate with a bore near its side", func(b bench) *solid.Solid {
			return solid.Cut(b.block(0, 0, 0, 8, 6, 3), b.rod(at(1.37, 3, 0), 1, -1, 4))
		}, true, 0.37},
		{"two bores near each other", func(b bench) *solid.Solid {
			return solid.Cut(b.block(0, 0, 0, 9, 6, 3), b.rod(at(3, 3, 0), 1, -1, 4), b.rod(at(5.5, 3.6, 0), 1.2, -1, 4))
		}, true, math.Hypot(2.5, 0.6) - 2.2},
		{"two rods near each other", func(b bench) *solid.Solid {
			return solid.Join(b.block(-3, -3, -1, 6, 3, 0.5), b.rod(at(0, 0, 0), 1, 0, 5), b.rod(at(2.3, 0.9, 0), 1.2, 0, 5))
		}, false, math.Hypot(2.3, 0.9) - 2.2},
		{"hollow ball off its centre", func(b bench) *solid.Solid {
			return solid.Cut(b.ball(0, 0, 0, 3), b.ball(0.3, 0.2, -0.1, 2))
		}, true, 1 - math.Sqrt(0.09+0.04+0.01)},
		// Sides of a wedge-shaped wall are nearest at its blunt end: 2 sin(half the angle) times the distance from the apex.
		{"wedge-shaped wall", func(b bench) *solid.Solid {
			h := math.Tan(turn / 4)
			return b.prism(4, r2.Vec{X: 3, Y: -3 * h}, r2.Vec{X: 9, Y: -9 * h}, r2.Vec{X: 9, Y: 9 * h}, r2.Vec{X: 3, Y: 3 * h})
		}, true, 2 * 3 * math.Tan(turn/4)},
		{"slot", func(b bench) *solid.Solid {
			return solid.Cut(b.block(0, 0, 0, 8, 5, 4), b.block(3, -1, 1.5, 3.45, 6, 5))
		}, false, 0.45},
		// The corner of the hollow comes nearer to the slanted face than any face of it.
		{"edge of a hollow under a slanted face", func(b bench) *solid.Solid {
			s := b.prism(6, r2.Vec{}, r2.Vec{X: 8}, r2.Vec{X: 8, Y: 2}, r2.Vec{Y: 5})
			return solid.Cut(s, b.block(4, -2, 0.8, 6, 2, 2))
		}, true, (5 - 3.0/8*6 - 2) * math.Cos(math.Atan(3.0/8))},
		{"hairpin of arcs", hairpin, false, 0.5},
		{"two hollows corner to corner", func(b bench) *solid.Solid {
			return solid.Cut(b.block(0, 0, 0, 10, 10, 6), b.block(2, 2, 1, 5, 5, 5), b.block(5.3, 5.4, 1, 8, 8, 5))
		}, true, 0.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			each(t, func(t *testing.T, b bench) {
				s := c.make(b)
				measure := Narrowest
				if c.metal {
					measure = Thinnest
				}
				spot := measure(s, SpotOptions{})
				close(t, "size", spot.Size, c.want, 0.001)
				checkSpot(t, s, spot, c.metal)
				if spot.Floor > c.want || spot.Floor < c.want-0.021 {
					t.Errorf("floor %.4f, the truth is %.4f", spot.Floor, c.want)
				}
				if spot.Proven < 0.97 {
					t.Errorf("only %.3f of the surface is proven", spot.Proven)
				}
			})
		})
	}
}

// hairpin is a leaf folded round a gap of 0.5.
func hairpin(b bench) *solid.Solid {
	side := func(ax, ay, bx, by, round float64) solid.Side {
		return solid.Side{P: r2.Vec{X: ax, Y: ay}, Q: r2.Vec{X: bx, Y: by}, Round: round, Tag: "leaf"}
	}
	ch, err := solid.Outline(side(0, 0, 6, 0, 0.85), side(6, 0, 6, 1.7, 0.85), side(6, 1.7, 0, 1.7, 0), side(0, 1.7, 0, 1.1, 0),
		side(0, 1.1, 5.4, 1.1, 0.25), side(5.4, 1.1, 5.4, 0.6, 0.25), side(5.4, 0.6, 0, 0.6, 0), side(0, 0.6, 0, 0, 0))
	if err != nil {
		b.t.Fatal(err)
	}
	return b.place(solid.NewPrism(ch, -2, 2, "edge"), solid.AcrossY)
}

// checkSpot holds a spot to what it promises: both ends on the surface, that far apart, only the medium between.
func checkSpot(t *testing.T, s *solid.Solid, spot Spot, metal bool) {
	t.Helper()
	for _, p := range []r3.Vec{spot.P, spot.Q} {
		if f := s.Eval(p); math.Abs(f) > touching {
			t.Errorf("%v is %g from the surface", p, f)
		}
	}
	close(t, "distance of the witnesses", r3.Norm(r3.Sub(spot.P, spot.Q)), spot.Size, 1e-9)
	for k := 1; k < 50; k++ {
		p := r3.Add(spot.P, r3.Scale(float64(k)/50, r3.Sub(spot.Q, spot.P)))
		if f := s.Eval(p); f < 0 != metal {
			t.Errorf("at %v between the witnesses the field is %g", p, f)
		}
	}
}

// A wedge blunter than the angle allows is an edge and no wall; with a narrower criterion it is a wall that runs out.
func TestBluntWedgeIsNoWall(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		s := b.wedge(40, 6, 4)
		if spot := Thinnest(s, SpotOptions{}); spot.Found && spot.Size < 3.9 {
			t.Errorf("a wedge of 40 degrees counts as a wall of %.4f", spot.Size)
		}
		if spot := Thinnest(s, SpotOptions{Angle: 135}); !spot.Found || spot.Size > 0.1 {
			t.Errorf("faces at 140 degrees are not seen to oppose: %+v", spot)
		}
	})
}

// Nothing is found where there is nothing: a block has no gap, and no wall below the most that is looked for.
func TestNoSpot(t *testing.T) {
	s := bench{t, frames[1].pose}.block(0, 0, 0, 4, 4, 4)
	if spot := Narrowest(s, SpotOptions{}); spot.Found {
		t.Errorf("a gap in a block: %+v", spot)
	}
	if spot := Thinnest(s, SpotOptions{Most: 3}); spot.Found {
		t.Errorf("a wall of %.3f in a block of 4", spot.Size)
	}
}

// locks are the sizes that are measured against their meshes.
func locks(t *testing.T) map[string]*solid.Solid {
	out := map[string]*solid.Solid{}
	for _, l := range []struct{ name, width, thickness string }{{"8 ", "8", "4.2"}, {"12.4 ", "12.4", "5.2"}, {"20 ", "20", "7"}} {
		box, tongue := lock(t, "chain.width="+l.width, "chain.thickness="+l.thickness, "metal.alloy=au585-yellow")
		out[l.name+"box"], out[l.name+"tongue"] = box, tongue
	}
	return out
}

// Rays through the meshes, an independent measure: no ray from a facet that leaves through one that opposes it may be
// notably shorter than the survey's least, and one must come as near as the facets let it.
func TestSpotsAgainstRays(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	const chord = 0.005
	for name, s := range locks(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			againstRays(t, s, chord)
		})
	}
}

func againstRays(t *testing.T, s *solid.Solid, chord float64) {
	m, err := contour.Of(s, chord)
	if err != nil {
		t.Fatal(err)
	}
	body := NewBody(s)
	for _, metal := range []bool{true, false} {
		measure := body.Narrowest
		if metal {
			measure = body.Thinnest
		}
		spot := measure(SpotOptions{Most: 2})
		if !spot.Found {
			spot.Size = 2
		}
		least := leastRay(m, metal)
		t.Logf("metal %v: survey %.4f (%v), rays %.4f", metal, spot.Size, spot.Tags, least)
		if spot.Found {
			checkSpot(t, s, spot, metal)
		}
		// Each end of a ray may be a chord's error off the surface, which a slanted ray makes longer.
		if least < spot.Size-2*chord/math.Cos(30/radian) {
			t.Errorf("a ray of %.4f, the survey's least is %.4f", least, spot.Size)
		}
		// Rays start 0.4 mm apart and in directions 15 degrees apart.
		if spot.Found && least > spot.Size+0.08 {
			t.Errorf("the shortest ray is %.4f, the survey's least %.4f", least, spot.Size)
		}
	}
}

// fanOf is directions within 30 degrees of d, which edges that do not lie square to each other need.
func fanOf(d r3.Vec) []r3.Vec {
	x, y := across(d)
	out := []r3.Vec{d}
	for _, tilt := range []float64{15, 29.9} {
		for k := range 8 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 4)
			side := r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
			out = append(out, r3.Add(r3.Scale(math.Cos(tilt/radian), d), r3.Scale(math.Sin(tilt/radian), side)))
		}
	}
	return out
}

// leastRay shoots rays from points of all facets, against their normals (or along them, in the air), and gives the
// shortest that meets a facet which opposes.
func leastRay(m *contour.Mesh, metal bool) float64 {
	tree := contour.NewTree(m)
	tri := func(f int) [3]r3.Vec { c := m.T[f]; return [3]r3.Vec{m.V[c[0]], m.V[c[1]], m.V[c[2]]} }
	normal := func(f int) r3.Vec {
		v := tri(f)
		return r3.Unit(r3.Cross(r3.Sub(v[1], v[0]), r3.Sub(v[2], v[0])))
	}
	least := 3.0
	for f := range m.T {
		v, n := tri(f), normal(f)
		d := n
		if metal {
			d = r3.Scale(-1, n)
		}
		longest := max(r3.Norm(r3.Sub(v[1], v[0])), r3.Norm(r3.Sub(v[2], v[1])), r3.Norm(r3.Sub(v[0], v[2])))
		k := max(2, int(math.Min(longest/0.4, 16)))
		fan := fanOf(d)
		for i := range k {
			for j := range k - i {
				// Points of a grid in the facet, just inside its sides.
				const in = 1e-3
				a := in + (1-3*in)*float64(i)/float64(k-1)
				b := in + (1-3*in)*float64(j)/float64(k-1)
				p := r3.Add(v[0], r3.Add(r3.Scale(a, r3.Sub(v[1], v[0])), r3.Scale(b, r3.Sub(v[2], v[0]))))
				for _, d := range fan {
					dist, g, ok := tree.Ray(r3.Add(p, r3.Scale(1e-5, d)), d, least)
					if !ok {
						continue
					}
					if m := normal(g); r3.Dot(m, n) < math.Cos(150/radian) && math.Abs(r3.Dot(m, d)) > math.Cos(30/radian) {
						least = min(least, dist)
					}
				}
			}
		}
	}
	return least
}

func TestSpotsSameOnAnyCores(t *testing.T) {
	box, tongue := trial(t)
	for _, s := range []*solid.Solid{box, tongue} {
		var first []Spot
		for _, n := range []int{1, 2, 5} {
			onCores(n, func() {
				got := []Spot{Thinnest(s, SpotOptions{}), Narrowest(s, SpotOptions{Most: 1})}
				if first == nil {
					first = got
				} else if !reflect.DeepEqual(first, got) {
					t.Errorf("%d cores: %+v, one: %+v", n, got, first)
				}
			})
		}
	}
}
