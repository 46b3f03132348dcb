package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// UpperProfile is the upper half of the finished section of chain and lock in (y, z): from the middle of one side over the
// face to the middle of the other, lines and arcs, each beginning where the one before it ends.
func (l *Lock) UpperProfile() (solid.Chain, error) {
	ch, err := l.profile(0)
	if err != nil {
		return nil, err
	}
	return upperHalf(ch), nil
}

// upperHalf takes the upper half of a whole section.
func upperHalf(ch solid.Chain) solid.Chain {
	n := len(ch)
	right := 0 // the piece that comes to the greatest y last: the side, or what takes its place
	for i, s := range ch {
		if s.B.X > ch[right].B.X-1e-9 && s.B.Y > s.A.Y {
			right = i
		}
	}
	var out solid.Chain
	for i := range n {
		s := ch[(right+i)%n]
		if i == 0 {
			s.A = middle(s)
		}
		if upright := math.Abs(s.A.X-s.B.X) < 1e-9 && s.R == 0; i > 0 && upright && s.B.Y < s.A.Y {
			s.B = middle(s)
			return append(out, s)
		}
		out = append(out, s)
	}
	return out
}

// middle is the middle of a line; an arc is left whole.
func middle(s solid.Seg) r2.Vec {
	if s.R > 0 {
		return s.A
	}
	return r2.Scale(0.5, r2.Add(s.A, s.B))
}
