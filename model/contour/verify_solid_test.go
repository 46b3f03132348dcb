package contour

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// drawnSolid is a solid of one to six parts of every kind, in places and turns drawn at random, joined, cut and shared.
func drawnSolid(t testing.TB, r *rand.Rand) *solid.Solid {
	s := drawnPart(t, r, 2.5)
	for range r.IntN(6) {
		p := drawnPart(t, r, 0.4+1.2*r.Float64())
		switch r.IntN(5) {
		case 0, 1:
			s = solid.Join(s, p)
		case 2, 3:
			s = solid.Cut(s, p)
		default:
			s = solid.Cut(solid.Join(s, p), drawnPart(t, r, 0.5))
		}
	}
	return s
}

// drawnPart is a block, a prism with rounds, a rod, a ring or a cone with a ball for its tip, about as large as size, mm.
func drawnPart(t testing.TB, r *rand.Rand, size float64) *solid.Solid {
	at := then(then(at(3*r.Float64(), 3*r.Float64(), 2*r.Float64()), turnedX(2*math.Pi*r.Float64())), turnedY(2*math.Pi*r.Float64()))
	if r.IntN(3) == 0 {
		at = solid.Upright.At(vec(r.Float64(), 2*r.Float64(), r.Float64())) // square to the axes, as most parts of a lock
	}
	some := func(lo, hi float64) float64 { return size * (lo + (hi-lo)*r.Float64()) }
	switch r.IntN(5) {
	case 0:
		b, err := solid.NewBlock(vec(0, 0, 0), vec(some(0.5, 1), some(0.5, 1), some(0.3, 1)), "block")
		if err != nil {
			t.Fatal(err)
		}
		return solid.New(b, at)
	case 1:
		x, y := some(0.3, 0.6), some(0.3, 0.6)
		return solid.New(solid.NewPrism(roundedRect(t, x, y, min(x, y)*0.5), 0, some(0.3, 1), "end"), at)
	case 2:
		return solid.New(solid.NewRod(some(0.2, 0.5), 0, some(0.4, 1), "rod", "end"), at)
	case 3:
		return solid.New(solid.NewRing(some(0.4, 0.6), some(0.1, 0.25), "ring"), at)
	}
	a, h := some(0.2, 0.5), some(0.3, 0.8)
	return solid.New(turnedProfile(vec2(0, 0), vec2(a, 0), vec2(a*0.4, h), vec2(0, h)), at)
}

// 200 solids drawn by seed and meshed at three tolerances: every sound mesh is proven. A mesh is not sound if an exact
// clause says so or if a sample of it, compared with a witness on the surface, is off by more than the tolerance, or if
// it has no edge near a true one; both are found here without the faces that its facets name. Those, and solids that
// are not meshed at all, are told and replaced.
func TestVerifyAcceptsDrawnSolids(t *testing.T) {
	plainRunOnly(t)
	r := rand.New(rand.NewPCG(20261125, 11))
	proven, worst := 0, Proof{}
	for drawn := 0; proven < 200; drawn++ {
		if drawn > 400 {
			t.Fatalf("only %d of %d drawn solids have a sound mesh", proven, drawn)
		}
		s := drawnSolid(t, r)
		tolerance := []float64{0.02, 0.01, 0.005}[r.IntN(3)]
		m, err := ofSafely(s, tolerance)
		if err != nil {
			t.Logf("solid %d at %g mm: not meshed: %v", drawn, tolerance, err)
			continue
		}
		if _, fault := sound(m); fault != nil {
			t.Logf("solid %d at %g mm: mesh not sound: %v", drawn, tolerance, fault)
			continue
		}
		p, err := Verify(m, s, tolerance)
		if err != nil {
			if off := sampledOff(m, s); off > tolerance || lacksEdge(m, err, tolerance) {
				t.Logf("solid %d at %g mm: mesh not sound: samples are up to %.3g mm off; %v", drawn, tolerance, off, err)
				continue
			}
			t.Errorf("solid %d at %g mm: %v", drawn, tolerance, err)
		}
		proven++
		worst.DeviationMM = max(worst.DeviationMM, p.DeviationMM/tolerance)
		worst.MissMM = max(worst.MissMM, p.MissMM/tolerance)
		worst.SharpMM = max(worst.SharpMM, p.SharpMM/tolerance)
		worst.VertexMM, worst.CurvedVertexMM = max(worst.VertexMM, p.VertexMM), max(worst.CurvedVertexMM, p.CurvedVertexMM)
	}
	t.Logf("greatest share of the tolerance: facets %.2f, surface %.2f, sharp edges %.2f; vertices %.2g mm off flats, %.2g mm off curved faces",
		worst.DeviationMM, worst.MissMM, worst.SharpMM, worst.VertexMM, worst.CurvedVertexMM)
}

// lacksEdge tells whether a sharp edge is said not to be kept where indeed the mesh has no edge of 30 degrees within
// the tolerance: a face that another one grazes, by less than the tolerance, is smooth in such a mesh.
func lacksEdge(m *Mesh, err error, tolerance float64) bool {
	var fault *Fault
	if !errors.As(err, &fault) || fault.Clause != ClauseSharp {
		return false
	}
	twin, _ := twins(m)
	for half, other := range twin {
		a, b := m.triangle(int32(half/3)), m.triangle(other/3)
		i := half % 3
		q := nearestOnSegment(fault.At, a[i], a[(i+1)%3])
		if r3.Norm(r3.Sub(q, fault.At)) <= tolerance && r3.Cos(a.normal(), b.normal()) < math.Cos(math.Pi/6) {
			return false
		}
	}
	return true
}

// sampledOff is the greatest distance of a sample of the mesh from a witness on the surface, mm.
func sampledOff(m *Mesh, s Surface) float64 {
	var r reading
	for _, v := range m.V {
		r.probe(s, v, 0)
	}
	for f := range m.T {
		r.facet(m, s, int32(f))
	}
	if r.lost {
		return math.Inf(1)
	}
	return r.dev
}

// A plate with a boss, a seat and a bore, a pin of 0.12 mm, a hollow, and a stud beside it that touches nothing: what
// spoiled meshes below are compared with. Each part can be put elsewhere, out of sight, so that its faces keep their
// numbers.
type plate struct{ boss, seat, bore, pin, hollow, stud r3.Vec }

const plateTolerance = 0.005

var asDrawn = plate{boss: vec(5.5, 3, 2), seat: vec(3.7, 1.2, 2.6), bore: vec(1.6, 3, 1), pin: vec(7.3, 5.2, 2.9), hollow: vec(6.5, 1.2, 1.2), stud: vec(10, 1, 1)}

func (p plate) solid(t testing.TB) *solid.Solid {
	rod := func(at r3.Vec, r, h float64, tag string) *solid.Solid {
		return solid.New(solid.NewRod(r, 0, h, tag, tag+" end"), solid.Upright.At(at))
	}
	ball := solid.New(solid.NewRevolve(solid.Chain{
		{A: vec2(0, -0.5), B: vec2(0, 0.5), R: 0.5, Tag: "hollow"}, {A: vec2(0, 0.5), B: vec2(0, -0.5), Tag: "axis"},
	}), solid.Upright.At(p.hollow))
	seat := solid.New(turnedProfile(vec2(0, 0), vec2(0.3, 0), vec2(0.8, 0.5), vec2(0, 0.5)), solid.Upright.At(p.seat))
	return solid.Join(solid.Cut(solid.Join(block(t, 0, 0, 0, 8, 6, 3), rod(p.boss, 1.2, 2.5, "boss"), rod(p.pin, 0.06, 0.2, "pin")),
		rod(p.bore, 0.9, 3, "bore"), seat, ball), rod(p.stud, 0.5, 1, "stud"))
}

// faceAt is the number of the face under the first facet whose corners all fulfil a condition.
func facetWhere(t testing.TB, m *Mesh, is func(p r3.Vec) bool) int {
	t.Helper()
	for f := range m.T {
		if c := m.triangle(int32(f)); is(c[0]) && is(c[1]) && is(c[2]) {
			return f
		}
	}
	t.Fatal("no facet is there")
	return 0
}

func vertexWhere(t testing.TB, m *Mesh, is func(p r3.Vec) bool) int {
	t.Helper()
	v := slices.IndexFunc(m.V, is)
	if v < 0 {
		t.Fatal("no vertex is there")
	}
	return v
}

func onTop(p r3.Vec) bool { return p.Z == 3 }

// offAxis is the distance of p from the upright line through a point.
func offAxis(p, axis r3.Vec) float64 { return math.Hypot(p.X-axis.X, p.Y-axis.Y) }

// solidSpoiler makes a sound mesh that is not that of the plate.
type solidSpoiler struct {
	name      string
	clause    string
	elsewhere func(p *plate) // what is made elsewhere
	spoil     func(t testing.TB, m *Mesh)
}

var solidSpoilers = []solidSpoiler{
	{"boss left out", ClauseFacet, func(p *plate) { p.boss = vec(5.5, 3, 0.25) }, nil},
	{"seat left out", ClauseFacet, func(p *plate) { p.seat = vec(3.7, 1.2, 20) }, nil},
	{"bore left out", ClauseFacet, func(p *plate) { p.bore = vec(1.6, 3, 20) }, nil},
	{"pin of 0.12 mm left out", ClauseSharp, func(p *plate) { p.pin = vec(7, 5, 2) }, nil},
	{"hollow left out", ClauseCovered, func(p *plate) { p.hollow = vec(6.5, 1.2, 20) }, nil},
	{"stud left out", ClauseCovered, func(p *plate) { p.stud = vec(5, 5, 1) }, nil},
	{"boss too much", ClauseVertex, nil, nil},
	{"boss moved by twice the tolerance", ClauseVertex, func(p *plate) { p.boss.X += 2 * plateTolerance }, nil},
	{"boss moved by thrice the tolerance up", ClauseVertex, func(p *plate) { p.boss.Z += 3 * plateTolerance }, nil},
	{"bore moved by 5e-6 down", ClauseVertex, func(p *plate) { p.bore.Z -= 5e-6 }, nil},
	{"hollow moved by thrice the tolerance", ClauseVertex, func(p *plate) { p.hollow.Y += 3 * plateTolerance }, nil},
	{"corner 8e-6 above its flat", ClauseVertex, nil, func(t testing.TB, m *Mesh) {
		m.V[vertexWhere(t, m, func(p r3.Vec) bool { return p == vec(0, 0, 3) })].Z = rounded(vec(0, 0, 3+8e-6)).Z
	}},
	{"point of a rim 8e-6 above its flat", ClauseVertex, nil, func(t testing.TB, m *Mesh) {
		v := vertexWhere(t, m, func(p r3.Vec) bool { return onTop(p) && offAxis(p, asDrawn.boss) < 1.3 })
		m.V[v].Z = rounded(vec(0, 0, 3+8e-6)).Z
	}},
	{"point of the hollow off by twice the tolerance", ClauseVertex, nil, func(t testing.TB, m *Mesh) {
		v := vertexWhere(t, m, func(p r3.Vec) bool { return r3.Norm(r3.Sub(p, asDrawn.hollow)) < 0.51 })
		m.V[v] = rounded(r3.Add(asDrawn.hollow, r3.Scale(1+4*plateTolerance, r3.Sub(m.V[v], asDrawn.hollow))))
	}},
	{"flat said to be another face", ClauseVertex, nil, func(t testing.TB, m *Mesh) {
		m.On[facetWhere(t, m, onTop)] = 0
	}},
	{"face that the solid does not have", ClauseIndex, nil, func(t testing.TB, m *Mesh) { m.On[3] = 1000 }},
	{"negative face", ClauseIndex, nil, func(t testing.TB, m *Mesh) { m.On[3] = -1 }},
	{"too few faces named", ClauseIndex, nil, func(t testing.TB, m *Mesh) { m.On = m.On[1:] }},
}

func TestVerifyRefusesWhatIsNotTheSolid(t *testing.T) {
	s := asDrawn.solid(t)
	if p, err := Verify(meshed(t, s, plateTolerance), s, plateTolerance); err != nil || p.Shells != 3 {
		t.Fatalf("%d shells, want 3: %v", p.Shells, err)
	}
	for _, c := range solidSpoilers {
		other := asDrawn
		if c.elsewhere != nil {
			c.elsewhere(&other)
		}
		drawn := s
		if c.name == "boss too much" {
			none := asDrawn
			none.boss = vec(5.5, 3, 0.25)
			drawn = none.solid(t)
		}
		m := meshed(t, other.solid(t), plateTolerance)
		if c.spoil != nil {
			c.spoil(t, m)
		}
		refused(t, c.name, c.clause, m, drawn, plateTolerance)
	}
}

func meshed(t testing.TB, s *solid.Solid, tolerance float64) *Mesh {
	t.Helper()
	m, err := Of(s, tolerance)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// A chord too long, a hole that is bridged over, and an edge that is cut off by more and by less than can be seen from
// the facets alone.
func TestVerifyRefusesCoarseAndShaved(t *testing.T) {
	rod := solid.New(solid.NewRod(1.5, 0, 4, "rod", "end"), solid.AlongX)
	refused(t, "rod too coarse", ClauseFacet, meshed(t, rod, 0.03), rod, 0.005)
	ring := solid.New(solid.NewRing(2, 0.5, "ring"), solid.AlongX)
	refused(t, "ring too coarse", ClauseFacet, meshed(t, ring, 0.03), ring, 0.005)

	cube := block(t, 0, 0, 0, 2, 2, 2)
	shaved := func(by float64) *Mesh {
		side := func(x0, y0, x1, y1 float64, tag string) solid.Side {
			return solid.Side{P: vec2(x0, y0), Q: vec2(x1, y1), Tag: tag}
		}
		p, err := solid.Outline(side(0, 0, 2, 0, "y0"), side(2, 0, 2, 2, "x1"), side(2, 2-by, 2-by, 2, "shaved"), side(2, 2, 0, 2, "y1"), side(0, 2, 0, 0, "x0"))
		if err != nil {
			t.Fatal(err)
		}
		m := meshed(t, solid.New(solid.NewPrism(p, 0, 2, "end"), solid.Upright), 0.005)
		m.On = nil
		return m
	}
	refused(t, "edge shaved by 0.03", ClauseFacet, shaved(0.03), cube, 0.005)
	// Facets 0.0055 wide and 0.004 off the edge at most, all their corners on the surface.
	if p, err := Verify(shaved(0.0055), cube, 0.005); err != nil {
		t.Errorf("edge shaved by 0.0055: %v", err)
	} else {
		near(t, "edge to the mesh", p.MissMM, 0.0055/math.Sqrt2, 1e-6)
	}

	// A rim shifted along its axis by less than a vertex may be off shows as what it is.
	short := solid.New(solid.NewRod(1.5, 0, 4, "rod", "end"), solid.AlongX)
	m := meshed(t, short, 0.004)
	for i, v := range m.V {
		if v.X == 4 {
			m.V[i].X = rounded(vec(4-2e-6, 0, 0)).X
		}
	}
	if p, err := Verify(m, short, 0.005); err != nil {
		t.Errorf("rim 2e-6 short: %v", err)
	} else if p.VertexMM < 1e-6 {
		t.Errorf("rim 2e-6 short: vertices said to be %g off", p.VertexMM)
	}

	// The tool ends in the top, so that the field is zero over its mouth: the plain block must be refused all the same.
	pocket := solid.Cut(cube, block(t, 0.5, 0.5, 1, 1.5, 1.5, 2))
	refused(t, "mouth of a pocket covered over", ClauseSharp, meshed(t, cube, 0.005), pocket, 0.005)
}

// Without names of faces the way there is sampled, and the way back is not: it follows the solid's own faces.
func TestVerifyWithoutFaces(t *testing.T) {
	s := asDrawn.solid(t)
	m := meshed(t, s, plateTolerance)
	m.On = nil
	p, err := Verify(m, s, plateTolerance)
	if err != nil || p.Walked == 0 {
		t.Errorf("%+v, %v", p, err)
	}
	none := asDrawn
	none.pin = vec(7, 5, 2)
	m = meshed(t, none.solid(t), plateTolerance)
	m.On = nil
	refused(t, "pin left out", ClauseFacet, m, s, plateTolerance)
	none = asDrawn
	none.hollow = vec(6.5, 1.2, 20)
	m = meshed(t, none.solid(t), plateTolerance)
	m.On = nil
	refused(t, "hollow left out", ClauseCovered, m, s, plateTolerance)
}

// A cylinder's chords stand r(1-cos(pi/n)) off, n strips round; so do those of its rims, and the true rim from them.
func TestVerifyFiguresOfARod(t *testing.T) {
	s := solid.New(solid.NewRod(1.5, 0, 4, "rod", "end"), solid.Upright)
	m := meshed(t, s, 0.02)
	p, err := Verify(m, s, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, v := range m.V {
		if v.Z == 0 {
			n++
		}
	}
	sag := 1.5 * (1 - math.Cos(math.Pi/float64(n)))
	near(t, "facets", p.DeviationMM, sag, 1e-6)
	near(t, "rims", p.EdgeMM, sag, 1e-6)
	if p.SharpMM > sag+1e-6 || p.SharpMM < 0.8*sag || p.MissMM > sag+1e-6 || p.MissMM < 0.8*sag {
		t.Errorf("true rim to mesh %g, surface to mesh %g, want nearly %g", p.SharpMM, p.MissMM, sag)
	}
	if p.VertexMM > 1e-9 || p.CurvedVertexMM > 4e-7 || p.CurvedVertexMM == 0 {
		t.Errorf("vertices %g off the flats, %g off the surface", p.VertexMM, p.CurvedVertexMM)
	}
}

func TestVerifySolidSameOnAnyNumberOfCores(t *testing.T) {
	s := asDrawn.solid(t)
	m := meshed(t, s, plateTolerance)
	less := asDrawn
	less.pin, less.stud = vec(7, 5, 2), vec(5, 5, 1)
	spoiled := meshed(t, less.solid(t), plateTolerance)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, err := Verify(m, s, plateTolerance)
	_, fault := Verify(spoiled, s, plateTolerance)
	for _, cores := range []int{2, 8} {
		runtime.GOMAXPROCS(cores)
		if p, again := Verify(m, s, plateTolerance); !reflect.DeepEqual(p, one) || again != err {
			t.Errorf("%d cores: %+v, %v; on one %+v, %v", cores, p, again, one, err)
		}
		if _, again := Verify(spoiled, s, plateTolerance); fmt.Sprint(again) != fmt.Sprint(fault) {
			t.Errorf("%d cores: %v; on one %v", cores, again, fault)
		}
	}
}

// A casting grown by unlike factors: what the proof says bounds what is measured anew on the grown surface, and spoiled
// growth is refused.
func TestVerifyGrown(t *testing.T) {
	s, g := asDrawn.solid(t), vec(1.012, 1.017, 1.009)
	m := meshed(t, s, plateTolerance/1.02)
	proof, err := Verify(m, s, plateTolerance/1.02)
	if err != nil {
		t.Fatal(err)
	}
	grow := func() *Mesh {
		big := clone(m)
		for i, v := range m.V {
			big.V[i] = Single(vec(v.X*g.X, v.Y*g.Y, v.Z*g.Z))
		}
		return big
	}
	grown, err := VerifyGrown(grow(), m, g, proof, plateTolerance)
	if err != nil {
		t.Fatal(err)
	}
	if grown.DeviationMM <= proof.DeviationMM || grown.DeviationMM > proof.DeviationMM*g.Y+VertexLimit || grown.Shells != 3 {
		t.Errorf("deviation %g after growth, %g before; %d shells", grown.DeviationMM, proof.DeviationMM, grown.Shells)
	}
	big := grow()
	for f := range big.T {
		mid := r3.Scale(1.0/3, r3.Add(big.V[big.T[f][0]], r3.Add(big.V[big.T[f][1]], big.V[big.T[f][2]])))
		q, _, ok := s.Witness(vec(mid.X/g.X, mid.Y/g.Y, mid.Z/g.Z))
		if d := r3.Norm(r3.Sub(mid, vec(q.X*g.X, q.Y*g.Y, q.Z*g.Z))); !ok || d > grown.DeviationMM {
			t.Fatalf("facet %d is %g off the grown surface, the proof says %g", f, d, grown.DeviationMM)
		}
	}
	for _, c := range []struct {
		name   string
		clause string
		spoil  func(b *Mesh)
	}{
		{"facet dropped", ClauseIndex, func(b *Mesh) { b.T, b.Face = b.T[1:], b.Face[1:] }},
		{"vertex moved", ClauseVertex, func(b *Mesh) { b.V[7].X = rounded(vec(b.V[7].X+1e-5, 0, 0)).X }},
		{"vertex not rounded", ClauseCoordinate, func(b *Mesh) { b.V[7].X += 1e-9 }},
		{"two in one place", ClauseEqual, func(b *Mesh) { b.V[7] = b.V[8] }},
	} {
		b := grow()
		c.spoil(b)
		faulted(t, c.name, c.clause, func() error { _, err := VerifyGrown(b, m, g, proof, plateTolerance); return err })
	}
	faulted(t, "grown beyond the tolerance", ClauseFacet, func() error {
		_, err := VerifyGrown(grow(), m, g, proof, proof.DeviationMM)
		return err
	})
	faulted(t, "grown by something else", ClauseVertex, func() error {
		_, err := VerifyGrown(grow(), m, vec(1.012, 1.017, 1.0095), proof, plateTolerance)
		return err
	})
}

// BenchmarkVerify proves the benchmark box of 292 primitives, meshed at 0.005 mm, and a ring known by its field alone.
func BenchmarkVerify(b *testing.B) {
	box := benchBox(40).solid(b)
	for _, c := range []struct {
		name      string
		mesh      *Mesh
		surface   Surface
		tolerance float64
	}{
		{"box", meshed(b, box, 0.005), box, 0.005},
		{"field", torusMesh(6, 2, 80, 32), torusField{6, 2}, 0.1},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Verify(c.mesh, c.surface, c.tolerance); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(c.mesh.T)), "facets")
		})
	}
}
