package survey

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// gauge measures the true distance from the surface, on both sides, where the field is only a lower bound.
type gauge struct {
	k     *skin
	c     *solid.Cover
	l     *lattice
	edges []Edge
	open  []reading // room
}

// newGauge prepares a solid. Edges of all kinds are tiles as well, since the nearest point may lie on one.
func newGauge(b *Body, step float64) *gauge {
	h := newHunt(b, SpotOptions{Step: step})
	g := &gauge{k: h.k, c: solid.NewCover(b.s, margin), edges: h.edges}
	m := h.medium(g.c, true)
	var tiles []tile
	for _, w := range g.k.patches {
		for i := range w {
			tiles = append(tiles, tile{patch: w[i]})
		}
	}
	for i := range h.edges {
		tiles = append(tiles, m.edgeTiles(&h.edges[i], i)...)
	}
	g.l = newLattice(tiles, b.s.Bounds())
	return g
}

// reading is a tile and a lower bound of its distance from the place that is measured.
type reading struct {
	*tile
	least float64
}

const (
	gaugeFine = 0.02 // mm, the reach below which a patch with a hidden foot is taken at its middle
	gaugeSame = 1e-4 // mm; what may be that much nearer is not looked at
)

// dist is the distance from x to the surface and the point where it is met, provided that it is less than far. Good
// to 1e-4 mm but where the nearest point lies within 0.02 mm of an edge that was not found.
func (g *gauge) dist(x r3.Vec, far float64) (d float64, at r3.Vec) {
	d = far
	for reach := min(0.5, far); ; reach = min(2*reach, far) {
		g.open = g.open[:0]
		g.l.near(x, reach+g.l.most, func(i int32) {
			if least := g.least(&g.l.tiles[i], x); least < reach {
				g.open = append(g.open, reading{&g.l.tiles[i], least})
			}
		})
		g.nearest(x, &d, &at)
		if d <= reach || reach == far {
			return d, at
		}
	}
}

// nearest tries what is open: edges first, since faces that end there then need not be cut up to them, then the face
// that seems nearest, then the others.
func (g *gauge) nearest(x r3.Vec, d *float64, at *r3.Vec) {
	first := -1
	for i, r := range g.open {
		if r.edge {
			g.try(r, x, d, at)
		} else if first < 0 || r.least < g.open[first].least {
			first = i
		}
	}
	if first < 0 {
		return
	}
	g.try(g.open[first], x, d, at)
	for i, r := range g.open {
		if !r.edge && i != first {
			g.try(r, x, d, at)
		}
	}
}

// least is a lower bound of the distance from x to a tile.
func (g *gauge) least(t *tile, x r3.Vec) float64 {
	v := r3.Sub(x, t.p)
	best := math.Sqrt(r3.Norm2(v)) - t.reach
	if !t.edge {
		best = max(best, math.Abs(g.k.walls[t.wall].On.Gap(x)))
	}
	return best
}

// try lowers d to the distance of a tile, cutting it where its face's foot is hidden.
func (g *gauge) try(r reading, x r3.Vec, d *float64, at *r3.Vec) {
	if r.least >= *d-gaugeSame {
		return
	}
	take := func(q r3.Vec) bool {
		on := g.c.On(q, touching)
		if a := apart(q, x); on && a < *d {
			*d, *at = a, q
		}
		return on
	}
	if r.edge {
		e := &g.edges[-1-r.wall]
		t := r3.Dot(r3.Sub(x, r.p), r.line)
		q := along(r.p, r.line, min(max(t, -r.reach), r.reach))
		if p, _, ok := solid.Meet(q, &g.k.carriers[e.Faces[0]], &g.k.carriers[e.Faces[1]]); ok {
			q = p
		}
		take(q)
		return
	}
	foot := g.k.walls[r.wall].On.Foot(x)
	if take(foot) {
		return // no point of the carrier is nearer, in this tile or not
	}
	if r.reach <= gaugeFine {
		if r.seen {
			take(r.p)
		}
		return
	}
	for _, half := range g.k.halves(r.wall, r.u, r.v) {
		if b, ok := g.k.look(g.c, r.wall, half[0], half[1]); ok {
			part := &tile{patch: b}
			g.try(reading{part, g.least(part, x)}, x, d, at)
		}
	}
}

// climb goes from p to the place furthest from the surface, no further than reach along each axis.
func (g *gauge) climb(p r3.Vec, reach float64) (at r3.Vec, r float64) {
	at, r = p, g.signed(p)
	for step := reach / 2; step > polished; {
		better := false
		for _, d := range [6]r3.Vec{{X: step}, {X: -step}, {Y: step}, {Y: -step}, {Z: step}, {Z: -step}} {
			q := r3.Add(at, d)
			if v := r3.Sub(q, p); max(math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)) > reach*(1+1e-9) {
				continue
			}
			if d := g.signed(q); d > r+1e-6 {
				at, r, better = q, d, true
			}
		}
		if !better {
			step /= 2
		}
	}
	return at, r
}
