package contour

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func randomPoint(r *rand.Rand, size float64) r3.Vec {
	return vec(size*(2*r.Float64()-1), size*(2*r.Float64()-1), size*(2*r.Float64()-1))
}

func TestNearestAgreesWithTheBoxInClosedForm(t *testing.T) {
	lo, hi := vec(-3, -2, -1), vec(3, 2, 1)
	tree, field := NewTree(boxMesh(lo, hi)), boxField{lo, hi}
	r := rand.New(rand.NewPCG(7, 8))
	for range 3000 {
		p := randomPoint(r, 5)
		q, facet, d := tree.Nearest(p)
		near(t, "distance", d, math.Abs(field.Eval(p)), 1e-12)
		near(t, "its point", r3.Norm(r3.Sub(p, q)), d, 1e-12)
		near(t, "on its facet", r3.Norm(r3.Sub(q, tree.facet(int32(facet)).nearest(q))), 0, 1e-12)
	}
}

func TestNearestAgreesWithTryingAll(t *testing.T) {
	m := torusMesh(6, 2, 40, 16)
	tree := NewTree(m)
	r := rand.New(rand.NewPCG(9, 10))
	for range 300 {
		p := randomPoint(r, 9)
		least := math.Inf(1)
		for f := range m.T {
			least = min(least, r3.Norm(r3.Sub(p, m.triangle(int32(f)).nearest(p))))
		}
		_, _, d := tree.Nearest(p)
		near(t, "distance", d, least, 1e-12)
	}
}

func TestInsideAgreesWithTheField(t *testing.T) {
	tree := NewTree(torusMesh(6, 2, 96, 48))
	r := rand.New(rand.NewPCG(11, 12))
	in := 0
	for range 5000 {
		p := randomPoint(r, 9)
		f := torusField{6, 2}.Eval(p)
		if math.Abs(f) < 0.02 { // within what the facets cut off
			continue
		}
		if f < 0 {
			in++
		}
		if tree.Inside(p) != (f < 0) {
			t.Fatalf("%v at %g from the surface: inside %v", p, f, tree.Inside(p))
		}
	}
	if in < 300 {
		t.Errorf("only %d points inside", in)
	}
}

// Whole points: straight under corners, edges, diagonals and upright facets.
func TestInsideInLineWithEdgesAndCorners(t *testing.T) {
	outer, hollow := boxField{vec(-4, -4, -4), vec(4, 4, 4)}, boxField{vec(-2, -2, -2), vec(2, 2, 2)}
	tree := NewTree(joinMeshes(boxMesh(outer.lo, outer.hi), turnedOver(boxMesh(hollow.lo, hollow.hi))))
	field := less{outer, hollow}
	for x := -5.0; x <= 5; x++ {
		for y := -5.0; y <= 5; y++ {
			for z := -5.0; z <= 5; z++ {
				p := vec(x, y, z)
				if f := field.Eval(p); f != 0 && tree.Inside(p) != (f < 0) {
					t.Fatalf("%v: inside %v", p, tree.Inside(p))
				}
			}
		}
	}
	if NewTree(turnedOver(boxMesh(outer.lo, outer.hi))).Inside(vec(1, 1, 1)) {
		t.Error("a box inside out encloses no metal")
	}
	if tree.Inside(vec(math.NaN(), 0, 0)) || NewTree(&Mesh{}).Inside(r3.Vec{}) {
		t.Error("inside of nothing")
	}
}

func TestRayAgreesWithTheBox(t *testing.T) {
	lo, hi := vec(-3, -2, -1), vec(3, 2, 1)
	tree := NewTree(boxMesh(lo, hi))
	r := rand.New(rand.NewPCG(13, 14))
	for range 5000 {
		p, dir := randomPoint(r, 6), randomPoint(r, 1)
		want, meets := slab(p, r3.Unit(dir), lo, hi)
		d, facet, ok := tree.Ray(p, dir, 100)
		if ok != meets {
			t.Fatalf("from %v along %v: got %v, want %v", p, dir, ok, meets)
		}
		if ok {
			near(t, "distance", d, want, 1e-9)
			at := r3.Add(p, r3.Scale(d, r3.Unit(dir)))
			near(t, "on its facet", r3.Norm(r3.Sub(at, tree.facet(int32(facet)).nearest(at))), 0, 1e-9)
			if _, _, ok := tree.Ray(p, dir, d*(1-1e-9)); ok {
				t.Fatal("met beyond its reach")
			}
		}
	}
}

// slab is the first distance at which a ray enters, or from inside leaves, a box.
func slab(p, dir, lo, hi r3.Vec) (float64, bool) {
	near, far := math.Inf(-1), math.Inf(1)
	for axis := range 3 {
		a := (component(lo, axis) - component(p, axis)) / component(dir, axis)
		b := (component(hi, axis) - component(p, axis)) / component(dir, axis)
		near, far = max(near, min(a, b)), min(far, max(a, b))
	}
	if near > far || far < 0 {
		return 0, false
	}
	if near < 0 {
		return far, true
	}
	return near, true
}

// From the middle of a ball every ray meets it, those through its corners and edges too.
func TestRayIsWatertight(t *testing.T) {
	m := sphereMesh(r3.Vec{}, 3, 3)
	tree := NewTree(m)
	for _, c := range m.T {
		for i := range 3 {
			a, b := m.V[c[i]], m.V[c[(i+1)%3]]
			for _, dir := range []r3.Vec{a, r3.Add(a, b), r3.Add(a, r3.Scale(0.37, b))} {
				d, _, ok := tree.Ray(r3.Vec{}, dir, 10)
				if !ok || d > 3.0001 || d < 2.9 {
					t.Fatalf("along %v: %g %v", dir, d, ok)
				}
			}
		}
	}
	for _, dir := range []r3.Vec{{}, vec(math.NaN(), 0, 1), vec(math.Inf(1), 0, 0)} {
		if _, _, ok := tree.Ray(r3.Vec{}, dir, 10); ok {
			t.Errorf("met along %v", dir)
		}
	}
}

func TestDistanceInClosedForm(t *testing.T) {
	cube := boxMesh(vec(0, 0, 0), vec(2, 2, 2))
	for _, c := range []struct {
		name string
		b    *Mesh
		want float64
	}{
		{"face to face", boxMesh(vec(2.25, -1, -1), vec(3, 5, 5)), 0.25},
		{"edge to edge", boxMesh(vec(5, 6, -1), vec(7, 8, 5)), 5},
		{"corner to corner", boxMesh(vec(4, 5, 8), vec(7, 8, 9)), 7},
		{"touching", boxMesh(vec(2, 1, 1), vec(3, 3, 3)), 0},
		{"crossing", boxMesh(vec(1, 1, 1), vec(3, 3, 3)), 0},
		{"within, surfaces 0.5 apart", boxMesh(vec(0.5, 0.75, 0.75), vec(1, 1, 1)), 0.5},
		{"tip over the inside of a face", scaledAlong(tetraMesh(4), vec(0.5, 0.75, 2.375), vec(0.25, 0.25, 1)), 0.375},
		// Centres 7, 6, 6 apart from the corner (2,2,2): 11 from it to the ball's middle, less the radius.
		{"corner to ball", sphereMesh(vec(9, 8, 8), 3, 6), 8},
	} {
		d, p, q := Distance(NewTree(cube), NewTree(c.b))
		near(t, c.name, d, c.want, 2e-3*math.Min(1, c.want))
		near(t, c.name+", points", r3.Norm(r3.Sub(p, q)), d, 1e-12)
		back, _, _ := Distance(NewTree(c.b), NewTree(cube))
		near(t, c.name+", other way", back, d, 1e-12)
	}
	if d, _, _ := Distance(NewTree(cube), NewTree(&Mesh{})); !math.IsInf(d, 1) {
		t.Errorf("distance to nothing %g", d)
	}
}

// scaledAlong stands a tetrahedron on its tip at the point tip: turned over about x, then scaled per axis.
func scaledAlong(m *Mesh, tip, by r3.Vec) *Mesh {
	m = clone(m)
	for i, v := range m.V { // (0, 0, 4) becomes the tip; two axes change sides, so the facets stay outward
		m.V[i] = rounded(r3.Add(tip, vec(v.X*by.X, -v.Y*by.Y, (4-v.Z)*by.Z)))
	}
	return m
}

// Two rods crossed askew: the common perpendicular of two edges. Bars 2 x 2 turned 45 degrees about their own axes, one
// along x with its top edge at z = sqrt 2, one along y with its lower edge 0.75 above that.
func TestDistanceEdgeAcrossEdge(t *testing.T) {
	s := math.Sqrt2
	bar := func(along func(l, a, b float64) r3.Vec, z float64) *Mesh {
		m := boxMesh(vec(-5, -1, -1), vec(5, 1, 1))
		for i, v := range m.V {
			m.V[i] = rounded(along(v.X, (v.Y-v.Z)/s, (v.Y+v.Z)/s+z))
		}
		return m
	}
	a := bar(func(l, a, b float64) r3.Vec { return vec(l, a, b) }, 0)
	b := bar(func(l, a, b float64) r3.Vec { return vec(-a, l, b) }, 2*s+0.75)
	d, p, q := Distance(NewTree(a), NewTree(b))
	near(t, "distance", d, 0.75, 1e-6)
	near(t, "at the crossing", math.Hypot(p.X, p.Y)+math.Hypot(q.X, q.Y), 0, 1e-6)
	if Volume(b) <= 0 {
		t.Fatal("bar turned inside out")
	}
}

func TestDistanceAgreesWithTryingAll(t *testing.T) {
	a := torusMesh(6, 2, 16, 8)
	r := rand.New(rand.NewPCG(15, 16))
	for range 12 {
		b := sphereMesh(randomPoint(r, 9), 0.5+r.Float64(), 1)
		least := math.Inf(1)
		if _, meet := Intersects(NewTree(a), NewTree(b)); meet {
			least = 0
		}
		for f := range a.T {
			for g := range b.T {
				all := gap{square: least * least}
				all.triangles(a.triangle(int32(f)), b.triangle(int32(g)))
				least = min(least, math.Sqrt(all.square))
			}
		}
		d, _, _ := Distance(NewTree(a), NewTree(b))
		near(t, "distance", d, least, 1e-12)
	}
}

func TestOverlap(t *testing.T) {
	cube := boxMesh(vec(0, 0, 0), vec(4, 4, 4))
	hollow := joinMeshes(cube, turnedOver(boxMesh(vec(1, 1, 1), vec(3, 3, 3))))
	small := boxMesh(vec(1.5, 1.5, 1.5), vec(2.5, 2.5, 2.5))
	pair := joinMeshes(boxMesh(vec(9, 9, 9), vec(10, 10, 10)), small)
	for _, c := range []struct {
		name string
		a, b *Mesh
		want bool
	}{
		{"apart", cube, boxMesh(vec(4.0001, 0, 0), vec(5, 4, 4)), false},
		{"touching", cube, boxMesh(vec(4, 0, 0), vec(5, 4, 4)), true},
		{"crossing", cube, boxMesh(vec(3, 1, 1), vec(5, 3, 3)), true},
		{"within", cube, small, true},
		{"in the hollow", hollow, small, false},
		{"second piece within", cube, pair, true},
		{"second piece in the hollow", hollow, pair, false},
		{"same", cube, cube, true},
		{"nothing", cube, &Mesh{}, false},
	} {
		if _, got := Overlap(c.a, c.b); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		at, got := Overlap(c.b, c.a)
		if got != c.want {
			t.Errorf("%s, other way: %v", c.name, got)
		}
		if got && c.name != "nothing" {
			_, _, d := NewTree(c.a).Nearest(at)
			if d > 1e-12 && !NewTree(c.a).Inside(at) {
				t.Errorf("%s: the point %v is not common", c.name, at)
			}
		}
	}
}
