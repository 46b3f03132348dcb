package contour

import "gonum.org/v1/gonum/spatial/r3"

// pass is one place of a point in a loop: its neighbours there.
type pass struct{ prev, next, loop int32 }

// straighten takes out the points that both loops through them pass straight: corners of facets, not of the surface.
// Both faces at an edge lose such a point together, so that the mesh stays closed.
func straighten(groups []*group, pts []r3.Vec) {
	passes := make([][2]pass, len(pts))
	count := make([]int8, len(pts))
	var left []int32 // corners that each loop still has
	for _, g := range groups {
		for _, l := range g.loops {
			n := len(l)
			for i, v := range l {
				if count[v] < 2 {
					passes[v][count[v]] = pass{l[(i+n-1)%n], l[(i+1)%n], int32(len(left))}
				}
				count[v] = min(count[v]+1, 3)
			}
			left = append(left, int32(n))
		}
	}
	spare := make([]bool, len(pts))
	any := false
	for v, c := range count {
		p, q := passes[v][0], passes[v][1]
		if c != 2 || p.prev != q.next || p.next != q.prev || left[p.loop] <= 3 || left[q.loop] <= 3 {
			continue
		}
		if straight(pts[p.prev], pts[v], pts[p.next]) {
			spare[v], any = true, true
			left[p.loop]--
			left[q.loop]--
		}
	}
	if any {
		for _, g := range groups {
			for k, l := range g.loops {
				g.loops[k] = without(l, spare)
			}
		}
	}
}

// without is a loop less the spare points.
func without(l []int32, spare []bool) []int32 {
	out := l[:0]
	for _, v := range l {
		if !spare[v] {
			out = append(out, v)
		}
	}
	return out
}

// straight says whether m lies on the segment from a to b.
func straight(a, m, b r3.Vec) bool {
	d, e := r3.Sub(b, a), r3.Sub(m, a)
	t := r3.Dot(e, d) / r3.Norm2(d)
	return t > 0 && t < 1 && r3.Norm2(r3.Sub(e, r3.Scale(t, d))) <= (20*weld)*(20*weld)
}
