package contour

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// The number of facets against the least that a tolerance e allows, with vertices on the surface.
//
// Cylinder and cone of radius r (a cone's greater): a strip may turn by 2 acos(1 - e/r), a whole turn needs
// n = ceil(pi/acos(1 - e/r)) strips of two facets.
//
// Ball: 4.84 r/e for the whole. An equilateral triangle of circumradius c inscribed in it has the sagitta c^2/(2 r), so
// c^2 = 2 r e and its area is 3 root(3)/4 c^2; 4 pi r^2 over that is 4.84 r/e. Per area this is 4.84/(4 pi) root(K)/e with
// the Gaussian curvature K = 1/r^2. A surface of curvatures k1 and k2 is, nearby, a ball stretched: the sagitta
// (k1 u^2 + k2 v^2)/2 becomes that of a ball of curvature root(k1 k2) when u and v are stretched by factors whose product
// is 1, which keeps areas. So a ring needs 4.84/(4 pi) root|K|/e per area, K = cos(a)/(w (R + w cos(a))) at the angle a
// round a wire of radius w.
//
// A face that is trimmed has the share of the whole that its area has, and what its trim edges need: a triangulated face
// with b corners along its rim, i within, and the Euler characteristic x has b + 2 i - 2 x facets, so each corner that
// only the trim asks for adds one. An edge of curvature k, taken along by chords of sagitta e, needs a corner every
// root(8 e/k); the curvature of the edge itself is what counts, since it is never below those of the two faces along it
// (Meusnier) and the chord must stay within e of the edge. Added up: the integral of root(k/(8 e)) along the edges, plus a
// corner wherever a further face begins. The whole's own rims, where the primitive itself goes on, are in the strips.
const (
	facetTolerance = 0.005
	// How far above the least a mesh may be, by kind of face.
	cylinderSlack, ballSlack = 1.3, 1.8
)

type faceKind int

const (
	flatFace faceKind = iota
	cylinderFace
	coneFace
	ballFace
	ringFace
	noFace // a piece of a profile on its axis
)

func (k faceKind) String() string {
	return [...]string{"flat", "cylinder", "cone", "ball", "ring", "none"}[k]
}

func (k faceKind) slack() float64 {
	if k == ballFace || k == ringFace {
		return ballSlack
	}
	return cylinderSlack
}

// wholeFace is a face of a primitive before anything is cut: its area, mm2, and the least number of facets.
type wholeFace struct {
	kind         faceKind
	area, facets float64
}

// stripFace is a cylinder or cone that makes a part of a turn and has the area given.
func stripFace(kind faceKind, r, turn, area float64) wholeFace {
	strips := math.Ceil(turn * math.Pi / math.Acos(1-facetTolerance/r))
	return wholeFace{kind, area, 2 * strips}
}

const ballRate = 4.84 / (4 * math.Pi) // facets per area, times e/root|K|

// zone is a piece of a ball of radius r between two planes h apart.
func zone(r, h float64) wholeFace {
	area := 2 * math.Pi * r * h
	return wholeFace{ballFace, area, ballRate * area / (r * facetTolerance)}
}

// halfRing is the upper or lower half of a ring. With dA = w (R + w cos a) da dt, the integral of root|K| dA is 2 pi times
// that of root(w |cos a| (R + w cos a)) da.
func halfRing(big, w float64) wholeFace {
	const n = 20000
	sum, step := 0.0, math.Pi/n
	for i := range n {
		cos := math.Cos((float64(i) + 0.5) * step)
		sum += math.Sqrt(w*math.Abs(cos)*(big+w*cos)) * step
	}
	return wholeFace{ringFace, 2 * math.Pi * math.Pi * big * w, ballRate * 2 * math.Pi * sum / facetTolerance}
}

// wholeFaces lists the faces of every primitive of a tree, numbered as Mesh.On does.
func (n *node) wholeFaces(t testing.TB) (out []wholeFace) {
	for _, k := range n.Kids {
		out = append(out, k.wholeFaces(t)...)
	}
	a, flat := n.Args, wholeFace{kind: flatFace}
	switch n.Prim {
	case "":
		return out
	case "box", "half":
		return []wholeFace{flat, flat, flat, flat, flat, flat}
	case "rbox": // side and round by turns, then the ends
		corner := stripFace(cylinderFace, a[3], 0.25, math.Pi/2*a[3]*a[2])
		return []wholeFace{flat, corner, flat, corner, flat, corner, flat, corner, flat, flat}
	case "cyl":
		return []wholeFace{flat, stripFace(cylinderFace, a[1], 1, 2*math.Pi*a[1]*a[0]), flat, {kind: noFace}}
	case "cone":
		slant := math.Hypot(a[0], a[2]-a[1])
		return []wholeFace{flat, stripFace(coneFace, max(a[1], a[2]), 1, math.Pi*(a[1]+a[2])*slant), flat, {kind: noFace}}
	case "capsule":
		return []wholeFace{zone(a[1], a[1]), stripFace(cylinderFace, a[1], 1, 2*math.Pi*a[1]*(a[0]-2*a[1])), zone(a[1], a[1]), {kind: noFace}}
	}
	t.Fatalf("no faces known of primitive %q", n.Prim)
	return nil
}

// countedFace is what the mesh has on one face.
type countedFace struct {
	facets        int
	area          float64
	trim, corners float64 // corners that trim edges ask for, corners where further faces begin
	rims          float64 // corners that all edges ask for, those to other faces of the primitive too
	length        float64 // of all edges, mm
}

// stray says whether a face is narrower than the tolerance. Where three carriers meet in one circle and their chords do
// not, it is on the mesh alone; corners at it are not the solid's and are not granted.
func (f countedFace) stray() bool { return f.area < f.length/2*facetTolerance }

// countFaces counts facets, areas and trims by the face they lie on. primitive tells which primitive a face belongs to.
func countFaces(m *Mesh, carriers []solid.Carrier, primitive []int) []countedFace {
	out := make([]countedFace, len(carriers))
	type half struct{ from, to int32 }
	owner := map[half]int32{}
	meeting := make([]map[int32]bool, len(m.V)) // faces at each vertex
	for f, c := range m.T {
		out[m.On[f]].facets++
		out[m.On[f]].area += m.triangle(int32(f)).area()
		for k := range 3 {
			owner[half{c[k], c[(k+1)%3]}] = m.On[f]
			if meeting[c[k]] == nil {
				meeting[c[k]] = map[int32]bool{}
			}
			meeting[c[k]][m.On[f]] = true
		}
	}
	for f, c := range m.T {
		own := m.On[f]
		for k := range 3 {
			other := owner[half{c[(k+1)%3], c[k]}]
			if other == own {
				continue
			}
			p, q := m.V[c[k]], m.V[c[(k+1)%3]]
			bend := edgeCurvature(lerp(p, q, 0.5), r3.Unit(r3.Sub(q, p)), carriers[own], carriers[other])
			need := r3.Norm(r3.Sub(q, p)) * math.Sqrt(bend/(8*facetTolerance))
			out[own].rims += need
			out[own].length += r3.Norm(r3.Sub(q, p))
			if primitive[other] != primitive[own] {
				out[own].trim += need
			}
		}
	}
	for _, faces := range meeting {
		for f := range faces {
			if out[f].stray() {
				delete(faces, f)
			}
		}
		if len(faces) > 2 {
			for f := range faces {
				out[f].corners++
			}
		}
	}
	return out
}

// edgeCurvature is the curvature, 1/mm, of the curve in which two carriers meet: its curvature vector k is square to its
// direction and has the part -II(t, t) along each normal, II being the face's second fundamental form. With c the cosine
// between the normals, |k|^2 = (a^2 + b^2 - 2 a b c)/(1 - c^2). Where the faces are tangent, the greater of both.
func edgeCurvature(p, dir r3.Vec, one, two solid.Carrier) float64 {
	_, m := one.Off(p)
	_, n := two.Off(p)
	if x := r3.Cross(m, n); r3.Norm(x) > 0.05 {
		dir = r3.Unit(x)
	}
	a, b, c := bending(one, p, dir), bending(two, p, dir), r3.Dot(m, n)
	if 1-c*c < 0.05*0.05 {
		return max(math.Abs(a), math.Abs(b))
	}
	return math.Sqrt(max(0, a*a+b*b-2*a*b*c) / (1 - c*c))
}

// bending is the normal curvature of a carrier along a unit direction: how fast its normal turns that way.
func bending(c solid.Carrier, p, dir r3.Vec) float64 {
	const h = 1e-4
	_, m := c.Off(r3.Sub(p, r3.Scale(h, dir)))
	_, n := c.Off(r3.Add(p, r3.Scale(h, dir)))
	return r3.Dot(r3.Sub(n, m), dir) / (2 * h)
}

func TestEdgeCurvatureInClosedForm(t *testing.T) {
	tall, lying := inModel(t).upright(0, 0, 1, -3, 3).Carriers(), inModel(t).rod(turnedX(math.Pi/2), 1, -3, 3).Carriers()
	flat := block(t, -3, -3, -3, 3, 3, 3).Carriers()
	sloping := inModel(t).tilted(0, 0, 60*degree, vec(-9, -9, -9), vec(9, 9, 0)).Carriers()
	for _, c := range []struct {
		name     string
		p        r3.Vec
		one, two solid.Carrier
		want     float64
	}{
		{"rim of a rod", vec(0.6, 0.8, 3), tall[1], tall[2], 1},
		{"two flats", vec(3, 1, 3), flat[1], flat[5], 0},
		{"rod cut along", vec(0.6, 0.8, 2), tall[1], flat[3], 0},
		// Cut at 60 degrees a rod of radius 1 has an ellipse of half axes 1 and 2: a/b^2 at the end of the long one.
		{"end of an ellipse", vec(1, 0, -math.Sqrt(3)), tall[1], sloping[5], 2},
		{"side of an ellipse", vec(0, 1, 0), tall[1], sloping[5], 0.25},
		// Two equal rods cross in two such ellipses, at 45 degrees: half axes 1 and root 2.
		{"crossing rods", vec(1, 0, 1), tall[1], lying[1], math.Sqrt2},
	} {
		near(t, c.name, edgeCurvature(c.p, vec(0, 0, 1), c.one, c.two), c.want, 1e-6)
	}
}

type countCase struct {
	name  string
	s     *solid.Solid
	whole []wholeFace
	leaf  []int // the primitive of each face
}

// counted is a tree as a case.
func counted(t testing.TB, name string, n *node) countCase {
	c := countCase{name: name, s: n.solid(t), whole: n.wholeFaces(t)}
	var walk func(n *node, first int) int
	walk = func(n *node, first int) int {
		if n.Op == "" {
			for range n.wholeFaces(t) {
				c.leaf = append(c.leaf, first)
			}
			return first + 1
		}
		for _, k := range n.Kids {
			first = walk(k, first)
		}
		return first
	}
	walk(n, 0)
	return c
}

func TestFacetCounts(t *testing.T) {
	plainRunOnly(t)
	const pi = math.Pi
	hole := func(x, y float64) *node { return primNode("cyl", at(x, y, 0), 9, 1) }
	wall := primNode("cyl", then(at(2.2, 3, 1.7), turnedX(pi/2)), 9, 0.6)
	cases := []countCase{
		counted(t, "rod", primNode("cyl", solid.Upright, 5, 2)),
		counted(t, "claw", primNode("capsule", solid.Upright, 1.4, 0.25)),
		counted(t, "cone", primNode("cone", solid.Upright, 3, 2, 0.5)),
		counted(t, "bored rod", opNode("D", primNode("cyl", solid.Upright, 5, 2), primNode("cyl", turnedX(pi/2), 9, 1))),
		counted(t, "countersunk plate", opNode("D", boxNode(-2, 2, -2, 2, -1, 1), primNode("cone", solid.Upright, 3, 0.4, 1.6))),
		counted(t, "drilled block", opNode("D", opNode("U", boxNode(0, 8, 0, 6, 0, 3), primNode("cyl", at(5.5, 3, 3.25), 2.5, 1.5)),
			hole(2, 3), wall)),
		counted(t, "benchmark box", benchBox(40)),
		counted(t, "benchmark tongue", benchTongue()),
		{"ball", inModel(t).ball(0, 0, 0, 2), []wholeFace{zone(2, 4), {kind: noFace}}, []int{0, 0}},
		{"half a ball on a block", solid.Join(block(t, -3, -3, -1, 3, 3, 0), inModel(t).ball(0, 0, 0, 2)),
			[]wholeFace{{}, {}, {}, {}, {}, {}, zone(2, 4), {kind: noFace}}, []int{0, 0, 0, 0, 0, 0, 1, 1}},
		{"ring", solid.New(solid.NewRing(2, 0.7, "ring"), solid.Upright), []wholeFace{halfRing(2, 0.7), halfRing(2, 0.7)}, []int{0, 0}},
		{"groove of half a ring", solid.Cut(block(t, -3, -3, -1, 3, 3, 0), solid.New(solid.NewRing(2, 0.7, "ring"), solid.Upright)),
			[]wholeFace{{}, {}, {}, {}, {}, {}, halfRing(2, 0.7), halfRing(2, 0.7)}, []int{0, 0, 0, 0, 0, 0, 1, 1}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { c.check(t) })
	}
}

// check compares the facets on all faces of a kind with the least. Halves of one face, as a ring's, are on one primitive.
func (c countCase) check(t *testing.T) {
	carriers := c.s.Carriers()
	if len(c.whole) != len(carriers) || len(c.leaf) != len(carriers) {
		t.Fatalf("%d faces listed, the solid has %d", len(c.whole), len(carriers))
	}
	m, err := ofSafely(c.s, facetTolerance)
	if err != nil {
		t.Fatalf("not meshed: %v", err)
	}
	got, least, rims := map[faceKind]float64{}, map[faceKind]float64{}, map[faceKind]float64{}
	stray := 0
	for i, f := range countFaces(m, carriers, c.leaf) {
		w := c.whole[i]
		if f.stray() {
			stray += f.facets
		}
		if f.facets == 0 || w.kind == flatFace {
			continue
		}
		if w.kind == noFace || f.area > 1.001*w.area {
			t.Fatalf("face %d, a %v of %g mm2, has %g mm2 of facets", i, w.kind, w.area, f.area)
		}
		got[w.kind] += float64(f.facets)
		least[w.kind] += w.facets*f.area/w.area + f.trim + f.corners
		rims[w.kind] += f.rims + f.corners
	}
	t.Logf("%d facets, %d of them on faces narrower than the tolerance", len(m.T), stray)
	for kind := cylinderFace; kind <= ringFace; kind++ {
		if least[kind] == 0 {
			continue
		}
		ratio := got[kind] / least[kind]
		t.Logf("%v: %.0f facets, %.2f times the least of %.1f (corners along all rims alone: %.1f)", kind, got[kind], ratio, least[kind], rims[kind])
		if ratio > kind.slack() {
			t.Errorf("%v: %.0f facets are %.2f times the least of %.1f, at most %g times is wanted", kind, got[kind], ratio, least[kind], kind.slack())
		}
	}
}
