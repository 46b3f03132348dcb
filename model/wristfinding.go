package model

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// standsOff is how far a lock may stand off the wrist before it is remarked on, mm. Common practice, no source.
const standsOff = 1

// standOff is how far the closed lock stands off the wrist: at its ends, or in the middle where its underside is hollowed more than the
// wrist is round. Two arcs over one chord: the exact heights R - sqrt(R^2 - (L/2)^2), not L^2/(8R).
func (c *Commission) standOff() finding.Finding {
	l := c.Lock
	wrist, _ := c.Job.Number("chain.wrist")
	const check = "stand-off"
	at := r3.Vec{X: l.BoxLength}
	if l.Whole() >= 2*wrist {
		return finding.Finding{Check: check, Grade: finding.Caution, Measured: l.Whole() / 2, Limit: wrist, Margin: wrist - l.Whole()/2, Unit: "mm", At: at,
			Say: fmt.Sprintf("the lock is longer than a wrist of %.4g mm radius is broad", wrist)}
	}
	off, where := clasp.Sagitta(wrist, l.Whole())-l.HollowAt(l.Middle()), "its ends"
	if off < 0 {
		where, at = "its middle", r3.Vec{X: l.Middle(), Z: l.HollowAt(l.Middle())}
	}
	say := fmt.Sprintf("%s, wrist radius %.4g mm; see lock.hollow", where, wrist) // one line of the sheet: most locks have it
	return finding.AtMost(check, "mm", math.Abs(off), standsOff, at, finding.Note, say)
}
