package layer

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
	"claspwright/model/solid"
)

var fine = Options{Layer: 0.025, Angle: 45}

// meshed is a solid as a body, nothing of it mating.
func meshed(t testing.TB, s *solid.Solid) *Body {
	t.Helper()
	m, err := contour.Of(s, 0.005)
	if err != nil {
		t.Fatal(err)
	}
	return New(m.V, m.T, make([]bool, len(m.T)))
}

func block(t testing.TB, x0, y0, z0, x1, y1, z1 float64) *solid.Solid {
	t.Helper()
	b, err := solid.NewBlock(r3.Vec{X: x0, Y: y0, Z: z0}, r3.Vec{X: x1, Y: y1, Z: z1}, "block")
	if err != nil {
		t.Fatal(err)
	}
	return solid.New(b, solid.Upright)
}

// table has four legs.
func table(t testing.TB) *solid.Solid {
	s := []*solid.Solid{block(t, -4, -3, 3, 4, 3, 4)}
	for _, x := range []float64{-3.5, 3.5} {
		for _, y := range []float64{-2.5, 2.5} {
			s = append(s, block(t, x-0.4, y-0.4, 0, x+0.4, y+0.4, 3.2))
		}
	}
	return solid.Join(s...)
}

// cone has a base of n corners at radius r in z = 0 and its tip at z = h.
func cone(n int, r, h float64) *Body {
	v := []r3.Vec{{}, {Z: h}}
	var f [][3]int32
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		v = append(v, r3.Vec{X: r * cos, Y: r * sin})
		a, b := int32(2+i), int32(2+(i+1)%n)
		f = append(f, [3]int32{0, b, a}, [3]int32{1, a, b})
	}
	return New(v, f, make([]bool, len(f)))
}

var (
	upward   = r3.Vec{Z: 1}
	downward = r3.Vec{Z: -1}
	sideways = r3.Vec{X: 1}
)

// Overhang, islands and height of simple bodies against closed forms: the areas of the faces that look down and lie flat enough, but for what
// stands on the plate.
func TestTermsInClosedForm(t *testing.T) {
	tilt := func(degrees float64) r3.Vec {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		return r3.Vec{X: sin, Z: cos}
	}
	drop := solid.Join(block(t, -4, -3, 3, 4, 3, 4), block(t, -4, -3, 0, -2, 3, 3.2), block(t, 0, -1, 1.51, 2, 1, 3.2))
	cup := solid.Cut(block(t, 0, 0, 0, 6, 6, 5), block(t, 1, 1, 1, 5, 5, 7))
	const n = 96
	side := func(r, h float64) float64 { // lateral area of the cone with n corners
		half, mid := r*math.Sin(math.Pi/n), r*math.Cos(math.Pi/n)
		return n * half * math.Hypot(mid, h)
	}
	for _, c := range []struct {
		name     string
		body     *Body
		up       r3.Vec
		overhang float64
		islands  int
		height   float64
	}{
		{"box", meshed(t, block(t, 0, 0, 0, 3, 4, 5)), upward, 0, 0, 5},
		{"box on its side", meshed(t, block(t, 0, 0, 0, 3, 4, 5)), sideways, 0, 0, 3},
		{"box, 30 degrees", meshed(t, block(t, 0, 0, 0, 3, 4, 5)), tilt(30), 3 * 4, 0, 5*math.Cos(math.Pi/6) + 3*math.Sin(math.Pi/6)},
		{"box, 60 degrees", meshed(t, block(t, 0, 0, 0, 3, 4, 5)), tilt(60), 4 * 5, 0, 5*math.Cos(math.Pi/3) + 3*math.Sin(math.Pi/3)},
		{"flat cone on its base", cone(n, 5, 2), upward, 0, 0, 2},
		{"flat cone on its tip", cone(n, 5, 2), downward, side(5, 2), 0, 2},
		{"steep cone on its tip", cone(n, 2, 5), downward, 0, 0, 5},
		{"table", meshed(t, table(t)), upward, 8*6 - 4*0.8*0.8, 0, 4},
		{"table on its top", meshed(t, table(t)), downward, 0, 0, 4},
		{"table on an edge", meshed(t, table(t)), sideways, 4 * 0.8 * 3, 0, 8},
		{"hanging drop", meshed(t, drop), upward, 6 * 6, 1, 4},
		{"cup", meshed(t, cup), upward, 0, 0, 5},
		{"cup over", meshed(t, cup), downward, 4 * 4, 0, 5},
	} {
		got := c.body.Measure(c.up, fine)
		t.Logf("%s: %+v", c.name, got)
		if math.Abs(got.Overhang-c.overhang) > 1e-4*max(1, c.overhang) || got.Islands != c.islands || math.Abs(got.Height-c.height) > 1e-5 {
			t.Errorf("%s: %+v, want %.4f mm2, %d islands, %.4f mm", c.name, got, c.overhang, c.islands, c.height)
		}
		if point := strings.Contains(c.name, "degrees") || strings.HasSuffix(c.name, "tip"); point != (got.Props == 3) || point != (got.Foot < 1e-9) {
			t.Errorf("%s: stands on %.3f mm2, %d props", c.name, got.Foot, got.Props)
		}
		if want := int(math.Ceil(c.height/fine.Layer - 1e-3)); got.Layers != want {
			t.Errorf("%s: %d layers, want %d", c.name, got.Layers, want)
		}
	}
}

// Steps on mating faces in closed form: a tilted box, its sides mating. Level and upright they have none.
func TestStepsInClosedForm(t *testing.T) {
	m, err := contour.Of(block(t, 0, 0, 0, 3, 4, 5), 0.005)
	if err != nil {
		t.Fatal(err)
	}
	mating := make([]bool, len(m.T))
	for i, f := range m.T { // the two faces across x
		mating[i] = m.V[f[0]].X == m.V[f[1]].X && m.V[f[1]].X == m.V[f[2]].X
	}
	b := New(m.V, m.T, mating)
	for _, degrees := range []float64{0, 10, 30, 45, 80, 90} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		got := b.Measure(r3.Vec{X: sin, Z: cos}, fine)
		want := 2 * 4 * 5 * sin
		if degrees == 90 {
			want = 0
		}
		if math.Abs(got.Stepped-want) > 1e-9 || math.Abs(got.Step-fine.Layer*want/40) > 1e-12 {
			t.Errorf("%g degrees: %+v, want %.4f", degrees, got, want)
		}
		if lies := degrees > 44; lies != (got.Marked > 0) && degrees != 90 { // the lower of them
			t.Errorf("%g degrees: %.3f mm2 of it hang", degrees, got.Marked)
		}
	}
}

// A body that is turned, with the build direction turned too, costs the same.
func TestTermsDoNotHangOnTheFrame(t *testing.T) {
	r := rand.New(rand.NewPCG(20261128, 41))
	b := meshed(t, table(t))
	for range 50 {
		turn := r3.NewRotation(r.Float64()*6, r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
		v := make([]r3.Vec, len(b.V))
		for i := range v {
			v[i] = turn.Rotate(b.V[i])
		}
		up := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
		one, two := b.Measure(up, fine), New(v, b.T, b.Mating).Measure(turn.Rotate(up), fine)
		if math.Abs(one.Score()-two.Score()) > 1e-6 || one.Islands != two.Islands {
			t.Errorf("%+v, turned %+v", one, two)
		}
	}
}

// Of bodies whose best pose is plain it is found: the table on its top, the cone on its base, the cup on its foot, whichever way they
// were drawn.
func TestFindsPlainPoses(t *testing.T) {
	cup := solid.Cut(block(t, 0, 0, 0, 6, 6, 5), block(t, 1, 1, 1, 5, 5, 7))
	for _, c := range []struct {
		name string
		body *Body
		up   r3.Vec
	}{
		{"table", meshed(t, table(t)), downward}, {"flat cone", cone(64, 5, 2), upward}, {"cup", meshed(t, cup), upward},
	} {
		r := rand.New(rand.NewPCG(20261128, 42))
		for range 4 {
			turn := r3.NewRotation(r.Float64()*6, r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
			v := make([]r3.Vec, len(c.body.V))
			for i := range v {
				v[i] = turn.Rotate(c.body.V[i])
			}
			p, terms := New(v, c.body.T, c.body.Mating).Find(fine)
			off := math.Acos(min(1, r3.Dot(p.Up, turn.Rotate(c.up)))) * 180 / math.Pi
			if terms.Overhang > 1e-9 || terms.Islands > 0 || c.name != "cup" && off > 0.3 {
				t.Errorf("%s: %+v, %.2f degrees from the plain pose", c.name, terms, off)
			}
		}
	}
}

// A pose is a right-handed frame.
func TestPosesAreFrames(t *testing.T) {
	r := rand.New(rand.NewPCG(20261128, 43))
	for i := range 200 {
		up := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
		if i < 6 {
			up = [6]r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}[i]
		}
		p := Upwards(up)
		if r3.Norm(r3.Sub(r3.Cross(p.X, p.Y), p.Up)) > 1e-12 || math.Abs(r3.Norm(p.X)-1) > 1e-12 || math.Abs(r3.Dot(p.X, p.Y)) > 1e-12 {
			t.Errorf("%v: %+v", up, p)
		}
	}
	if Upwards(upward) != Drawn {
		t.Errorf("upwards as drawn is %+v", Upwards(upward))
	}
}
