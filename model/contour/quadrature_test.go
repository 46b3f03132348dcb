package contour

import (
	"math"
	"runtime"
	"sync/atomic"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

type cylinderField struct{ r, half float64 } // along z

func (c cylinderField) Eval(p r3.Vec) float64 {
	d, h := math.Hypot(p.X, p.Y)-c.r, math.Abs(p.Z)-c.half
	if d <= 0 || h <= 0 {
		return max(d, h)
	}
	return math.Hypot(d, h)
}

// counting counts the evaluations of a field.
type counting struct {
	Field
	n *atomic.Int64
}

func (c counting) Eval(p r3.Vec) float64 { c.n.Add(1); return c.Field.Eval(p) }

func TestQuadratureInClosedForm(t *testing.T) {
	for _, c := range []struct {
		name   string
		field  Field
		lo, hi r3.Vec
		want   float64
	}{
		{"box", boxField{vec(-6.1, -4.03, 0), vec(6, 4, 5.2)}, vec(-6.5, -4.5, -0.3), vec(6.5, 4.5, 5.5), 12.1 * 8.03 * 5.2},
		{"ball", sphereField{vec(1, 2, 3), 3}, vec(-2.1, -1.1, -0.1), vec(4.1, 5.1, 6.1), 36 * math.Pi},
		{"cylinder", cylinderField{2.5, 4}, vec(-2.5, -2.5, -4), vec(2.5, 2.5, 4), 50 * math.Pi},
		{"torus", torusField{6, 2}, vec(-8, -8, -2), vec(8, 8, 2), 48 * math.Pi * math.Pi},
		{"half a ball, cut by the box", sphereField{r3.Vec{}, 3}, vec(0, -4, -4), vec(4, 4, 4), 18 * math.Pi},
		{"box with walls of 0.6", less{boxField{vec(0, 0, 0), vec(20, 12, 5)}, boxField{vec(0.6, 0.6, 0.6), vec(19.4, 11.4, 4.4)}},
			vec(0, 0, 0), vec(20, 12, 5), 1200 - 18.8*10.8*3.8},
	} {
		for seed := range uint64(2) {
			calls := &atomic.Int64{}
			got, bound := Quadrature(counting{c.field, calls}, c.lo, c.hi, seed)
			near(t, c.name, got, c.want, bound)
			if bound > 0.001*c.want {
				t.Errorf("%s: bound %g is %.3g %% of the volume", c.name, bound, 100*bound/c.want)
			}
			if calls.Load() > quadCap*11/10 {
				t.Errorf("%s: %d evaluations", c.name, calls.Load())
			}
			if seed == 0 {
				t.Logf("%s: %.6g, off by %.2g, bound %.2g, %d evaluations", c.name, got, got-c.want, bound, calls.Load())
			}
		}
	}
}

// Over many seeds the mean must be right to much less than the bound, and no draw outside it: a bias would show here.
func TestQuadratureHasNoBias(t *testing.T) {
	f, want := cylinderField{1, 1}, 2*math.Pi
	const seeds = 40
	sum, worst, bound := 0.0, 0.0, 0.0
	for seed := range uint64(seeds) {
		v, b := Quadrature(f, vec(-1.1, -1.1, -1.3), vec(1.2, 1.1, 1.1), seed)
		sum += v - want
		worst, bound = max(worst, math.Abs(v-want)), b
	}
	near(t, "mean error", sum/seeds, 0, bound/math.Sqrt(seeds)/2)
	if worst > bound || worst == 0 {
		t.Errorf("worst %g, bound %g", worst, bound)
	}
}

func TestQuadratureSameOnAnyNumberOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	v1, b1 := Quadrature(torusField{6, 2}, vec(-8, -8, -2), vec(8, 8, 2), 3)
	runtime.GOMAXPROCS(4)
	if v4, b4 := Quadrature(torusField{6, 2}, vec(-8, -8, -2), vec(8, 8, 2), 3); v1 != v4 || b1 != b4 {
		t.Errorf("one core %g %g, four %g %g", v1, b1, v4, b4)
	}
	if v, _ := Quadrature(torusField{6, 2}, vec(-8, -8, -2), vec(8, 8, 2), 4); v == v1 {
		t.Error("the seed changes nothing")
	}
}

func TestQuadratureOfNoBox(t *testing.T) {
	f := sphereField{r3.Vec{}, 1}
	for _, c := range [][2]r3.Vec{{vec(1, 0, 0), vec(0, 1, 1)}, {vec(math.NaN(), 0, 0), vec(1, 1, 1)}, {{}, vec(math.Inf(1), 1, 1)}} {
		if v, bound := Quadrature(f, c[0], c[1], 1); !math.IsNaN(v) || !math.IsInf(bound, 1) {
			t.Errorf("%v: %g %g", c, v, bound)
		}
	}
	if v, bound := Quadrature(f, r3.Vec{}, r3.Vec{}, 1); v != 0 || bound != 0 {
		t.Errorf("a point: %g %g", v, bound)
	}
	if v, bound := Quadrature(f, vec(3, 3, 3), vec(4, 4, 4), 1); v != 0 || bound != 0 {
		t.Errorf("empty room: %g %g", v, bound)
	}
}

// The share of the unit cube that a plane cuts off, by counting a fine grid; and where it is known.
func TestCutShare(t *testing.T) {
	for _, c := range []cut{
		newCut(0.1, vec(0.3, -0.5, 0.8)), newCut(-0.4, vec(0.9, 0.1, -0.4)), newCut(0.3, vec(0.01, 0.2, 0.97)),
		newCut(0.25, vec(1, 0, 0)), newCut(-0.1, vec(0, 0.7, -0.7)), newCut(0.7, vec(0.6, 0.6, 0.6)),
	} {
		const n = 100
		in := 0
		for i := range n * n * n {
			if c.holds(r3.Scale(1.0/n, vec(float64(i%n)-49.5, float64(i/n%n)-49.5, float64(i/n/n)-49.5))) {
				in++
			}
		}
		near(t, "share", c.share(), float64(in)/(n*n*n), 2e-3)
	}
	near(t, "half", newCut(0, vec(0.2, 0.3, 0.9)).share(), 0.5, 1e-12)
	near(t, "axis", newCut(0.25, vec(1, 0, 0)).share(), 0.25, 1e-9)
	near(t, "corner", newCut(1, vec(1, 1, 1)).share(), 1.0/48, 1e-12)
	near(t, "nothing", newCut(2, vec(1, 1, 1)).share(), 0, 0)
	near(t, "all", newCut(-2, vec(1, 1, 1)).share(), 1, 1e-12)
	near(t, "no slope, in", newCut(-1e-9, r3.Vec{}).share(), 0.5, 0.01)
}

type slope struct{ n r3.Vec } // the half space n p < 1, n of length 1

func (s slope) Eval(p r3.Vec) float64 { return r3.Dot(s.n, p) - 1 }

// A cube of which a plane takes no more than a corner is not decided, one that it just misses is.
func TestJudgeKeepsACubeCutAtItsCorner(t *testing.T) {
	n := r3.Unit(vec(1, 1, 1))
	for _, c := range []struct {
		reach float64 // of the cube's farthest corner along n
		kept  int
	}{{0.999, 0}, {1.001, 1}} {
		q := quad{field: slope{n}, edge: 0.25}
		low := c.reach/math.Sqrt(3) - 5*q.edge // the box begins four cubes before, so that it cuts nothing
		q.lo, q.hi = vec(low, low, low), vec(9, 9, 9)
		q.cells = []quadCell{{x: 4, y: 4, z: 4}}
		q.measure()
		q.judge()
		if len(q.cells) != c.kept {
			t.Errorf("reach %g: %d cubes kept, want %d", c.reach, len(q.cells), c.kept)
		}
	}
}

// agrees is how a mesh is judged by the volume of its field: what lies between mesh and surface comes on top.
func agrees(t *testing.T, m *Mesh, s Surface, tolerance float64) (ok bool, off, limit float64) {
	t.Helper()
	proof, err := Verify(m, s, tolerance)
	if err != nil {
		t.Fatal(err)
	}
	lo, hi := Bounds(m)
	room := vec(0.1, 0.1, 0.1)
	volume, bound := Quadrature(s, r3.Sub(lo, room), r3.Add(hi, room), 1)
	off = math.Abs(Volume(m) - volume)
	return off <= bound+proof.GapMM3, math.Abs(Volume(scaledMesh(m, 1.002)) - volume), bound + proof.GapMM3
}

func TestQuadratureRejectsAMeshScaledBy1002(t *testing.T) {
	lo, hi := vec(-6, -4, 0), vec(6, 4, 5)
	for _, c := range []struct {
		name string
		m    *Mesh
		s    Surface
	}{
		{"box", boxMesh(lo, hi), boxField{lo, hi}},
		{"ball", sphereMesh(r3.Vec{}, 3, 6), sphereField{r3.Vec{}, 3}},
		{"torus", torusMesh(6, 2, 192, 96), torusField{6, 2}},
	} {
		ok, scaled, limit := agrees(t, c.m, c.s, 0.005)
		if !ok {
			t.Errorf("%s: refused as it is (limit %g)", c.name, limit)
		}
		if scaled <= limit {
			t.Errorf("%s: scaled by 1.002 it is off by %g, and taken within %g", c.name, scaled, limit)
		}
	}
}
