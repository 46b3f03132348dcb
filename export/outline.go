package export

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/contour"
	"claspwright/model/solid"
)

// outlines are the lines that a draughtsman would draw of parts seen by a camera: outlines and sharp edges, as far as nothing
// hides them, in mm. What is a line is one line; edges on a face that is turned round the line of sight are arcs of its
// circle; the rest are chords of the mesh.
func outlines(cam camera, parts []model.Part) []curve {
	all := &contour.Mesh{}
	for _, p := range parts {
		base := int32(len(all.V))
		all.V = append(all.V, p.Mesh.V...)
		for _, t := range p.Mesh.T {
			all.T = append(all.T, [3]int32{t[0] + base, t[1] + base, t[2] + base})
		}
	}
	eye := viewer{cam, contour.NewTree(all)}
	var pieces []curve
	for _, p := range parts {
		pieces = append(pieces, eye.edges(p)...)
	}
	return united(pieces)
}

// viewer sees edges and what hides them.
type viewer struct {
	cam  camera
	tree *contour.Tree
}

// flat is a place as the camera sees it, mm, y upwards.
func (v viewer) flat(p r3.Vec) r2.Vec {
	return r2.Vec{X: r3.Dot(p, v.cam.right), Y: r3.Dot(p, v.cam.up)}
}

func (v viewer) edges(p model.Part) (out []curve) {
	m := p.Mesh
	normals := make([]r3.Vec, len(m.T))
	for f, t := range m.T {
		normals[f] = normal(m, t)
	}
	carriers, shared := carriersOf(p), edgesOf(m)
	sharp := map[[2]int32]bool{} // faces that meet in an edge that is sharp somewhere: it is drawn from end to end
	for _, e := range shared {
		if r3.Dot(normals[e.f], normals[e.g]) < creaseCos {
			sharp[between(m, e)] = true
		}
	}
	for _, e := range shared {
		if !v.draws(normals[e.f], normals[e.g], sharp[between(m, e)]) {
			continue
		}
		a, b := m.V[e.a], m.V[e.b]
		if r2.Norm(r2.Sub(v.flat(a), v.flat(b))) < 1e-6 { // along the line of sight
			continue
		}
		c, r := v.circle(a, b, carriers, on(m, e.f), on(m, e.g))
		for _, s := range v.visible(a, b, r3.Add(normals[e.f], normals[e.g])) {
			out = append(out, v.piece(s[0], s[1], c, r))
		}
	}
	return out
}

// meshEdge is where two facets of a mesh meet.
type meshEdge struct {
	a, b int32 // vertices, the lower number first
	f, g int   // facets
}

// edgesOf lists the edges of a mesh, in the order in which the facets complete them.
func edgesOf(m *contour.Mesh) []meshEdge {
	first := make(map[[2]int32]int, 3*len(m.T)/2)
	out := make([]meshEdge, 0, 3*len(m.T)/2)
	for f, t := range m.T {
		for k := range t {
			key := [2]int32{min(t[k], t[(k+1)%3]), max(t[k], t[(k+1)%3])}
			if g, met := first[key]; met {
				out = append(out, meshEdge{key[0], key[1], f, g})
			} else {
				first[key] = f
			}
		}
	}
	return out
}

// between gives the two faces that an edge lies between, the lower number first.
func between(m *contour.Mesh, e meshEdge) [2]int32 {
	a, b := on(m, e.f), on(m, e.g)
	return [2]int32{min(a, b), max(a, b)}
}

// carriersOf lists the surfaces on which a part's faces lie; nothing for a part that is only a mesh.
func carriersOf(p model.Part) []solid.Carrier {
	if p.Solid == nil || len(p.Mesh.On) == 0 {
		return nil
	}
	return p.Solid.Carriers()
}

// on is the number of the face that a facet lies on, -1 if it is not known.
func on(m *contour.Mesh, f int) int32 {
	if len(m.On) == 0 {
		return -1
	}
	return m.On[f]
}

// draws says whether the edge between two facets is an outline or sharp, and not behind both. Facets that the eye sees edge
// on count as turned away.
func (v viewer) draws(n, o r3.Vec, sharp bool) bool {
	a, b := r3.Dot(n, v.cam.ahead) < -1e-6, r3.Dot(o, v.cam.ahead) < -1e-6
	return a != b || a && sharp
}

// circle finds the circle on which the eye sees an edge: one of its faces is turned round an axis that points at the eye. The ends may
// lie a little inside, on chords of a cylinder; on other faces the edge must be a circle round the axis.
func (v viewer) circle(a, b r3.Vec, carriers []solid.Carrier, faces ...int32) (c r2.Vec, r float64) {
	for _, f := range faces {
		if f < 0 || int(f) >= len(carriers) {
			continue
		}
		p, dir, ok := carriers[f].TurnedRound()
		if !ok || math.Abs(math.Abs(r3.Dot(dir, v.cam.ahead))-1) > 1e-9 {
			continue
		}
		c := v.flat(p)
		ra, rb := r2.Norm(r2.Sub(v.flat(a), c)), r2.Norm(r2.Sub(v.flat(b), c))
		if _, _, r, ok := carriers[f].Cylinder(); ok && math.Abs(ra-r) < sagging && math.Abs(rb-r) < sagging {
			return c, r
		}
		if math.Abs(ra-rb) < onSame/2 && ra > onSame {
			return c, (ra + rb) / 2
		}
	}
	return r2.Vec{}, 0
}

// piece is an edge, or what is seen of it, as a line or as the arc that it stands for.
func (v viewer) piece(a, b r3.Vec, c r2.Vec, r float64) curve {
	k := curve{a: v.flat(a), b: v.flat(b)}
	if r > 0 {
		out := func(p r2.Vec) r2.Vec { return r2.Add(c, r2.Scale(r, r2.Unit(r2.Sub(p, c)))) }
		k.a, k.b, k.c, k.r = out(k.a), out(k.b), c, r
		k.cw = r2.Cross(r2.Sub(k.a, c), r2.Sub(k.b, c)) < 0
	}
	return k
}

const (
	sagging   = 0.01 // mm: how far a chord of a mesh may lie inside its cylinder
	beside    = 1e-3 // mm: how far beside an edge, in the open, the eye looks past it
	stride    = 0.2  // mm between looks along an edge
	settledAt = 1e-4 // mm: how well the place is found where an edge goes out of sight
)

// visible are the stretches of an edge that nothing hides. out points away from the metal at the edge.
func (v viewer) visible(a, b, out r3.Vec) (seen [][2]r3.Vec) {
	if size := r3.Norm(out); size > 1e-9 {
		out = r3.Scale(beside/size, out)
	}
	length := r3.Norm(r3.Sub(b, a))
	at := func(t float64) r3.Vec { return r3.Add(a, r3.Scale(t, r3.Sub(b, a))) }
	open := func(t float64) bool {
		_, _, hit := v.tree.Ray(r3.Add(at(t), out), r3.Scale(-1, v.cam.ahead), feltAway)
		return !hit
	}
	steps := int(math.Ceil(length/stride)) + 1
	inner := min(0.02, 1e-3/length) // the very ends meet other edges
	place := func(k int) float64 { return inner + (1-2*inner)*float64(k)/float64(steps) }
	was, from := open(place(0)), 0.0
	for k := 1; k <= steps; k++ {
		now := open(place(k))
		if now == was {
			continue
		}
		lo, hi := place(k-1), place(k)
		for (hi-lo)*length > settledAt {
			if mid := (lo + hi) / 2; open(mid) == was {
				lo = mid
			} else {
				hi = mid
			}
		}
		if was {
			seen = append(seen, [2]r3.Vec{at(from), at(lo)})
		}
		was, from = now, hi
	}
	if was {
		seen = append(seen, [2]r3.Vec{at(from), b})
	}
	return seen
}
