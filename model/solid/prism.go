package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Prism is a chain extruded along its local z. Its distance is exact.
type Prism struct {
	chain  Chain
	edges  []edge // of the chain
	lo, hi float64
	tags   []string
	box    r3.Box
}

// NewPrism extrudes a chain from lo to hi; both end faces get the tag ends.
func NewPrism(ch Chain, lo, hi float64, ends string) *Prism {
	b := ch.bounds()
	p := &Prism{chain: ch, edges: ch.edges(), lo: lo, hi: hi,
		box: r3.Box{Min: r3.Vec{X: b.Min.X, Y: b.Min.Y, Z: lo}, Max: r3.Vec{X: b.Max.X, Y: b.Max.Y, Z: hi}}}
	for _, s := range ch {
		p.tags = append(p.tags, s.Tag)
	}
	p.tags = append(p.tags, ends, ends)
	return p
}

// WithEnds gives the two end faces tags of their own.
func (p *Prism) WithEnds(low, high string) *Prism {
	q := *p
	q.tags = append(append([]string{}, p.tags[:len(p.chain)]...), low, high)
	return &q
}

// Dist is the exact signed distance.
func (p *Prism) Dist(q r3.Vec) float64 {
	flat, b := r2.Vec{X: q.X, Y: q.Y}, math.Max(p.lo-q.Z, q.Z-p.hi)
	in := p.over(flat) && holds(p.edges, flat)
	if in && b >= 0 { // straight above or below
		return b
	}
	a := distTo(p.edges, flat)
	if in {
		a = -a
	}
	if a > 0 && b > 0 {
		return math.Sqrt(a*a + b*b)
	}
	return math.Max(a, b)
}

// over tells whether a place lies in the rectangle round the chain or a hair beside it: elsewhere it is outside for certain.
func (p *Prism) over(q r2.Vec) bool {
	return q.X >= p.box.Min.X-onSurface && q.X <= p.box.Max.X+onSurface && q.Y >= p.box.Min.Y-onSurface && q.Y <= p.box.Max.Y+onSurface
}

// Closest is the nearest point of the surface and its face: the piece of the chain, or len(chain) and len(chain)+1 for
// the low and the high end.
func (p *Prism) Closest(q r3.Vec) (r3.Vec, int) {
	flat := r2.Vec{X: q.X, Y: q.Y}
	c, seg := p.chain.Closest(flat)
	n := len(p.chain)
	end, z := n, p.lo
	if q.Z-p.lo > p.hi-q.Z {
		end, z = n+1, p.hi
	}
	inside := p.chain.Inside(flat)
	depth := math.Min(q.Z-p.lo, p.hi-q.Z)
	switch {
	case inside && depth < math.Sqrt(r2.Norm2(r2.Sub(flat, c))):
		return r3.Vec{X: q.X, Y: q.Y, Z: z}, end
	case depth < 0:
		return r3.Vec{X: c.X, Y: c.Y, Z: z}, end
	}
	return r3.Vec{X: c.X, Y: c.Y, Z: q.Z}, seg
}

// Bounds contains the prism.
func (p *Prism) Bounds() r3.Box { return p.box }

// Faces names the pieces of the chain and the two ends.
func (p *Prism) Faces() []string { return p.tags }

// Facet cuts the prism into convex prisms and gives their outer facets.
func (p *Prism) Facet(within Chord, at contacts) Faceted {
	pts, from := p.chain.polygon(within.Single, at)
	n := int32(len(pts))
	var f Faceted
	for _, q := range pts {
		f.point(p.at(q, p.lo))
	}
	for _, q := range pts {
		f.point(p.at(q, p.hi))
	}
	for i := range n {
		j := (i + 1) % n
		f.add(from[i], i, j, n+j, n+i)
	}
	for _, cell := range convexCells(pts) {
		var low, high []int32
		for _, i := range cell {
			high = append(high, n+int32(i))
			low = append([]int32{int32(i)}, low...)
		}
		f.add(len(p.chain), low...)
		f.add(len(p.chain)+1, high...)
		f.Cells = append(f.Cells, Cell{Planes: p.sides(pts, cell), Corner: append(low, high...)})
	}
	return f
}

// sides are the planes round the convex prism over a cell.
func (p *Prism) sides(pts []r2.Vec, cell []int) []Plane {
	planes := []Plane{{N: r3.Vec{Z: -1}, D: -p.lo}, {N: r3.Vec{Z: 1}, D: p.hi}}
	for k, i := range cell {
		a, b := pts[i], pts[cell[(k+1)%len(cell)]]
		planes = append(planes, planeThrough(p.at(a, p.lo), p.at(b, p.lo), p.at(b, p.hi)))
	}
	return planes
}

func (p *Prism) at(q r2.Vec, z float64) r3.Vec { return r3.Vec{X: q.X, Y: q.Y, Z: z} }
