package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// LayerOptions say how a solid is printed.
type LayerOptions struct {
	Up     r3.Vec  // direction in which layers are added; zero means +z
	Height float64 // mm of a layer; 0 means 0.025
	Step   float64 // mm between columns; 0 means 0.2
	Angle  float64 // degrees from level below which a face that looks down needs support; 0 means 45
}

// Layers is what hangs in the air while a solid is printed.
type Layers struct {
	Count      int
	Overhang   float64 // mm2 of faces that look down and lie flatter than the angle, but for those in the first layer
	OverhangAt r3.Vec  // the lowest of them
	Islands    int     // parts of a layer that rest on nothing in the layer below
	IslandAt   r3.Vec  // the first of them, lowest
	IslandArea float64 // mm2 of all islands, in the layers where they begin
}

// column is the metal over one place of the plate: where it begins and ends, and how steep it begins.
type column struct {
	from, to []float64
	down     []float64 // cosine between the face below and straight down
}

// LayersOf looks at a solid as a printer builds it: each column of a grid is traced through the metal along the build
// direction, so that heights are true to 1e-6 mm; between columns nothing is known, and neither is metal thinner than 0.0125 mm beside a
// face that runs along the column. Areas
// are those of the slanted faces (a cell over the cosine), good to about a step times the outline; parts narrower than a
// step may be missed. Cells that touch at a corner count as joined.
func LayersOf(s *solid.Solid, o LayerOptions) Layers {
	o.Height, o.Step, o.Angle = or(o.Height, 0.025), or(o.Step, 0.2), or(o.Angle, 45)
	if o.Up == (r3.Vec{}) {
		o.Up = r3.Vec{Z: 1}
	}
	p := newPrint(s, o)
	p.trace()
	return p.layers()
}

// printing is a solid on the plate.
type printing struct {
	s         *solid.Solid
	o         LayerOptions
	up, x, y  r3.Vec
	lo, hi    r3.Vec // bounds along x, y and up
	nx, ny    int
	columns   []column
	layerBase float64 // height of the first metal
}

func newPrint(s *solid.Solid, o LayerOptions) *printing {
	p := &printing{s: s, o: o, up: unit(o.Up)}
	p.x, p.y = across(p.up)
	inf := math.Inf(1)
	p.lo, p.hi = r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
	for _, v := range s.Bounds().Vertices() {
		q := r3.Vec{X: r3.Dot(v, p.x), Y: r3.Dot(v, p.y), Z: r3.Dot(v, p.up)}
		p.lo = r3.Vec{X: min(p.lo.X, q.X), Y: min(p.lo.Y, q.Y), Z: min(p.lo.Z, q.Z)}
		p.hi = r3.Vec{X: max(p.hi.X, q.X), Y: max(p.hi.Y, q.Y), Z: max(p.hi.Z, q.Z)}
	}
	// Off by odd parts of a step, so that faces at round figures do not run along columns.
	p.lo.X, p.lo.Y = p.lo.X-0.137*o.Step, p.lo.Y-0.219*o.Step
	p.nx = int(math.Ceil((p.hi.X - p.lo.X) / o.Step))
	p.ny = int(math.Ceil((p.hi.Y - p.lo.Y) / o.Step))
	p.columns = make([]column, p.nx*p.ny)
	return p
}

// foot is the point under the column's middle at a height.
func (p *printing) foot(i int, z float64) r3.Vec {
	x := p.lo.X + (float64(i%p.nx)+0.5)*p.o.Step
	y := p.lo.Y + (float64(i/p.nx)+0.5)*p.o.Step
	return r3.Add(r3.Add(r3.Scale(x, p.x), r3.Scale(y, p.y)), r3.Scale(z, p.up))
}

// trace goes up every column.
func (p *printing) trace() {
	spread(p.s, p.ny, func(c *solid.Cover, row int) {
		for i := row * p.nx; i < (row+1)*p.nx; i++ {
			p.rise(c, i)
		}
	})
	p.layerBase = math.Inf(1)
	for _, c := range p.columns {
		if len(c.from) > 0 {
			p.layerBase = min(p.layerBase, c.from[0])
		}
	}
}

const (
	columnPast  = 1e-4   // mm beyond a face where a column is taken up again
	columnCreep = 0.0125 // mm; the step along a face that runs beside the column
)

// rise goes up a column by the field. Where that creeps, since a face runs beside the column, it takes steps of its own
// and looks for the place where the sign changed.
func (p *printing) rise(c *solid.Cover, i int) {
	col := &p.columns[i]
	z, in, before := p.lo.Z-columnPast, false, math.Inf(1)
	for z < p.hi.Z+columnPast {
		f := c.Eval(p.foot(i, z))
		size := math.Abs(f)
		step := size
		switch {
		case size <= touching: // on a face, or grazing one
			step = columnPast
			if before <= touching {
				step = columnCreep
			}
			if now := c.Metal(p.foot(i, z+columnPast)); now != in {
				p.turn(c, col, i, z, now)
				in = now
			}
		case f < 0 != in:
			p.turn(c, col, i, p.bisect(c, i, z-max(columnCreep, columnPast), z, in), !in)
			in = !in
		case size < columnCreep && size > before/2:
			step = columnCreep
		}
		before = size
		z += step
	}
	if in {
		col.to = append(col.to, z)
	}
}

// bisect is where the column leaves what it is in, between two heights.
func (p *printing) bisect(c *solid.Cover, i int, lo, hi float64, in bool) float64 {
	for hi-lo > touching {
		if mid := (lo + hi) / 2; c.Metal(p.foot(i, mid)) == in {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// turn notes that the column enters or leaves the metal at height z.
func (p *printing) turn(c *solid.Cover, col *column, i int, z float64, now bool) {
	if !now {
		col.to = append(col.to, z)
		return
	}
	col.from = append(col.from, z)
	col.down = append(col.down, p.slope(c, p.foot(i, z)))
}

// slope is the cosine between the surface's normal near q, by differences of the field just outside, and straight down.
func (p *printing) slope(c *solid.Cover, q r3.Vec) float64 {
	const h = 1e-5
	q = along(q, p.up, -2*h)
	d := func(v r3.Vec) float64 { return c.Eval(along(q, v, h)) - c.Eval(along(q, v, -h)) }
	g := r3.Vec{X: d(p.x), Y: d(p.y), Z: d(p.up)}
	return -g.Z / max(math.Sqrt(r3.Norm2(g)), 1e-300)
}

// layers adds up overhangs and finds islands.
func (p *printing) layers() Layers {
	out := Layers{Count: int(math.Ceil((p.hi.Z - p.layerBase) / p.o.Height))}
	if math.IsInf(p.layerBase, 1) {
		return Layers{}
	}
	cell := p.o.Step * p.o.Step
	flat := math.Cos(p.o.Angle / radian)
	lowest := math.Inf(1)
	begins := make([][]int32, out.Count+1) // columns that begin in each layer
	for i := range p.columns {
		for k, z := range p.columns[i].from {
			layer := p.layerOf(z)
			begins[layer] = append(begins[layer], int32(i))
			if down := p.columns[i].down[k]; layer > 0 && down > flat {
				out.Overhang += cell / down
				if z < lowest {
					lowest, out.OverhangAt = z, p.foot(i, z)
				}
			}
		}
	}
	for layer := 1; layer < len(begins); layer++ {
		p.islands(layer, begins[layer], &out)
	}
	return out
}

func (p *printing) layerOf(z float64) int { return max(0, int((z-p.layerBase)/p.o.Height)) }

// metal tells whether a column has metal in a layer, and whether it had in the layer below.
func (p *printing) metal(i, layer int) (here, below bool) {
	c := &p.columns[i]
	for k := range c.from {
		a, b := p.layerOf(c.from[k]), p.layerOf(c.to[k]-columnPast)
		here = here || a <= layer && layer <= b
		below = below || a < layer && layer-1 <= b
	}
	return here, below
}

// islands counts the groups of columns that begin in a layer and touch nothing there that was there before.
func (p *printing) islands(layer int, begins []int32, out *Layers) {
	seen := map[int32]bool{}
	for _, start := range begins {
		if _, below := p.metal(int(start), layer); seen[start] || below {
			continue
		}
		size, rests := 0, false
		front := []int32{start}
		seen[start] = true
		for len(front) > 0 {
			i := front[len(front)-1]
			front = front[:len(front)-1]
			size++
			p.beside(i, func(j int32) {
				here, below := p.metal(int(j), layer)
				rests = rests || here && below
				if here && !below && !seen[j] {
					seen[j] = true
					front = append(front, j)
				}
			})
		}
		if rests {
			continue
		}
		if out.Islands++; out.Islands == 1 {
			out.IslandAt = p.foot(int(start), p.columns[start].from[slices.IndexFunc(p.columns[start].from, func(z float64) bool { return p.layerOf(z) == layer })])
		}
		out.IslandArea += float64(size) * p.o.Step * p.o.Step
	}
}

// beside calls visit for the eight columns round one.
func (p *printing) beside(i int32, visit func(j int32)) {
	x, y := int(i)%p.nx, int(i)/p.nx
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			if u, v := x+dx, y+dy; (dx != 0 || dy != 0) && u >= 0 && v >= 0 && u < p.nx && v < p.ny {
				visit(int32(v*p.nx + u))
			}
		}
	}
}
