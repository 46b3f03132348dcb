package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Edge is a run along which two faces of the solid meet.
type Edge struct {
	Faces  [2]int
	Tags   [2]string
	Points []r3.Vec  // on the edge, in order
	Angles []float64 // through the metal at each point, degrees: below 180 where the edge stands out, above where it is hollow
	Length float64   // mm, of the line through the points
	Least  float64   // the sharpest of the angles, degrees
	At     r3.Vec    // where that is
	Closed bool      // the run comes back to its first point
}

// EdgeOptions say how edges are looked for.
type EdgeOptions struct {
	Angle float64 // degrees of metal below which an edge is sharp; 0 means 60
	Step  float64 // mm between the places where faces are looked at; 0 means 0.25
}

// SharpEdges lists the edges of the solid whose angle through the metal is below a limit, by face numbers, each cut down
// to where it is that sharp: what cuts fingers, does not fill with metal and is bent in tumbling.
//
// Points lie on both faces within 1e-9 mm and on the surface within 1e-7; the angle is between the tangent planes there.
// Ends of runs are found to 2e-4 mm; chords between the points leave the curve by at most 0.1 % of the length.
// Measured, not proven: an edge, or a gap in one, shorter than the step may be missed, and faces that meet at less than
// 1.8 degrees count as tangent.
func SharpEdges(s *solid.Solid, o EdgeOptions) []Edge { return NewBody(s).SharpEdges(o) }

// SharpEdges is the function of that name.
func (b *Body) SharpEdges(o EdgeOptions) []Edge {
	limit := or(o.Angle, 60)
	var out []Edge
	for _, e := range b.edges(or(o.Step, edgeStep)) {
		out = append(out, e.below(limit)...)
	}
	return out
}

// edgeStep is how closely edges are looked for, mm.
const edgeStep = 0.25

// below cuts the edge down to the runs whose angle is below a limit.
func (e *Edge) below(limit float64) []Edge {
	var out []Edge
	for i := 0; i < len(e.Points); i++ {
		if e.Angles[i] >= limit {
			continue
		}
		j := i
		for j+1 < len(e.Points) && e.Angles[j+1] < limit {
			j++
		}
		if j > i {
			run := Edge{Faces: e.Faces, Tags: e.Tags, Points: e.Points[i : j+1], Angles: e.Angles[i : j+1]}
			run.Closed = e.Closed && i == 0 && j == len(e.Points)-1
			run.sum()
			out = append(out, run)
		}
		i = j
	}
	return out
}

// sum fills in length and least angle.
func (e *Edge) sum() {
	e.Length, e.Least = 0, math.Inf(1)
	for i, p := range e.Points {
		if i > 0 {
			e.Length += apart(p, e.Points[i-1])
		}
		if e.Angles[i] < e.Least {
			e.Least, e.At = e.Angles[i], p
		}
	}
}

// edgesOf finds all edges, hollow ones too, in the order of their faces.
func edgesOf(s *solid.Solid, step float64) []Edge {
	walls, tags := s.Walls(), s.Tags()
	found := make([][]Edge, len(walls))
	spread(s, len(walls), func(c *solid.Cover, i int) {
		t := tracer{c: c, wall: &walls[i], step: step, traced: map[int][]int{}}
		t.k = &skin{s: s, walls: walls}
		t.seek(i, walls[i].U, walls[i].V)
		found[i] = t.edges
	})
	var out []Edge
	for _, f := range found {
		for _, e := range f {
			if !slices.ContainsFunc(out, e.same) {
				e.Tags = [2]string{tags[e.Faces[0]], tags[e.Faces[1]]}
				out = append(out, e)
			}
		}
	}
	return out
}

// same tells whether another run is this one, found on other faces that coincide with its own.
func (e *Edge) same(o Edge) bool {
	if math.Abs(e.Length-o.Length) > 1e-3*(1+e.Length) || math.Abs(e.Least-o.Least) > 1e-3 {
		return false
	}
	near := func(p, q r3.Vec) bool { return apart(p, q) < 1e-3 }
	a, b := e.Points[0], e.Points[len(e.Points)-1]
	c, d := o.Points[0], o.Points[len(o.Points)-1]
	if !near(a, c) && !near(a, d) || !near(b, c) && !near(b, d) {
		return false
	}
	_, gap := nearestOn(e.Points, o.Points[len(o.Points)/2])
	return gap < 1e-2
}

// nearestOn is the first place on a line of points nearest to p, and how far it is.
func nearestOn(pts []r3.Vec, p r3.Vec) (at r3.Vec, gap float64) {
	at, gap = pts[0], apart(pts[0], p)
	for i := 1; i < len(pts); i++ {
		d := r3.Sub(pts[i], pts[i-1])
		t := r3.Dot(r3.Sub(p, pts[i-1]), d) / max(r3.Norm2(d), 1e-300)
		q := along(pts[i-1], d, min(max(t, 0), 1))
		if g := apart(q, p); g < gap {
			at, gap = q, g
		}
	}
	return at, gap
}

// tracer follows the edges of one wall with faces of higher number.
type tracer struct {
	c      *solid.Cover
	k      *skin
	wall   *solid.Wall
	step   float64
	edges  []Edge
	traced map[int][]int // by the other face, the places in edges
}

// seek goes over the wall in patches of half a step and traces what it finds of edges.
func (t *tracer) seek(wall int, u, v [2]float64) {
	w := t.wall
	q := w.At((u[0]+u[1])/2, (v[0]+v[1])/2)
	reach := math.Hypot(w.SpeedU*(u[1]-u[0]), w.SpeedV*(v[1]-v[0])) / 2
	if w.Round && t.c.Dist(w.Leaf, q) > reach {
		return
	}
	var view solid.View
	if t.c.Look(q, reach, w.Leaf, &view); view.Ball == solid.Hidden {
		return
	}
	leaves := append([]int32{w.Leaf}, view.Near...)
	if reach > t.step/2 {
		if t.rivals(q, reach, leaves, nil) == 0 {
			return
		}
		for _, h := range t.k.halves(wall, u, v) {
			t.seek(wall, h[0], h[1])
		}
		return
	}
	t.rivals(q, reach, leaves, func(face int, leaf int32, on *solid.Carrier) {
		e, sine, ok := solid.Meet(q, &w.On, on)
		if !ok || sine < leastSine || apart(e, q) > 1.5*reach {
			return
		}
		r := rival{face, leaf, on}
		if t.known(face, e) {
			return
		}
		if angle, ok := t.angle(e, r); ok {
			t.follow(e, angle, r)
		}
	})
}

// leastSine is the sine of the angle between faces below which they count as tangent.
const leastSine = 0.03

// rival is another face that comes near the wall.
type rival struct {
	face int
	leaf int32
	on   *solid.Carrier
}

// rivals counts, and visits, the faces of higher number whose carriers come within reach of q and cross the wall there.
func (t *tracer) rivals(q r3.Vec, reach float64, leaves []int32, visit func(face int, leaf int32, on *solid.Carrier)) (count int) {
	for i, leaf := range leaves {
		if slices.Contains(leaves[:i], leaf) {
			continue
		}
		first, carriers := t.c.Faces(leaf)
		for j := range carriers {
			on := &carriers[j]
			if first+j <= t.wall.Face || on.Axis() || math.Abs(on.Gap(q)) > reach {
				continue
			}
			count++
			if visit != nil {
				visit(first+j, leaf, on)
			}
		}
	}
	return count
}

// known tells whether an edge with that face has been traced past e.
func (t *tracer) known(face int, e r3.Vec) bool {
	for _, i := range t.traced[face] {
		if _, gap := nearestOn(t.edges[i].Points, e); gap < 0.02*t.step {
			return true
		}
	}
	return false
}

const (
	aside     = 1e-4 // mm to the side of an edge where its faces are looked at
	firstStep = 0.05 // mm
	leastStep = 1e-3 // mm
	mostEdge  = 20000
)

// angle is that through the metal at a point where wall and rival meet; ok is false where that is no edge of the solid:
// each face must be surface on one side of the line and not on the other.
func (t *tracer) angle(e r3.Vec, r rival) (degrees float64, ok bool) {
	if !t.c.On(e, touching) || math.Abs(t.c.Dist(t.wall.Leaf, e)) > touching || math.Abs(t.c.Dist(r.leaf, e)) > touching {
		return 0, false
	}
	_, na := t.wall.On.Off(e)
	_, nb := r.on.Off(e)
	line := unit(r3.Cross(na, nb))
	ta, na, ok := t.side(e, line, na, &t.wall.On)
	if !ok {
		return 0, false
	}
	_, nb, ok = t.side(e, line, nb, r.on)
	if !ok {
		return 0, false
	}
	between := angleOf(na, nb)
	if r3.Dot(ta, nb) < 0 {
		return 180 - between, true
	}
	return 180 + between, true
}

// side finds on which side of the line a face is surface, and its normal out of the metal.
func (t *tracer) side(e, line, n r3.Vec, on *solid.Carrier) (to, out r3.Vec, ok bool) {
	to = r3.Cross(line, n)
	sides := 0
	for _, sign := range []float64{1, -1} {
		x := on.Foot(along(e, to, sign*aside))
		_, m := on.Off(x)
		in, above := t.c.Metal(along(x, m, -beside)), t.c.Metal(along(x, m, beside))
		if in == above {
			continue
		}
		sides++
		out = n
		if above {
			out = r3.Scale(-1, n)
		}
		if sign < 0 {
			to = r3.Scale(-1, to)
		}
	}
	return to, out, sides == 1
}

// follow traces the edge both ways from e and keeps it.
func (t *tracer) follow(e r3.Vec, angle float64, r rival) {
	run := Edge{Faces: [2]int{t.wall.Face, r.face}, Points: []r3.Vec{e}, Angles: []float64{angle}}
	if !t.march(&run, r, 1) {
		slices.Reverse(run.Points)
		slices.Reverse(run.Angles)
		t.march(&run, r, -1)
	}
	if len(run.Points) < 2 {
		return
	}
	run.sum()
	t.traced[r.face] = append(t.traced[r.face], len(t.edges))
	t.edges = append(t.edges, run)
}

// march goes from the last point of the run along the edge, forwards or backwards, and tells whether it came round.
func (t *tracer) march(run *Edge, r rival, way float64) bool {
	e := run.Points[len(run.Points)-1]
	start, step, walked := run.Points[0], firstStep, 0.0
	for len(run.Points) < mostEdge {
		d := t.tangent(e, r, way)
		p, _, ok := solid.Meet(along(e, d, step), &t.wall.On, r.on)
		turned := 180.0
		if ok && apart(p, e) > step/2 && apart(p, e) < 1.5*step {
			turned = angleOf(d, t.tangent(p, r, way))
		}
		if turned > 8 && step > leastStep {
			step /= 2
			continue
		}
		angle, on := 0.0, false
		if turned < 90 {
			angle, on = t.angle(p, r)
		}
		if !on {
			t.end(run, r, d, step)
			return false
		}
		if walked > 2*step && apart(p, start) < 0.75*step {
			run.add(start, run.Angles[0])
			run.Closed = true
			return true
		}
		run.add(p, angle)
		e, walked = p, walked+step
		if turned < 4 {
			step = min(2*step, t.step)
		}
	}
	return false
}

func (e *Edge) add(p r3.Vec, angle float64) {
	e.Points, e.Angles = append(e.Points, p), append(e.Angles, angle)
}

// tangent is the direction of the edge at e.
func (t *tracer) tangent(e r3.Vec, r rival, way float64) r3.Vec {
	_, na := t.wall.On.Off(e)
	_, nb := r.on.Off(e)
	return r3.Scale(way, unit(r3.Cross(na, nb)))
}

// end adds the last point of the run, between the last that is an edge and a step beyond, where none is.
func (t *tracer) end(run *Edge, r rival, d r3.Vec, step float64) {
	e := run.Points[len(run.Points)-1]
	var last r3.Vec
	lo, angle := 0.0, 0.0
	for hi := step; hi-lo > 1e-5; {
		mid := (lo + hi) / 2
		p, _, ok := solid.Meet(along(e, d, mid), &t.wall.On, r.on)
		a, on := 0.0, false
		if ok && apart(p, e) < 2*step {
			a, on = t.angle(p, r)
		}
		if on {
			lo, last, angle = mid, p, a
		} else {
			hi = mid
		}
	}
	if lo > 0 {
		run.add(last, angle)
	}
}
