package contour

import "gonum.org/v1/gonum/spatial/r3"

// Inside tells whether p lies in the metal that a closed outward mesh encloses. Exact, for points in line with edges
// and corners too; for a point of the surface itself the answer is one of the two, always the same. A point with NaN or
// infinite coordinates is outside.
func (t *Tree) Inside(p r3.Vec) bool {
	wraps := 0
	t.column(p, func(_ int32, turn int) { wraps += turn })
	return wraps > 0
}

// column calls visit for every facet straight above p, with +1 if the facet looks up and -1 if it looks down. p counts
// as moved by (e, e*e) in x and y for a vanishing e > 0, so that no edge or corner is above it: each closed surface is
// met once for each time it is entered or left (H. Edelsbrunner and E. P. Muecke, Simulation of Simplicity, ACM
// Transactions on Graphics 9 (1990)).
func (t *Tree) column(p r3.Vec, visit func(facet int32, turn int)) {
	if len(t.nodes) > 0 && finite(p) {
		t.columnIn(0, p, visit)
	}
}

func (t *Tree) columnIn(at int32, p r3.Vec, visit func(facet int32, turn int)) {
	n := &t.nodes[at]
	if p.X < n.lo.X || p.X > n.hi.X || p.Y < n.lo.Y || p.Y > n.hi.Y || p.Z > n.hi.Z {
		return
	}
	if n.right != 0 {
		t.columnIn(n.left, p, visit)
		t.columnIn(n.right, p, visit)
		return
	}
	for _, f := range t.leaf(n) {
		c := t.facet(f)
		turn := shadeTurn(c, p)
		if turn != 0 && orient3(c[0], c[1], c[2], p) == -turn {
			visit(f, turn)
		}
	}
}

// shadeTurn is how the triangle turns, seen from above, if its shadow covers p, else 0.
func shadeTurn(c triangle, p r3.Vec) int {
	turn := shadeSide(c[0], c[1], p)
	if turn == 0 || shadeSide(c[1], c[2], p) != turn || shadeSide(c[2], c[0], p) != turn {
		return 0
	}
	return turn
}

// shadeSide is the side of the line ab on which p lies, seen from above, after p is moved as column says.
func shadeSide(a, b, p r3.Vec) int {
	if s := orient2(flat(a, 2), flat(b, 2), flat(p, 2)); s != 0 {
		return s
	}
	switch {
	case a.Y != b.Y:
		return sign(a.Y - b.Y)
	default:
		return sign(b.X - a.X)
	}
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// Intersects tells whether the surfaces of two meshes have a point in common, touching included, and gives one. The
// answer is exact, the point rounded.
func Intersects(a, b *Tree) (at r3.Vec, yes bool) {
	if len(a.nodes) == 0 || len(b.nodes) == 0 {
		return r3.Vec{}, false
	}
	crossPairs(a, b, 0, 0, func(f, g int32) bool {
		at, yes = a.facet(f).meets(b.facet(g))
		return !yes
	})
	return at, yes
}

// Overlap tells whether two closed meshes take up common room: their surfaces meet (touching included), or a shell of
// one lies inside the other. It gives a point that both have.
func Overlap(a, b *Mesh) (at r3.Vec, yes bool) {
	ta, tb := NewTree(a), NewTree(b)
	if at, yes = Intersects(ta, tb); yes {
		return at, true
	}
	if at, yes = cornerInside(a, tb); yes {
		return at, true
	}
	return cornerInside(b, ta)
}

// cornerInside looks for a shell of m inside t, by one corner of each: the surfaces do not cross.
func cornerInside(m *Mesh, t *Tree) (r3.Vec, bool) {
	for _, v := range shellCorners(m) {
		if t.Inside(m.V[v]) {
			return m.V[v], true
		}
	}
	return r3.Vec{}, false
}

// shellCorners gives the first vertex of each set of facets that hang together by their vertices.
func shellCorners(m *Mesh) []int32 {
	root := make([]int32, len(m.V))
	for v := range root {
		root[v] = int32(v)
	}
	find := func(v int32) int32 {
		for root[v] != v {
			root[v] = root[root[v]]
			v = root[v]
		}
		return v
	}
	used := make([]bool, len(m.V))
	for _, c := range m.T {
		for _, v := range c {
			used[v] = true
			a, b := find(c[0]), find(v)
			root[max(a, b)] = min(a, b)
		}
	}
	var corners []int32
	for v := range root {
		if used[v] && root[v] == int32(v) {
			corners = append(corners, int32(v))
		}
	}
	return corners
}
