package contour

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// stretch is a part of a facet's edge, or of a segment across it, that nothing crosses: from point u to point v.
type stretch struct {
	u, v int32
	rim  bool // part of the facet's own edge; the facet lies to its left
}

// border is a stretch with surface to its left. over says that it is seen from the facet's inner side.
type border struct {
	u, v int32
	over bool
}

// judge decides for each stretch of a piece whether there is surface to the left and to the right of it, and keeps those
// where that differs.
type judge struct {
	a     *arrangement
	pts   []r3.Vec
	in    [4][]bool // left below, left above, right below, right above: which leaves hold a place there
	split []int32
	all   []stretch
}

func (j *judge) borders(p *piece, poly []int32, ends [][2]int32, near *alongside) (out []border) {
	j.all = j.all[:0]
	for i, u := range poly {
		j.add(near, u, poly[(i+1)%len(poly)], true)
	}
	if len(p.open) == 0 {
		surface := 1
		if p.over {
			surface = -1
		}
		for _, s := range j.all {
			out = bordersOf(out, s, surface, true)
		}
		return out
	}
	for _, e := range ends {
		j.add(near, e[0], e[1], false)
	}
	for _, s := range distinctStretches(j.all) {
		out = j.judge(p, s, out)
	}
	return out
}

// add adds a stretch, broken at the points that lie on it.
func (j *judge) add(near *alongside, u, v int32, rim bool) {
	if u == v {
		return
	}
	j.split = near.between(u, v, j.split[:0])
	for _, m := range j.split {
		j.all = append(j.all, stretch{u, m, rim})
		u = m
	}
	j.all = append(j.all, stretch{u, v, rim})
}

// distinctStretches keeps one of those that join the same points; the facet's own edge goes first.
func distinctStretches(all []stretch) []stretch {
	slices.SortFunc(all, func(a, b stretch) int {
		if d := int(min(a.u, a.v)) - int(min(b.u, b.v)); d != 0 {
			return d
		}
		if d := int(max(a.u, a.v)) - int(max(b.u, b.v)); d != 0 {
			return d
		}
		switch {
		case a.rim != b.rim && a.rim:
			return -1
		case a.rim != b.rim:
			return 1
		}
		return int(a.u) - int(b.u)
	})
	return slices.CompactFunc(all, func(a, b stretch) bool {
		return min(a.u, a.v) == min(b.u, b.v) && max(a.u, a.v) == max(b.u, b.v)
	})
}

// judge looks at the four places round the middle of a stretch, an infinitesimal step to its left or right and below or
// above the facet.
func (j *judge) judge(p *piece, s stretch, out []border) []border {
	n := j.a.leaves[p.leaf].Facets[p.facet].Plane.N
	u, v := j.pts[s.u], j.pts[s.v]
	left := r3.Cross(n, r3.Sub(v, u))
	left = r3.Scale(1/math.Sqrt(r3.Norm2(left)), left)
	mid := lerp(u, v, 0.5)
	var covered [2]bool // an earlier leaf brings this part of the plane
	for _, i := range p.open {
		h := holder{&j.a.leaves[i]}.at4(mid, left, n)
		for k := range j.in {
			j.in[k][i] = h&(1<<k) != 0
		}
		if i < p.leaf && slices.Contains(p.flush, i) {
			covered[0] = covered[0] || j.in[0][i] != j.in[1][i]
			covered[1] = covered[1] || j.in[2][i] != j.in[3][i]
		}
	}
	for k := range j.in {
		j.in[k][p.leaf] = k%2 == 0
	}
	l := j.surface(p, 0, covered[0])
	r := 0
	if !s.rim {
		r = j.surface(p, 2, covered[1])
	}
	if l == r {
		return out
	}
	return bordersOf(bordersOf(out, s, l, true), s, r, false)
}

// surface is 1 where the solid lies below the facet only, -1 where above only, else 0.
func (j *judge) surface(p *piece, side int, covered bool) int {
	if covered {
		return 0
	}
	below, above := p.formula.Holds(j.in[side]), p.formula.Holds(j.in[side+1])
	switch {
	case below && !above:
		return 1
	case above && !below:
		return -1
	}
	return 0
}

// bordersOf runs along the surface at one side of the stretch so that it lies to the left as seen from outside.
func bordersOf(out []border, s stretch, surface int, left bool) []border {
	switch {
	case surface == 0:
		return out
	case surface > 0 == left:
		return append(out, border{s.u, s.v, surface < 0})
	}
	return append(out, border{s.v, s.u, surface < 0})
}

// holder is a faceted leaf that can say which of the places round a point it holds.
type holder struct{ *solid.FacetedLeaf }

// Four places round a point, an infinitesimal step to the left or right and below or above.
const (
	leftBelow = 1 << iota
	leftAbove
	rightBelow
	rightAbove
	everywhere = leftBelow | leftAbove | rightBelow | rightAbove
)

// at4 says which of the four places round m the leaf holds. Where m lies on a plane, the step to the side decides, or,
// where the plane is the facet's own, the step up or down.
func (l holder) at4(m, left, up r3.Vec) (held int) {
	if outsideBox(l.Box, m) {
		return 0
	}
	if d := l.Dist(m); d > l.Slack+beside {
		return 0
	} else if d < -l.Slack-beside {
		return everywhere
	}
	for i := range l.Cells {
		if c := &l.Cells[i]; !outsideBox(c.Box, m) {
			held |= cellAt4(c, m, left, up)
		}
	}
	return held
}

func cellAt4(c *solid.Cell, m, left, up r3.Vec) int {
	held := everywhere
	for _, e := range c.Planes {
		h := e.Above(m)
		if h > beside {
			return 0
		}
		if h < -beside {
			continue
		}
		switch s := r3.Dot(e.N, left); {
		case s > sameDir:
			held &^= leftBelow | leftAbove
		case s < -sameDir:
			held &^= rightBelow | rightAbove
		case r3.Dot(e.N, up) > 0:
			held &^= leftAbove | rightAbove
		default:
			held &^= leftBelow | rightBelow
		}
	}
	return held
}

func outsideBox(b r3.Box, p r3.Vec) bool {
	return p.X < b.Min.X-beside || p.X > b.Max.X+beside || p.Y < b.Min.Y-beside || p.Y > b.Max.Y+beside ||
		p.Z < b.Min.Z-beside || p.Z > b.Max.Z+beside
}
