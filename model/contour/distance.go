package contour

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Nearest gives the point q of the mesh nearest to p, the facet it lies on (the first if several) and the distance d,
// mm. An empty mesh gives facet -1 and an infinite distance.
func (t *Tree) Nearest(p r3.Vec) (q r3.Vec, facet int, d float64) {
	best := nearest{facet: -1, square: math.Inf(1)}
	if len(t.nodes) > 0 {
		t.nearestIn(0, p, &best)
	}
	return best.q, int(best.facet), math.Sqrt(best.square)
}

// within gives the distance from p to the mesh, mm, if that is at most limit.
func (t *Tree) within(p r3.Vec, limit float64) (d float64, ok bool) {
	best := nearest{facet: -1, square: float64(limit*limit) * (1 + 1e-12)}
	if len(t.nodes) > 0 && t.nodes[0].toPoint(p) <= best.square {
		t.nearestIn(0, p, &best)
	}
	return math.Sqrt(best.square), best.facet >= 0
}

type nearest struct {
	q      r3.Vec
	facet  int32
	square float64
}

func (t *Tree) nearestIn(at int32, p r3.Vec, best *nearest) {
	n := &t.nodes[at]
	if n.right == 0 {
		for _, f := range t.leaf(n) {
			q := t.facet(f).nearest(p)
			d := r3.Norm2(r3.Sub(p, q))
			if d < best.square || d == best.square && f < best.facet {
				*best = nearest{q, f, d}
			}
		}
		return
	}
	first, second := n.left, n.right
	df, ds := t.nodes[first].toPoint(p), t.nodes[second].toPoint(p)
	if ds < df {
		first, second, df, ds = second, first, ds, df
	}
	if df <= best.square {
		t.nearestIn(first, p, best)
	}
	if ds <= best.square {
		t.nearestIn(second, p, best)
	}
}

// toPoint is the squared distance from a box to a point.
func (n *treeNode) toPoint(p r3.Vec) float64 {
	return r3.Norm2(r3.Sub(p, vecMin(vecMax(p, n.lo), n.hi)))
}

// toNode is the squared distance between two boxes.
func (n *treeNode) toNode(m *treeNode) float64 {
	return r3.Norm2(vecMax(r3.Vec{}, vecMax(r3.Sub(m.lo, n.hi), r3.Sub(n.lo, m.hi))))
}

// nearest is the point of the triangle nearest to p: the foot in its plane if that lies within, else the nearest point
// of its border.
func (t triangle) nearest(p r3.Vec) r3.Vec {
	n := t.normal()
	if square := r3.Norm2(n); square > 0 {
		foot := r3.Sub(p, r3.Scale(r3.Dot(n, r3.Sub(p, t[0]))/square, n))
		within := true
		for i := range 3 {
			edge := r3.Sub(t[(i+1)%3], t[i])
			within = within && r3.Dot(r3.Cross(edge, r3.Sub(p, t[i])), n) >= 0
		}
		if within {
			return foot
		}
	}
	best, square := t[0], math.Inf(1)
	for i := range 3 {
		q := nearestOnSegment(p, t[i], t[(i+1)%3])
		if d := r3.Norm2(r3.Sub(p, q)); d < square {
			best, square = q, d
		}
	}
	return best
}

func nearestOnSegment(p, a, b r3.Vec) r3.Vec {
	ab := r3.Sub(b, a)
	length := r3.Norm2(ab)
	if length == 0 {
		return a
	}
	return lerp(a, b, min(1, max(0, r3.Dot(r3.Sub(p, a), ab)/length)))
}

// nearestSegments gives the points of two segments nearest to each other: either one of them is an end, or both lie
// within and their joint is square to both.
func nearestSegments(a, b, c, d r3.Vec) (p, q r3.Vec) {
	p, q = a, nearestOnSegment(a, c, d)
	square := r3.Norm2(r3.Sub(p, q))
	try := func(x, y r3.Vec) {
		if s := r3.Norm2(r3.Sub(x, y)); s < square {
			p, q, square = x, y, s
		}
	}
	try(b, nearestOnSegment(b, c, d))
	try(nearestOnSegment(c, a, b), c)
	try(nearestOnSegment(d, a, b), d)
	u, v, w := r3.Sub(b, a), r3.Sub(d, c), r3.Sub(c, a)
	uu, uv, vv := r3.Norm2(u), r3.Dot(u, v), r3.Norm2(v)
	if det := uu*vv - uv*uv; det > 0 {
		s := (r3.Dot(u, w)*vv - r3.Dot(v, w)*uv) / det
		r := (r3.Dot(u, w)*uv - r3.Dot(v, w)*uu) / det
		if s > 0 && s < 1 && r > 0 && r < 1 {
			try(lerp(a, b, s), lerp(c, d, r))
		}
	}
	return p, q
}

// Distance is the least distance d between two meshes, mm, and the points of a and b where it is reached. Meshes whose
// surfaces touch or cross have distance 0. A mesh wholly inside the other still has the distance of the surfaces: use
// Overlap to tell. If one is empty the distance is infinite.
func Distance(a, b *Tree) (d float64, pa, pb r3.Vec) {
	if at, yes := Intersects(a, b); yes {
		return 0, at, at
	}
	best := gap{square: math.Inf(1)}
	if len(a.nodes) > 0 && len(b.nodes) > 0 {
		v := a.facet(0)[0]
		q, _, d := b.Nearest(v)
		best = gap{v, q, float64(d * d)}
		best.search(a, b, 0, 0)
	}
	return math.Sqrt(best.square), best.p, best.q
}

type gap struct {
	p, q   r3.Vec
	square float64
}

func (g *gap) search(a, b *Tree, i, j int32) {
	n, m := &a.nodes[i], &b.nodes[j]
	if n.right == 0 && m.right == 0 {
		for _, f := range a.leaf(n) {
			for _, h := range b.leaf(m) {
				g.triangles(a.facet(f), b.facet(h))
			}
		}
		return
	}
	var next [2][2]int32
	if n.right != 0 && (m.right == 0 || n.count >= m.count) {
		next = [2][2]int32{{n.left, j}, {n.right, j}}
	} else {
		next = [2][2]int32{{i, m.left}, {i, m.right}}
	}
	var far [2]float64
	for k, pair := range next {
		far[k] = a.nodes[pair[0]].toNode(&b.nodes[pair[1]])
	}
	if far[1] < far[0] {
		next[0], next[1], far[0], far[1] = next[1], next[0], far[1], far[0]
	}
	for k, pair := range next {
		if far[k] < g.square {
			g.search(a, b, pair[0], pair[1])
		}
	}
}

// triangles tries two triangles that do not meet: their least distance is from a corner to the other triangle or
// between two edges.
func (g *gap) triangles(t, u triangle) {
	tlo, thi := t.box()
	ulo, uhi := u.box()
	if (&treeNode{lo: tlo, hi: thi}).toNode(&treeNode{lo: ulo, hi: uhi}) >= g.square {
		return
	}
	try := func(p, q r3.Vec) {
		if d := r3.Norm2(r3.Sub(p, q)); d < g.square {
			*g = gap{p, q, d}
		}
	}
	for i := range 3 {
		try(t[i], u.nearest(t[i]))
		try(t.nearest(u[i]), u[i])
		for j := range 3 {
			try(nearestSegments(t[i], t[(i+1)%3], u[j], u[(j+1)%3]))
		}
	}
}
