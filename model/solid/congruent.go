package solid

import "slices"

// workshop facets each kind of primitive once.
type workshop struct {
	within Chord
	kinds  []kind
}

type kind struct {
	shape   Shape
	reach   float64
	faceted *Faceted
}

// facet is the shape's facets, or those of a congruent one; shapes with contacts of their own are faceted on their own.
func (w *workshop) facet(p prim, at contacts) *Faceted {
	s := p.shape
	if r, ok := s.(*Revolve); ok && p.reach < r.box.Max.X {
		near := *r
		near.reach = p.reach
		s = &near
	}
	if at != nil {
		f := s.Facet(w.within, at)
		return &f
	}
	for _, k := range w.kinds {
		if k.reach == p.reach && congruent(k.shape, s) {
			return k.faceted
		}
	}
	f := s.Facet(w.within, nil)
	w.kinds = append(w.kinds, kind{s, p.reach, &f})
	return &f
}

// congruent says whether two shapes are the same but for their tags.
func congruent(a, b Shape) bool {
	switch a := a.(type) {
	case *Revolve:
		b, ok := b.(*Revolve)
		return ok && a.chain.equal(b.chain)
	case *Prism:
		b, ok := b.(*Prism)
		return ok && a.lo == b.lo && a.hi == b.hi && a.chain.equal(b.chain)
	case *Block:
		b, ok := b.(*Block)
		return ok && a.mid == b.mid && a.half == b.half
	}
	return a == b
}

func (ch Chain) equal(other Chain) bool {
	return slices.EqualFunc(ch, other, func(a, b Seg) bool {
		a.Tag, b.Tag = "", ""
		return a == b
	})
}
