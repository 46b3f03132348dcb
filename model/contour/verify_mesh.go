package contour

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

func faultAt(clause string, at r3.Vec, format string, args ...any) *Fault {
	return &Fault{Clause: clause, At: at, Say: fmt.Sprintf(format, args...)}
}

// indices proves that every index points at something.
func indices(m *Mesh) *Fault {
	if len(m.T) == 0 || len(m.V) == 0 {
		return faultAt(ClauseIndex, r3.Vec{}, "the mesh has %d facets and %d vertices", len(m.T), len(m.V))
	}
	if len(m.Face) != len(m.T) {
		return faultAt(ClauseIndex, r3.Vec{}, "%d facets but %d face numbers", len(m.T), len(m.Face))
	}
	for f, c := range m.T {
		for _, v := range c {
			if v < 0 || int(v) >= len(m.V) {
				return faultAt(ClauseIndex, r3.Vec{}, "facet %d names vertex %d of %d", f, v, len(m.V))
			}
		}
		if face := m.Face[f]; face < 0 || int(face) >= len(m.Tags) {
			return faultAt(ClauseIndex, m.V[c[0]], "facet %d names face %d of %d", f, face, len(m.Tags))
		}
	}
	return nil
}

// coordinates proves that a file with float32 coordinates loses nothing.
func coordinates(m *Mesh) *Fault {
	for i, v := range m.V {
		if !finite(v) {
			return faultAt(ClauseCoordinate, r3.Vec{}, "vertex %d is (%g, %g, %g), not a finite point", i, v.X, v.Y, v.Z)
		}
		if float64(float32(v.X)) != v.X || float64(float32(v.Y)) != v.Y || float64(float32(v.Z)) != v.Z {
			return faultAt(ClauseCoordinate, v, "vertex %d is not what float32 can hold", i)
		}
	}
	return nil
}

// vertices proves that each vertex is used and is the only one in its place.
func vertices(m *Mesh) *Fault {
	used := make([]bool, len(m.V))
	for _, c := range m.T {
		used[c[0]], used[c[1]], used[c[2]] = true, true, true
	}
	first := make(map[r3.Vec]int, len(m.V))
	for i, v := range m.V {
		if j, taken := first[v]; taken {
			return faultAt(ClauseEqual, v, "vertices %d and %d are in one place", j, i)
		}
		if !used[i] {
			return faultAt(ClauseUnused, v, "vertex %d belongs to no facet", i)
		}
		first[v] = i
	}
	return nil
}

// heights proves that each facet has three corners not in one line. The float64 height of such a facet is off by less
// than 1e-15 of its longest edge, so no narrow case can slip through below the relative limit either.
func heights(m *Mesh) *Fault {
	const relative = 1e-12
	for f := range m.T {
		t := m.triangle(int32(f))
		longest := max(r3.Norm(r3.Sub(t[1], t[0])), r3.Norm(r3.Sub(t[2], t[1])), r3.Norm(r3.Sub(t[0], t[2])))
		least := max(HeightLimit, relative*longest)
		if height := r3.Norm(t.normal()) / longest; !(height >= least) {
			if math.IsNaN(height) {
				height = 0
			}
			return faultAt(ClauseDegenerate, t[0], "facet %d is %.3g mm high, at least %g mm is wanted", f, height, least)
		}
	}
	return nil
}

// side is one directed edge of a facet, kept with the lower of its two vertices: half is 3 x facet + corner it starts
// from.
type side struct {
	hi   int32 // the other vertex
	half int32
	up   bool // it runs from the lower to hi
}

// sidesOf gathers the directed edges by their lower vertex: those of vertex v are all[start[v]:start[v+1]], ordered by
// the other vertex, then by half.
func sidesOf(m *Mesh) (all []side, start []int32) {
	start = make([]int32, len(m.V)+2)
	for _, c := range m.T {
		for i := range 3 {
			start[min(c[i], c[(i+1)%3])+2]++
		}
	}
	for v := 2; v < len(start); v++ {
		start[v] += start[v-1]
	}
	all = make([]side, 3*len(m.T))
	for f, c := range m.T {
		for i := range 3 {
			a, b := c[i], c[(i+1)%3]
			at := &start[min(a, b)+1]
			all[*at] = side{max(a, b), int32(3*f + i), a < b}
			*at++
		}
	}
	for v := range m.V {
		slices.SortFunc(all[start[v]:start[v+1]], func(a, b side) int {
			if a.hi != b.hi {
				return int(a.hi) - int(b.hi)
			}
			return int(a.half) - int(b.half)
		})
	}
	return all, start[:len(m.V)+1]
}

// twins proves that each directed edge occurs once and its reverse once, and gives for each its reverse.
func twins(m *Mesh) ([]int32, *Fault) {
	sides, start := sidesOf(m)
	twin := make([]int32, len(sides))
	for v := range m.V {
		for all := sides[start[v]:start[v+1]]; len(all) > 0; {
			end := 1
			for end < len(all) && all[end].hi == all[0].hi {
				end++
			}
			if clause, say := edgeFault(all[:end]); clause != "" {
				mid := lerp(m.V[v], m.V[all[0].hi], 0.5)
				return nil, faultAt(clause, mid, "the edge between vertices %d and %d %s", v, all[0].hi, say)
			}
			twin[all[0].half], twin[all[1].half] = all[1].half, all[0].half
			all = all[end:]
		}
	}
	return twin, nil
}

func edgeFault(uses []side) (clause, say string) {
	switch {
	case len(uses) == 1:
		return ClauseClosed, "has a facet on one side only"
	case len(uses) > 2:
		return ClauseEdge, fmt.Sprintf("belongs to %d facets", len(uses))
	case uses[0].up == uses[1].up:
		return ClauseOriented, "is run through the same way by both its facets"
	}
	return "", ""
}

// fans proves that the facets round each vertex form a single ring: walking round from one corner meets them all.
func fans(m *Mesh, twin []int32) *Fault {
	corners := make([]int32, len(m.V))
	start := make([]int32, len(m.V))
	for f, c := range m.T {
		for i, v := range c {
			corners[v]++
			start[v] = int32(3*f + i)
		}
	}
	for v, from := range start {
		met := int32(1)
		for at := nextRound(twin, from); at != from && met <= corners[v]; at = nextRound(twin, at) {
			met++
		}
		if met != corners[v] {
			return faultAt(ClauseFan, m.V[v], "vertex %d joins %d facets, only %d of them in one ring", v, corners[v], met)
		}
	}
	return nil
}

// nextRound goes from a directed edge to the next that starts at the same vertex: the reverse of the edge before it.
func nextRound(twin []int32, half int32) int32 {
	return twin[half-half%3+(half+2)%3]
}

// crossings proves that no two facets share more than the corner or edge they have in common.
func crossings(t *Tree) *Fault {
	var fault *Fault
	t.pairs(func(f, g int32) bool {
		if at, yes := t.clash(f, g); yes {
			fault = faultAt(ClauseCross, at, "facets %d and %d meet where they should not", min(f, g), max(f, g))
		}
		return fault == nil
	})
	return fault
}

func (t *Tree) clash(f, g int32) (r3.Vec, bool) {
	c, d := t.mesh.T[f], t.mesh.T[g]
	i, j, shared := common(c, d)
	a, b := t.facet(f).from(i), t.facet(g).from(j)
	switch shared {
	case 0:
		return a.meets(b)
	case 1:
		return a.meetsBeyondCorner(b)
	case 2:
		// from(i) starts at the corner that only f has, from(j) at the one that only g has.
		return lerp(a[1], a[2], 0.5), foldsOnto(a[1], a[2], a[0], b[0])
	}
	return a[0], true
}

func (t triangle) from(i int) triangle { return triangle{t[i], t[(i+1)%3], t[(i+2)%3]} }

// common counts the vertices that two facets share. i and j are the shared corner if it is one, the corners that are not
// shared if it is two, else 0.
func common(c, d [3]int32) (i, j, shared int) {
	if c[0] != d[0] && c[0] != d[1] && c[0] != d[2] && c[1] != d[0] && c[1] != d[1] && c[1] != d[2] &&
		c[2] != d[0] && c[2] != d[1] && c[2] != d[2] {
		return 0, 0, 0
	}
	sumI, sumJ := 0, 0
	for p := range 3 {
		for q := range 3 {
			if c[p] == d[q] {
				sumI, sumJ, shared = sumI+p, sumJ+q, shared+1
			}
		}
	}
	switch shared {
	case 1:
		return sumI, sumJ, 1
	case 2:
		return 3 - sumI, 3 - sumJ, 2 // the corners 0, 1, 2 sum to 3
	}
	return 0, 0, shared
}

// shellsOf numbers the connected pieces: for each facet the number of its shell.
func shellsOf(twin []int32) (shell []int32, count int) {
	shell = make([]int32, len(twin)/3)
	for f := range shell {
		shell[f] = -1
	}
	var todo []int32
	for f := range shell {
		if shell[f] >= 0 {
			continue
		}
		shell[f] = int32(count)
		for todo = append(todo[:0], int32(f)); len(todo) > 0; {
			g := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			for i := range int32(3) {
				if h := twin[3*g+i] / 3; shell[h] < 0 {
					shell[h] = int32(count)
					todo = append(todo, h)
				}
			}
		}
		count++
	}
	return shell, count
}

// outward proves that each shell faces away from the metal: a shell within an even number of others encloses metal, one
// within an odd number encloses a hollow. The shells are known not to cross.
func outward(t *Tree, shell []int32, count int) *Fault {
	volume := make([]float64, count)
	corner := make([]r3.Vec, count)
	seen := make([]bool, count)
	for f := range shell {
		k, tri := shell[f], t.facet(int32(f))
		if !seen[k] {
			seen[k], corner[k] = true, tri[0]
		}
		volume[k] += tetrahedron(tri, corner[k])
	}
	for k, v := range volume {
		inside := 0
		t.column(corner[k], func(f int32, _ int) {
			if shell[f] != int32(k) {
				inside++
			}
		})
		if hollow := inside%2 == 1; !(v > 0) && !hollow {
			return faultAt(ClauseOutward, corner[k], "shell %d is turned inside out: its volume is %.6g mm3", k, v)
		} else if hollow && !(v < 0) {
			return faultAt(ClauseOutward, corner[k], "shell %d lies within another but faces away from it", k)
		}
	}
	return nil
}
