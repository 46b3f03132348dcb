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
	if l.Crown <= 0 {
		return l.flatProfile(s, edge)
	}
	return l.crownProfile(s, edge), nil
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

// crownProfile has one arc for the crown and an arc tangent to crown and side at each upper edge. The centre of such an
// arc is edge inside the side and R - edge from the crown's centre.
func (l *Lock) crownProfile(s, edge float64) solid.Chain {
	h, r := l.Width/2+s, l.Crown+s
	mid := r2.Vec{Y: l.Thickness - l.Crown}
	y := h - edge
	e := r2.Vec{X: y, Y: mid.Y + math.Sqrt((r-edge)*(r-edge)-y*y)}
	top := r2.Add(mid, r2.Scale(r, r2.Unit(r2.Sub(e, mid))))
	mirror := func(p r2.Vec) r2.Vec { return r2.Vec{X: -p.X, Y: p.Y} }
	low := -s
	side := r2.Vec{X: h, Y: e.Y}
	if edge == 0 {
		return solid.Chain{
			{A: r2.Vec{X: -h, Y: low}, B: r2.Vec{X: h, Y: low}, Tag: tagUnderside},
			{A: r2.Vec{X: h, Y: low}, B: top, Tag: tagSide},
			{A: top, B: mirror(top), C: mid, R: r, Tag: tagFace},
			{A: mirror(top), B: r2.Vec{X: -h, Y: low}, Tag: tagSide},
		}
	}
	under := r2.Vec{X: h - edge, Y: low}
	corner := r2.Vec{X: h, Y: low + edge}
	c := r2.Vec{X: h - edge, Y: low + edge}
	return solid.Chain{
		{A: mirror(under), B: under, Tag: tagUnderside},
		{A: under, B: corner, C: c, R: edge, Tag: tagLongEdge},
		{A: corner, B: side, Tag: tagSide},
		{A: side, B: top, C: e, R: edge, Tag: tagLongEdge},
		{A: top, B: mirror(top), C: mid, R: r, Tag: tagFace},
		{A: mirror(top), B: mirror(side), C: mirror(e), R: edge, Tag: tagLongEdge},
		{A: mirror(side), B: mirror(corner), Tag: tagSide},
		{A: mirror(corner), B: mirror(under), C: mirror(c), R: edge, Tag: tagLongEdge},
	}
}

// body is the outer profile from x0 to x1.
func (l *Lock) body(s, x0, x1 float64, ends string) (*solid.Solid, error) {
	ch, err := l.profile(s)
	if err != nil {
		return nil, err
	}
	return solid.New(solid.NewPrism(ch, x0, x1, ends), solid.AlongX), nil
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
