package clasp

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/params"
)

func domed(t testing.TB, top *Top, sets ...string) *Lock {
	t.Helper()
	job, err := params.Parse("test", nil, append([]string{"metal.alloy=au585-yellow"}, sets...))
	if err != nil {
		t.Fatal(err)
	}
	l, err := Derive(job, "gold", top)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// A crown of two radii: the arcs meet in one point with one tangent, and the fall is that of the arcs.
func TestTangentArcsMeet(t *testing.T) {
	top := Top{Radius: 30, Join: 3, Flank: 9}
	mid, flank := top.arcs(0)
	join := r2.Vec{X: 3, Y: mid.c.Y + math.Sqrt(900-9)}
	if d := math.Abs(r2.Norm(r2.Sub(join, flank.c)) - 9); d > 1e-12 {
		t.Errorf("the flank arc misses the join by %g", d)
	}
	if x := r2.Cross(r2.Sub(join, mid.c), r2.Sub(join, flank.c)); math.Abs(x) > 1e-9 {
		t.Errorf("the tangents differ: %g", x)
	}
	for _, y := range []float64{0, 1, 2.999, 3.001, 5} {
		h := 1e-6
		slope := (top.fall(y+h) - top.fall(math.Max(0, y-h))) / (y + h - math.Max(0, y-h))
		_, dz := top.Outward(y)
		dy, _ := top.Outward(y)
		if math.Abs(slope-dy/dz) > 1e-4 {
			t.Errorf("at %g the fall's slope is %g, the outward direction says %g", y, slope, dy/dz)
		}
	}
}

// The section between a crown and a domed underside, sharp edges: area by the closed form of each arc's segment.
func TestDomedSectionArea(t *testing.T) {
	l := domed(t, nil, "chain.width=12.4", "chain.thickness=6", "chain.crown=25", "chain.underside=40", "chain.edge=0")
	ch, err := l.profile(0)
	if err != nil {
		t.Fatal(err)
	}
	under := 12.4*6 - crownArea(6, 40, 0, 6.2) // what the dome takes off a flat underside
	if got, want := ch.Area(), crownArea(6, 25, 0, 6.2)-under; math.Abs(got-want) > 1e-9 {
		t.Errorf("area %.9f mm2, closed form %.9f", got, want)
	}
}

// With stock on, each point of the section's outline lies the stock away from the finished outline.
func TestDomedSectionGrowsByItsStock(t *testing.T) {
	for _, top := range []*Top{nil, {Radius: 30, Join: 3.1, Flank: 10}} {
		sets := []string{"chain.width=12.4", "chain.thickness=6.4", "chain.underside=45", "chain.edge=0.4"}
		if top == nil {
			sets = append(sets, "chain.crown=22")
		}
		l := domed(t, top, sets...)
		bare, err := l.profile(0)
		if err != nil {
			t.Fatal(err)
		}
		grown, err := l.profile(0.2)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range grown {
			mid := r2.Scale(0.5, r2.Add(s.A, s.B))
			if s.R > 0 {
				mid = r2.Add(s.C, r2.Scale(s.R, r2.Unit(r2.Sub(mid, s.C))))
			}
			for _, p := range []r2.Vec{s.A, mid} {
				if d := solid.NewPrism(bare, -9, 9, "end").Dist(r3.Vec{X: p.X, Y: p.Y}); math.Abs(d-0.2) > 1e-9 {
					t.Errorf("top %v: %s at %v is %.9f mm outside, want 0.2", top, s.Tag, p, d)
				}
			}
		}
	}
}

// Locks with a domed underside and tangent arcs mesh and prove at both stages, box and tongue have one section, and the
// floor keeps its thickness at the chamber's corner.
func TestDomedLocks(t *testing.T) {
	for _, c := range []struct {
		top  *Top
		sets []string
	}{
		{nil, []string{"chain.width=12.4", "chain.thickness=6", "chain.crown=25", "chain.underside=40"}},
		{&Top{Radius: 30, Join: 3.1, Flank: 10}, []string{"chain.width=12.4", "chain.thickness=6.4"}},
		{&Top{Radius: 60, Join: 4.5, Flank: 12}, []string{"chain.width=18", "chain.thickness=8", "chain.underside=70", "lock.end=cradle"}},
	} {
		l := domed(t, c.top, c.sets...)
		if got := l.Floor - rise(l.Underside, l.Chamber/2); math.Abs(got-l.FloorWall) > 1e-12 {
			t.Errorf("%v: floor at the corner %.4f mm, derived for %.4f", c.sets, got, l.FloorWall)
		}
		for _, stage := range []Stage{Finished, Casting} {
			box, err := l.Box(stage)
			if err != nil {
				t.Fatal(err)
			}
			tongue, err := l.Tongue(stage)
			if err != nil {
				t.Fatal(err)
			}
			for name, s := range map[string]*solid.Solid{"box": box, "tongue": tongue} {
				m, err := contour.Of(s, 0.005)
				if err != nil {
					t.Fatalf("%v %s %s: %v", c.sets, name, stage, err)
				}
				if _, err := contour.Verify(m, s, 0.005); err != nil {
					t.Errorf("%v %s %s: %v", c.sets, name, stage, err)
				}
			}
		}
	}
}
