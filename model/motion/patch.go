package motion

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// hull is a box, turned any way, that holds a patch of surface: centre, unit axes and half extents along them. half is
// the same seen along x, y and z.
type hull struct {
	mid     r3.Vec
	axis    [3]r3.Vec
	extent  [3]float64
	half    r3.Vec
	on      r3.Vec  // a point of the patch's face, near its middle
	radius  float64 // of a ball round on that holds the hull
	curving float64 // how far the patch leaves a flat, mm
}

// patch is a piece of a wall, cut out by its parameters; the eldest are whole walls.
type patch struct {
	hull
	wall           int32
	u0, u1, v0, v1 float64
	seen           sight
	kids           int32   // the first of two parts, 0 while there are none
	cross          []int32 // eldest patches of other primitives that may run through it; before it is looked at, those to ask
}

type sight byte

const (
	notLooked sight = iota
	kept            // at least a part of it may be surface
	hidden          // no part of it is surface
)

// wall is a wall of a solid; turning ones run once round an axis. arcs and rounds tell whether it is curved along u and v.
type wall struct {
	solid.Wall
	turning      bool
	arcs, rounds bool
}

func wallsOf(s *solid.Solid) []wall {
	var out []wall
	for _, w := range s.Walls() {
		um := (w.U[0] + w.U[1]) / 2
		turning := w.V[1]-w.V[0] > 6 && norm(r3.Sub(w.At(um, w.V[0]), w.At(um, w.V[1]))) < 1e-9
		v := w.V[0]
		mid := r3.Scale(0.5, r3.Add(w.At(w.U[0], v), w.At(w.U[1], v)))
		arcs := norm(r3.Sub(mid, w.At(um, v))) > 1e-12
		out = append(out, wall{w, turning, arcs, turning && w.On.Curved()})
	}
	return out
}

// roundest is how far an eldest patch may leave a flat, mm: the box round it is then still close.
const roundest = 0.03

// eldest are the patches that a wall is cut into to begin with: a turning one in quarters, so that none goes round its axis
// by more than a quarter, and arcs in pieces that are nearly flat.
func (w *wall) eldest(number int32) []patch {
	n, m := 1, 1
	if w.turning {
		n = 4
	}
	round := func() bool {
		h := w.hull(w.U[0], w.U[0]+(w.U[1]-w.U[0])/float64(m), w.V[0], w.V[0]+(w.V[1]-w.V[0])/float64(n))
		return h.curving > roundest && m < 16 && n < 64
	}
	for w.arcs && round() {
		m *= 2
	}
	for w.rounds && round() {
		n *= 2
	}
	var out []patch
	for k := range m {
		for i := range n {
			long, turn := (w.U[1]-w.U[0])/float64(m), (w.V[1]-w.V[0])/float64(n)
			p := patch{wall: number, u0: w.U[0] + long*float64(k), v0: w.V[0] + turn*float64(i)}
			p.u1, p.v1 = p.u0+long, p.v0+turn
			p.hull = w.hull(p.u0, p.u1, p.v0, p.v1)
			out = append(out, p)
		}
	}
	return out
}

// hull holds the patch between two pairs of parameters. Pieces of a profile are lines or arcs of at most half a turn, so
// that along chord and normal they are furthest at their ends and in the middle.
func (w *wall) hull(u0, u1, v0, v1 float64) hull {
	um, vm := (u0+u1)/2, (v0+v1)/2
	on := w.At(um, vm)
	a, b := r3.Sub(w.At(u0, vm), on), r3.Sub(w.At(u1, vm), on)
	if w.turning {
		return w.turned(on, a, b, um, vm, (v1-v0)/2)
	}
	c, d := r3.Sub(w.At(um, v0), on), r3.Sub(w.At(um, v1), on)
	e := frameOf(r3.Sub(b, a), r3.Sub(d, c))
	var lo, hi [3]float64
	for _, p := range [...]r3.Vec{a, b, c, d} {
		for i := range e {
			x := r3.Dot(e[i], p)
			lo[i], hi[i] = min(lo[i], x), max(hi[i], x)
		}
	}
	return boxed(on, e, lo, hi)
}

// turned is the hull of a patch of a turned profile, b the half angle. By b round the axis a point at the distance x
// from it goes back by x (1-cos b) along the radius and x sin b aside.
func (w *wall) turned(on, a0, a1 r3.Vec, um, vm, b float64) hull {
	axis := r3.Scale(0.5, r3.Add(w.At(um, vm), w.At(um, vm+math.Pi)))
	out := unit(r3.Sub(on, axis))
	aside := unit(r3.Sub(w.At(um, vm+math.Pi/2), axis))
	e := [3]r3.Vec{unit(r3.Sub(a1, a0)), aside}
	e[2] = r3.Cross(aside, e[0])
	far := norm(r3.Sub(on, axis))
	far += max(0, r3.Dot(out, a0), r3.Dot(out, a1)) + math.Abs(r3.Dot(e[2], a0)) // the last for an arc's bulge
	back, side := far*(1-math.Cos(b)), far*math.Sin(b)
	var lo, hi [3]float64
	for _, i := range [...]int{0, 2} {
		x, y, turn := r3.Dot(e[i], a0), r3.Dot(e[i], a1), -r3.Dot(e[i], out)*back
		lo[i], hi[i] = min(0, x, y)+min(0, turn), max(0, x, y)+max(0, turn)
	}
	lo[1], hi[1] = -side, side
	return boxed(on, e, lo, hi)
}

func boxed(on r3.Vec, e [3]r3.Vec, lo, hi [3]float64) hull {
	h := hull{mid: on, axis: e, on: on}
	far := 0.0
	for i := range e {
		h.extent[i] = (hi[i] - lo[i]) / 2
		h.mid = r3.Add(h.mid, r3.Scale((hi[i]+lo[i])/2, e[i]))
		m := max(-lo[i], hi[i])
		far += m * m
	}
	h.radius, h.curving = math.Sqrt(far), 2*h.extent[2]
	h.spread()
	return h
}

// spread finds the extents along x, y and z.
func (h *hull) spread() {
	h.half = r3.Vec{}
	for i, e := range h.axis {
		x := h.extent[i]
		h.half.X += math.Abs(e.X) * x
		h.half.Y += math.Abs(e.Y) * x
		h.half.Z += math.Abs(e.Z) * x
	}
}

// at is the hull moved by a pose.
func (h *hull) at(m solid.Pose) hull {
	g := *h
	g.mid, g.on = m.World(h.mid), m.World(h.on)
	for i, e := range h.axis {
		g.axis[i] = m.Turn(e)
	}
	g.spread()
	return g
}

func frameOf(u, v r3.Vec) [3]r3.Vec {
	e := [3]r3.Vec{unit(u), unit(v)}
	e[2] = r3.Cross(e[0], e[1])
	return e
}

// unit is v with length 1, and x for no length at all.
func unit(v r3.Vec) r3.Vec {
	n := norm(v)
	if n == 0 {
		return r3.Vec{X: 1}
	}
	return r3.Scale(1/n, v)
}

// apart is a lower bound of the distance between two hulls, mm, 0 where they may meet: the greatest of the distances of their
// bounds seen along x, y and z, along the axes of either, and along the line between their centres. It is worked out no further than
// needed to reach enough.
func (h *hull) apart(g *hull, enough float64) float64 {
	d := r3.Sub(g.mid, h.mid)
	x := math.Abs(d.X) - h.half.X - g.half.X
	y := math.Abs(d.Y) - h.half.Y - g.half.Y
	z := math.Abs(d.Z) - h.half.Z - g.half.Z
	best := beyond(x, y, z)
	if best >= enough {
		return best
	}
	var cos [3][3]float64
	for i := range cos {
		for j := range cos {
			cos[i][j] = math.Abs(r3.Dot(h.axis[i], g.axis[j]))
		}
	}
	var p, q [3]float64
	for i := range p {
		p[i] = math.Abs(r3.Dot(d, h.axis[i])) - h.extent[i] - cos[i][0]*g.extent[0] - cos[i][1]*g.extent[1] - cos[i][2]*g.extent[2]
		q[i] = math.Abs(r3.Dot(d, g.axis[i])) - g.extent[i] - cos[0][i]*h.extent[0] - cos[1][i]*h.extent[1] - cos[2][i]*h.extent[2]
	}
	best = max(best, beyond(p[0], p[1], p[2]), beyond(q[0], q[1], q[2]))
	if n := norm(d); best < enough && n > 0 {
		d = r3.Scale(1/n, d)
		best = max(best, n-h.reach(d)-g.reach(d))
	}
	return best
}

// beyond is the distance between two boxes whose sides are so far apart along the axes, negative where they overlap.
func beyond(x, y, z float64) float64 {
	if x <= 0 && y <= 0 && z <= 0 {
		return 0
	}
	x, y, z = max(x, 0), max(y, 0), max(z, 0)
	return math.Sqrt(x*x + y*y + z*z)
}

// reach is how far the hull reaches from its middle along a unit vector.
func (h *hull) reach(d r3.Vec) float64 {
	return math.Abs(r3.Dot(d, h.axis[0]))*h.extent[0] + math.Abs(r3.Dot(d, h.axis[1]))*h.extent[1] + math.Abs(r3.Dot(d, h.axis[2]))*h.extent[2]
}

// toward gives the parameters of the patch's point near p, a point in the solid's own frame: its place along chord and width,
// held within the patch. On arcs it is near the nearest one, not always the very one.
func (w *wall) toward(p r3.Vec, t *patch) (u, v float64) {
	d := r3.Sub(p, t.on)
	um, vm := (t.u0+t.u1)/2, (t.v0+t.v1)/2
	part := func(x, extent float64) float64 {
		if extent == 0 {
			return 0
		}
		return min(max(x/extent, -1), 1)
	}
	u = um + part(r3.Dot(d, t.axis[0]), t.extent[0])*(t.u1-um)
	v = vm + part(r3.Dot(d, t.axis[1]), t.extent[1])*(t.v1-vm)
	return u, v
}

// norm is the length of v, without r3.Norm's care for overflow.
func norm(v r3.Vec) float64 { return math.Sqrt(r3.Norm2(v)) }
