package spring

import "math"

// Stress is the stress along the strip at one place of it, MPa, tension positive.
type Stress struct {
	S, X, Z     float64 // mid-line place, mm
	Part        string
	Left, Right float64 // at mid-width on the left (inside of the hairpin) and right surface
	Edge        float64 // by how much it is greater in size at the strip's edges than at mid-width: a factor
}

// Peak is the greatest stress of a shape.
type Peak struct {
	MPa     float64 // signed
	S, X, Z float64 // at the surface, mm
	Part    string
	Inside  bool // on the inside of the hairpin
}

// stresses are those of every segment of the leaf; neck and root pad are left out, they are many times as stiff.
func (s *shape) stresses() []Stress {
	var out []Stress
	for i := range s.f.segs {
		g := &s.f.segs[i]
		part := s.f.pieces[g.piece].Name
		if part != LowerLeaf && part != TheFold && part != UpperLeaf && part != "" {
			continue
		}
		// Along the strip the moment per mm is M/b + D f'' psi; psi is -b2/12 in the middle, b2/6 at the edges.
		extra := g.c.plate * acrossBend(s.across, i, g.h) * g.b * g.b
		left, right := fibres(g.k, g.t(0.5), g.b, s.n[i], s.m[i]-extra/12)
		el, er := fibres(g.k, g.t(0.5), g.b, s.n[i], s.m[i]+extra/6)
		p := s.on(i, 0.5)
		k := 1.0
		if m := math.Max(math.Abs(left), math.Abs(right)); m > 0 {
			k = math.Max(math.Abs(el), math.Abs(er)) / m
		}
		out = append(out, Stress{S: g.s + g.h/2, X: p.X, Z: p.Y, Part: part, Left: left, Right: right, Edge: k})
	}
	return out
}

// peak is the greatest stress along the strip in size, edges included.
func (s *shape) peak() Peak {
	var best Peak
	for _, q := range s.stresses() {
		for _, side := range []float64{1, -1} {
			v := q.Left
			if side < 0 {
				v = q.Right
			}
			v *= math.Max(1, q.Edge)
			if math.Abs(v) > math.Abs(best.MPa) {
				p := s.at(s.f.skin(q.S, side))
				best = Peak{MPa: v, S: q.S, X: p.X, Z: p.Y, Part: q.Part, Inside: side > 0}
			}
		}
	}
	return best
}
