package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// tile is a patch of a face, or a piece of an edge round which the medium fills more than half of the room, which faces
// whatever lies between its two normals.
type tile struct {
	patch
	edge bool
	line r3.Vec // direction of the edge
	n2   r3.Vec // normal of the other face
}

// give is how far points of the tile can lie from its middle along the unit vector m: those of a flat patch by its slope
// against m, others by their tilt more.
func (a *tile) give(m r3.Vec) float64 {
	if a.edge {
		return a.reach * (math.Abs(r3.Dot(a.line, m)) + a.tilt)
	}
	c := r3.Dot(a.n, m)
	return a.reach * min(1, math.Sqrt(max(0, 1-c*c))+a.tilt)
}

// apartBy is a lower bound of the distance between points of two tiles: along a direction, how far their middles are
// apart less what both give.
func (a *tile) apartBy(b *tile) float64 {
	v := r3.Sub(a.p, b.p)
	d := math.Sqrt(r3.Norm2(v))
	best := d - a.reach - b.reach
	for _, m := range [3]r3.Vec{a.n, b.n, r3.Scale(1/max(d, 1e-300), v)} {
		best = max(best, math.Abs(r3.Dot(v, m))-a.give(m)-b.give(m))
	}
	return best
}

// opposes tells whether points of two tiles may have normals that oppose each other by the angle of cosine -cos.
func (a *tile) opposes(b *tile, cos float64) bool {
	cos -= a.tilt + b.tilt
	switch {
	case !a.edge && !b.edge:
		return r3.Dot(a.n, b.n) <= -cos
	case a.edge && b.edge:
		for _, n := range [3]r3.Vec{b.n, b.n2, unit(r3.Add(b.n, b.n2))} {
			// The middle normal is no more than a quarter of a turn from any between them, so this errs on the safe side.
			if _, c := between(a.n, a.n2, r3.Scale(-1, n)); c >= cos-0.3 {
				return true
			}
		}
		return false
	case b.edge:
		a, b = b, a
	}
	_, c := between(a.n, a.n2, r3.Scale(-1, b.n))
	return c >= cos
}

// behind tells whether all of b lies on the other side of a than the medium.
func (m *medium) behind(a, b *tile) bool {
	if a.edge {
		return false
	}
	d := m.into(&a.patch)
	return r3.Dot(r3.Sub(b.p, a.p), d) < -a.give(d)-b.give(d)
}

// may tells whether points of two tiles can face each other through the medium nearer than goal.
func (m *medium) may(a, b *tile, goal float64) bool {
	return a.opposes(b, m.opposed) && !m.behind(a, b) && !m.behind(b, a) && a.apartBy(b) < goal
}

// tiles are all patches and hollow edges for a medium.
func (h *hunt) tiles(metal bool) []tile {
	var out []tile
	for _, w := range h.k.patches {
		for i := range w {
			out = append(out, tile{patch: w[i]})
		}
	}
	m := h.medium(solid.NewCover(h.k.s, margin), metal)
	for i := range h.edges {
		if e := &h.edges[i]; (e.Angles[0] > 180) == metal {
			out = append(out, m.edgeTiles(e, i)...)
		}
	}
	return out
}

// edgeTiles cuts an edge into pieces. Their tilt covers how the line and the normals turn between two of its points.
func (m *medium) edgeTiles(e *Edge, number int) []tile {
	var out []tile
	a, b := &m.carriers[e.Faces[0]], &m.carriers[e.Faces[1]]
	for i := 1; i < len(e.Points); i++ {
		p, q := e.Points[i-1], e.Points[i]
		size := apart(p, q)
		if size < 1e-6 {
			continue
		}
		t := tile{edge: true, line: r3.Scale(1/size, r3.Sub(q, p))}
		t.p, t.reach, t.wall, t.seen = r3.Scale(0.5, r3.Add(p, q)), size/2, -1-number, true
		_, t.n = a.Off(t.p)
		_, t.n2 = b.Off(t.p)
		if m.turned[m.wallOf[e.Faces[0]]] {
			t.n = r3.Scale(-1, t.n)
		}
		if m.turned[m.wallOf[e.Faces[1]]] {
			t.n2 = r3.Scale(-1, t.n2)
		}
		_, na := a.Off(p)
		_, nb := b.Off(p)
		_, ma := a.Off(q)
		_, mb := b.Off(q)
		t.tilt = max(apart(na, ma), apart(nb, mb))
		out = append(out, t)
	}
	return out
}

// lattice finds tiles near a place.
type lattice struct {
	tiles []tile
	lo    r3.Vec
	n     [3]int
	first []int32 // of each cell, and one more
	order []int32
	most  float64 // greatest reach
}

// latticeCell is the side of a cell of the lattice, mm.
const latticeCell = 1.0

func newLattice(tiles []tile, b r3.Box) *lattice {
	l := &lattice{tiles: tiles, lo: b.Min}
	size := r3.Sub(b.Max, b.Min)
	for i, s := range [3]float64{size.X, size.Y, size.Z} {
		l.n[i] = max(1, int(math.Ceil(s/latticeCell)))
	}
	l.first = make([]int32, l.n[0]*l.n[1]*l.n[2]+1)
	for i := range tiles {
		l.first[l.cell(tiles[i].p)+1]++
		l.most = max(l.most, tiles[i].reach)
	}
	for i := 1; i < len(l.first); i++ {
		l.first[i] += l.first[i-1]
	}
	next := slices.Clone(l.first)
	l.order = make([]int32, len(tiles))
	for i := range tiles {
		c := l.cell(tiles[i].p)
		l.order[next[c]] = int32(i)
		next[c]++
	}
	return l
}

func (l *lattice) at(p r3.Vec) [3]int {
	d := r3.Sub(p, l.lo)
	var out [3]int
	for i, x := range [3]float64{d.X, d.Y, d.Z} {
		out[i] = min(max(int(x/latticeCell), 0), l.n[i]-1)
	}
	return out
}

func (l *lattice) cell(p r3.Vec) int { c := l.at(p); return (c[2]*l.n[1]+c[1])*l.n[0] + c[0] }

// near calls visit for the tiles whose middles may lie within r of p.
func (l *lattice) near(p r3.Vec, r float64, visit func(i int32)) {
	v := r3.Vec{X: r, Y: r, Z: r}
	lo, hi := l.at(r3.Sub(p, v)), l.at(r3.Add(p, v))
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			row := (z*l.n[1] + y) * l.n[0]
			for _, i := range l.order[l.first[row+lo[0]]:l.first[row+hi[0]+1]] {
				visit(i)
			}
		}
	}
}

// facing lists for a tile those of higher number that it may face nearer than goal.
func (l *lattice) facing(m *medium, i int32, goal float64, out []tile) []tile {
	a := &l.tiles[i]
	far := goal + a.reach + l.most
	l.near(a.p, far, func(j int32) {
		b := &l.tiles[j]
		if j <= i || !a.opposes(b, m.opposed) {
			return
		}
		if d := goal + a.reach + b.reach; r3.Norm2(r3.Sub(a.p, b.p)) < d*d && m.may(a, b, goal) {
			out = append(out, *b)
		}
	})
	return out
}

// prover shows tile by tile that the medium is at least goal thick.
type prover struct {
	m           *medium
	goal, least float64
	open        float64 // mm2 for which that was not shown
	seeds       []pair
	left        int // cuts that may still be made for this tile
}

// mostCuts is how often a tile and those that it faces are cut before the tile counts as not proven.
const mostCuts = 2000

// prove shows that no two tiles face each other nearer than goal: where the bound of apartBy does not say so, the larger
// tile is cut in four. It gives the share of the area for which that was shown, and pairs where it was not.
func (h *hunt) prove(l *lattice, goal float64, metal bool) (proven float64, seeds []pair) {
	area := 0.0
	for i := range l.tiles {
		if a := &l.tiles[i]; a.seen && !a.edge {
			area += h.k.area(&a.patch)
		}
	}
	const run = 64
	ps := make([]prover, (len(l.tiles)+run-1)/run)
	spread(h.k.s, len(ps), func(c *solid.Cover, i int) {
		p := &ps[i]
		p.m, p.goal, p.least = h.medium(c, metal), goal, h.o.Least
		var facing []tile
		for j := i * run; j < min((i+1)*run, len(l.tiles)); j++ {
			if facing = l.facing(p.m, int32(j), goal, facing[:0]); len(facing) > 0 {
				p.left = mostCuts
				p.against(l.tiles[j], facing)
			}
		}
	})
	open := 0.0
	for i := range ps {
		open += ps[i].open
		seeds = append(seeds, ps[i].seeds...)
	}
	return 1 - open/max(area, 1e-300), seeds
}

// against proves a tile against those that it may face.
func (p *prover) against(a tile, facing []tile) {
	p.left--
	largest := 0.0
	for i := range facing {
		largest = max(largest, facing[i].reach)
	}
	switch {
	case max(a.reach, largest) <= p.least || p.left <= 0 || len(p.seeds) == seedsRun:
		p.giveUp(&a, facing)
	case a.reach >= largest:
		for _, part := range p.parts(&a) {
			p.filtered(part, facing)
		}
	default:
		var finer []tile
		for i := range facing {
			if facing[i].reach < largest/2 {
				finer = append(finer, facing[i])
				continue
			}
			finer = append(finer, p.parts(&facing[i])...)
		}
		p.filtered(a, finer)
	}
}

func (p *prover) filtered(a tile, facing []tile) {
	var left []tile
	for i := range facing {
		if p.m.may(&a, &facing[i], p.goal) {
			left = append(left, facing[i])
		}
	}
	if len(left) > 0 {
		p.against(a, left)
	}
}

// parts cuts a tile in four, an edge in two, and leaves out what is no surface.
func (p *prover) parts(a *tile) []tile {
	var out []tile
	if a.edge {
		for _, s := range []float64{-0.5, 0.5} {
			b := *a
			b.p, b.reach = along(a.p, a.line, s*a.reach), a.reach/2
			out = append(out, b)
		}
		return out
	}
	for _, half := range p.m.halves(a.wall, a.u, a.v) {
		for _, q := range p.m.halves(a.wall, half[0], half[1]) {
			if b, ok := p.m.look(p.m.c, a.wall, q[0], q[1]); ok {
				out = append(out, tile{patch: b})
			}
		}
	}
	return out
}

// seedsRun is how many pairs are kept of each run of tiles.
const seedsRun = 4

// giveUp counts a tile as not proven and keeps the pair, if it is one.
func (p *prover) giveUp(a *tile, facing []tile) {
	if !a.edge && a.seen {
		p.open += p.m.area(&a.patch)
	}
	for i := range facing {
		if len(p.seeds) == seedsRun {
			return
		}
		if s, ok := p.m.seed(a, &facing[i], p.goal); ok {
			p.seeds = append(p.seeds, s)
		}
	}
}

// seed makes a pair of two tiles if they face each other through the medium, nearer than far.
func (m *medium) seed(a, b *tile, far float64) (pair, bool) {
	if !a.seen || !b.seen {
		return pair{}, false
	}
	q := b.p
	if !b.edge {
		if f := m.walls[b.wall].On.Foot(a.p); apart(f, b.p) <= b.reach && m.c.On(f, touching) {
			q = f
		}
	}
	size := apart(a.p, q)
	if size < skinDeep || size >= far {
		return pair{}, false
	}
	d := r3.Scale(1/size, r3.Sub(q, a.p))
	s, ok := m.pairAt(a.p, d, size)
	if !ok {
		return pair{}, false
	}
	if t, hit := m.cross(a.p, d, size*0.999); hit && t < size*0.999 {
		return pair{}, false
	}
	return s, true
}
