package export

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
)

// midSection is the section of a part by the plane at mid-width, y = 0, seen from the side, x to the right and z upwards:
// closed loops, metal at their left. Where the plane cuts a face that is turned round an axis across the lock the loop runs
// along its circle, where it cuts a plane along a line; elsewhere along chords of the mesh.
func midSection(p model.Part) [][]curve {
	m := p.Mesh
	eye := viewer{cam: camera{right: r3.Vec{X: 1}, up: r3.Vec{Z: 1}, ahead: r3.Vec{Y: 1}}}
	carriers := carriersOf(p)
	above := func(i int32) bool { return m.V[i].Y > 0 }
	type step struct {
		k    curve
		next [2]int32 // the mesh edge at its end
		face int32
	}
	steps := map[[2]int32]step{} // by the mesh edge at which they begin
	var order [][2]int32
	for f, t := range m.T {
		var from, to [2]int32
		n := 0
		for k := range t {
			i, j := t[k], t[(k+1)%3]
			if above(i) == above(j) {
				continue
			}
			key := [2]int32{min(i, j), max(i, j)}
			if n++; above(i) {
				from = key
			} else {
				to = key
			}
		}
		if n != 2 {
			continue
		}
		at := func(e [2]int32) r3.Vec {
			a, b := m.V[e[0]], m.V[e[1]]
			return r3.Add(a, r3.Scale(-a.Y/(b.Y-a.Y), r3.Sub(b, a)))
		}
		a, b := at(from), at(to)
		c, r := eye.circle(a, b, carriers, on(m, f))
		steps[from] = step{eye.piece(a, b, c, r), to, on(m, f)}
		order = append(order, from)
	}
	var loops [][]curve
	for _, begin := range order {
		var loop []curve
		for e := begin; ; {
			s, ok := steps[e]
			if !ok {
				break
			}
			delete(steps, e)
			if chord(s.k) > 1e-9 {
				loop = append(loop, s.k)
			}
			e = s.next
		}
		if loop = smoothed(loop); len(loop) > 1 || len(loop) == 1 && loop[0].r > 0 { // or a whole circle
			loops = append(loops, loop)
		}
	}
	return loops
}

// smoothed joins neighbours of a loop that run on along one line or one circle.
func smoothed(loop []curve) []curve {
	if len(loop) < 2 {
		return loop
	}
	begin := 0 // a place where two pieces do not run on, so that no curve is cut in two
	for i := range loop {
		if !runsOn(loop[(i+len(loop)-1)%len(loop)], loop[i]) {
			begin = i
			break
		}
	}
	out := []curve{loop[begin]}
	for i := 1; i < len(loop); i++ {
		k, last := loop[(begin+i)%len(loop)], &out[len(out)-1]
		if runsOn(*last, k) {
			last.b = k.b
		} else {
			out = append(out, k)
		}
	}
	return out
}

// runsOn says whether b goes on where a ends, on the same line or circle and the same way.
func runsOn(a, b curve) bool {
	if (a.r == 0) != (b.r == 0) {
		return false
	}
	if a.r > 0 {
		return a.cw == b.cw && math.Abs(a.r-b.r) < onSame && r2.Norm(r2.Sub(a.c, b.c)) < onSame
	}
	long, other := a, b.b
	if chord(b) > chord(a) {
		long, other = b, a.a
	}
	d := r2.Unit(r2.Sub(long.b, long.a))
	return math.Abs(r2.Cross(d, r2.Sub(other, long.a))) < onSame && r2.Dot(r2.Sub(a.b, a.a), r2.Sub(b.b, b.a)) > 0
}
