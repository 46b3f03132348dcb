package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// anyFace is the key of contacts that belong to no face in particular.
const anyFace = -1

// shareRims gives turned primitives on one axis that have a circle in common, as the bores and cones of a seat do, corners
// in the same directions, so that their facets meet there as their faces do.
func (m *meeting) shareRims() {
	first := make([]int, len(m.prims)) // of those that share, the first
	for i := range first {
		first[i] = i
	}
	for i, p := range m.prims {
		for j := range i {
			if first[j] != first[i] && m.near(i, j) && sharesRim(p, m.prims[j]) {
				a, b := min(first[i], first[j]), max(first[i], first[j])
				for k := range i + 1 {
					if first[k] == b {
						first[k] = a
					}
				}
			}
		}
	}
	of := map[int][]int{}
	for i, k := range first {
		of[k] = append(of[k], i)
	}
	for i := range m.prims {
		if len(of[i]) < 2 {
			continue
		}
		least := math.Inf(1)
		for _, k := range of[i] {
			r := *m.prims[k].shape.(*Revolve)
			r.reach = m.prims[k].reach
			least = math.Min(least, r.mainStep(Chord{m.chord, m.chord}))
		}
		n := math.Ceil(2*math.Pi/least - 1e-9)
		for _, k := range of[i] {
			b := barrel{prim: k, face: anyFace, dir: m.prims[i].pose.Z}
			for step := range int(n) {
				m.add(&b, m.prims[i].pose.X, 2*math.Pi*float64(step)/n)
			}
		}
	}
}

// sharesRim says whether two turned primitives stand on one axis and a circle at a corner of either profile lies on the
// other.
func sharesRim(a, b prim) bool {
	v, ok := a.shape.(*Revolve)
	w, both := b.shape.(*Revolve)
	if !ok || !both || !coaxial(a.pose, b.pose) {
		return false
	}
	on := func(rim Chain, from, to prim) bool {
		for _, s := range rim {
			if s.A.X > 0 && math.Abs(to.shape.Dist(to.pose.Local(from.pose.World(r3.Vec{X: s.A.X, Z: s.A.Y})))) < touching {
				return true
			}
		}
		return false
	}
	return on(v.rim, a, b) || on(w.rim, b, a)
}

// coaxial says whether the z axes of two poses are one line.
func coaxial(a, b Pose) bool {
	return r3.Norm(r3.Cross(a.Z, b.Z)) < parallel && r3.Norm(r3.Cross(r3.Sub(a.O, b.O), a.Z)) < touching
}
