package survey

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// patch is a rectangle of a face's parameters in which the face may be surface.
type patch struct {
	wall  int
	u, v  [2]float64
	p     r3.Vec // its middle
	n     r3.Vec // unit normal there, out of the metal
	reach float64
	tilt  float64 // how far normals within it leave n, at most, as measured in its corners
	seen  bool    // the middle is surface
}

// skin is a solid's surface in patches, face by face.
type skin struct {
	s        *solid.Solid
	walls    []solid.Wall
	tags     []string
	carriers []solid.Carrier
	wallOf   map[int]int // of a face, the place in walls
	patches  [][]patch   // by wall
	turned   []bool      // of each wall, whether its carrier's normal runs into the metal
}

// skinOf cuts the surface into patches whose corners lie no further than reach from their middles. Where the middle is
// hidden the patch is cut further, down to a quarter, since part of it may be seen.
func skinOf(s *solid.Solid, reach float64) *skin {
	k := &skin{s: s, walls: s.Walls(), tags: s.Tags(), carriers: s.Carriers(), wallOf: map[int]int{}}
	k.patches = make([][]patch, len(k.walls))
	for i, w := range k.walls {
		k.wallOf[w.Face] = i
	}
	k.turned = make([]bool, len(k.walls))
	spread(s, len(k.walls), func(c *solid.Cover, i int) {
		k.walk(c, i, k.walls[i].U, k.walls[i].V, reach, &k.patches[i])
		k.turn(c, i)
	})
	return k
}

// turn makes all normals of a wall run out of the metal. A primitive stands once in the tree, so its metal is on the same
// side everywhere.
func (k *skin) turn(c *solid.Cover, wall int) {
	for _, a := range k.patches[wall] {
		if a.seen {
			k.turned[wall] = c.Metal(along(a.p, a.n, beside))
			break
		}
	}
	for i := range k.patches[wall] {
		if a := &k.patches[wall][i]; k.turned[wall] {
			a.n = r3.Scale(-1, a.n)
		}
	}
}

func (k *skin) walk(c *solid.Cover, wall int, u, v [2]float64, reach float64, out *[]patch) {
	a, ok := k.look(c, wall, u, v)
	if !ok {
		return
	}
	if a.reach <= reach && (a.seen || a.reach <= reach/4) {
		*out = append(*out, a)
		return
	}
	for _, h := range k.halves(wall, u, v) {
		k.walk(c, wall, h[0], h[1], reach, out)
	}
}

// halves cuts a rectangle of a wall's parameters through its longer side.
func (k *skin) halves(wall int, u, v [2]float64) [2][2][2]float64 {
	w := &k.walls[wall]
	if w.SpeedU*(u[1]-u[0]) >= w.SpeedV*(v[1]-v[0]) {
		m := (u[0] + u[1]) / 2
		return [2][2][2]float64{{{u[0], m}, v}, {{m, u[1]}, v}}
	}
	m := (v[0] + v[1]) / 2
	return [2][2][2]float64{{u, {v[0], m}}, {u, {m, v[1]}}}
}

// look makes the patch; ok is false where none of it is surface.
func (k *skin) look(c *solid.Cover, wall int, u, v [2]float64) (a patch, ok bool) {
	w := &k.walls[wall]
	a = patch{wall: wall, u: u, v: v, p: w.At((u[0]+u[1])/2, (v[0]+v[1])/2)}
	a.reach = math.Hypot(w.SpeedU*(u[1]-u[0]), w.SpeedV*(v[1]-v[0])) / 2 * (1 + 1e-12)
	own := 0.0
	if w.Round {
		if own = c.Dist(w.Leaf, a.p); own > a.reach {
			return a, false
		}
	}
	var view solid.View
	if c.Look(a.p, a.reach, w.Leaf, &view); view.Ball == solid.Hidden {
		return a, false
	}
	_, a.n = w.On.Off(a.p)
	if own <= touching && view.Here != solid.Hidden {
		a.seen = c.Metal(along(a.p, a.n, -beside)) != c.Metal(along(a.p, a.n, beside))
	}
	a.tilt = k.tiltOf(w, &a)
	if k.turned[wall] {
		a.n = r3.Scale(-1, a.n)
	}
	return a, true
}

// tiltOf is the greatest distance of the unit normals in the patch's corners from that in its middle, with a hundredth
// on top; 0 on planes.
func (k *skin) tiltOf(w *solid.Wall, a *patch) float64 {
	if !w.On.Curved() {
		return 0
	}
	most := 0.0
	_, mid := w.On.Off(a.p)
	for _, u := range a.u {
		for _, v := range a.v {
			_, n := w.On.Off(w.At(u, v))
			most = max(most, apart(n, mid))
		}
	}
	return 1.01 * most
}

// area is the patch's area to second order in its size, mm2.
func (k *skin) area(a *patch) float64 {
	w := &k.walls[a.wall]
	um, vm := (a.u[0]+a.u[1])/2, (a.v[0]+a.v[1])/2
	// The middle half of the rectangle, so that chords of arcs are short.
	uq, vq := (a.u[1]-a.u[0])/4, (a.v[1]-a.v[0])/4
	du := r3.Scale(2, r3.Sub(w.At(um+uq, vm), w.At(um-uq, vm)))
	dv := r3.Scale(2, r3.Sub(w.At(um, vm+vq), w.At(um, vm-vq)))
	return r3.Norm(r3.Cross(du, dv))
}

// facesAt lists the faces that run through p, a point of the surface.
func (k *skin) facesAt(c *solid.Cover, p r3.Vec) []int {
	var out []int
	for i := range k.walls {
		w := &k.walls[i]
		if math.Abs(w.On.Gap(p)) <= beside && math.Abs(c.Dist(w.Leaf, p)) <= beside {
			out = append(out, w.Face)
		}
	}
	return out
}
