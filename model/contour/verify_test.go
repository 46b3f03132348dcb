package contour

import (
	"errors"
	"math"
	"reflect"
	"runtime"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Closed forms: a chord of angle a on radius r stands r(1-cos(a/2)) off the arc.

func TestVerifyAcceptsSoundMeshes(t *testing.T) {
	lo, hi := vec(-6, -4, 0), vec(6, 4, 5)
	ball := sphereField{vec(1, 2, 3), 3}
	for _, c := range []struct {
		name      string
		mesh      *Mesh
		surface   Surface
		tolerance float64
		shells    int
	}{
		{"box", boxMesh(lo, hi), boxField{lo, hi}, 1e-9, 1},
		{"tetrahedron", tetraMesh(4), tetraField(4), 1e-9, 1},
		{"sphere", sphereMesh(ball.c, ball.r, 4), ball, 0.03, 1},
		{"torus", torusMesh(6, 2, 96, 32), torusField{6, 2}, 0.02, 1},
		{"hollow box", joinMeshes(boxMesh(lo, hi), turnedOver(boxMesh(vec(-1, -1, 1), vec(1, 1, 2)))),
			less{boxField{lo, hi}, boxField{vec(-1, -1, 1), vec(1, 1, 2)}}, 1e-9, 2},
		{"two boxes", joinMeshes(boxMesh(lo, hi), boxMesh(vec(7, 0, 0), vec(9, 1, 1))),
			both{boxField{lo, hi}, boxField{vec(7, 0, 0), vec(9, 1, 1)}}, 1e-9, 2},
		{"box in a hollow", joinMeshes(boxMesh(lo, hi), turnedOver(boxMesh(vec(-2, -2, 1), vec(2, 2, 3))),
			boxMesh(vec(-1, -1, 1.5), vec(1, 1, 2))), both{less{boxField{lo, hi}, boxField{vec(-2, -2, 1), vec(2, 2, 3)}},
			boxField{vec(-1, -1, 1.5), vec(1, 1, 2)}}, 1e-9, 3},
	} {
		proof, err := Verify(c.mesh, c.surface, c.tolerance)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if proof.Facets != len(c.mesh.T) || proof.Vertices != len(c.mesh.V) || proof.Shells != c.shells {
			t.Errorf("%s: counted %+v, want %d shells", c.name, proof, c.shells)
		}
		if proof.Samples < len(c.mesh.V)+len(c.mesh.T) {
			t.Errorf("%s: only %d samples", c.name, proof.Samples)
		}
	}
}

// A ring of 96 x 32 facets: the greatest sag is that of the outer circle and of the tube together, between the larger
// of the two and their sum.
func TestVerifyMeasuresTheDeviation(t *testing.T) {
	proof, err := Verify(torusMesh(6, 2, 96, 32), torusField{6, 2}, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	round, tube := 8*(1-math.Cos(math.Pi/96)), 2*(1-math.Cos(math.Pi/32))
	if proof.DeviationMM < max(round, tube) || proof.DeviationMM > round+tube {
		t.Errorf("deviation %g, want %g to %g", proof.DeviationMM, max(round, tube), round+tube)
	}
	near(t, "distance from sample to witness", r3.Norm(r3.Sub(proof.At, proof.On)), proof.DeviationMM, 1e-12)
	near(t, "witness on the torus", torusField{6, 2}.Eval(proof.On), 0, 1e-12)
	if proof.VertexMM <= 0 || proof.VertexMM > VertexLimit {
		t.Errorf("vertices off by %g", proof.VertexMM)
	}
}

// With both chords short the worst place is the middle of the diagonals on the outer circle, where the sags add up.
func TestVerifySamplesTheMiddleOfShortEdges(t *testing.T) {
	proof, err := Verify(torusMesh(6, 2, 192, 32), torusField{6, 2}, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	sum := 8*(1-math.Cos(math.Pi/192)) + 2*(1-math.Cos(math.Pi/32))
	if proof.DeviationMM < 0.98*sum || proof.DeviationMM > sum {
		t.Errorf("deviation %g, want just below %g", proof.DeviationMM, sum)
	}
}

// The gap must reach the volume that a faceted ball lacks, 4/3 pi r^3 less its own, and not be far above it.
func TestVerifyGapIsTheVolumeBetween(t *testing.T) {
	for n := 2; n <= 5; n++ {
		m := sphereMesh(r3.Vec{}, 3, n)
		proof, err := Verify(m, sphereField{r3.Vec{}, 3}, 1)
		if err != nil {
			t.Fatal(err)
		}
		lacks := 36*math.Pi - Volume(m)
		if proof.GapMM3 < 0.98*lacks || proof.GapMM3 > 1.5*lacks {
			t.Errorf("halved %d times: gap %g, the ball lacks %g", n, proof.GapMM3, lacks)
		}
	}
}

func TestVerifySameOnAnyNumberOfCores(t *testing.T) {
	m, s := torusMesh(6, 2, 48, 16), torusField{6, 2}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, err := Verify(m, s, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GOMAXPROCS(4)
	if four, err := Verify(m, s, 0.1); err != nil || !reflect.DeepEqual(one, four) {
		t.Errorf("%+v on one core, %+v on four (%v)", one, four, err)
	}
}

// spoiler turns a sound ball of radius 3 (2,048 facets, tolerance 0.03) into one with a single fault.
type spoiler struct {
	name   string
	clause string
	spoil  func(m *Mesh)
}

var spoilers = []spoiler{
	{"index past the end", ClauseIndex, func(m *Mesh) { m.T[7][1] = int32(len(m.V)) }},
	{"negative index", ClauseIndex, func(m *Mesh) { m.T[7][2] = -1 }},
	{"a face number short", ClauseIndex, func(m *Mesh) { m.Face = m.Face[1:] }},
	{"face without a name", ClauseIndex, func(m *Mesh) { m.Face[3] = 1 }},
	{"no facets", ClauseIndex, func(m *Mesh) { m.T, m.Face = nil, nil }},
	{"NaN", ClauseCoordinate, func(m *Mesh) { m.V[5].Y = math.NaN() }},
	{"infinite", ClauseCoordinate, func(m *Mesh) { m.V[5].Z = math.Inf(-1) }},
	{"finer than float32", ClauseCoordinate, func(m *Mesh) { m.V[9].X += 1e-9 }},
	{"too large for float32", ClauseCoordinate, func(m *Mesh) { m.V[9].X = 1e40 }},
	{"unused vertex", ClauseUnused, func(m *Mesh) { m.V = append(m.V, vec(1, 1, 1)) }},
	{"vertex in two places of the list", ClauseEqual, func(m *Mesh) {
		m.V = append(m.V, m.V[m.T[11][0]])
		m.T[11][0] = int32(len(m.V) - 1)
	}},
	{"edge collapsed to a point", ClauseDegenerate, func(m *Mesh) { m.T[3][1] = m.T[3][0] }},
	{"facet of no height", ClauseDegenerate, func(m *Mesh) {
		// Three points exactly in one slanting line.
		f := m.T[0]
		m.V[f[0]], m.V[f[1]], m.V[f[2]] = vec(3, 0, 0), vec(2, 1, 0), vec(1, 2, 0)
	}},
	{"facet of too little height", ClauseDegenerate, func(m *Mesh) {
		f := m.T[0]
		m.V[f[0]], m.V[f[1]], m.V[f[2]] = vec(1, 0, 0), rounded(vec(2, 5e-7, 0)), vec(3, 0, 0)
	}},
	{"facet dropped", ClauseClosed, func(m *Mesh) { m.T, m.Face = m.T[1:], m.Face[1:] }},
	{"facet flipped", ClauseOriented, func(m *Mesh) { m.T[42][0], m.T[42][1] = m.T[42][1], m.T[42][0] }},
	{"facet doubled", ClauseEdge, func(m *Mesh) { m.T, m.Face = append(m.T, m.T[8]), append(m.Face, 0) }},
	{"facet and its back added", ClauseEdge, func(m *Mesh) {
		c := m.T[8]
		m.T = append(m.T, c, [3]int32{c[0], c[2], c[1]})
		m.Face = append(m.Face, 0, 0)
	}},
	{"vertex pushed through the far side", ClauseCross, func(m *Mesh) { m.V[0] = vec(-5, 0.125, 0.25) }},
	{"inside out", ClauseOutward, func(m *Mesh) { *m = *turnedOver(m) }},
	{"vertex off by twice the tolerance", ClauseVertex, func(m *Mesh) { m.V[20] = rounded(r3.Scale(1+0.06/3, m.V[20])) }},
	{"vertex off by 8e-6", ClauseVertex, func(m *Mesh) { m.V[0].X = rounded(vec(m.V[0].X+8e-6, 0, 0)).X }},
	{"whole ball moved", ClauseVertex, func(m *Mesh) { *m = *moved(m, vec(0, 0, 0.001)) }},
	{"ball within the ball", ClauseOutward, func(m *Mesh) { *m = *joinMeshes(m, sphereMesh(r3.Vec{}, 1, 2)) }},
	{"hollow outside the ball", ClauseOutward, func(m *Mesh) {
		*m = *joinMeshes(m, turnedOver(sphereMesh(vec(9, 0, 0), 1, 2)))
	}},
	{"second ball overlapping", ClauseCross, func(m *Mesh) { *m = *joinMeshes(m, moved(m, vec(1, 0.5, 0.25))) }},
	{"second ball touching at a corner of both", ClauseEqual, func(m *Mesh) { *m = *joinMeshes(m, moved(m, vec(6, 0, 0))) }},
	{"second ball elsewhere", ClauseVertex, func(m *Mesh) { *m = *joinMeshes(m, moved(m, vec(9, 0, 0))) }},
	{"too coarse", ClauseFacet, func(m *Mesh) { *m = *sphereMesh(r3.Vec{}, 3, 3) }},
}

func TestVerifyRefusesSpoiledMeshes(t *testing.T) {
	ball := sphereField{r3.Vec{}, 3}
	for _, s := range spoilers {
		m := sphereMesh(ball.c, ball.r, 4)
		if _, err := Verify(m, ball, 0.03); err != nil {
			t.Fatalf("before %s: %v", s.name, err)
		}
		s.spoil(m)
		refused(t, s.name, s.clause, m, ball, 0.03)
	}
}

func refused(t *testing.T, name, clause string, m *Mesh, s Surface, tolerance float64) {
	t.Helper()
	faulted(t, name, clause, func() error { _, err := Verify(m, s, tolerance); return err })
}

func faulted(t *testing.T, name, clause string, verify func() error) {
	t.Helper()
	err := verify()
	var fault *Fault
	if !errors.As(err, &fault) || fault.Clause != clause || fault.Say == "" {
		t.Errorf("%s: got %v, want a fault of %q", name, err, clause)
	}
}

// glued makes the vertices of a mesh that lie in one place into one.
func glued(m *Mesh) *Mesh {
	at, out := map[r3.Vec]int32{}, &Mesh{}
	for _, c := range m.T {
		for i, v := range c {
			p := m.V[v]
			if _, ok := at[p]; !ok {
				at[p] = int32(len(out.V))
				out.V = append(out.V, p)
			}
			c[i] = at[p]
		}
		out.T = append(out.T, c)
	}
	return tagged(out)
}

func TestVerifyRefusesBoxesThatHangTogether(t *testing.T) {
	a := boxMesh(vec(0, 0, 0), vec(2, 2, 2))
	f := both{boxField{vec(0, 0, 0), vec(2, 2, 2)}, boxField{vec(2, 2, 0), vec(4, 4, 2)}}
	edge := glued(joinMeshes(a, boxMesh(vec(2, 2, 0), vec(4, 4, 2))))
	refused(t, "at an edge", ClauseEdge, edge, f, 0.01)
	corner := glued(joinMeshes(a, boxMesh(vec(2, 2, 2), vec(4, 4, 4))))
	refused(t, "at a corner", ClauseFan, corner, f, 0.01)
	face := joinMeshes(a, boxMesh(vec(2, 0.5, 0.5), vec(4, 1.5, 1.5)))
	refused(t, "face on face", ClauseCross, face, f, 0.01)
	pillow := tagged(&Mesh{V: a.V[:3], T: [][3]int32{{0, 1, 2}, {0, 2, 1}}})
	refused(t, "a facet and its own back", ClauseCross, pillow, f, 0.01)
}

// The facets of a box's top, folded over each other in one plane, are closed and oriented all the same.
func TestVerifyRefusesFold(t *testing.T) {
	m := boxMesh(vec(0, 0, 0), vec(4, 4, 4))
	// The top is 4 5 7, 4 7 6. Pull a new vertex in the middle of 4 7 beyond corner 6.
	m.V = append(m.V, vec(-1, 5, 4))
	m.T = m.T[:len(m.T):len(m.T)]
	var kept [][3]int32
	for _, c := range m.T {
		if c != [3]int32{4, 5, 7} && c != [3]int32{4, 7, 6} {
			kept = append(kept, c)
		}
	}
	m.T = append(kept, [3]int32{4, 5, 8}, [3]int32{5, 7, 8}, [3]int32{7, 6, 8}, [3]int32{6, 4, 8})
	refused(t, "folded top", ClauseCross, tagged(m), boxField{vec(0, 0, 0), vec(4, 4, 4)}, 0.01)
}

type blind struct{ boxField }

func (blind) Witness(p r3.Vec) (r3.Vec, int, bool) { return p, 0, p.X != 2 }

func TestVerifyNeedsAWitness(t *testing.T) {
	lo, hi := vec(0, 0, 0), vec(4, 4, 4)
	refused(t, "no witness in the middle", ClauseFacet, boxMesh(lo, hi), blind{boxField{lo, hi}}, 0.01)
}

func TestVerifyRefusesBadArguments(t *testing.T) {
	m, s := boxMesh(vec(0, 0, 0), vec(1, 1, 1)), boxField{vec(0, 0, 0), vec(1, 1, 1)}
	for _, tolerance := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := Verify(m, s, tolerance); err == nil {
			t.Errorf("tolerance %g was taken", tolerance)
		}
	}
	if _, err := Verify(nil, s, 1); err == nil {
		t.Error("no mesh was taken")
	}
	if _, err := Verify(m, nil, 1); err == nil {
		t.Error("no surface was taken")
	}
}

// gridBox is a cube of side n with its faces in n x n squares.
func gridBox(n int) *Mesh {
	var parts []*Mesh
	side := func(o, u, v r3.Vec) {
		m := &Mesh{}
		for i := range n + 1 {
			for j := range n + 1 {
				m.V = append(m.V, r3.Add(o, r3.Add(r3.Scale(float64(i), u), r3.Scale(float64(j), v))))
			}
		}
		at := func(i, j int) int32 { return int32(i*(n+1) + j) }
		for i := range n {
			for j := range n {
				a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
				m.T = append(m.T, [3]int32{a, b, c}, [3]int32{a, c, d})
			}
		}
		parts = append(parts, m)
	}
	x, y, z, k := vec(1, 0, 0), vec(0, 1, 0), vec(0, 0, 1), float64(n)
	side(r3.Vec{}, y, x)
	side(r3.Scale(k, z), x, y)
	side(r3.Vec{}, x, z)
	side(r3.Scale(k, y), z, x)
	side(r3.Vec{}, z, y)
	side(r3.Scale(k, x), y, z)
	return glued(joinMeshes(parts...))
}

// shearedGrid is gridBox sheared by whole numbers: every flat is full of exact ties, in planes that are square to no
// axis, where float64 cannot decide.
func shearedGrid(n int) *Mesh {
	m := gridBox(n)
	for i, v := range m.V {
		m.V[i] = r3.Scale(0.125, vec(3*v.X-v.Y+v.Z, v.X+5*v.Y-2*v.Z, v.Y-v.X+7*v.Z)) // determinant 122, exact in float32
	}
	return m
}

func TestVerifyTiltedFlats(t *testing.T) {
	m := shearedGrid(12)
	proof, err := Verify(m, meshField{NewTree(m)}, 1e-6)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "deviation from itself", proof.DeviationMM, 0, 1e-12)
	near(t, "volume", Volume(m), 122*math.Pow(12*0.125, 3), 1e-9)
	// The middle of the face z = 0, moved along it by three squares and a half.
	for i, v := range m.V {
		if v == r3.Scale(0.125, vec(12, 36, 0)) {
			m.V[i] = r3.Add(v, r3.Scale(0.125, vec(10.5, 3.5, -3.5)))
		}
	}
	refused(t, "folded within its plane", ClauseCross, m, meshField{NewTree(m)}, 1e-6)
}

type meshField struct{ t *Tree }

func (f meshField) Eval(p r3.Vec) float64 {
	_, _, d := f.t.Nearest(p)
	if f.t.Inside(p) {
		return -d
	}
	return d
}

func (f meshField) Witness(p r3.Vec) (r3.Vec, int, bool) {
	q, facet, _ := f.t.Nearest(p)
	return q, facet, true
}

func BenchmarkSound(b *testing.B) {
	m := torusMesh(6, 2, 80, 32)
	for b.Loop() {
		if _, err := sound(m); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSoundTies(b *testing.B) {
	m := shearedGrid(20)
	for b.Loop() {
		if _, err := sound(m); err != nil {
			b.Fatal(err)
		}
	}
}

// A box in squares, square to the axes, as most faces of a lock are.
func BenchmarkSoundSquare(b *testing.B) {
	m := gridBox(20)
	for b.Loop() {
		if _, err := sound(m); err != nil {
			b.Fatal(err)
		}
	}
}
