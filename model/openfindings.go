package model

import (
	"fmt"
	"math"

	"claspwright/model/clasp"
	"claspwright/model/finding"

	"gonum.org/v1/gonum/spatial/r3"
)

// opening says what a leaf that is cast opened gains the caster, and what closing it asks of the metal.
func (c *Commission) opening() ([]finding.Finding, error) {
	l := c.Lock
	if l.Opening == 0 {
		return nil, nil
	}
	cast, err := c.Lock.Tongue(clasp.Casting)
	if err != nil {
		return nil, err
	}
	tip := l.CastTip()
	gap, _ := c.Job.Number("casting.gap")
	slot := cast.Trace(tip, downZ, reach)
	closed := l.ZTip - l.Taper*l.Leaf - l.ZPad
	fold := r3.Vec{X: l.XFold + l.Fold + l.Leaf, Z: l.ZLeaf + l.Leaf + l.Fold}
	return []finding.Finding{
		finding.AtLeast("slot under the tip, as cast", "mm", slot, gap, tip, finding.Caution,
			fmt.Sprintf("the blade of investment is thin at its free edge; closed the slot has %.2f mm; a larger tongue.opening", closed)),
		{Check: "closing the leaf", Grade: finding.Note, Measured: 100 * l.ClosingStrain(), Unit: "%", At: fold,
			Say: fmt.Sprintf("cast %.3g degrees open; annealed, it is closed over a rod of %.2f mm, which stretches the fold's outside so much; what this alloy stands is not known; then anneal, and work the shoulders last", l.Opening*180/math.Pi, 2*l.Fold)},
	}, nil
}
