package motion

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
	"claspwright/model/spring"
)

// Way is a tongue on its way into a box: what is the same at every station. It serves one goroutine; make one for each.
type Way struct {
	box, held, tab *Body
	shape          Shape
}

// NewWay prepares box, held part and thumb tab (clasp.Lock's Box, Held and Tab, finished) and the relaxed leaf's shape.
func NewWay(box, held, tab *solid.Solid, shape Shape) *Way {
	return &Way{NewBody(box), NewBody(held), NewBody(tab), shape}
}

// Passage is what one station shows.
type Passage struct {
	Rigid Gap     // of the held part and the tab to the box: they are to touch nowhere
	Leaf  Gap     // of the leaf to the box, outside the places where the spring model has them touch
	Deep  Gap     // of the leaf made thinner by the slack on every side to the box, everywhere: apart, so no contact goes deeper than the slack
	Bound float64 // the leaf's surface is as near as this to that of the stations, mm
}

// Touches tells whether anything touches that must not: rigid parts anywhere, the leaf outside the places or deeper in them than the
// slack. where is the place, in the box's frame. certain is false where the search could not settle it.
func (p Passage) Touches(wanted float64) (touch, certain bool, where Gap) {
	certain = true
	for _, g := range []struct {
		Gap
		wanted float64
	}{{p.Rigid, wanted}, {p.Leaf, wanted}, {p.Deep, 0}} {
		yes, sure := g.Touch(g.wanted)
		if yes && sure {
			return true, true, g.Gap
		}
		if yes && certain {
			certain, where, touch = false, g.Gap, true
		}
	}
	return touch, certain, where
}

// bendWithin is how near the leaf's outlines follow the stations, mm.
const bendWithin = 0.002

// Pass holds the tongue, its leaf bent as the stations say, against the box from which it is drawn out by so much, mm. Stations and expected
// places are in the tongue's frame, as the spring model gives them; gaps are in the box's. slack is how deep a contact in an expected place may go, mm:
// what the spring's solver and the outline may err. The options' own places are in the box's frame and hold for the leaf too.
func (w *Way) Pass(st []spring.Station, out float64, expected []Place, slack float64, o Options) (Passage, error) {
	leaf, err := Bend(st, w.shape, bendWithin)
	if err != nil {
		return Passage{}, err
	}
	thin := w.shape
	thin.Inset += slack
	core, err := Bend(st, thin, bendWithin)
	if err != nil {
		return Passage{}, err
	}
	back := solid.Upright.At(r3.Vec{X: -out})
	rigid, free, deep := o, o, Options{Limit: 1e-6, Half: o.Half, Most: o.Most}
	rigid.Expected = nil
	free.Expected = append([]Place(nil), o.Expected...)
	for _, c := range expected {
		c.X -= out
		free.Expected = append(free.Expected, c)
	}
	p := Passage{Bound: max(leaf.Bound, core.Bound)}
	p.Rigid = settled([]Placed{{w.held, back}, {w.tab, leaf.Tip.At(r3.Vec{X: -out})}}, w.box, rigid)
	p.Leaf = settled([]Placed{{NewBody(leaf.Solid), back}}, w.box, free)
	p.Deep = LeastOf([]Placed{{NewBody(core.Solid), back}}, w.box, deep)
	return p, nil
}

// settled is the least distance, searched finer where the tolerance leaves open whether anything touches.
func settled(a []Placed, b *Body, o Options) Gap {
	g := LeastOf(a, b, o)
	if g.Lower <= 0 && !g.Overlap && g.Upper > 1e-5 && !math.IsInf(g.Upper, 1) {
		o.Tolerance = g.Upper / 2
		g = LeastOf(a, b, o)
	}
	return g
}
