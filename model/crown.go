package model

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/chain"
	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/params"
)

// readCrown fits the crown to the job's readings; nil without readings. Over a domed underside a caliper reads from the
// underside at that place, which has risen there; the fit needs heights over the flat that the chain lies on.
func readCrown(job *params.Job) (*chain.Crown, error) {
	hs := job.Heights()
	if hs == nil {
		return nil, nil
	}
	under, _ := job.Number("chain.underside")
	rs := make([]chain.Reading, len(hs))
	for i, h := range hs {
		rs[i] = chain.Reading{Place: h.Place, Thickness: h.Thickness}
		if under > 0 {
			rs[i].Thickness += under - math.Sqrt(under*under-h.Place*h.Place)
		}
	}
	fit, err := chain.FitCrown(rs)
	if err != nil {
		return nil, &clasp.Refusal{Key: "chain.heights", Say: err.Error(), Nearest: "read again, or give chain.crown"}
	}
	return &fit, agree(job, fit)
}

// agreement is by how much the fitted thickness at mid-width may differ from chain.thickness, mm.
const agreement = 0.1

// agree refuses readings that belong to another chain, or to none that a lock can follow.
func agree(job *params.Job, fit chain.Crown) error {
	t, _ := job.Number("chain.thickness")
	w, _ := job.Number("chain.width")
	no := func(say, nearest string, args ...any) error {
		return &clasp.Refusal{Key: "chain.heights", Say: fmt.Sprintf(say, args...), Nearest: nearest}
	}
	if math.Abs(fit.Thickness.Value-t) > agreement {
		return no("the readings give %.2f mm at mid-width, chain.thickness says %.2f mm", "read both again: places count from the middle, thickness is the greatest", fit.Thickness.Value, t)
	}
	if fit.Curvature.High < 0 {
		return no("the readings give a hollow top, which no lock follows", "are the places counted from the middle?")
	}
	// The arcs must reach the sides and leave 1 mm of them, and be no rounder than 0.6 of the width.
	if fit.Curvature.Value > 1/(0.6*w) || fit.FlankCurvature > 1/(0.3*w) {
		return no("the readings give a crown of radius %.2f mm, too round for a width of %.2f mm", "file the crown flatter, or read again", 1/math.Max(fit.Curvature.Value, fit.FlankCurvature), w)
	}
	if fall := fit.Fall(w / 2); math.IsNaN(fall) || t-fall < 1 {
		return no("the crown as read falls to the sides by more than the thickness can give", "file the crown flatter, or read again")
	}
	return nil
}

// flattest is the radius above which a crown is drawn flat: over 40 mm of width it falls by less than a hundredth.
const flattest = 20000

// topOf is the crown that the lock is drawn with, nil without readings.
func topOf(fit *chain.Crown) *clasp.Top {
	if fit == nil {
		return nil
	}
	k := fit.Curvature.Value
	if k*flattest < 1 {
		return &clasp.Top{}
	}
	t := &clasp.Top{Radius: 1 / k}
	if fit.Join > 0 && fit.FlankCurvature > 0 {
		t.Join, t.Flank = fit.Join, 1/fit.FlankCurvature
	}
	return t
}

// crownRead judges how well the readings lie on the fitted crown.
func (c *Commission) crownRead() []finding.Finding {
	if c.Crown == nil {
		return nil
	}
	return []finding.Finding{finding.AtMost("crown readings", "mm", c.Crown.Greatest, 0.03, r3.Vec{X: c.Lock.BoxLength / 2, Z: c.Lock.Thickness}, finding.Caution,
		"a reading lies further off the fitted crown than a caliper explains: read again, or file the crown to an even arc")}
}
