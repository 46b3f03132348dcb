package export

import (
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/solid"
)

// gauge measures in the closed finished lock from one surface to the next along a line, as a feeler gauge would, and
// tells where both surfaces are.
type gauge struct{ box, tongue *solid.Solid }

func gaugeOf(parts []model.Part) (g gauge) {
	for _, p := range parts {
		if p.Name == clasp.PartTongue {
			g.tongue = p.Solid
		}
	}
	g.box = model.Boxed(parts)
	return g
}

// found is a measured length: from a to b.
type found struct{ a, b r3.Vec }

func (f found) mm() float64 { return r3.Norm(r3.Sub(f.b, f.a)) }

func (f found) mid() r3.Vec { return r3.Scale(0.5, r3.Add(f.a, f.b)) }

const (
	feltAway = 60.0 // mm, further than any length in a lock
	into     = 1e-4 // mm past a surface, to leave it behind
)

// reached is where the line from p along dir meets the surface of a solid.
func reached(s *solid.Solid, p, dir r3.Vec) r3.Vec {
	return r3.Add(p, r3.Scale(s.Trace(p, dir, feltAway), dir))
}

// wall goes from p, in a hollow of the box, along dir: where its metal begins and where it ends.
func (g gauge) wall(p, dir r3.Vec) found {
	a := reached(g.box, p, dir)
	return found{a, reached(g.box, r3.Add(a, r3.Scale(into, dir)), dir)}
}

// square goes from p, in a hollow of the box, up through the metal and meets the face at a right angle, whatever its
// crown is. The direction is turned into the face's own, found by differences of the field, until it stays.
func (g gauge) square(p r3.Vec) found {
	const h = 1e-4 // mm
	dir := r3.Vec{Z: 1}
	out := g.wall(p, dir)
	for range 4 {
		slope := func(step r3.Vec) float64 {
			return g.box.Eval(r3.Add(out.b, step)) - g.box.Eval(r3.Sub(out.b, step))
		}
		dir = r3.Unit(r3.Vec{Y: slope(r3.Vec{Y: h}), Z: slope(r3.Vec{Z: h})})
		out = g.wall(p, dir)
	}
	return out
}

// hollow goes from p, in a hollow of the box, to its metal both ways.
func (g gauge) hollow(p, dir r3.Vec) found {
	return found{reached(g.box, p, r3.Scale(-1, dir)), reached(g.box, p, dir)}
}

// play goes from p, in the metal of the tongue, along dir: where the tongue ends and where the box begins.
func (g gauge) play(p, dir r3.Vec) found {
	a := reached(g.tongue, p, dir)
	return found{a, reached(g.box, a, dir)}
}

// metal goes from p, in the metal of the tongue, to its surface both ways.
func (g gauge) metal(p, dir r3.Vec) found {
	return found{reached(g.tongue, p, r3.Scale(-1, dir)), reached(g.tongue, p, dir)}
}
