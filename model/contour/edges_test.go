package contour

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Sharp edges both ways: what the drawing says of the benchmark box, the benchmark tongue and a drilled block against the
// mesh as a file holds it. The drawing is a second implementation; of package solid only TestTrueEdgesAreEdges asks the
// sign of the field round each point.

const (
	edgeTolerance = 0.005 // mm, of mesh and curved edges
	// straightLimit is how far a mesh edge may be from a straight edge, mm: rounding its ends to float32 (VertexLimit).
	straightLimit = 4e-6
	// sharpLimit is the angle between the normals of two facets above which their edge must be a true one. Two strips of
	// the smallest curved face, a claw of radius 0.25, are 2 acos(1 - 0.005/0.25) = 23 degrees apart; the flattest true
	// edge is that of cone and hole with 35.
	sharpLimit = 30 * degree
	// creaseLimit is the angle above which a mesh edge is looked at as an image of a true one, whose angle must then fit.
	creaseLimit = 15 * degree
	// curveSag is how far the chords of a sampled curve may be from it, mm.
	curveSag = 1e-5
)

type edgeCase struct {
	name  string
	s     *solid.Solid
	edges []trueEdge
}

func edgeCases(t testing.TB) []edgeCase {
	return []edgeCase{
		{"drilled block", drilled(t), drilledEdges()},
		{"benchmark tongue", benchTongue().solid(t), benchTongueEdges()},
		{"benchmark box without seats", benchBox(0).solid(t), benchBoxEdges(0)},
		{"benchmark box", benchBox(40).solid(t), benchBoxEdges(40)},
	}
}

// The check of the check: round a point of a true edge the field is inside over an angle of 180 degrees less (or, at a
// hollow edge, plus) the angle between the normals. On a circle of 1e-5 mm faces are flat and no other edge is near.
func TestTrueEdgesAreEdges(t *testing.T) {
	for _, c := range edgeCases(t) {
		for _, e := range c.edges {
			for i := 1; i < len(e.pts)-1; i += max(1, len(e.pts)/3) {
				p := e.pts[i]
				if f := c.s.Eval(p); math.Abs(f) > 1e-9 {
					t.Fatalf("%s: %s: %v is %g off the surface", c.name, e.name, p, f)
				}
				in, angle := insideRound(c.s, p, r3.Sub(e.pts[i+1], e.pts[i-1])), e.angle(p)
				if math.Abs(in-math.Pi+angle) > 2*degree && math.Abs(in-math.Pi-angle) > 2*degree {
					t.Errorf("%s: %s: at %v %.1f degrees are inside, the normals are %.1f apart", c.name, e.name, p, in/degree, angle/degree)
				}
			}
		}
	}
}

// insideRound is the angle over which a small circle about p, square to dir, lies inside.
func insideRound(s *solid.Solid, p, dir r3.Vec) float64 {
	const n, radius = 360, 1e-5
	dir = r3.Unit(dir)
	u := r3.Unit(r3.Cross(dir, vec(0.36, 0.48, 0.8)))
	v := r3.Cross(dir, u)
	in := 0
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / n)
		if s.Eval(r3.Add(p, r3.Add(r3.Scale(radius*cos, u), r3.Scale(radius*sin, v)))) < 0 {
			in++
		}
	}
	return 2 * math.Pi * float64(in) / n
}

// crease is an edge of the file's mesh, with the angle between its facets' normals and what rounding the corners to float32
// may have changed of it.
type crease struct {
	a, b        r3.Vec
	angle, fuzz float64
}

// give is how much the angle of a mesh edge may differ: a strip whose sagitta is the tolerance leans against a face of
// radius r by acos(1 - e/r) at its rim, and a triangle askew across the strip half as much again; a triangle whose corner
// is a height h from the edge leans by up to atan(e/h) even on a wide face, and 10 degrees lets h come down to 0.03 mm. A
// sliver along a curved edge leans by more, and is what the comparison is there to find. And half a degree.
func (e trueEdge) give() float64 {
	sum := degree / 2
	for _, s := range []edgeSide{e.a, e.b} {
		if s.radius > 0 {
			sum += max(10*degree, 1.5*math.Acos(1-edgeTolerance/s.radius))
		}
	}
	return sum
}

// misfit is by how much the angle of a crease near p is outside what the edge has at p and at the crease's ends.
func (e trueEdge) misfit(c crease, p r3.Vec) float64 {
	here, from, to := e.angle(p), e.angle(c.a), e.angle(c.b)
	return max(0, c.angle-max(here, from, to), min(here, from, to)-c.angle) - c.fuzz
}

// throughSTL writes a mesh as the bytes of a binary STL file, reads them back with a library that this project did not
// write, and gives the edges between facets that are not flat, corners welded by equal bits.
func throughSTL(t *testing.T, m *Mesh) []crease {
	t.Helper()
	var file bytes.Buffer
	out := stl.Solid{BinaryHeader: make([]byte, 80)}
	for f := range m.T {
		var tri stl.Triangle
		for k, p := range m.triangle(int32(f)) {
			tri.Vertices[k] = stl.Vec3{float32(p.X), float32(p.Y), float32(p.Z)}
		}
		out.AppendTriangle(tri)
	}
	if err := out.WriteAll(&file); err != nil {
		t.Fatal(err)
	}
	read, err := stl.ReadAll(bytes.NewReader(file.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	if len(read.Triangles) != len(m.T) {
		t.Fatalf("%d facets written, %d read", len(m.T), len(read.Triangles))
	}
	return creasesOf(t, read.Triangles)
}

func creasesOf(t *testing.T, tris []stl.Triangle) []crease {
	t.Helper()
	type half struct{ from, to stl.Vec3 }
	point := func(v stl.Vec3) r3.Vec { return vec(float64(v[0]), float64(v[1]), float64(v[2])) }
	owner := map[half]int{}
	facet := func(f int) triangle {
		v := tris[f].Vertices
		return triangle{point(v[0]), point(v[1]), point(v[2])}
	}
	for f, tri := range tris {
		for k := range 3 {
			h := half{tri.Vertices[k], tri.Vertices[(k+1)%3]}
			if g, twice := owner[h]; twice {
				t.Fatalf("facets %d and %d run the edge from %v to %v the same way", g, f, h.from, h.to)
			}
			owner[h] = f
		}
	}
	var out []crease
	for f, tri := range tris {
		for k := range 3 {
			h := half{tri.Vertices[k], tri.Vertices[(k+1)%3]}
			g, ok := owner[half{h.to, h.from}]
			if !ok {
				t.Fatalf("the edge from %v to %v has one facet", h.from, h.to)
			}
			if g < f {
				continue
			}
			m, n := facet(f), facet(g)
			if a := angleBetween(m.unit(), n.unit()); a > creaseLimit {
				out = append(out, crease{point(h.from), point(h.to), a, m.fuzz() + n.fuzz()})
			}
		}
	}
	return out
}

func (t triangle) unit() r3.Vec { return r3.Unit(r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))) }

// fuzz is by how much the normal of a facet may turn when a corner moves by 2e-6 mm, as rounding to float32 below 32 mm does.
func (t triangle) fuzz() float64 {
	longest := max(r3.Norm(r3.Sub(t[1], t[0])), r3.Norm(r3.Sub(t[2], t[1])), r3.Norm(r3.Sub(t[0], t[2])))
	return math.Atan(2 * 2e-6 * longest / (2 * t.area()))
}

// edgeGrid finds segments near a point: each is filed in every cell that a piece of it, grown by the tolerance, touches.
type edgeGrid struct {
	cells map[[3]int32][]int32
	ends  [][2]r3.Vec
}

const edgeCell = 0.05

func (g *edgeGrid) cell(p r3.Vec) [3]int32 {
	f := func(x float64) int32 { return int32(math.Floor(x / edgeCell)) }
	return [3]int32{f(p.X), f(p.Y), f(p.Z)}
}

func (g *edgeGrid) add(a, b r3.Vec) {
	id := int32(len(g.ends))
	g.ends = append(g.ends, [2]r3.Vec{a, b})
	n := max(1, math.Ceil(r3.Norm(r3.Sub(b, a))/edgeCell))
	grow := vec(1.1*edgeTolerance, 1.1*edgeTolerance, 1.1*edgeTolerance)
	for i := 0.0; i < n; i++ {
		p, q := lerp(a, b, i/n), lerp(a, b, (i+1)/n)
		lo, hi := g.cell(r3.Sub(vecMin(p, q), grow)), g.cell(r3.Add(vecMax(p, q), grow))
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				for z := lo[2]; z <= hi[2]; z++ {
					k := [3]int32{x, y, z}
					if l := g.cells[k]; len(l) == 0 || l[len(l)-1] != id {
						g.cells[k] = append(l, id)
					}
				}
			}
		}
	}
}

// near calls visit with each segment within the tolerance of p, and its distance.
func (g *edgeGrid) near(p r3.Vec, visit func(id int32, d float64)) {
	for _, id := range g.cells[g.cell(p)] {
		if d := fromSegment(p, g.ends[id][0], g.ends[id][1]); d <= edgeTolerance+2*curveSag {
			visit(id, d)
		}
	}
}

func fromSegment(p, a, b r3.Vec) float64 {
	d := r3.Sub(b, a)
	t := r3.Dot(r3.Sub(p, a), d) / r3.Norm2(d)
	return r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(min(max(t, 0), 1), d))))
}

// complaints keeps the first few faults of each kind and counts the rest.
type complaints struct {
	kinds []string // in the order found
	say   map[string][]string
	n     map[string]int
}

func (c *complaints) add(kind, format string, args ...any) {
	if c.n == nil {
		c.n, c.say = map[string]int{}, map[string][]string{}
	}
	if c.n[kind]++; c.n[kind] == 1 {
		c.kinds = append(c.kinds, kind)
	}
	if c.n[kind] <= 3 {
		c.say[kind] = append(c.say[kind], fmt.Sprintf(format, args...))
	}
}

func (c *complaints) report(t *testing.T) {
	t.Helper()
	for _, kind := range c.kinds {
		t.Errorf("%s: %d places: %s", kind, c.n[kind], strings.Join(c.say[kind], "; "))
	}
}

func TestSharpEdgesBothWays(t *testing.T) {
	plainRunOnly(t)
	for _, c := range edgeCases(t) {
		t.Run(c.name, func(t *testing.T) {
			m, err := ofSafely(c.s, edgeTolerance)
			if err != nil {
				t.Fatalf("not meshed: %v", err)
			}
			creases := throughSTL(t, m)
			there, back := trueToMesh(t, c.edges, creases), meshToTrue(t, c.edges, creases)
			there.report(t)
			back.report(t)
		})
	}
}

// The comparison must see each kind of wrong mesh: an edge moved by a little more than the tolerance (curved) or by
// 0.01 of it (straight), an edge broken to a bevel, an edge that is not in the drawing.
func TestSharpEdgesSeeWhatIsWrong(t *testing.T) {
	plainRunOnly(t)
	edges := drilledEdges()
	whole := drilled(t)
	for _, c := range []struct {
		name        string
		s           *solid.Solid
		there, back bool
	}{
		{"boss 0.006 too high", solid.Join(whole, round(5.5, 3, 1.5, 2, 4.506)), true, true},
		{"block 0.00005 too long", solid.Join(whole, block(t, 4, 0, 0, 8.00005, 6, 3)), true, false},
		{"bevel of 0.004 on an edge", solid.Cut(whole, inModel(t).tilted(8-0.004, 3, 45*degree, vec(-1, -1, 0), vec(1, 7, 1))), true, false},
		{"groove of 0.02", solid.Cut(whole, block(t, 4.02, -1, 2.98, 4.04, 1, 4)), false, true},
	} {
		m, err := ofSafely(c.s, edgeTolerance)
		if err != nil {
			t.Errorf("%s: not meshed: %v", c.name, err)
			continue
		}
		creases := throughSTL(t, m)
		there, back := trueToMesh(t, edges, creases), meshToTrue(t, edges, creases)
		clean := trueToMesh(t, edges, throughSTL(t, mustOf(t, whole)))
		if got := len(there.kinds) > len(clean.kinds); got != c.there {
			t.Errorf("%s: missed edges seen: %v, want %v (%v)", c.name, got, c.there, there.say)
		}
		if got := len(back.kinds) > 0; got != c.back {
			t.Errorf("%s: false edges seen: %v, want %v (%v)", c.name, got, c.back, back.say)
		}
	}
}

func mustOf(t *testing.T, s *solid.Solid) *Mesh {
	t.Helper()
	m, err := ofSafely(s, edgeTolerance)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// trueToMesh: each point of a true edge is within the tolerance of a crease of the right angle, of a straight edge within
// rounding.
func trueToMesh(t *testing.T, edges []trueEdge, creases []crease) (say complaints) {
	t.Helper()
	grid := &edgeGrid{cells: map[[3]int32][]int32{}}
	for _, c := range creases {
		grid.add(c.a, c.b)
	}
	points, worst, worstStraight, worstAngle := 0, 0.0, 0.0, 0.0
	for _, e := range edges {
		for _, p := range e.pts {
			points++
			dist, off := math.Inf(1), math.Inf(1)
			grid.near(p, func(id int32, d float64) {
				dist = min(dist, d)
				off = min(off, e.misfit(creases[id], p))
			})
			limit, largest := edgeTolerance, &worst
			if e.straight {
				limit, largest = straightLimit, &worstStraight
			}
			switch {
			case math.IsInf(dist, 1):
				say.add(e.name, "no crease of the mesh within %g mm of (%.6f, %.6f, %.6f)", edgeTolerance, p.X, p.Y, p.Z)
				continue
			case dist > limit:
				say.add(e.name, "the nearest crease is %.3g mm from (%.6f, %.6f, %.6f)", dist, p.X, p.Y, p.Z)
			case off > e.give():
				say.add(e.name, "at (%.6f, %.6f, %.6f) no crease within %.1f degrees of %.1f, the best is %.1f off", p.X, p.Y, p.Z, e.give()/degree, e.angle(p)/degree, off/degree)
			}
			*largest, worstAngle = max(*largest, dist), max(worstAngle, off)
		}
	}
	t.Logf("%d points of %d true edges: curved within %.3g mm, straight within %.3g, angles within %.2g degrees", points, len(edges), worst, worstStraight, worstAngle/degree)
	return say
}

// meshToTrue: each sharp edge of the mesh, by points no more than 0.05 mm apart, is within the tolerance of a true edge.
func meshToTrue(t *testing.T, edges []trueEdge, creases []crease) (say complaints) {
	t.Helper()
	grid := &edgeGrid{cells: map[[3]int32][]int32{}}
	for _, e := range edges {
		for i := range len(e.pts) - 1 {
			grid.add(e.pts[i], e.pts[i+1])
		}
	}
	sharp, worst := 0, 0.0
	for _, c := range creases {
		if c.angle-c.fuzz <= sharpLimit {
			continue
		}
		sharp++
		n := max(2, math.Ceil(r3.Norm(r3.Sub(c.b, c.a))/0.05))
		for i := 0.0; i <= n; i++ {
			p, dist := lerp(c.a, c.b, i/n), math.Inf(1)
			grid.near(p, func(_ int32, d float64) { dist = min(dist, d) })
			if dist > edgeTolerance+curveSag {
				say.add("sharp edge of the mesh that is none", "%.1f degrees from (%.6f, %.6f, %.6f) to (%.6f, %.6f, %.6f)", c.angle/degree, c.a.X, c.a.Y, c.a.Z, c.b.X, c.b.Y, c.b.Z)
				break
			}
			worst = max(worst, dist)
		}
	}
	t.Logf("%d sharp edges of the mesh, within %.3g mm of a true one", sharp, worst)
	return say
}
