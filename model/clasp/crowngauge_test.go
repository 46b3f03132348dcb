package clasp

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
	"claspwright/model/solid"
)

var gauged = map[string]*Lock{
	"flat":        {Width: 12.4, Thickness: 5.2, Edge: 0.3},
	"sharp":       {Width: 12.4, Thickness: 5.2},
	"thin edge":   {Width: 12.4, Thickness: 5.2, Edge: 0.05},
	"crowned":     {Width: 12.4, Thickness: 5.2, Crown: 18.6, Edge: 0.3},
	"two arcs":    {Width: 12.4, Thickness: 5.2, Crown: 30, CrownJoin: 4, CrownFlank: 12, Edge: 0.3},
	"domed below": {Width: 12.4, Thickness: 5.2, Underside: 25, Edge: 0.3},
	"both":        {Width: 24, Thickness: 9, Crown: 40, Underside: 60, Edge: 0.6},
}

// segment is the area between an arc of radius r and its chord of half width y.
func segment(r, y float64) float64 {
	a := math.Asin(y / r)
	return r*r*a - y*math.Sqrt(r*r-y*y)
}

// The plate's volume is that of its outline less both hollows and the marks. Hollows in closed form: a rectangle less what two
// rounds leave in square corners, for the flat; rectangle and segment for the crown with sharp edges.
func TestCrownGaugeVolume(t *testing.T) {
	const a = 0.1
	for _, c := range []struct {
		name string
		lock *Lock
	}{
		{"flat", gauged["flat"]}, {"sharp", gauged["sharp"]}, {"thin edge", gauged["thin edge"]},
		{"sharp crown", &Lock{Width: 12.4, Thickness: 5.2, Crown: 18.6}},
	} {
		g, err := c.lock.Crowned(a)
		if err != nil {
			t.Fatal(err)
		}
		l := c.lock
		edge := 0.0
		if l.Edge > 0 {
			edge = l.Edge + a
		}
		var goOver, land, fall float64
		inner := 0.0
		if l.Edge > a {
			inner = l.Edge - a
		}
		landHalf := l.Width/2 - a - inner
		if r := l.Crown; r > 0 {
			w := l.Width/2 + a
			goOver = segment(r+a, w) - 2*w*(r+a-math.Sqrt((r+a)*(r+a)-w*w)) // over the height at mid-width
			fall = r - a - math.Sqrt((r-a)*(r-a)-landHalf*landHalf)
			land = segment(r-a, landHalf) - 2*landHalf*fall
		}
		goOver += (l.Width+2*a)*(l.Thickness+a) - 2*(1-math.Pi/4)*edge*edge
		noOver := (l.Width+1)*(l.Thickness+0.5) - 2*landHalf*(0.5+a) + land
		want := g.Thick * (g.Wide*g.High - goOver - noOver - 2)
		m, err := contour.Finely(g.Solid(), 0.001, 0.25)
		if err != nil {
			t.Fatal(err)
		}
		proof, err := contour.Verify(m, g.Solid(), 0.001)
		if err != nil {
			t.Fatal(err)
		}
		got := contour.Volume(m)
		t.Logf("%s: %.3f mm3, closed form %.3f, off by %.2g %%, mesh within %.4f mm", c.name, got, want, 100*(got/want-1), proof.DeviationMM)
		if math.Abs(got/want-1) > 1e-4 {
			t.Errorf("%s: %.4f mm3, closed form %.4f", c.name, got, want)
		}
	}
}

// over stands a lock's section under one of the gauge's hollows, so far below where the feet meet the plate, and asks how deep it reaches into the gauge:
// greatest depth over points of the section's upper half, mm, 0 or less when it is free.
func over(t *testing.T, l *Lock, gauge *solid.Solid, at func(y, z float64) r3.Vec) float64 {
	t.Helper()
	ch, err := l.UpperProfile()
	if err != nil {
		t.Fatal(err)
	}
	worst := math.Inf(-1)
	for _, s := range ch {
		for k := range 41 {
			f := float64(k) / 40
			x, z := s.A.X+f*(s.B.X-s.A.X), s.A.Y+f*(s.B.Y-s.A.Y)
			if s.R > 0 { // on the arc
				d := math.Hypot(x-s.C.X, z-s.C.Y)
				x, z = s.C.X+(x-s.C.X)*s.R/d, s.C.Y+(z-s.C.Y)*s.R/d
			}
			worst = math.Max(worst, -gauge.Eval(at(x, z)))
		}
	}
	return worst
}

// The gauge judges as it should: a section as drawn goes under the go and not under the no-go; one larger by more than
// the allowance does not go; one whose crown is lower by more stands under the no-go.
func TestCrownGaugeJudges(t *testing.T) {
	const a = 0.1
	for name, l := range gauged {
		g, err := l.Crowned(a)
		if err != nil {
			t.Fatal(err)
		}
		s := g.Solid()
		goes := func(y, z float64) r3.Vec { return r3.Vec{X: y, Y: z, Z: g.Thick / 2} }
		noGo := func(y, z float64) r3.Vec { return r3.Vec{X: -y, Y: g.High - z, Z: g.Thick / 2} }
		low, high, wide := *l, *l, *l
		low.Thickness -= 1.1 * a
		high.Thickness += 1.1 * a
		wide.Width += 2.2 * a
		for _, c := range []struct {
			what  string
			lock  *Lock
			at    func(y, z float64) r3.Vec
			stuck bool
		}{
			{"as drawn, go", l, goes, false}, {"as drawn, no-go", l, noGo, true},
			{"too high, go", &high, goes, true}, {"too wide, go", &wide, goes, true},
			{"too low, go", &low, goes, false}, {"too low, no-go", &low, noGo, false},
		} {
			deep := over(t, c.lock, s, c.at)
			if c.stuck != (deep > 1e-6) {
				t.Errorf("%s, %s: reaches %.4f mm into the gauge", name, c.what, deep)
			}
		}
		if d := over(t, l, s, goes); math.Abs(d+a) > 1e-6 {
			t.Errorf("%s: under the go %.6f mm are free at least, the allowance is %.2f", name, -d, a)
		}
		if d := over(t, l, s, noGo); math.Abs(d-a) > 1e-6 {
			t.Errorf("%s: under the no-go it is %.6f mm too high, the allowance is %.2f", name, d, a)
		}
		if math.Abs(s.Eval(goes(0, g.GoHeight))) > 1e-9 || math.Abs(s.Eval(noGo(0, g.NoGoHeight))) > 1e-9 || math.Abs(s.Eval(goes(g.GoWidth/2, 0.5))) > 1e-9 {
			t.Errorf("%s: stated sizes are not those of the plate", name)
		}
	}
}
