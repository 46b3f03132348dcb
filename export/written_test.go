package export

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
)

var trial = []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow"}

// farthest is the greatest distance of a vertex of either mesh from the other mesh, by nearest points.
func farthest(a, b *contour.Mesh) float64 {
	worst := 0.0
	for _, way := range [][2]*contour.Mesh{{a, b}, {b, a}} {
		tree := contour.NewTree(way[1])
		for _, v := range way[0].V {
			_, _, d := tree.Nearest(v)
			worst = math.Max(worst, d)
		}
	}
	return worst
}

func scaled(m *contour.Mesh, g r3.Vec) *contour.Mesh {
	out := *m
	out.V = make([]r3.Vec, len(m.V))
	for i, v := range m.V {
		out.V[i] = r3.Vec{X: v.X * g.X, Y: v.Y * g.Y, Z: v.Z * g.Z}
	}
	return &out
}

// The written pattern against the written casting times the growth; a pattern that was grown twice must fail.
func TestWrittenPatternIsTheWrittenCastingGrown(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	const limit = 4e-6 // mm: two roundings to float32 below 32 mm
	for _, c := range []struct {
		name string
		sets []string
		g    r3.Vec
	}{
		{"by the rule", nil, r3.Vec{X: 1.015, Y: 1.015, Z: 1.015}},
		{"per axis", []string{"casting.growth_x=1.021", "casting.growth_y=1.017", "casting.growth_z=1.009"}, r3.Vec{X: 1.021, Y: 1.017, Z: 1.009}},
		{"scaled by the house", []string{"casting.growth=1"}, r3.Vec{X: 1, Y: 1, Z: 1}},
	} {
		_, dir := order(t, append(c.sets, trial...)...)
		for _, part := range []string{"box", "tongue"} {
			cast := readMesh(t, stagePath(dir, part, clasp.Casting))
			pattern := readMesh(t, stagePath(dir, part, clasp.Pattern))
			d := farthest(pattern, scaled(cast, c.g))
			t.Logf("%s, %s: %.2e mm", c.name, part, d)
			if d > limit {
				t.Errorf("%s, %s: pattern and grown casting differ by %.3g mm", c.name, part, d)
			}
			if twice := farthest(scaled(pattern, c.g), scaled(cast, c.g)); c.g.X != 1 && twice <= limit {
				t.Errorf("%s, %s: a pattern grown twice passes", c.name, part)
			}
		}
	}
}

// stockSample is a place on a finished surface, with how far it is from the surface's edges.
type stockSample struct {
	p, n r3.Vec
	tag  string
	room float64
}

// surfaceSamples spreads samples over the facets of a mesh. Edges are those where the surface or the direction changes.
func surfaceSamples(m, tagged *contour.Mesh) []stockSample {
	edges := sharpEdges(m, tagged)
	var out []stockSample
	for i, t := range m.T {
		a, b, c := m.V[t[0]], m.V[t[1]], m.V[t[2]]
		n := r3.Unit(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
		const k = 6
		for u := 1; u < k; u++ {
			for v := 1; u+v < k; v++ {
				p := r3.Add(r3.Scale(float64(u)/k, a), r3.Add(r3.Scale(float64(v)/k, b), r3.Scale(float64(k-u-v)/k, c)))
				room := math.Inf(1)
				for _, e := range edges {
					room = math.Min(room, segmentDistance(p, e[0], e[1]))
				}
				out = append(out, stockSample{p, n, tagged.Tags[tagged.Face[i]], room})
			}
		}
	}
	return out
}

func sharpEdges(m, tagged *contour.Mesh) [][2]r3.Vec {
	type side struct {
		tag int32
		n   r3.Vec
	}
	sides := map[[2]int32]side{}
	var out [][2]r3.Vec
	for i, t := range m.T {
		n := r3.Unit(r3.Cross(r3.Sub(m.V[t[1]], m.V[t[0]]), r3.Sub(m.V[t[2]], m.V[t[0]])))
		for k := range t {
			a, b := t[k], t[(k+1)%3]
			if s, ok := sides[[2]int32{b, a}]; ok && (s.tag != tagged.Face[i] || r3.Dot(s.n, n) < 0.9) {
				out = append(out, [2]r3.Vec{m.V[a], m.V[b]})
			}
			sides[[2]int32{a, b}] = side{tagged.Face[i], n}
		}
	}
	return out
}

func segmentDistance(p, a, b r3.Vec) float64 {
	d := r3.Sub(b, a)
	k := min(max(r3.Dot(r3.Sub(p, a), d)/r3.Norm2(d), 0), 1)
	return r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(k, d))))
}

// From the written files: along the finished surface's normal, the casting stands off by the stock of that kind of
// surface, to 0.01 mm. Samples are at least 0.5 mm from edges; surfaces too narrow for that (lip, shoulder, window,
// rounds) are sampled where they are widest, at least 0.1 mm from edges.
func TestWrittenCastingHasItsStock(t *testing.T) {
	c, dir := order(t, append([]string{"chain.crown=18.6"}, trial...)...)
	count, worst := map[string]int{}, map[string]float64{}
	for _, p := range c.Parts {
		if p.Stage != clasp.Finished {
			continue
		}
		finished := readMesh(t, stagePath(dir, p.Name, clasp.Finished))
		cast := contour.NewTree(readMesh(t, stagePath(dir, p.Name, clasp.Casting)))
		for _, s := range choose(surfaceSamples(finished, p.Mesh)) {
			const back = 0.2 // start inside the metal, which is thicker than this everywhere
			d, _, ok := cast.Ray(r3.Sub(s.p, r3.Scale(back, s.n)), s.n, 5)
			kind := clasp.Kind(s.tag)
			least, most := c.Lock.Stock.Of(s.tag)
			off := math.Max(0, math.Max(least-(d-back), d-back-most))
			count[kind]++
			worst[kind] = math.Max(worst[kind], off)
			if !ok || off > 0.01 {
				t.Errorf("%s, %s (%q) at (%.2f, %.2f, %.2f), %.2f mm from an edge: stock %.4f mm, want %.2f to %.2f", p.Name, s.tag, kind, s.p.X, s.p.Y, s.p.Z, s.room, d-back, least, most)
			}
		}
	}
	for _, kind := range []string{"", "face", "pad", "meeting", "leaf", "shoulder", "lip", "chamber", "tab", "window", "fold", "lip root"} {
		t.Logf("%-9s %5d places, worst %.5f mm", kind, count[kind], worst[kind])
		if count[kind] == 0 {
			t.Errorf("no place of kind %q was measured", kind)
		}
	}
}

// choose keeps the samples far from edges; of a surface that has none of those, the ones nearest its middle.
func choose(all []stockSample) []stockSample {
	widest := map[string]float64{}
	for _, s := range all {
		widest[s.tag] = math.Max(widest[s.tag], s.room)
	}
	var out []stockSample
	for _, s := range all {
		if s.room >= 0.5 || widest[s.tag] < 0.5 && s.room >= math.Max(0.1, 0.9*widest[s.tag]) {
			out = append(out, s)
		}
	}
	return out
}
