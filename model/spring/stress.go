package spring

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Stress is the stress along the strip at one place of it, MPa, tension positive.
type Stress struct {
	S, X, Z     float64 // mid-line place, mm
	Part        string
	Left, Right float64    // on the left (inside of the hairpin) and right surface, the mean across the strip
	Middle      float64    // stress at mid-width over the mean
	Most        float64    // greatest bending a thickness and more from the edges, over the mean
	Greatest    [2]float64 // MPa on the left and on the right there, what pulls along the strip included
}

// Peak is the greatest stress of a shape.
type Peak struct {
	MPa     float64 // signed
	S, X, Z float64 // at the surface, mm
	Y       float64 // of a flank; 0 in a folded leaf, at mid-width
	Part    string
	Inside  bool // on the inside of the hairpin
}

// stresses are those of every segment of the leaf; neck and root pad are left out, they are many times as stiff. Statics gives their mean
// across the strip, across.go how they differ from it.
func (s *shape) stresses() []Stress {
	var out []Stress
	for i := range s.f.segs {
		g := &s.f.segs[i]
		part := s.f.pieces[g.piece].Name
		if part != LowerLeaf && part != TheFold && part != UpperLeaf && part != "" {
			continue
		}
		left, right := fibres(g.k, g.t(0.5), g.b, s.n[i], s.m[i])
		p := s.on(i, 0.5)
		q := Stress{S: g.s + g.h/2, X: p.X, Z: p.Y, Part: part, Left: left, Right: right, Middle: 1, Most: 1}
		if s.m[i] != 0 {
			q.Middle, q.Most = s.uneven(i)
		}
		// Only the bending is uneven: where it is next to nothing it is so many times the mean, but what pulls along is not.
		q.Greatest[0], q.Greatest[1] = fibres(g.k, g.t(0.5), g.b, s.n[i], s.m[i]*q.Most)
		out = append(out, q)
	}
	return out
}

// uneven is the moment at mid-width over the mean, and the greatest a thickness and more from the edges.
func (s *shape) uneven(i int) (middle, most float64) {
	g := &s.f.segs[i]
	const n = 12
	for k := range n + 1 {
		y := math.Max(0, g.b/2-g.t(0.5)) * float64(k) / n
		v := 1 + s.f.across.uneven(s.across, i, y)*g.b/s.m[i]
		if k == 0 {
			middle = v
		}
		most = math.Max(most, v)
	}
	return middle, most
}

// peak is the greatest stress along the strip in size, a thickness and more from its edges.
func (s *shape) peak() Peak {
	var best Peak
	for _, q := range s.stresses() {
		for k, side := range []float64{1, -1} {
			if v := q.Greatest[k]; math.Abs(v) > math.Abs(best.MPa) {
				p := s.at(s.f.skin(q.S, side))
				best = Peak{MPa: v, S: q.S, X: p.X, Z: p.Y, Part: q.Part, Inside: side > 0}
			}
		}
	}
	return best
}

// Size is the stress without its sign, MPa.
func (p Peak) Size() float64 { return math.Abs(p.MPa) }

// At is the place, mm; in a folded leaf at mid-width.
func (p Peak) At() r3.Vec { return r3.Vec{X: p.X, Y: p.Y, Z: p.Z} }
