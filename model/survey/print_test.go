package survey

import (
	"math"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// A T, a table with four legs and a hanging drop: what hangs, what is an island, where, and the areas in closed form. Askew
// the build direction is turned with the solid.
func TestLayers(t *testing.T) {
	for _, c := range []struct {
		name     string
		make     func(b bench) *solid.Solid
		overhang float64
		islands  int
		island   float64 // mm2
		height   float64 // of the first island
	}{
		{"T", func(b bench) *solid.Solid {
			return solid.Join(b.block(-1, -1.5, 0, 1, 1.5, 4), b.block(-4, -1.5, 3, 4, 1.5, 4))
		}, 18, 0, 0, 0},
		{"table", func(b bench) *solid.Solid {
			s := []*solid.Solid{b.block(-4, -3, 3, 4, 3, 4)}
			for _, x := range []float64{-3.5, 3.5} {
				for _, y := range []float64{-2.5, 2.5} {
					s = append(s, b.block(x-0.5, y-0.5, 0, x+0.5, y+0.5, 3.2))
				}
			}
			return solid.Join(s...)
		}, 44, 0, 0, 0},
		// The drop is a square bar that hangs from the table; it begins at 1.51.
		{"hanging drop", func(b bench) *solid.Solid {
			return solid.Join(b.block(-4, -3, 3, 4, 3, 4), b.block(-4, -3, 0, -2, 3, 3.2), b.block(0, -1, 1.51, 2, 1, 3.2))
		}, 6 * 6, 1, 4, 1.51},
		// A roof of 30 degrees on a stem: the slanted underside needs support, by its own area; one of 60 does not.
		{"flat slant", func(b bench) *solid.Solid { return slanted(b, 30) }, 4 * 3 / math.Cos(30/radian), 0, 0, 0},
		{"steep slant", func(b bench) *solid.Solid { return slanted(b, 60) }, 0, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			each(t, func(t *testing.T, b bench) {
				got := LayersOf(c.make(b), LayerOptions{Up: b.pose.Z, Step: 0.1})
				close(t, "overhang", got.Overhang, c.overhang, 0.04*c.overhang+1e-9)
				if got.Islands != c.islands {
					t.Errorf("%d islands, want %d", got.Islands, c.islands)
				}
				if c.islands > 0 {
					close(t, "island area", got.IslandArea, c.island, 0.1*c.island+0.01)
					close(t, "height of the island", b.pose.Local(got.IslandAt).Z, c.height, 1e-3)
				}
			})
		})
	}
}

// slanted is a stem of 2 x 3 whose arm goes 4 out, its underside rising at an angle.
func slanted(b bench, degrees float64) *solid.Solid {
	rise := 4 * math.Tan(degrees/radian)
	return b.prism(3, r2.Vec{}, r2.Vec{X: 2}, r2.Vec{X: 2, Y: 2}, r2.Vec{X: 6, Y: 2 + rise}, r2.Vec{X: 6, Y: 3 + rise}, r2.Vec{Y: 3 + rise})
}

// A floor much thinner than a layer, and a gap of two layers, are seen.
func TestLayersSeeThinThings(t *testing.T) {
	b := bench{t, solid.Upright}
	s := solid.Join(b.block(0, 0, 0, 5, 5, 1), b.block(4, 0, 0.5, 5, 5, 1.5), b.block(0, 0, 1.05, 4.5, 5, 1.06))
	got := LayersOf(s, LayerOptions{})
	close(t, "overhang", got.Overhang, 4*5, 0.8)
	if got.Islands != 0 || got.Count != 60 {
		t.Errorf("%+v", got)
	}
}

// Sections of a bar, a tube and a box against closed forms, 0.5 %.
func TestSections(t *testing.T) {
	for _, c := range []struct {
		name            string
		make            func(b bench) *solid.Solid
		area, perimeter float64
	}{
		{"bar", func(b bench) *solid.Solid { return b.rod(at(0, 0, 0), 1.3, -3, 3) }, math.Pi * 1.69, math.Pi * 2.6},
		{"tube", func(b bench) *solid.Solid {
			return solid.Cut(b.rod(at(0, 0, 0), 1.3, -3, 3), b.rod(at(0.2, 0, 0), 0.9, -4, 4))
		}, math.Pi * (1.69 - 0.81), math.Pi * 4.4},
		{"box", func(b bench) *solid.Solid {
			return solid.Cut(b.block(-2, -1.5, -3, 2, 1.5, 3), b.block(-1.5, -1, -2, 1.5, 1, 2))
		}, 12 - 6, 14 + 10},
		{"miss", func(b bench) *solid.Solid { return b.block(-1, -1, 2, 1, 1, 3) }, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			each(t, func(t *testing.T, b bench) {
				got := SectionOf(c.make(b), b.pose.World(vec(0.1, 0.2, 0.3)), b.pose.Z, SectionOptions{})
				close(t, "area", got.Area, c.area, 0.005*c.area)
				close(t, "perimeter", got.Perimeter, c.perimeter, 0.005*c.perimeter)
				if c.area > 0 {
					close(t, "modulus", got.Modulus, c.area/c.perimeter, 0.007*c.area/c.perimeter)
				}
			})
		})
	}
}

// The thickest place against closed forms: Ball and Bound hold the truth between them, 0.02 apart.
func TestThickest(t *testing.T) {
	for _, c := range []struct {
		name string
		make func(b bench) *solid.Solid
		want float64
	}{
		{"block", func(b bench) *solid.Solid { return b.block(0, 0, 0, 6, 5, 2.2) }, 2.2},
		{"ball", func(b bench) *solid.Solid { return b.ball(0, 0, 0, 1.7) }, 3.4},
		// Left of the bore the plate is 3 thick and 4 wide.
		{"plate with a bore", func(b bench) *solid.Solid {
			return solid.Cut(b.block(0, 0, 0, 8, 6, 3), b.rod(at(6, 3, 0), 1.9, -1, 4))
		}, 3},
		// A ball in the corner of a hollow block: touches three outer faces and the corner of the hollow.
		{"corner of a hollow block", func(b bench) *solid.Solid {
			return solid.Cut(b.block(0, 0, 0, 6, 6, 6), b.block(1, 1, 1, 5, 5, 5))
		}, 2 * math.Sqrt(3) / (1 + math.Sqrt(3))},
	} {
		t.Run(c.name, func(t *testing.T) {
			each(t, func(t *testing.T, b bench) {
				s := c.make(b)
				got := Thickest(s, ThickOptions{})
				if got.Ball > c.want+1e-6 || got.Bound < c.want-1e-6 || got.Bound-got.Ball > 0.0201 {
					t.Errorf("ball %.5f, bound %.5f, the truth is %.5f", got.Ball, got.Bound, c.want)
				}
				close(t, "twice the field", -2*s.Eval(got.At), got.Ball, 1e-9)
			})
		})
	}
}

// Where parts overlap the field knows less than is true: the bound still holds.
func TestThickestOfOverlappingParts(t *testing.T) {
	each(t, func(t *testing.T, b bench) {
		s := solid.Join(b.block(0, 0, 0, 3, 4, 4), b.block(2.5, 0, 0, 5, 4, 4))
		got := Thickest(s, ThickOptions{Most: 4000})
		if got.Bound < 4 || got.Ball > 4 {
			t.Errorf("ball %.4f, bound %.4f, the truth is 4", got.Ball, got.Bound)
		}
	})
}

func TestPrintSameOnAnyCores(t *testing.T) {
	_, tongue := trial(t)
	var first []any
	for _, n := range []int{1, 2, 5} {
		onCores(n, func() {
			got := []any{LayersOf(tongue, LayerOptions{Step: 0.4}), Thickest(tongue, ThickOptions{}), Cores(tongue, CoreOptions{}),
				SharpEdges(tongue, EdgeOptions{Angle: 100}), ReachOf(tongue, nil, ReachOptions{Step: 1.5})}
			if first == nil {
				first = got
			}
			for i := range got {
				if !reflect.DeepEqual(first[i], got[i]) {
					t.Errorf("%d cores: %+v, one: %+v", n, got[i], first[i])
				}
			}
		})
	}
}
