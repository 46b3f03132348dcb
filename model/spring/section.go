package spring

import "math"

// compliance is how a segment gives way, all per mm of its length: the curvature grows by mm M + mn N, the middle line
// stretches by mn M + nn N and shears by vv V. M is about the middle line and positive when it turns the far end left.
type compliance struct {
	mm, mn, nn, vv float64
	plate          float64 // bending stiffness of the strip held flat across, N mm2
}

// shearShape is the shear coefficient of a rectangle (S. Timoshenko, Strength of Materials, Part I: 5/6 in the form
// that energy gives).
const shearShape = 5.0 / 6

// complianceOf takes the strip as held flat across (plane strain); what it gains by bending across comes from across.go.
// A curved segment is a thick curved bar by E. Winkler: strain energy M2/(2AEeR) + N2/(2AE) + MN/(AER) + V2/(2kGA) per
// mm (S. Timoshenko, Strength of Materials, Part II, chapter on bending of curved bars; there M is positive the other way).
func complianceOf(m Metal, g *segment) compliance {
	t, a := g.t(0.5), g.b*g.t(0.5)
	flat := m.E / (1 - m.Poisson*m.Poisson)
	shear := m.shear
	if shear == 0 {
		shear = m.E / (2 * (1 + m.Poisson))
	}
	c := compliance{nn: 1 / (m.E * a), vv: 1 / (shearShape * shear * a)}
	if g.k == 0 {
		// The mean of 1/t3 over a linear taper.
		c.mm = 12 / (flat * g.b) * (g.t0 + g.t1) / (2 * g.t0 * g.t0 * g.t1 * g.t1)
	} else {
		r := 1 / math.Abs(g.k)
		_, e := neutral(r, t)
		c.mm, c.mn = 1/(a*flat*e*r), g.k/(a*flat)
	}
	c.plate = 1 / c.mm
	return c
}

// neutral is the radius of the neutral layer of a curved bar of rectangular section, and how far it lies inside the
// middle line, by Winkler: rn = t / ln(ro/ri). Both mm; r is the radius of the middle line and must exceed t/2.
func neutral(r, t float64) (rn, e float64) {
	x := t / (2 * r)
	if x < 0.02 { // the series, where the difference of near equals loses digits: e = r x2/3 (1 + 4 x2/15 + ...)
		e = r * x * x / 3 * (1 + 4*x*x/15)
		return r - e, e
	}
	rn = t / math.Log((r+t/2)/(r-t/2))
	return rn, r - rn
}

// fibres are the stresses along the strip at its left and right surface, MPa, tension positive, of the force N along and the
// moment M of a segment as wide as b at thickness t. Curved, by Winkler.
func fibres(k, t, b, n, m float64) (left, right float64) {
	a := b * t
	if k == 0 {
		s := 6 * m / (a * t)
		return n/a - s, n/a + s
	}
	r := 1 / math.Abs(k)
	rn, e := neutral(r, t)
	in := func(m float64) float64 { return -m * (rn - (r - t/2)) / (a * e * (r - t/2)) }
	out := func(m float64) float64 { return m * (r + t/2 - rn) / (a * e * (r + t/2)) }
	if k > 0 {
		return n/a + in(m), n/a + out(m)
	}
	return n/a + out(-m), n/a + in(-m)
}

// Factor is Winkler's factor of the inner side of a fold, by which the stress there exceeds that of a straight strip: inside
// radius r and thickness t, mm.
func Factor(r, t float64) float64 {
	in, _ := fibres(1/(r+t/2), t, 1, 0, 1)
	return -in * t * t / 6
}
