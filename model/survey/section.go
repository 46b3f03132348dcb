package survey

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Section is what a plane cuts out of a solid.
type Section struct {
	Area      float64 // mm2
	Perimeter float64 // mm, of outlines and holes
	Modulus   float64 // mm, area over perimeter; 0 where the plane misses
	Middle    r3.Vec  // centre of gravity of the area
}

// SectionOptions say how a section is measured.
type SectionOptions struct {
	Step   float64 // mm of the squares along the outline; 0 means 0.05
	Within float64 // mm: only what lies in the square of twice this side round the point counts, to half a step; 0 means all
}

// SectionOf measures the section of a solid by the plane through a point, square to a direction.
//
// The plane is cut into squares, those that the field proves whole in or out are left whole, and along the outline those
// of the step are cut by straight lines between the points of their sides where the field is 0 (marching squares; the
// points to 1e-6 mm). The chords of a circle of radius r take a share of (step/r)^2/3 off its area at most; a corner that falls
// within a square loses up to half of it. Area and perimeter of a bar, a tube and a box are within 0.5 % at 40 steps
// across.
func SectionOf(s *solid.Solid, at, normal r3.Vec, o SectionOptions) Section {
	c := &cutter{c: solid.NewCover(s, margin), at: at, step: or(o.Step, 0.05), within: o.Within}
	n := unit(normal)
	c.x, c.y = across(n)
	lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, v := range s.Bounds().Vertices() {
		w := r3.Sub(v, at)
		p := r2.Vec{X: r3.Dot(w, c.x), Y: r3.Dot(w, c.y)}
		lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
		hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
	}
	side := c.step
	for side < max(hi.X-lo.X, hi.Y-lo.Y)+3*c.step {
		side *= 2
	}
	// Off by odd parts of a step, so that straight outlines do not run along the sides of squares.
	c.square(r2.Vec{X: lo.X - 1.37*c.step, Y: lo.Y - 1.59*c.step}, side)
	out := Section{Area: c.area, Perimeter: c.around, Middle: at}
	if c.area > 0 {
		out.Modulus = c.area / c.around
		m := r2.Scale(1/c.area, c.moment)
		out.Middle = c.place(m)
	}
	return out
}

// cutter adds up a section.
type cutter struct {
	c            *solid.Cover
	at, x, y     r3.Vec
	step, within float64
	area, around float64
	moment       r2.Vec
}

func (c *cutter) place(p r2.Vec) r3.Vec {
	return r3.Add(c.at, r3.Add(r3.Scale(p.X, c.x), r3.Scale(p.Y, c.y)))
}

func (c *cutter) eval(p r2.Vec) float64 { return c.c.Eval(c.place(p)) }

// square measures the square whose least corner is at lo.
func (c *cutter) square(lo r2.Vec, side float64) {
	mid := r2.Add(lo, r2.Vec{X: side / 2, Y: side / 2})
	if c.within > 0 {
		off := max(math.Abs(mid.X), math.Abs(mid.Y))
		if off > c.within+side/2 || side <= 1.5*c.step && off > c.within {
			return // the edge of the window is no outline: no metal cools there
		}
	}
	whole := c.within == 0 || max(math.Abs(mid.X), math.Abs(mid.Y)) < c.within-side/2 || side <= 1.5*c.step
	if f := c.eval(mid); math.Abs(f) > side/math.Sqrt2 && (f > 0 || whole) {
		if f < 0 {
			c.add(side*side, mid)
		}
		return
	}
	if side > 1.5*c.step {
		for _, d := range [4]r2.Vec{{}, {X: side / 2}, {Y: side / 2}, {X: side / 2, Y: side / 2}} {
			c.square(r2.Add(lo, d), side/2)
		}
		return
	}
	// Two triangles, so that there is no doubt which points belong together.
	a, b := lo, r2.Vec{X: lo.X + side, Y: lo.Y}
	d, e := r2.Vec{X: lo.X + side, Y: lo.Y + side}, r2.Vec{X: lo.X, Y: lo.Y + side}
	c.triangle([3]r2.Vec{a, b, d})
	c.triangle([3]r2.Vec{a, d, e})
}

func (c *cutter) add(area float64, mid r2.Vec) {
	c.area += area
	c.moment = r2.Add(c.moment, r2.Scale(area, mid))
}

// triangle adds the part of a triangle in which the field is negative, and the line that bounds it.
func (c *cutter) triangle(t [3]r2.Vec) {
	var f [3]float64
	in := 0
	for i := range t {
		if f[i] = c.eval(t[i]); f[i] < 0 {
			in++
		}
	}
	whole := math.Abs(r2.Cross(r2.Sub(t[1], t[0]), r2.Sub(t[2], t[0]))) / 2
	mid := r2.Scale(1.0/3, r2.Add(t[0], r2.Add(t[1], t[2])))
	switch in {
	case 0:
		return
	case 3:
		c.add(whole, mid)
		return
	}
	lone := 0 // the corner that is unlike the others
	for i := range f {
		if (f[i] < 0) == (in == 1) {
			lone = i
		}
	}
	p := c.root(t[lone], t[(lone+1)%3], f[lone], f[(lone+1)%3])
	q := c.root(t[lone], t[(lone+2)%3], f[lone], f[(lone+2)%3])
	c.around += r2.Norm(r2.Sub(p, q))
	tip := math.Abs(r2.Cross(r2.Sub(p, t[lone]), r2.Sub(q, t[lone]))) / 2
	tipMid := r2.Scale(1.0/3, r2.Add(t[lone], r2.Add(p, q)))
	if in == 1 {
		c.add(tip, tipMid)
		return
	}
	c.add(whole, mid)
	c.add(-tip, tipMid)
}

// root is where the field is 0 between two points at which its signs differ: false position, with halving where that is
// slow (the Illinois rule of M. Dowell and P. Jarratt, BIT 11, 1971).
func (c *cutter) root(a, b r2.Vec, fa, fb float64) r2.Vec {
	last := 0
	for range 40 {
		k := fa / (fa - fb)
		p := r2.Add(a, r2.Scale(k, r2.Sub(b, a)))
		f := c.eval(p)
		if math.Abs(f) < 1e-6 {
			return p
		}
		if (f < 0) == (fa < 0) {
			a, fa = p, f
			if last == 1 {
				fb /= 2
			}
			last = 1
		} else {
			b, fb = p, f
			if last == 2 {
				fa /= 2
			}
			last = 2
		}
	}
	return r2.Scale(0.5, r2.Add(a, b))
}
