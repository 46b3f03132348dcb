package spring

import "math"

// firstSet is how far the shoulder's edge stays down after the first press by drop, mm, for a metal that is elastic up to its yield and flows
// beyond it: the moment of a rectangular section under curvature k is My (3 - (ky/k)2)/2 (S. Timoshenko, Strength of Materials, Part II,
// bending beyond the elastic limit); in the fold My is that at which its inner side yields. An estimate: hardening makes it less. ok is false
// where the section would have to bear more than one and a half times My.
func (b *bed) firstSet(drop, yield float64) (set float64, ok bool) {
	tab := b.tab()
	e := &equilibrium{shape: b.f.relaxed()}
	e.set = make([]float64, len(b.f.segs))
	for range 60 {
		var err error
		if e, _, err = b.pressed(tab, drop, e); err != nil {
			return 0, false
		}
		change := 0.0
		for i := range b.f.segs {
			k, fits := b.f.segs[i].flow(e.m[i], yield)
			if !fits {
				return 0, false
			}
			next := (k + e.set[i]) / 2
			change = math.Max(change, math.Abs(next-e.set[i])*b.f.segs[i].h)
			e.set[i] = next
		}
		if change < 1e-7 {
			break
		}
	}
	free, err := b.f.settle(nil, b.holds, &equilibrium{shape: e.shape})
	if err != nil {
		return 0, false
	}
	return b.f.relaxed().at(b.corner).Y - free.at(b.corner).Y, true
}

// flow is the curvature that a moment leaves in a segment beyond the elastic one.
func (g *segment) flow(m, yield float64) (k float64, ok bool) {
	left, right := fibres(g.k, g.t(0.5), g.b, 0, 1)
	first := yield / math.Max(math.Abs(left), math.Abs(right))
	r := math.Abs(m) / first
	if r <= 1 {
		return 0, true
	}
	if r >= 1.49 {
		return 0, false
	}
	return math.Copysign(first*g.c.mm*(1/math.Sqrt(3-2*r)-r), m), true
}
