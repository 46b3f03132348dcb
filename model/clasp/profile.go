package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// profile is the outer section of lock and chain in (y, z), with stock s all round.
func (l *Lock) profile(s float64) (solid.Chain, error) {
	edge := 0.0
	if l.Edge > 0 {
		edge = l.Edge + s
	}
	if l.Crown <= 0 && l.Underside <= 0 {
		return l.flatProfile(s, edge)
	}
	return l.domedProfile(s, edge), nil
}

func (l *Lock) flatProfile(s, edge float64) (solid.Chain, error) {
	h, t := l.Width/2, l.Thickness
	side := func(x0, y0, x1, y1 float64, tag string) solid.Side {
		return solid.Side{P: r2.Vec{X: x0, Y: y0}, Q: r2.Vec{X: x1, Y: y1}, Out: s, Round: edge, Tag: tag}
	}
	ch, err := solid.Outline(side(-h, 0, h, 0, tagUnderside), side(h, 0, h, t, tagSide), side(h, t, -h, t, tagFace), side(-h, t, -h, 0, tagSide))
	return eased(ch), err
}

// eased tags the rounds of the profile as the long edges that they are.
func eased(ch solid.Chain) solid.Chain {
	for i := range ch {
		if ch[i].R > 0 && ch[i].Tag != tagFace {
			ch[i].Tag = tagLongEdge
		}
	}
	return ch
}

// rim is how the side of the section runs into its top or its underside: from the side's end through the eased edge to
// the first point of the arc, or of the flat.
type rim struct{ side, centre, inner r2.Vec }

// rimOf finds the rim at the right: up is +1 for the top, -1 for the underside; flat is the height of a flat, which an
// arc of radius 0 stands for. The centre of the eased edge is edge inside the side and edge inside the arc.
func rimOf(h, edge, up float64, a arc, flat float64) rim {
	y := h - edge
	if a.r == 0 {
		c := r2.Vec{X: y, Y: flat - up*edge}
		return rim{r2.Vec{X: h, Y: c.Y}, c, r2.Vec{X: y, Y: flat}}
	}
	c := r2.Vec{X: y, Y: a.c.Y + up*math.Sqrt((a.r-edge)*(a.r-edge)-(y-a.c.X)*(y-a.c.X))}
	return rim{r2.Vec{X: h, Y: c.Y}, c, r2.Add(a.c, r2.Scale(a.r, r2.Unit(r2.Sub(c, a.c))))}
}

// sideHeights is between which heights the finished sides are plane: from eased edge to eased edge.
func (l *Lock) sideHeights() (low, high float64) {
	_, flank := l.top().arcs(l.Thickness)
	under := arc{r2.Vec{Y: l.Underside}, l.Underside}
	return rimOf(l.Width/2, l.Edge, -1, under, 0).side.Y, rimOf(l.Width/2, l.Edge, 1, flank, l.Thickness).side.Y
}

// domedProfile has arcs above, below or both, concentric with those of the finished section, and eased edges tangent to
// side and arc.
func (l *Lock) domedProfile(s, edge float64) solid.Chain {
	h := l.Width/2 + s
	mid, flank := l.top().arcs(l.Thickness)
	join := r2.Vec{}
	if l.CrownJoin > 0 { // both circles grow by the stock, and so does the way from their centres to the join
		join = r2.Add(mid.c, r2.Scale((mid.r+s)/mid.r, r2.Vec{X: l.CrownJoin, Y: math.Sqrt(mid.r*mid.r - l.CrownJoin*l.CrownJoin)}))
	}
	grow := func(a arc) arc {
		if a.r > 0 {
			a.r += s
		}
		return a
	}
	mid, flank = grow(mid), grow(flank)
	under := grow(arc{r2.Vec{Y: l.Underside}, l.Underside})
	low, top := rimOf(h, edge, -1, under, -s), rimOf(h, edge, 1, flank, l.Thickness+s)
	m := func(p r2.Vec) r2.Vec { return r2.Vec{X: -p.X, Y: p.Y} }
	var ch solid.Chain
	add := func(a, b r2.Vec, on arc, tag string) {
		if r2.Norm(r2.Sub(a, b)) > 1e-9 {
			ch = append(ch, solid.Seg{A: a, B: b, C: on.c, R: on.r, Tag: tag})
		}
	}
	add(m(low.inner), low.inner, under, tagUnderside)
	add(low.inner, low.side, arc{low.centre, edge}, tagLongEdge)
	add(low.side, top.side, arc{}, tagSide)
	add(top.side, top.inner, arc{top.centre, edge}, tagLongEdge)
	if l.CrownJoin > 0 {
		add(top.inner, join, flank, tagFace)
		add(join, m(join), mid, tagFace)
		add(m(join), m(top.inner), arc{m(flank.c), flank.r}, tagFace)
	} else {
		add(top.inner, m(top.inner), mid, tagFace)
	}
	add(m(top.inner), m(top.side), arc{m(top.centre), edge}, tagLongEdge)
	add(m(top.side), m(low.side), arc{}, tagSide)
	add(m(low.side), m(low.inner), arc{m(low.centre), edge}, tagLongEdge)
	return ch
}

// across is an outline in (x, z) as wide as w.
func across(w float64, ends string, sides ...solid.Side) (*solid.Solid, error) {
	ch, err := solid.Outline(sides...)
	if err != nil {
		return nil, err
	}
	return solid.New(solid.NewPrism(ch, -w/2, w/2, ends), solid.AcrossY), nil
}

// line is the side from (x0, z0) to (x1, z1) of an outline, moved outwards by out.
func line(x0, z0, x1, z1, out float64, tag string) solid.Side {
	return solid.Side{P: r2.Vec{X: x0, Y: z0}, Q: r2.Vec{X: x1, Y: z1}, Out: out, Tag: tag}
}

// level runs along x at height z, upward or downward run along z at x.
func level(z, dir, out float64, tag string) solid.Side { return line(0, z, dir, z, out, tag) }

func rising(x, dir, out float64, tag string) solid.Side { return line(x, 0, x, dir, out, tag) }

func rounded(s solid.Side, r float64) solid.Side { s.Round = r; return s }
