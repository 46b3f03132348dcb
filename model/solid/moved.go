package solid

import "gonum.org/v1/gonum/spatial/r3"

// Moved is the solid somewhere else, turned as it is.
func (s *Solid) Moved(by r3.Vec) *Solid {
	if s.op == Leaf {
		return New(s.shape, s.pose.At(by))
	}
	kids := make([]*Solid, len(s.kids))
	for i, k := range s.kids {
		kids[i] = k.Moved(by)
	}
	return inner(s.op, kids)
}
