package motion

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
)

// Two leaves, bent as one each, are held against both chambers: every distance is that of one leaf of the same width in a chamber of its own,
// and both sides are looked at when symmetry is not taken for granted. With the box moved sideways by more than the side play they touch.
func TestPairOfLeaves(t *testing.T) {
	pair := lockOf(t, "tongue.count=2", "chain.width=20", "chain.thickness=8.4", "tongue.sizes=rule", "catch.sides=none")
	shape := shapeOf(pair)
	shape.Across = pair.Middles()
	steps, err := springOf(pair).Way(0.2, 4)
	if err != nil {
		t.Fatal(err)
	}
	box, held, tab := must(pair.Box(clasp.Finished)), must(pair.Held()), must(pair.Tab())
	s := steps[len(steps)/2]
	leaf, err := Bend(s.Leaf, shape, bendWithin)
	if err != nil {
		t.Fatal(err)
	}
	if b := leaf.Solid.Bounds(); math.Abs(b.Max.Y-pair.YLeaf()-pair.LowerWidth/2) > 1e-9 || math.Abs(b.Min.Y+pair.YLeaf()+pair.LowerWidth/2) > 1e-9 {
		t.Errorf("leaves from %.4f to %.4f mm", b.Min.Y, b.Max.Y)
	}
	pass := func(box *Way, half bool) Passage {
		p, err := box.Pass(s.Leaf, s.Out, expected(s, 0.3), 0.003, Options{Tolerance: 0.005, Half: half})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	whole, half := pass(NewWay(box, held, tab, shape), false), pass(NewWay(box, held, tab, shape), true)
	if touch, sure, where := whole.Touches(0); touch || !sure {
		t.Errorf("touch %v, sure %v, %+v", touch, sure, where)
	}
	if math.Abs(whole.Rigid.Upper-half.Rigid.Upper) > 0.01 || math.Abs(whole.Leaf.Upper-half.Leaf.Upper) > 0.01 {
		t.Errorf("both sides %.4f and %.4f mm, one side %.4f and %.4f", whole.Rigid.Upper, whole.Leaf.Upper, half.Rigid.Upper, half.Leaf.Upper)
	}
	for _, y := range []float64{pair.SidePlay + 0.02, -pair.SidePlay - 0.02} {
		aside := pass(NewWay(box.Moved(r3.Vec{Y: y}), held, tab, shape), false)
		if touch, _, _ := aside.Touches(0); !touch {
			t.Errorf("box moved by %.3f mm: nothing touches", y)
		}
	}
	wrong := shape
	wrong.Across = []float64{pair.YLeaf(), -pair.YLeaf() + pair.SidePlay + 0.02}
	if touch, _, where := pass(NewWay(box, held, tab, wrong), false).Touches(0); !touch || where.P.Y > 0 {
		t.Errorf("second leaf moved into the wall: touch %v at %v", touch, where.P)
	}
}
