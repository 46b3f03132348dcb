package contour

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The peer of the intersection tests: convex sets of points with whole coordinates are apart if and only if some axis
// separates them, and for two triangles one of these does: a normal, a product of two edges, or an edge's normal within
// its own plane. Whole numbers, so it is exact too, and no line of it is shared.
type whole [3]int64

func (a whole) sub(b whole) whole { return whole{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a whole) dot(b whole) int64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a whole) cross(b whole) whole {
	return whole{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
func (a whole) vec() r3.Vec { return vec(float64(a[0]), float64(a[1]), float64(a[2])) }

func axes(a, b [3]whole) []whole {
	edges := func(t [3]whole) [3]whole { return [3]whole{t[1].sub(t[0]), t[2].sub(t[1]), t[0].sub(t[2])} }
	ea, eb := edges(a), edges(b)
	na, nb := ea[0].cross(ea[1]), eb[0].cross(eb[1])
	out := []whole{na, nb}
	for i := range 3 {
		out = append(out, na.cross(ea[i]), nb.cross(eb[i]))
		for j := range 3 {
			out = append(out, ea[i].cross(eb[j]))
		}
	}
	return out
}

func separated(a, b, along []whole) bool {
	for _, axis := range along {
		span := func(ps []whole) (lo, hi int64) {
			lo, hi = math.MaxInt64, math.MinInt64
			for _, p := range ps {
				lo, hi = min(lo, p.dot(axis)), max(hi, p.dot(axis))
			}
			return lo, hi
		}
		alo, ahi := span(a)
		blo, bhi := span(b)
		if ahi < blo || bhi < alo {
			return true
		}
	}
	return false
}

func randomTriangle(r *rand.Rand, size int64) [3]whole {
	for {
		var t [3]whole
		for i := range t {
			for j := range t[i] {
				t[i][j] = r.Int64N(size)
			}
		}
		if t[1].sub(t[0]).cross(t[2].sub(t[0])) != (whole{}) {
			return t
		}
	}
}

// placed is the triangle turned and scaled by a whole matrix, so that float64 has to round; it stays exact in float32.
func placed(t [3]whole) triangle {
	var out triangle
	for i, p := range t {
		x, y, z := p[0], p[1], p[2]
		out[i] = r3.Scale(1.0/1024, whole{1021*x - 307*y + 55*z, 411*x + 917*y - 203*z, 77*x + 129*y + 1009*z}.vec())
	}
	return out
}

func TestMeetsAgreesWithSeparatingAxes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	seen := map[bool]int{}
	for range 30000 {
		a, b := randomTriangle(r, 4), randomTriangle(r, 4)
		want := !separated(a[:], b[:], axes(a, b))
		seen[want]++
		if _, got := placed(a).meets(placed(b)); got != want {
			t.Fatalf("%v and %v: got %v, want %v", a, b, got, want)
		}
	}
	if seen[true] < 3000 || seen[false] < 3000 {
		t.Errorf("one-sided sample: %v", seen)
	}
}

// Beyond the common corner: cut off the corner of both at 1/1000 of the way (nothing the whole grid can hold is nearer)
// and ask again. Only if the rest of the two is apart, along any ray from the corner, is the corner all they share.
func TestMeetsBeyondCornerAgreesWithSeparatingAxes(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	seen := map[bool]int{}
	for range 30000 {
		a, b := randomTriangle(r, 4), randomTriangle(r, 4)
		b[0] = a[0]
		if b[1].sub(b[0]).cross(b[2].sub(b[0])) == (whole{}) {
			continue
		}
		want := !separated(cornerCut(a), cornerCut(b), axes(a, b))
		seen[want]++
		if _, got := placed(a).meetsBeyondCorner(placed(b)); got != want {
			t.Fatalf("%v and %v: got %v, want %v", a, b, got, want)
		}
	}
	if seen[true] < 3000 || seen[false] < 3000 {
		t.Errorf("one-sided sample: %v", seen)
	}
}

func cornerCut(t [3]whole) []whole {
	scaled := func(p whole, by int64) whole { return whole{p[0] * by, p[1] * by, p[2] * by} }
	mix := func(p whole) whole {
		c := scaled(t[0], 999)
		return whole{c[0] + p[0], c[1] + p[1], c[2] + p[2]}
	}
	return []whole{mix(t[1]), mix(t[2]), scaled(t[1], 1000), scaled(t[2], 1000)}
}

func TestFoldsOnto(t *testing.T) {
	a, b, c := vec(0, 0, 0), vec(4, 0, 0), vec(1, 3, 0)
	for _, x := range []struct {
		d    r3.Vec
		want bool
	}{
		{vec(2, 1, 0), true}, {vec(9, 0.001, 0), true}, {vec(2, -1, 0), false},
		{vec(2, 1, 1e-30), false}, {vec(2, -1, 1), false},
	} {
		if got := foldsOnto(a, b, c, x.d); got != x.want {
			t.Errorf("far corner %v: got %v", x.d, got)
		}
	}
}

// The point that is reported must lie in both triangles, to rounding.
func TestMeetsPointLiesInBoth(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 5000 {
		a, b := placed(randomTriangle(r, 5)), placed(randomTriangle(r, 5))
		at, yes := a.meets(b)
		if !yes {
			continue
		}
		if d := r3.Norm(r3.Sub(at, a.nearest(at))) + r3.Norm(r3.Sub(at, b.nearest(at))); d > 1e-12 {
			t.Fatalf("%v and %v: the point %v is off by %g", a, b, at, d)
		}
	}
}

// Signs of determinants whose float64 value is nothing but rounding: points off a slanting plane (line) by one part in
// 2^52, or not at all.
func TestOrientDecidesBelowRounding(t *testing.T) {
	a, b, c := vec(0.1, 0.1, 0.1), vec(0.3, 0.7, 0.9), vec(0.7, 0.2, 0.4)
	// In the plane for certain: a + (b-a)/2 - (c-a)/2 with coordinates that are multiples of 2^-20.
	grid := func(v r3.Vec) r3.Vec {
		g := func(x float64) float64 { return math.Round(x*(1<<20)) / (1 << 20) }
		return vec(g(v.X), g(v.Y), g(v.Z))
	}
	a, b, c = grid(a), grid(b), grid(c)
	d := r3.Add(a, r3.Scale(0.5, r3.Sub(b, c)))
	if s := orient3(a, b, c, d); s != 0 {
		t.Errorf("in the plane: %d", s)
	}
	n := triangle{a, b, c}.normal()
	up := d
	up.Z = math.Nextafter(d.Z, d.Z+n.Z)
	if s := orient3(a, b, c, up); s != 1 {
		t.Errorf("one step towards the normal: %d", s)
	}
	up.Z = math.Nextafter(d.Z, d.Z-n.Z)
	if s := orient3(a, b, c, up); s != -1 {
		t.Errorf("one step against the normal: %d", s)
	}
	for _, huge := range []float64{math.SmallestNonzeroFloat64, 1e-300, 1e300} {
		if s := orient2([2]float64{0, 0}, [2]float64{1, 1}, [2]float64{-huge, huge}); s != 1 {
			t.Errorf("%g: %d", huge, s)
		}
	}
	if orient3(a, b, c, vec(math.NaN(), 0, 0)) != 0 || orient2([2]float64{math.Inf(1), 0}, [2]float64{}, [2]float64{1, 1}) != 0 {
		t.Error("numbers that are none must give 0")
	}
}
