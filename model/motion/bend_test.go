package motion

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/model/spring"
)

// strips of one thickness: a straight one, one bent to an arc, and a hairpin, each as area times width in closed form:
// the area beside a middle line of length s is t s, whatever its curvature (the theorem of Pappus and Guldin, in the plane).
func TestBendClosedForms(t *testing.T) {
	const thick, wide = 0.5, 9.0
	for _, c := range []struct {
		name          string
		length, curve float64
	}{{"straight", 10, 0}, {"arc", 10, 0.02}, {"the other way", 10, -0.05}, {"half turn", math.Pi * 0.6, 1 / 0.6}} {
		t.Run(c.name, func(t *testing.T) {
			st := []spring.Station{}
			const n = 40
			for i := range n + 1 {
				s := c.length * float64(i) / n
				q := spring.Station{S: s, X: s, Z: 1, Angle: c.curve * s, T: thick, Width: wide}
				if c.curve != 0 {
					q.X, q.Z = math.Sin(q.Angle)/c.curve, 1+(1-math.Cos(q.Angle))/c.curve
				}
				st = append(st, q)
			}
			b, err := Bend(st, Shape{Tip: spring.Station{Angle: 0}}, 0.001)
			if err != nil {
				t.Fatal(err)
			}
			if b.Bound > 0.001 {
				t.Errorf("bound %.5f, 0.001 was asked for", b.Bound)
			}
			if most := 4 + 2*int(math.Ceil(c.length*math.Abs(c.curve)/1.2)); b.Pieces > most {
				t.Errorf("%d lines and arcs, at most %d", b.Pieces, most)
			}
			m, err := contour.Finely(b.Solid, 0.002, 0.1)
			if err != nil {
				t.Fatal(err)
			}
			// The end stands to the tip as it does relaxed: here square. The root's lap is straight.
			want := thick * (c.length + rootLap) * wide
			if got := contour.Volume(m); math.Abs(got/want-1) > 2e-3 {
				t.Errorf("volume %.4f mm3, closed form %.4f", got, want)
			}
			besideStations(t, b, st, wide, 0)
		})
	}
}

// besideStations asks that each point of both sides, as the stations have it, lies on the solid's surface within the bound, but for
// ends.
func besideStations(t *testing.T, b *Bent, st []spring.Station, wide, ends float64) {
	t.Helper()
	all, err := middleOf(st)
	if err != nil {
		t.Fatal(err)
	}
	worst, at := 0.0, r2.Vec{}
	for i, g := range all[1:] {
		for k := range 9 {
			p, angle, thick := g.at(float64(k) / 8)
			s := g.s0 + float64(k)/8*(g.s1-g.s0)
			if s > st[len(st)-1].S-ends || i == 0 && k == 0 {
				continue
			}
			if nearKink(all, s) { // there sides are drawn on or cut back to where they meet
				continue
			}
			left := heading(angle + math.Pi/2)
			for _, side := range []float64{-1, 1} {
				q := r2.Add(p, r2.Scale(side*thick/2, left))
				f := b.Solid.Eval(r3.Vec{X: q.X, Z: q.Y})
				if math.Abs(f) > worst {
					worst, at = math.Abs(f), q
				}
			}
		}
	}
	if worst > b.Bound+1e-6 {
		t.Errorf("a side is %.7f mm off the solid at %v, bound %.7f", worst, at, b.Bound)
	}
	t.Logf("%d pieces, bound %.5f mm, worst %.5f", b.Pieces, b.Bound, worst)
}

func nearKink(all []stretch, s float64) bool {
	for i := 1; i < len(all); i++ {
		if math.Abs(all[i].a0-all[i-1].a1) > 1e-9 && math.Abs(all[i].s0-s) < 0.1 {
			return true
		}
	}
	return false
}

// The relaxed leaf with held part and tab is the tongue: volume, and surfaces both ways. The stations have the thickness square to a middle line that
// rises by slope towards the tip, the lock's outlines have it upright: t (1 - cos) differs, and where the outlines bend at the knee
// t/2 slope tan(slope/2).
func TestRelaxedLeafIsTheTongue(t *testing.T) {
	for _, sets := range sizes() {
		l := lockOf(t, sets...)
		b, err := Bend(leafStations(l, 24, 0), shapeOf(l), 0.002)
		if err != nil {
			t.Fatal(err)
		}
		built, whole := solid.Join(must(l.Held()), b.Solid, must(l.Tab())), must(l.Tongue(clasp.Finished))
		mesh := func(s *solid.Solid) *contour.Mesh {
			m, err := contour.Finely(s, 0.005, 0.25)
			if err != nil {
				t.Fatal(err)
			}
			return m
		}
		m, n := mesh(built), mesh(whole)
		if off := contour.Volume(m)/contour.Volume(n) - 1; math.Abs(off) > 0.005 {
			t.Errorf("%v: volume off by %.3f %%", sets, 100*off)
		}
		slope := math.Atan((l.ZTip - l.ZUpper) / (l.XKnee - l.XTip))
		allowed := b.Bound + l.Leaf*(1-math.Cos(slope)) + l.Leaf/2*slope*math.Tan(slope/2) + 0.005
		off := math.Max(apartAtMost(t, m, whole), apartAtMost(t, n, built))
		if off > allowed {
			t.Errorf("%v: surfaces up to %.5f mm apart, at most %.5f", sets, off, allowed)
		}
		t.Logf("%v: volume %+.4f %%, surfaces up to %.4f mm apart, allowed %.4f; %d pieces", sets, 100*(contour.Volume(m)/contour.Volume(n)-1), off, allowed, b.Pieces)
		if d := r3.Norm(b.Tip.O); d > 1e-9 {
			t.Errorf("%v: the tab moves by %g without a bend", sets, d)
		}
	}
}

// apartAtMost is the greatest distance of points of a mesh, in each facet 15, from a solid's surface, by witnesses.
func apartAtMost(t *testing.T, m *contour.Mesh, s *solid.Solid) float64 {
	t.Helper()
	worst := 0.0
	for _, f := range m.T {
		for i := range 5 {
			for j := range 5 - i {
				a, b := float64(i)/4, float64(j)/4
				p := r3.Add(r3.Scale(1-a-b, m.V[f[0]]), r3.Add(r3.Scale(a, m.V[f[1]]), r3.Scale(b, m.V[f[2]])))
				if math.Abs(s.Eval(p)) <= worst {
					continue
				}
				q, _, ok := s.Witness(p)
				if !ok {
					t.Fatalf("no surface near %v", p)
				}
				worst = max(worst, r3.Norm(r3.Sub(p, q)))
			}
		}
	}
	return worst
}

// Bent leaves keep the bound, however they bend, and a thinner core lies inside by the inset.
func TestBentLeafKeepsItsBound(t *testing.T) {
	for _, sets := range sizes() {
		l := lockOf(t, sets...)
		for _, k := range []float64{-0.004, 0.002, 0.006, 0.012} {
			st := leafStations(l, 24, k)
			sh := shapeOf(l)
			b, err := Bend(st, sh, 0.002)
			if err != nil {
				t.Fatal(err)
			}
			if b.Bound > 0.002 || b.Pieces > 40 {
				t.Errorf("%v, %g: bound %.5f with %d pieces", sets, k, b.Bound, b.Pieces)
			}
			besideStations(t, b, st, l.LowerWidth, 0.3)
			sh.Inset = 0.02
			core, err := Bend(st, sh, 0.002)
			if err != nil {
				t.Fatal(err)
			}
			least := math.Inf(1)
			for _, p := range NewBody(core.Solid).points(1, core.Solid.Bounds()) {
				if f := b.Solid.Eval(p); p.X > st[2].X { // not the root, which has no skin
					least = min(least, -f)
				}
			}
			if least < sh.Inset-b.Bound-core.Bound-1e-6 {
				t.Errorf("%v, %g: the core is only %.4f mm inside", sets, k, least)
			}
		}
	}
}

// Stations that make no leaf are refused.
func TestBendRefuses(t *testing.T) {
	ok := spring.Station{T: 0.5, Width: 9}
	next := func(edit func(*spring.Station)) spring.Station {
		s := spring.Station{S: 1, X: 1, T: 0.5, Width: 9}
		edit(&s)
		return s
	}
	for name, st := range map[string][]spring.Station{
		"none":          nil,
		"one":           {ok},
		"no thickness":  {ok, next(func(s *spring.Station) { s.T = 0 })},
		"no width":      {ok, next(func(s *spring.Station) { s.Width = 0 })},
		"half a turn":   {ok, next(func(s *spring.Station) { s.Angle = 3 })},
		"end along it":  {ok, next(func(s *spring.Station) { s.Angle = 0.1 })},
		"a number lost": {ok, next(func(s *spring.Station) { s.T = math.NaN() })},
	} {
		tip := spring.Station{}
		if name == "end along it" {
			tip.Angle = math.Pi / 2
		}
		if _, err := Bend(st, Shape{Tip: tip}, 0.002); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
