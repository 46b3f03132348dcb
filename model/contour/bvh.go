package contour

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Tree is a mesh made quick to search: its facets in boxes within boxes. It is read-only once made and may be shared
// between goroutines. It keeps the mesh, which must not change meanwhile.
type Tree struct {
	mesh  *Mesh
	nodes []treeNode
	order []int32 // facets, those of a leaf side by side
	boxes []box   // of each facet
}

type box struct{ lo, hi r3.Vec }

// treeNode is a box and either two children or, if right is 0, the facets order[first:first+count].
type treeNode struct {
	lo, hi       r3.Vec
	left, right  int32
	first, count int32
}

const leafFacets = 4

// NewTree builds the tree of a mesh whose indices are valid (Verify proves that).
func NewTree(m *Mesh) *Tree {
	t := &Tree{mesh: m, order: make([]int32, len(m.T)), boxes: make([]box, len(m.T))}
	mid := make([]r3.Vec, len(m.T))
	for f := range m.T {
		t.order[f] = int32(f)
		lo, hi := t.facet(int32(f)).box()
		t.boxes[f] = box{lo, hi}
		mid[f] = r3.Scale(0.5, r3.Add(lo, hi))
	}
	if len(m.T) > 0 {
		t.nodes = make([]treeNode, 0, 2*len(m.T)/leafFacets+2)
		t.build(0, int32(len(m.T)), mid)
	}
	return t
}

// build adds the node over order[first:end] with all below it and returns its number.
func (t *Tree) build(first, end int32, mid []r3.Vec) int32 {
	at := int32(len(t.nodes))
	n := treeNode{first: first, count: end - first}
	t.nodes = append(t.nodes, n)
	if n.count <= leafFacets {
		n.lo, n.hi = emptyBox()
		for _, f := range t.order[first:end] {
			n.lo, n.hi = vecMin(n.lo, t.boxes[f].lo), vecMax(n.hi, t.boxes[f].hi)
		}
		t.nodes[at] = n
		return at
	}
	cut := t.split(first, end, mid)
	n.left = t.build(first, cut, mid)
	n.right = t.build(cut, end, mid)
	l, r := &t.nodes[n.left], &t.nodes[n.right]
	n.lo, n.hi = vecMin(l.lo, r.lo), vecMax(l.hi, r.hi)
	t.nodes[at] = n
	return at
}

// split orders facets by the half of the middles' box they fall in; if all fall in one, by number.
func (t *Tree) split(first, end int32, mid []r3.Vec) int32 {
	lo, hi := emptyBox()
	for _, f := range t.order[first:end] {
		lo, hi = vecMin(lo, mid[f]), vecMax(hi, mid[f])
	}
	axis := longestAxis(r3.Sub(hi, lo))
	at := 0.5*component(lo, axis) + 0.5*component(hi, axis)
	cut := first
	for i := first; i < end; i++ {
		if component(mid[t.order[i]], axis) < at {
			t.order[i], t.order[cut] = t.order[cut], t.order[i]
			cut++
		}
	}
	if cut == first || cut == end {
		cut = first + (end-first)/2
	}
	return cut
}

func (t *Tree) facet(f int32) triangle { return t.mesh.triangle(f) }

func (t *Tree) leaf(n *treeNode) []int32 { return t.order[n.first : n.first+n.count] }

func (m *Mesh) triangle(f int32) triangle {
	c := m.T[f]
	return triangle{m.V[c[0]], m.V[c[1]], m.V[c[2]]}
}

func (t triangle) box() (lo, hi r3.Vec) {
	return vecMin(vecMin(t[0], t[1]), t[2]), vecMax(vecMax(t[0], t[1]), t[2])
}

// pairs calls visit for every two facets of the tree whose boxes touch, each pair once, until it returns false.
func (t *Tree) pairs(visit func(f, g int32) bool) {
	if len(t.nodes) > 0 {
		t.pairsIn(0, visit)
	}
}

func (t *Tree) pairsIn(at int32, visit func(f, g int32) bool) bool {
	n := &t.nodes[at]
	if n.right != 0 {
		return t.pairsIn(n.left, visit) && t.pairsIn(n.right, visit) &&
			crossPairs(t, t, n.left, n.right, visit)
	}
	facets := t.leaf(n)
	for i, f := range facets {
		for _, g := range facets[i+1:] {
			if !visit(f, g) {
				return false
			}
		}
	}
	return true
}

// crossPairs calls visit for every facet below node i of a and facet below node j of b whose boxes touch.
func crossPairs(a, b *Tree, i, j int32, visit func(f, g int32) bool) bool {
	n, m := &a.nodes[i], &b.nodes[j]
	switch {
	case !boxesTouch(n.lo, n.hi, m.lo, m.hi):
		return true
	case n.right != 0 && (m.right == 0 || n.count >= m.count):
		return crossPairs(a, b, n.left, j, visit) && crossPairs(a, b, n.right, j, visit)
	case m.right != 0:
		return crossPairs(a, b, i, m.left, visit) && crossPairs(a, b, i, m.right, visit)
	}
	for _, f := range a.leaf(n) {
		x := &a.boxes[f]
		if !boxesTouch(x.lo, x.hi, m.lo, m.hi) {
			continue
		}
		for _, g := range b.leaf(m) {
			if y := &b.boxes[g]; boxesTouch(x.lo, x.hi, y.lo, y.hi) && !visit(f, g) {
				return false
			}
		}
	}
	return true
}

func emptyBox() (lo, hi r3.Vec) {
	inf := math.Inf(1)
	return r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
}

func vecMin(a, b r3.Vec) r3.Vec { return r3.Vec{X: min(a.X, b.X), Y: min(a.Y, b.Y), Z: min(a.Z, b.Z)} }
func vecMax(a, b r3.Vec) r3.Vec { return r3.Vec{X: max(a.X, b.X), Y: max(a.Y, b.Y), Z: max(a.Z, b.Z)} }

func boxesTouch(alo, ahi, blo, bhi r3.Vec) bool {
	return alo.X <= bhi.X && blo.X <= ahi.X && alo.Y <= bhi.Y && blo.Y <= ahi.Y && alo.Z <= bhi.Z && blo.Z <= ahi.Z
}

func component(v r3.Vec, axis int) float64 {
	switch axis {
	case 0:
		return v.X
	case 1:
		return v.Y
	}
	return v.Z
}

func longestAxis(v r3.Vec) int {
	switch {
	case v.X >= v.Y && v.X >= v.Z:
		return 0
	case v.Y >= v.Z:
		return 1
	}
	return 2
}
