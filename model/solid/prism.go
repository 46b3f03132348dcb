package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Prism is a chain extruded along its local z. Its distance is exact.
type Prism struct {
	chain  Chain
	lo, hi float64
	tags   []string
	box    r3.Box
}

// NewPrism extrudes a chain from lo to hi; both end faces get the tag ends.
func NewPrism(ch Chain, lo, hi float64, ends string) *Prism {
	b := ch.bounds()
	p := &Prism{chain: ch, lo: lo, hi: hi,
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
	a := p.chain.Dist(r2.Vec{X: q.X, Y: q.Y})
	b := math.Max(p.lo-q.Z, q.Z-p.hi)
	if a > 0 && b > 0 {
		return math.Hypot(a, b)
	}
	return math.Max(a, b)
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
	case inside && depth < r2.Norm(r2.Sub(flat, c)):
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
func (p *Prism) Facet(within Chord) Faceted {
	pts, from := p.chain.polygon(within.Single)
	var f Faceted
	for i := range pts {
		a, b := pts[i], pts[(i+1)%len(pts)]
		f.add(from[i], p.at(a, p.lo), p.at(b, p.lo), p.at(b, p.hi), p.at(a, p.hi))
	}
	n := len(p.chain)
	for _, cell := range convexCells(pts) {
		var low, high []r3.Vec
		var planes []Plane
		for k, i := range cell {
			a, b := pts[i], pts[cell[(k+1)%len(cell)]]
			high = append(high, p.at(a, p.hi))
			low = append([]r3.Vec{p.at(a, p.lo)}, low...)
			planes = append(planes, planeThrough(p.at(a, p.lo), p.at(b, p.lo), p.at(b, p.hi)))
		}
		f.add(n, low...)
		f.add(n+1, high...)
		planes = append(planes, Plane{N: r3.Vec{Z: -1}, D: -p.lo}, Plane{N: r3.Vec{Z: 1}, D: p.hi})
		f.Cells = append(f.Cells, planes)
	}
	return f
}

func (p *Prism) at(q r2.Vec, z float64) r3.Vec { return r3.Vec{X: q.X, Y: q.Y, Z: z} }
