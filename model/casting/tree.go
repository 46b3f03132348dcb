package casting

import (
	"fmt"
	"math"
)

// Flask is a steel ring that a tree is invested in, inside, mm.
type Flask struct{ Diameter, Height float64 }

// What a tree needs in a flask, mm: investment beside it and over it, room between castings, the trunk, the cone at its
// foot. Common practice, no source.
const (
	wallInvestment = 8
	topInvestment  = 12
	betweenParts   = 3
	Trunk          = 8
	foot           = 12
)

// Hanging is a part as it hangs on the trunk: how far it reaches out from its gate, and how much room it takes across and up,
// mm; and what it weighs with its gate, g.
type Hanging struct {
	Name             string
	Out, Across, Up  float64
	GateLength, Gram float64
}

// Tree is how a flask is filled.
type Tree struct {
	Rows, InARow int // rings of parts up the trunk, parts in each
	Places       int
	Pitch        float64 // mm, from row to row
	TrunkLength  float64 // mm, of a full tree
}

// NoRoom says that a part does not go into a flask.
type NoRoom struct {
	Part       string
	Needs, Has float64 // mm
	What       string  // what there is too little of
	flask      Flask
}

func (e *NoRoom) Error() string {
	return fmt.Sprintf("%s needs %.1f mm %s, the flask of %g x %g mm has %.1f", e.Part, e.Needs, e.What, e.flask.Diameter, e.flask.Height, e.Has)
}

// Plan finds how many of the widest of some parts hang in a flask: in rings round a trunk of 8 mm, gates outwards and level, 3 mm
// between neighbours, 8 mm of investment at the wall and 12 over the top. In a ring the parts are nearest to each other at
// their gates: there n of them of width w stand round a circle of radius r if 2 r sin(pi/n) is at least w + 3. Geometry; it
// is an estimate, the caster plants the tree as is found best. It fails with *NoRoom.
func Plan(f Flask, parts ...Hanging) (Tree, error) {
	var widest Hanging
	for _, p := range parts {
		widest.Out, widest.Across, widest.Up = math.Max(widest.Out, p.Out), math.Max(widest.Across, p.Across), math.Max(widest.Up, p.Up)
		widest.GateLength = math.Max(widest.GateLength, p.GateLength)
		if needs, has := Trunk/2+p.GateLength+p.Out+wallInvestment, f.Diameter/2; needs > has {
			return Tree{}, &NoRoom{Part: p.Name, Needs: needs, Has: has, What: "from the flask's middle to its wall", flask: f}
		}
		if needs := foot + p.Up + topInvestment; needs > f.Height {
			return Tree{}, &NoRoom{Part: p.Name, Needs: needs, Has: f.Height, What: "of height", flask: f}
		}
	}
	r := Trunk/2 + widest.GateLength
	t := Tree{InARow: 1}
	for n := 2; n < 1000 && 2*r*math.Sin(math.Pi/float64(n)) >= widest.Across+betweenParts; n++ {
		t.InARow = n
	}
	t.Rows = 1 + int(math.Floor((f.Height-foot-topInvestment-widest.Up)/(widest.Up+betweenParts)))
	t.Places = t.Rows * t.InARow
	t.Pitch = widest.Up + betweenParts
	t.TrunkLength = float64(t.Rows)*(widest.Up+betweenParts) - betweenParts
	return t, nil
}

// TrunkGram is what the trunk of a tree with so many parts on it weighs, g, no longer than its rows need; density in g/cm3.
func (t Tree) TrunkGram(parts int, density float64) float64 {
	rows := (parts + t.InARow - 1) / t.InARow
	if rows == 0 {
		return 0
	}
	return cylinder(Trunk, float64(rows)*t.Pitch-betweenParts) * density / 1000
}

// Safety is by how much more metal than the tree weighs is melted, as a part: an eighth, so that the button is not starved.
// Common practice, no source: casters add a tenth to a quarter.
const Safety = 0.125
