package survey

import (
	"container/heap"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Core is the worst place of a hollow as the caster sees it: the investment that fills it hangs on its openings.
type Core struct {
	Found   bool
	Slender float64 // depth over bore
	Depth   float64 // mm, from the openings by the shortest way through the air
	Bore    float64 // mm, the widest ball that covers the place and has come there from outside
	At      r3.Vec  // the place
	Volume  float64 // mm3 of all hollows within the hull that are open to the outside
}

// CoreOptions say how cores are measured.
type CoreOptions struct {
	Step float64 // mm of the grid; 0 means 0.5
	Bore float64 // mm; narrower places count as gaps, not as core; 0 means 0.4
}

// Cores gives the most slender core of a solid. The hollows are the air within its convex hull (of the directions that
// hullOf takes); their openings are where they meet the hull. The depth of a place is the shortest way to it from an
// opening; its bore is the diameter of the widest ball that covers it, corners within 1.75 radii included, and that can get
// there from outside. A blind hole of diameter d and depth L so gives L/d.
//
// On a grid: depth is good to a step, bore to three quarters of one, both better where the hollow is many steps wide.
// Closed voids have no opening and are not counted.
func Cores(s *solid.Solid, o CoreOptions) Core { return NewBody(s).Cores(o) }

// Cores is the function of that name.
func (b *Body) Cores(o CoreOptions) Core {
	o.Step, o.Bore = or(o.Step, 0.5), or(o.Bore, 0.4)
	g := newGrid(b.s, o.Step, 2.5*o.Step)
	g.distances()
	c := &cores{g: g, c: solid.NewCover(b.s, margin), hull: b.convex(), bore: o.Bore}
	c.inside()
	c.widths()
	c.depths()
	return c.worst(b)
}

// halfSpace is all points x with n.x below d.
type halfSpace struct {
	n r3.Vec
	d float64
}

// hullOf bounds a solid by half-spaces: square to every flat face, and in the 26 directions to faces, edges and corners of
// a cube. Exact for what is bounded by planes; a curved side is bounded by the tangents in those directions.
func hullOf(k *skin, edges []Edge) []halfSpace {
	var dirs []r3.Vec
	add := func(n r3.Vec) {
		if !slices.ContainsFunc(dirs, func(m r3.Vec) bool { return r3.Dot(m, n) > 1-1e-9 }) {
			dirs = append(dirs, n)
		}
	}
	for _, d := range before {
		n := unit(r3.Vec{X: float64(d[0]), Y: float64(d[1]), Z: float64(d[2])})
		add(n)
		add(r3.Scale(-1, n))
	}
	for i := range k.walls {
		if len(k.patches[i]) > 0 {
			for j := 0; j < len(k.patches[i]); j += 1 + len(k.patches[i])/8 {
				add(k.patches[i][j].n)
			}
		}
	}
	pts := hullPoints(k, edges)
	out := make([]halfSpace, len(dirs))
	for i, n := range dirs {
		out[i] = halfSpace{n, math.Inf(-1)}
		for _, p := range pts {
			out[i].d = max(out[i].d, r3.Dot(n, p))
		}
	}
	return out
}

// hullPoints are middles of patches and points of edges.
func hullPoints(k *skin, edges []Edge) []r3.Vec {
	var pts []r3.Vec
	for _, w := range k.patches {
		for _, a := range w {
			if a.seen {
				pts = append(pts, a.p)
			}
		}
	}
	for _, e := range edges {
		pts = append(pts, e.Points...)
	}
	return pts
}

// cores measures hollows on a grid.
type cores struct {
	g     *grid
	c     *solid.Cover
	hull  []halfSpace
	bore  float64
	under []float64 // of each cell, how deep it lies under the hull, mm; at most 0 outside and in the metal
	wide  []float64 // radius of the widest ball that covers it and has come there
	neck  []int32   // the cell that was narrowest on that ball's way
	deep  []float64
}

// inside finds how deep each cell lies under the hull.
func (c *cores) inside() {
	c.under = make([]float64, len(c.g.f))
	for i, f := range c.g.f {
		if f <= 0 {
			continue
		}
		p, least := c.g.middle(i), math.Inf(1)
		for _, h := range c.hull {
			if least = min(least, h.d-r3.Dot(h.n, p)); least <= 0 {
				break
			}
		}
		c.under[i] = least
	}
}

// widest is a queue of cells, those with the greatest value first.
type widest struct {
	cell  []int32
	value []float64
}

func (q *widest) Len() int { return len(q.cell) }
func (q *widest) Less(i, j int) bool {
	return q.value[i] > q.value[j] || q.value[i] == q.value[j] && q.cell[i] < q.cell[j]
}
func (q *widest) Swap(i, j int) {
	q.cell[i], q.cell[j] = q.cell[j], q.cell[i]
	q.value[i], q.value[j] = q.value[j], q.value[i]
}
func (q *widest) Push(x any) {
	w := x.(*widest)
	q.cell, q.value = append(q.cell, w.cell[0]), append(q.value, w.value[0])
}
func (q *widest) Pop() any {
	n := len(q.cell) - 1
	out := &widest{q.cell[n:], q.value[n:]}
	q.cell, q.value = q.cell[:n], q.value[:n]
	return out
}
func (q *widest) put(i int, v float64) { heap.Push(q, &widest{[]int32{int32(i)}, []float64{v}}) }
func (q *widest) take() (int, float64) {
	w := heap.Pop(q).(*widest)
	return int(w.cell[0]), w.value[0]
}

// widths finds how wide a ball can come from outside to each cell within the hull, and gives that to all cells that the
// ball covers there.
func (c *cores) widths() {
	g := c.g
	way, neck := make([]float64, len(g.f)), make([]int32, len(g.f))
	q := &widest{}
	for i, f := range g.f {
		if f > 0 && c.under[i] > 0 && c.atHull(i) {
			way[i], neck[i] = g.u[i], int32(i)
			q.put(i, g.u[i])
		}
	}
	var order []int32
	done := make([]bool, len(g.f))
	for q.Len() > 0 {
		i, v := q.take()
		if done[i] {
			continue
		}
		done[i] = true
		order = append(order, int32(i))
		g.around(i, func(j int, _ float64) {
			if w := min(v, g.u[j]); g.f[j] > 0 && c.under[j] > 0 && !done[j] && w > way[j] && g.open(c.c, i, j) {
				if way[j], neck[j] = w, neck[i]; g.u[j] < v {
					neck[j] = int32(j)
				}
				q.put(j, w)
			}
		})
	}
	c.wide, c.neck = make([]float64, len(g.f)), make([]int32, len(g.f))
	for _, i := range order {
		c.cover(int(i), way[i], neck[i])
	}
}

// atHull tells whether a cell has a neighbour outside the hull and no metal between.
func (c *cores) atHull(i int) (yes bool) {
	if c.under[i] > 2*c.g.step {
		return false
	}
	c.g.around(i, func(j int, _ float64) {
		yes = yes || c.g.f[j] > 0 && c.under[j] <= 0 && c.g.open(c.c, i, j)
	})
	return yes
}

// covers is how far a ball's cover reaches, in radii: corners of a flat end belong to the ball that touches it.
const covers = 1.75

func (c *cores) cover(i int, v float64, neck int32) {
	g := c.g
	reach := covers * g.u[i]
	x, y, z := g.place(i)
	n := int(reach / g.step)
	for dz := -n; dz <= n; dz++ {
		for dy := -n; dy <= n; dy++ {
			for dx := -n; dx <= n; dx++ {
				if d := float64(dx*dx+dy*dy+dz*dz) * g.step * g.step; d <= reach*reach && g.within(x+dx, y+dy, z+dz) {
					if j := g.index(x+dx, y+dy, z+dz); c.wide[j] < v {
						c.wide[j], c.neck[j] = v, neck
					}
				}
			}
		}
	}
}

// depths finds the shortest way from the openings to each cell. A way runs straight from where it last had to turn: a
// cell that sees the turning point of the cell it is reached from has the same, any other turns there (after A. Nash, S. Koenig and C. Tovey,
// Lazy Theta*, AAAI 2010).
func (c *cores) depths() {
	g := c.g
	c.deep = make([]float64, len(g.f))
	from := make([]r3.Vec, len(g.f)) // turning point
	base := make([]float64, len(g.f))
	done := make([]bool, len(g.f))
	q := &widest{}
	for i := range g.f {
		c.deep[i] = math.Inf(1)
		if g.f[i] > 0 && c.under[i] > 0 && c.atHull(i) {
			c.deep[i], from[i], base[i] = c.under[i], c.exit(i), 0
			q.put(i, -c.deep[i])
		}
	}
	for q.Len() > 0 {
		i, _ := q.take()
		if done[i] {
			continue
		}
		done[i] = true
		p := g.middle(i)
		if from[i] != p && !c.sees(from[i], p) {
			c.turnAt(i, done, from, base)
		}
		g.around(i, func(j int, _ float64) {
			if g.f[j] <= 0 || c.under[j] <= 0 || done[j] {
				return
			}
			// As if it saw the turning point; whether it does is asked when it is taken.
			if d := base[i] + apart(from[i], g.middle(j)); d < c.deep[j]-1e-9 && g.open(c.c, i, j) {
				c.deep[j], from[j], base[j] = d, from[i], base[i]
				q.put(j, -d)
			}
		})
	}
}

// turnAt reaches a cell by the best of its neighbours, as it does not see the point from which it was reached.
func (c *cores) turnAt(i int, done []bool, from []r3.Vec, base []float64) {
	g := c.g
	p, best := g.middle(i), math.Inf(1)
	g.around(i, func(j int, _ float64) {
		q := g.middle(j)
		if d := c.deep[j] + apart(p, q); done[j] && j != i && d < best && g.open(c.c, i, j) {
			best, from[i], base[i] = d, q, c.deep[j]
		}
	})
	if !math.IsInf(best, 1) {
		c.deep[i] = best
	}
}

// exit is the point of the hull straight above a cell.
func (c *cores) exit(i int) r3.Vec {
	p, least, n := c.g.middle(i), math.Inf(1), r3.Vec{}
	for _, h := range c.hull {
		if d := h.d - r3.Dot(h.n, p); d < least {
			least, n = d, h.n
		}
	}
	return along(p, n, least)
}

func (c *cores) sees(p, q r3.Vec) bool {
	size := apart(p, q)
	d := r3.Scale(1/size, r3.Sub(q, p))
	t := beside
	for range 60 {
		f := c.c.Eval(along(p, d, t))
		if f <= touching {
			return false
		}
		if t += f; t >= size {
			return true
		}
	}
	return false
}

// worst is the place with the greatest depth over bore. A cell's own half of the way to the surface beyond counts. The bore
// is then measured again, by true distances, at the widest point within the narrowest cell of the way.
func (c *cores) worst(b *Body) Core {
	g := c.g
	var out Core
	place, volume := -1, 0.0
	for i := range g.f {
		if math.IsInf(c.deep[i], 1) || g.f[i] <= 0 || c.under[i] <= 0 {
			continue
		}
		volume += g.step * g.step * g.step
		depth, bore := c.deep[i]+min(g.u[i], g.step/2), 2*c.wide[i]
		if s := depth / bore; bore >= c.bore && s > out.Slender {
			out, place = Core{Found: true, Slender: s, Depth: depth, At: g.middle(i)}, i
		}
	}
	if place < 0 {
		return Core{}
	}
	_, r := newGauge(b, 0.8).climb(g.middle(int(c.neck[place])), g.step/2)
	out.Bore, out.Volume = 2*r, volume
	out.Slender = out.Depth / out.Bore
	return out
}
