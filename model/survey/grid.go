package survey

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// grid is the field in the middles of cubic cells, with the distance of each cell in the air from the surface.
type grid struct {
	s    *solid.Solid
	lo   r3.Vec
	step float64
	n    [3]int
	f    []float64 // the field, or a value nearer to 0 of the same sign where no surface is near
	u    []float64 // in the air, mm to the surface: an upper bound, off by the spacing of what was found of it
}

// newGrid covers the solid's bounds and a margin round them.
func newGrid(s *solid.Solid, step, margin float64) *grid {
	b := s.Bounds()
	// Off by odd parts of a step, so that faces at round figures do not run through the middles of cells.
	off := r3.Vec{X: margin + 0.137*step, Y: margin + 0.219*step, Z: margin + 0.173*step}
	g := &grid{s: s, step: step, lo: r3.Sub(b.Min, off)}
	size := r3.Sub(b.Max, b.Min)
	for i, x := range [3]float64{size.X, size.Y, size.Z} {
		g.n[i] = int(math.Ceil((x+2*margin)/step)) + 1
	}
	g.f = make([]float64, g.n[0]*g.n[1]*g.n[2])
	g.fill()
	return g
}

func (g *grid) index(x, y, z int) int { return (z*g.n[1]+y)*g.n[0] + x }

func (g *grid) place(i int) (x, y, z int) {
	return i % g.n[0], i / g.n[0] % g.n[1], i / (g.n[0] * g.n[1])
}

func (g *grid) middle(i int) r3.Vec {
	x, y, z := g.place(i)
	return g.point(x, y, z)
}

func (g *grid) point(x, y, z int) r3.Vec {
	return r3.Vec{X: g.lo.X + (float64(x)+0.5)*g.step, Y: g.lo.Y + (float64(y)+0.5)*g.step, Z: g.lo.Z + (float64(z)+0.5)*g.step}
}

const (
	chunk  = 8    // cells along the side of the cubes that are looked at first
	nearby = 1.01 // steps; cells further than that from the surface count with their sign alone
)

// fill asks the field in every cell, or once a cube of cells where that shows that no surface is near.
func (g *grid) fill() {
	layers := (g.n[2] + chunk - 1) / chunk
	rows := (g.n[1] + chunk - 1) / chunk
	spread(g.s, layers*rows, func(c *solid.Cover, k int) {
		for x := 0; x < g.n[0]; x += chunk {
			g.cube(c, x, k%rows*chunk, k/rows*chunk, chunk)
		}
	})
}

// cube fills a cube of cells, n along its side, at once where it is clear, else in eight parts.
func (g *grid) cube(c *solid.Cover, x0, y0, z0, n int) {
	if x0 >= g.n[0] || y0 >= g.n[1] || z0 >= g.n[2] {
		return
	}
	half := float64(n-1) / 2 * g.step
	f := c.Eval(along(g.point(x0, y0, z0), r3.Vec{X: 1, Y: 1, Z: 1}, half))
	switch {
	case n == 1:
		if math.Abs(f) < touching {
			f = -touching // on the surface is not in the air
		}
		g.f[g.index(x0, y0, z0)] = f
	case math.Abs(f)-math.Sqrt(3)*half > nearby*g.step:
		f = math.Copysign(nearby*g.step, f)
		for z := z0; z < min(z0+n, g.n[2]); z++ {
			for y := y0; y < min(y0+n, g.n[1]); y++ {
				row := g.index(0, y, z)
				for x := x0; x < min(x0+n, g.n[0]); x++ {
					g.f[row+x] = f
				}
			}
		}
	default:
		n /= 2
		for k := range 8 {
			g.cube(c, x0+n*(k&1), y0+n*(k>>1&1), z0+n*(k>>2), n)
		}
	}
}

// neighbours of a cell: the 13 that come before it in the order of the cells, and by their reverse those after it.
var before = func() (out [][3]int) {
	for z := -1; z <= 1; z++ {
		for y := -1; y <= 1; y++ {
			for x := -1; x <= 1; x++ {
				if z < 0 || z == 0 && (y < 0 || y == 0 && x < 0) {
					out = append(out, [3]int{x, y, z})
				}
			}
		}
	}
	return out
}()

func (g *grid) within(x, y, z int) bool {
	return x >= 0 && y >= 0 && z >= 0 && x < g.n[0] && y < g.n[1] && z < g.n[2]
}

// around calls visit for the neighbours of a cell, 26 at most.
func (g *grid) around(i int, visit func(j int, steps float64)) {
	x, y, z := g.place(i)
	for _, d := range before {
		size := math.Sqrt(float64(d[0]*d[0] + d[1]*d[1] + d[2]*d[2]))
		if g.within(x+d[0], y+d[1], z+d[2]) {
			visit(g.index(x+d[0], y+d[1], z+d[2]), size)
		}
		if g.within(x-d[0], y-d[1], z-d[2]) {
			visit(g.index(x-d[0], y-d[1], z-d[2]), size)
		}
	}
}

// distances finds u: points of the surface between neighbouring cells in air and metal, by linear interpolation of the
// field, handed on from cell to cell (after P.-E. Danielsson, Euclidean distance mapping, Computer Graphics and Image
// Processing 14, 1980), twice there and back.
func (g *grid) distances() {
	g.u = make([]float64, len(g.f))
	from := make([]int32, len(g.f))
	pts := g.crossings(from)
	for range 2 {
		g.sweep(pts, from, 1)
		g.sweep(pts, from, -1)
	}
	for i, f := range g.f {
		if f > 0 && math.IsInf(g.u[i], 1) {
			g.u[i] = f
		}
	}
}

// crossings lists points of the surface and gives them to the cells in the air beside them; from is the number of a
// cell's point, and 1 more.
func (g *grid) crossings(from []int32) (pts []r3.Vec) {
	for i := range g.u {
		g.u[i] = math.Inf(1)
	}
	give := func(i int, p r3.Vec, number int32) {
		if d := apart(g.middle(i), p); d < g.u[i] {
			g.u[i], from[i] = d, number
		}
	}
	stride := [3]int{1, g.n[0], g.n[0] * g.n[1]}
	for i := range g.f {
		x, y, z := g.place(i)
		for axis, at := range [3]int{x, y, z} {
			if at+1 == g.n[axis] {
				continue
			}
			j := i + stride[axis]
			if (g.f[i] > 0) == (g.f[j] > 0) {
				continue
			}
			k := g.f[i] / (g.f[i] - g.f[j])
			a, b := g.middle(i), g.middle(j)
			pts = append(pts, along(a, r3.Sub(b, a), k))
			if g.f[i] > 0 {
				give(i, pts[len(pts)-1], int32(len(pts)))
			} else {
				give(j, pts[len(pts)-1], int32(len(pts)))
			}
		}
	}
	return pts
}

// sweep hands points on from cells before a cell in the order (way 1), or after it (way -1).
func (g *grid) sweep(pts []r3.Vec, from []int32, way int) {
	var off [13]int
	for k, d := range before {
		off[k] = way * g.index(d[0], d[1], d[2])
	}
	for k := range g.f {
		i := k
		if way < 0 {
			i = len(g.f) - 1 - k
		}
		if g.f[i] <= 0 {
			continue
		}
		x, y, z := g.place(i)
		p := g.point(x, y, z)
		inner := x > 0 && y > 0 && z > 0 && x < g.n[0]-1 && y < g.n[1]-1 && z < g.n[2]-1
		for k, d := range before {
			if !inner && !g.within(x+way*d[0], y+way*d[1], z+way*d[2]) {
				continue
			}
			n := from[i+off[k]]
			if n == 0 || n == from[i] {
				continue
			}
			if d := apart(p, pts[n-1]); d < g.u[i] {
				g.u[i], from[i] = d, n
			}
		}
	}
}

// open tells whether nothing stands between two neighbouring cells in the air.
func (g *grid) open(c *solid.Cover, i, j int) bool {
	p, q := g.middle(i), g.middle(j)
	size := apart(p, q)
	if g.f[i]+g.f[j] >= size {
		return true
	}
	d := r3.Scale(1/size, r3.Sub(q, p))
	for t, k := 0.0, 0; k < 40; k++ {
		f := c.Eval(along(p, d, t))
		if f <= touching {
			return false
		}
		if t += f; t >= size {
			return true
		}
	}
	return false
}
