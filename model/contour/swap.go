package contour

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// swapper swaps inner edges of a plane triangulation.
type swapper struct {
	ts   [][3]int32
	at   map[int32]r2.Vec
	rim  map[[2]int32]bool // edges that must stay
	bent []bool            // points that must not be cut off, nil for none
	pts  []r3.Vec          // in space
	up   r3.Vec            // the facet's normal, zero when the face is flat
	of   map[[2]int32]int  // the triangle along each directed edge
}

// swapEdges swaps inner edges as long as the flatter of the two triangles becomes rounder, or two bad ones become good.
// It ends: none becomes bad, and otherwise the sorted list of shapes grows with every swap.
func (s *swapper) swapEdges() {
	s.of = make(map[[2]int32]int, 3*len(s.ts))
	for i, t := range s.ts {
		for k := range t {
			s.of[[2]int32{t[k], t[(k+1)%3]}] = i
		}
	}
	for swapped := true; swapped; {
		swapped = false
		for i := range s.ts {
			for k := 0; k < 3; k++ {
				if s.swap(i, k) {
					swapped = true
				}
			}
		}
	}
}

// swap swaps edge k of triangle i for the other diagonal if that is better.
func (s *swapper) swap(i, k int) bool {
	a, b, c := s.ts[i][k], s.ts[i][(k+1)%3], s.ts[i][(k+2)%3]
	if s.rim[[2]int32{a, b}] || s.rim[[2]int32{b, a}] {
		return false
	}
	j, ok := s.of[[2]int32{b, a}]
	if !ok || j == i {
		return false
	}
	d := opposite(s.ts[j], a, b)
	if _, taken := s.of[[2]int32{c, d}]; taken || c == d {
		return false
	}
	if _, taken := s.of[[2]int32{d, c}]; taken {
		return false
	}
	pa, pb, pc, pd := s.at[a], s.at[b], s.at[c], s.at[d]
	now := min(shape(pa, pb, pc), shape(pb, pa, pd))
	if s.bad(a, b, c) || s.bad(b, a, d) {
		now = 0
	}
	then := min(shape(pa, pd, pc), shape(pb, pc, pd))
	if then <= now+1e-12 || s.bad(a, d, c) || s.bad(b, c, d) {
		return false
	}
	delete(s.of, [2]int32{a, b})
	delete(s.of, [2]int32{b, a})
	s.ts[i], s.ts[j] = [3]int32{a, d, c}, [3]int32{b, c, d}
	for _, n := range []int{i, j} {
		for m := range s.ts[n] {
			s.of[[2]int32{s.ts[n][m], s.ts[n][(m+1)%3]}] = n
		}
	}
	return true
}

func opposite(t [3]int32, a, b int32) int32 {
	for _, v := range t {
		if v != a && v != b {
			return v
		}
	}
	return -1
}

// mostTilt is the least cosine between the normals of a facet and of a triangle cut from it, after its corners were slid
// onto the true face: 15 degrees. A thin triangle may stand up on its edge without leaving the tolerance.
const mostTilt = 0.966

// bad says whether a triangle cuts off a bent point or stands up from a curved face.
func (s *swapper) bad(a, b, c int32) bool {
	if s.cutsOff(a, b, c) {
		return true
	}
	n := triangle{s.pts[a], s.pts[b], s.pts[c]}.normal()
	return s.up != r3.Vec{} && r3.Dot(n, s.up) < mostTilt*r3.Norm(n)
}

// cutsOff says whether a triangle's corner is a bent point with both edges there on the rim.
func (s *swapper) cutsOff(a, b, c int32) bool {
	if s.bent == nil {
		return false
	}
	ab, bc, ca := s.rim[[2]int32{a, b}], s.rim[[2]int32{b, c}], s.rim[[2]int32{c, a}]
	return s.bent[b] && ab && bc || s.bent[c] && bc && ca || s.bent[a] && ca && ab
}
