package contour

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// cutter cuts facets; it keeps its scratch space.
type cutter struct {
	a            *arrangement
	known        []solid.Known
	open         []int32
	scratch      solid.Scratch
	mine, theirs []r3.Vec
	d            []float64
	seams        []seam
	lines        []line
	cross        []r3.Vec
}

// cut finds the segments that a piece has in common with facets of the leaves open to it, and where they cross.
func (c *cutter) cut(p *piece) {
	l := &c.a.leaves[p.leaf]
	f := &l.Facets[p.facet]
	box := c.a.box[p.leaf][p.facet]
	c.mine = gathered(c.mine[:0], l.Pts, f.V)
	c.seams = c.seams[:0]
	for _, i := range p.open {
		m := &c.a.leaves[i]
		if apart(m.Box, box) {
			continue
		}
		for k := range m.Facets {
			if apart(c.a.box[i][k], box) {
				continue
			}
			g := &m.Facets[k]
			c.theirs = gathered(c.theirs[:0], m.Pts, g.V)
			if s, ok := c.common(f.Plane, g.Plane); ok {
				s.leaf = i
				c.seams = append(c.seams, s)
			}
		}
	}
	c.crossings(flatten(f.Plane.N))
	p.cuts, p.cross = slices.Clone(c.seams), slices.Clone(c.cross)
}

func gathered(out, pts []r3.Vec, which []int32) []r3.Vec {
	for _, v := range which {
		out = append(out, pts[v])
	}
	return out
}

// common is the segment that two convex facets have in common: on the line where their planes meet, what both cover. It
// comes out the same, to the bit, whichever of the two is asked first.
func (c *cutter) common(mine, theirs solid.Plane) (s seam, ok bool) {
	dir := r3.Cross(mine.N, theirs.N)
	if r3.Norm2(dir) <= sameDir*sameDir {
		return s, false
	}
	x, ok := c.span(c.theirs, mine, dir)
	if !ok {
		return s, false
	}
	y, ok := c.span(c.mine, theirs, dir)
	if !ok {
		return s, false
	}
	lo, hi := x[0], x[1]
	if y[0].t > lo.t {
		lo = y[0]
	}
	if y[1].t < hi.t {
		hi = y[1]
	}
	if hi.t-lo.t <= 0 || r3.Norm2(r3.Sub(hi.p, lo.p)) <= weld*weld {
		return s, false
	}
	return seam{a: lo.p, b: hi.p}, true
}

// mark is a point on a line and how far along it lies.
type mark struct {
	p r3.Vec
	t float64
}

// span is the part of a convex polygon that lies in a plane, from the first to the last point along dir.
func (c *cutter) span(poly []r3.Vec, e solid.Plane, dir r3.Vec) (ends [2]mark, ok bool) {
	c.d = c.d[:0]
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range poly {
		d := e.Above(p)
		if math.Abs(d) <= on {
			d = 0
		}
		c.d = append(c.d, d)
		lo, hi = math.Min(lo, d), math.Max(hi, d)
	}
	if lo > 0 || hi < 0 {
		return ends, false
	}
	ends[0].t, ends[1].t = math.Inf(1), math.Inf(-1)
	take := func(p r3.Vec) {
		t := r3.Dot(dir, p)
		if t < ends[0].t {
			ends[0] = mark{p, t}
		}
		if t > ends[1].t {
			ends[1] = mark{p, t}
		}
	}
	for i, p := range poly {
		j := (i + 1) % len(poly)
		if c.d[i] == 0 {
			take(p)
		} else if c.d[i] < 0 && c.d[j] > 0 || c.d[i] > 0 && c.d[j] < 0 {
			take(crossing(p, poly[j], c.d[i], c.d[j]))
		}
	}
	return ends, ends[1].t > ends[0].t
}

// crossing is where the edge meets the plane, computed the same from either end.
func crossing(p, q r3.Vec, dp, dq float64) r3.Vec {
	if dp > dq {
		p, q, dp, dq = q, p, dq, dp
	}
	return r3.Add(p, r3.Scale(dp/(dp-dq), r3.Sub(q, p)))
}

// line is a seam in the flat coordinates of its plane.
type line struct {
	a, b           r2.Vec
	x0, x1, y0, y1 float64
	i              int
}

// crossings finds where seams of different leaves cross within their plane, seen by the two flat coordinates.
func (c *cutter) crossings(flat func(r3.Vec) r2.Vec) {
	c.cross, c.lines = c.cross[:0], c.lines[:0]
	one := true // all seams are with one leaf
	for i, s := range c.seams {
		a, b := flat(s.a), flat(s.b)
		c.lines = append(c.lines, line{a, b, min(a.X, b.X), max(a.X, b.X), min(a.Y, b.Y), max(a.Y, b.Y), i})
		one = one && s.leaf == c.seams[0].leaf
	}
	if one {
		return
	}
	slices.SortFunc(c.lines, func(p, q line) int {
		return cmp.Or(cmp.Compare(p.x0, q.x0), p.i-q.i)
	})
	for n := range c.lines {
		p := &c.lines[n]
		for k := n + 1; k < len(c.lines) && c.lines[k].x0 <= p.x1; k++ {
			q := &c.lines[k]
			if p.y0 <= q.y1 && q.y0 <= p.y1 && c.seams[p.i].leaf != c.seams[q.i].leaf {
				c.crossing(p, q)
			}
		}
	}
}

func (c *cutter) crossing(p, q *line) {
	s1, s2 := cross3(p.a, p.b, q.a), cross3(p.a, p.b, q.b)
	s3, s4 := cross3(q.a, q.b, p.a), cross3(q.a, q.b, p.b)
	if (s1 > 0) != (s2 > 0) && (s3 > 0) != (s4 > 0) {
		s := c.seams[p.i]
		c.cross = append(c.cross, r3.Add(s.a, r3.Scale(s3/(s3-s4), r3.Sub(s.b, s.a))))
	}
}
