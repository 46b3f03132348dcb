package solid

import (
	"gonum.org/v1/gonum/spatial/r2"
)

// convexCells cuts a simple anticlockwise polygon into convex cells, each a list of indices: ears are cut off first,
// then diagonals are taken out again where that leaves a convex cell (S. Hertel, K. Mehlhorn, Fast triangulation of
// simple polygons, 1983: at most four times the least number of cells).
func convexCells(pts []r2.Vec) [][]int {
	whole := make([]int, len(pts))
	for i := range whole {
		whole[i] = i
	}
	if convex(pts, whole) {
		return [][]int{whole}
	}
	cells := ears(pts)
	for merged := true; merged; {
		merged = false
	search:
		for i := range cells {
			for j := i + 1; j < len(cells); j++ {
				if m, ok := joined(pts, cells[i], cells[j]); ok {
					cells[i] = m
					cells = append(cells[:j], cells[j+1:]...)
					merged = true
					break search
				}
			}
		}
	}
	return cells
}

func turn(a, b, c r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(c, a)) }

// ears triangulates by cutting off ears; of all ears the one with the roundest shape goes first, which keeps slivers
// away.
func ears(pts []r2.Vec) [][]int {
	left := make([]int, len(pts))
	for i := range left {
		left[i] = i
	}
	var out [][]int
	for len(left) > 3 {
		best, score := -1, -1.0
		for k := range left {
			a, b, c := around(left, k)
			if q := roundness(pts[a], pts[b], pts[c]); q > score && isEar(pts, left, a, b, c) {
				best, score = k, q
			}
		}
		if best < 0 {
			best = 0 // not simple; the mesh check will say where
		}
		a, b, c := around(left, best)
		out = append(out, []int{a, b, c})
		left = append(left[:best:best], left[best+1:]...)
	}
	return append(out, left)
}

func around(left []int, k int) (a, b, c int) {
	n := len(left)
	return left[(k+n-1)%n], left[k], left[(k+1)%n]
}

// roundness is twice the area over the longest side squared, negative for a hollow corner.
func roundness(a, b, c r2.Vec) float64 {
	l := max(r2.Norm2(r2.Sub(a, b)), r2.Norm2(r2.Sub(b, c)), r2.Norm2(r2.Sub(c, a)))
	return turn(a, b, c) / l
}

func isEar(pts []r2.Vec, left []int, a, b, c int) bool {
	if turn(pts[a], pts[b], pts[c]) <= 0 {
		return false
	}
	for _, i := range left {
		if i == a || i == b || i == c {
			continue
		}
		p := pts[i]
		if turn(pts[a], pts[b], p) >= 0 && turn(pts[b], pts[c], p) >= 0 && turn(pts[c], pts[a], p) >= 0 {
			return false
		}
	}
	return true
}

// joined is the union of two cells that share an edge, if it is convex.
func joined(pts []r2.Vec, p, q []int) ([]int, bool) {
	for i := range p {
		for j := range q {
			if p[i] != q[(j+1)%len(q)] || p[(i+1)%len(p)] != q[j] {
				continue
			}
			var m []int
			for k := range p {
				m = append(m, p[(i+1+k)%len(p)]) // from the edge's end round to its start
			}
			for k := 2; k < len(q); k++ {
				m = append(m, q[(j+k)%len(q)])
			}
			return m, convex(pts, m)
		}
	}
	return nil, false
}

func convex(pts []r2.Vec, m []int) bool {
	for k := range m {
		a, b, c := around(m, k)
		if turn(pts[a], pts[b], pts[c]) <= 0 {
			return false
		}
	}
	return true
}
