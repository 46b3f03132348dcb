package contour

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// undo takes slides back where they turned a piece of a facet over or made its outline cross itself: all its points go
// back to where the facets meet, within the chord of the true faces. Their other pieces are then looked at again. It ends,
// since a point goes back once.
func (sh *sheet) undo(before []r3.Vec) {
	sh.back = make([]bool, len(sh.pts))
	todo := make([]int, 0, len(sh.groups))
	for i, g := range sh.groups {
		if g.curved && !g.whole {
			todo = append(todo, i)
		}
	}
	for len(todo) > 0 {
		bad := make([]bool, len(todo))
		inParallel(len(todo), func(k int) { bad[k] = sh.askew(sh.groups[todo[k]], before) })
		moved := false
		for k, i := range todo {
			if bad[k] && sh.putBack(sh.groups[i], before) {
				moved = true
			}
		}
		if !moved {
			return
		}
	}
}

// putBack says whether any point was not back yet.
func (sh *sheet) putBack(g *group, before []r3.Vec) (moved bool) {
	for _, l := range g.loops {
		for _, v := range l {
			if !sh.back[v] && sh.pts[v] != before[v] {
				sh.pts[v], sh.back[v], moved = before[v], true, true
			}
		}
	}
	return moved
}

// mostCorners is how many corners an outline may have to be looked at edge by edge.
const mostCorners = 64

// askew says whether an outline of the group turned over or crosses itself.
func (sh *sheet) askew(g *group, before []r3.Vec) bool {
	flat := flatten(g.plane.N)
	for _, l := range g.loops {
		now, then := make([]r2.Vec, len(l)), make([]r2.Vec, len(l))
		for i, v := range l {
			now[i], then[i] = flat(sh.pts[v]), flat(before[v])
		}
		if area2(now) > 0 != (area2(then) > 0) || len(l) <= mostCorners && crossesItself(now) {
			return true
		}
	}
	return false
}

func area2(l []r2.Vec) (a float64) {
	for i, p := range l {
		a += r2.Cross(p, l[(i+1)%len(l)])
	}
	return a
}

// crossesItself says whether two edges of a closed line that have no end in common cross.
func crossesItself(l []r2.Vec) bool {
	n := len(l)
	for i := range n {
		a, b := l[i], l[(i+1)%n]
		for j := i + 2; j < n && j-i < n-1; j++ {
			c, d := l[j], l[(j+1)%n]
			if (cross3(a, b, c) > 0) != (cross3(a, b, d) > 0) && (cross3(c, d, a) > 0) != (cross3(c, d, b) > 0) && a != c && a != d && b != c && b != d {
				return true
			}
		}
	}
	return false
}
