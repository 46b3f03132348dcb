package letter

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// Within is how far lines and arcs may leave the font's own curves, mm.
const Within = 0.001

// chain makes a contour, in mm, a chain of lines and arcs that leaves it by no more than within, run anticlockwise.
func (c Contour) chain(within float64, tag string) solid.Chain {
	if c.Area() < 0 {
		c = c.reversed()
	}
	var ch solid.Chain
	for _, k := range c {
		ch = k.arcs(ch, within, tag, 0)
	}
	for i := range ch { // each begins exactly where the one before it ends
		ch[i].B = ch[(i+1)%len(ch)].A
	}
	return ch
}

// flattest is the sagitta below which an arc is a line, mm.
const flattest = 1e-5

// arcs appends a curve: as a line, as two arcs tangent to it at its ends and to each other (a biarc with legs of one length; K. M. Bolton,
// Biarc curves, Computer-Aided Design 7, 1975, from memory), or as its halves.
func (c Curve) arcs(ch solid.Chain, within float64, tag string, deep int) solid.Chain {
	chord := r2.Sub(c.B, c.A)
	if c.Straight || math.Abs(r2.Cross(r2.Unit(chord), r2.Sub(c.K, c.A))) < 2*flattest {
		return append(ch, solid.Seg{A: c.A, B: c.B, Tag: tag})
	}
	one, two, ok := c.biarc(tag)
	if deep < 8 && (!ok || c.leaves(one, two) > 0.8*within) {
		left, right := c.halves()
		return right.arcs(left.arcs(ch, within, tag, deep+1), within, tag, deep+1)
	}
	return append(ch, one, two)
}

func (c Curve) halves() (left, right Curve) {
	mid := func(p, q r2.Vec) r2.Vec { return r2.Scale(0.5, r2.Add(p, q)) }
	a, b := mid(c.A, c.K), mid(c.K, c.B)
	m := mid(a, b)
	return Curve{A: c.A, K: a, B: m}, Curve{A: m, K: b, B: c.B}
}

// biarc finds the two arcs. Legs of length d along both tangents end in points 2d apart: |v - d(s+t)| = 2d with v the chord, so
// 2 d^2 (1 - s.t) + 2 d v.(s+t) - v.v = 0.
func (c Curve) biarc(tag string) (one, two solid.Seg, ok bool) {
	v, s, t := r2.Sub(c.B, c.A), c.tangent(0), c.tangent(1)
	a, b, k := 2*(1-r2.Dot(s, t)), 2*r2.Dot(v, r2.Add(s, t)), -r2.Norm2(v)
	root := math.Sqrt(b*b - 4*a*k)
	d := -2 * k / (b + root) // the positive root, without cancelling
	if !(d > 0) || math.IsInf(d, 0) {
		return one, two, false
	}
	p, q := r2.Add(c.A, r2.Scale(d, s)), r2.Sub(c.B, r2.Scale(d, t))
	m := r2.Scale(0.5, r2.Add(p, q))
	if one, ok = arcFrom(c.A, m, s, tag); !ok {
		return one, two, false
	}
	two, ok = arcFrom(m, c.B, r2.Unit(r2.Sub(q, p)), tag)
	return one, two, ok
}

// arcFrom is the arc from a to b that begins in the direction d; a line where it is as good as straight. It is less than half a turn.
func arcFrom(a, b, d r2.Vec, tag string) (solid.Seg, bool) {
	v := r2.Sub(b, a)
	across, along := r2.Cross(d, v), r2.Dot(d, v)
	if along <= 0 {
		return solid.Seg{}, false
	}
	if math.Abs(across) < 4*flattest*math.Min(1, r2.Norm(v)) {
		return solid.Seg{A: a, B: b, Tag: tag}, true
	}
	r := r2.Norm2(v) / (2 * across) // positive to the left
	c := r2.Add(a, r2.Scale(r, r2.Vec{X: -d.Y, Y: d.X}))
	return solid.Seg{A: a, B: b, C: c, R: math.Abs(r), CW: r < 0, Tag: tag}, true
}

// leaves is how far the curve is from the two pieces, at 15 places of it; between them by a fraction more.
func (c Curve) leaves(one, two solid.Seg) (most float64) {
	pair := solid.Chain{one, two}
	for i := 1; i < 16; i++ {
		p := c.At(float64(i) / 16)
		q, _ := pair.Closest(p)
		most = math.Max(most, r2.Norm(r2.Sub(p, q)))
	}
	return most
}
