package contour

import "gonum.org/v1/gonum/spatial/r2"

// swapEdges swaps inner edges of a plane triangulation as long as the flatter of the two triangles becomes rounder. It
// ends: the sorted list of shapes grows with every swap.
func swapEdges(ts [][3]int32, at map[int32]r2.Vec, rim map[[2]int32]bool, bent []bool) {
	of := map[[2]int32]int{}
	for i, t := range ts {
		for k := range t {
			of[[2]int32{t[k], t[(k+1)%3]}] = i
		}
	}
	for swapped := true; swapped; {
		swapped = false
		for i := range ts {
			for k := 0; k < 3; k++ {
				if swapAt(ts, at, rim, bent, of, i, k) {
					swapped = true
				}
			}
		}
	}
}

// swapAt swaps edge k of triangle i for the other diagonal if that is better.
func swapAt(ts [][3]int32, at map[int32]r2.Vec, rim map[[2]int32]bool, bent []bool, of map[[2]int32]int, i, k int) bool {
	a, b, c := ts[i][k], ts[i][(k+1)%3], ts[i][(k+2)%3]
	if rim[[2]int32{a, b}] || rim[[2]int32{b, a}] {
		return false
	}
	j, ok := of[[2]int32{b, a}]
	if !ok || j == i {
		return false
	}
	d := opposite(ts[j], a, b)
	if _, taken := of[[2]int32{c, d}]; taken || c == d {
		return false
	}
	if _, taken := of[[2]int32{d, c}]; taken {
		return false
	}
	pa, pb, pc, pd := at[a], at[b], at[c], at[d]
	now := min(shape(pa, pb, pc), shape(pb, pa, pd))
	then := min(shape(pa, pd, pc), shape(pb, pc, pd))
	if then <= now+1e-12 {
		return false
	}
	if cutsOff(rim, bent, a, d, c) || cutsOff(rim, bent, b, c, d) {
		return false
	}
	delete(of, [2]int32{a, b})
	delete(of, [2]int32{b, a})
	ts[i], ts[j] = [3]int32{a, d, c}, [3]int32{b, c, d}
	for _, n := range []int{i, j} {
		for m := range ts[n] {
			of[[2]int32{ts[n][m], ts[n][(m+1)%3]}] = n
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

// cutsOff says whether a triangle's corner is a bent point with both edges there on the rim.
func cutsOff(rim map[[2]int32]bool, bent []bool, a, b, c int32) bool {
	return bent[b] && rim[[2]int32{a, b}] && rim[[2]int32{b, c}] ||
		bent[c] && rim[[2]int32{b, c}] && rim[[2]int32{c, a}] ||
		bent[a] && rim[[2]int32{c, a}] && rim[[2]int32{a, b}]
}
