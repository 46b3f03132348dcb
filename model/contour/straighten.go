package contour

import "gonum.org/v1/gonum/spatial/r3"

// knot is one place of a point in one loop, linked to its neighbours there.
type knot struct {
	v          int32
	prev, next *knot
	loop       *int // how many knots its loop still has
}

// straighten takes out the points that every loop through them passes straight: corners of fragments, not of the
// surface. Both faces at an edge lose such a point together, so that the mesh stays closed.
func straighten(groups []*group, pts []r3.Vec) {
	at := make([][]*knot, len(pts))
	var heads [][]*knot
	for _, g := range groups {
		for _, l := range g.loops {
			ring := link(l)
			heads = append(heads, ring)
			for _, k := range ring {
				at[k.v] = append(at[k.v], k)
			}
		}
	}
	for v, ks := range at {
		if len(ks) == 0 || !spare(ks, pts) {
			continue
		}
		for _, k := range ks {
			k.prev.next, k.next.prev = k.next, k.prev
			*k.loop--
			k.v = -1
		}
		at[v] = nil
	}
	i := 0
	for _, g := range groups {
		for n := range g.loops {
			g.loops[n] = left(heads[i])
			i++
		}
	}
}

func link(l []int32) []*knot {
	n := len(l)
	ring := make([]*knot, n)
	for i, v := range l {
		ring[i] = &knot{v: v, loop: &n}
	}
	for i, k := range ring {
		k.next = ring[(i+1)%len(l)]
		k.next.prev = k
	}
	return ring
}

func left(ring []*knot) []int32 {
	var out []int32
	for _, k := range ring {
		if k.v >= 0 {
			out = append(out, k.v)
		}
	}
	return out
}

// spare says whether a point may go: all its places have the same two neighbours and lie straight between them.
func spare(ks []*knot, pts []r3.Vec) bool {
	a, b := ks[0].prev.v, ks[0].next.v
	for _, k := range ks {
		if *k.loop <= 3 || !(k.prev.v == a && k.next.v == b || k.prev.v == b && k.next.v == a) {
			return false
		}
	}
	return a != b && straight(pts[a], pts[ks[0].v], pts[b])
}

// straight says whether m lies on the segment from a to b.
func straight(a, m, b r3.Vec) bool {
	d, e := r3.Sub(b, a), r3.Sub(m, a)
	t := r3.Dot(e, d) / r3.Norm2(d)
	return t > 0 && t < 1 && r3.Norm2(r3.Sub(e, r3.Scale(t, d))) <= 4*(10*weld)*(10*weld)
}
