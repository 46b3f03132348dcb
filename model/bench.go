package model

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/model/fit"
)

// castings drawn to judge the fit, and the seed they are drawn with; the same for every lock, so that locks can be compared.
const (
	castings    = 20000
	castingSeed = 1
)

// fitLock hands the lock's numbers to the fit.
func fitLock(l *clasp.Lock) fit.Lock {
	return fit.Lock{
		Chamber: l.Chamber, LowerWidth: l.LowerWidth, UpperWidth: l.UpperWidth, NotchWidth: l.NotchWidth, TabWidth: l.TabWidth, Pitch: l.Pitch,
		Floor: l.Floor, ZLip: l.ZLip, ZFront: l.ZFront, ZLeaf: l.ZLeaf, ZUpper: l.ZUpper, ZTip: l.ZTip, ZPad: l.ZPad,
		Lip: l.Lip, FaceGap: l.FaceGap, XTip: l.XTip, XFold: l.XFold, XKnee: l.XKnee, XPad: l.XPad, XRear: l.XRear,
		Leaf: l.Leaf, Taper: l.Taper, Fold: l.Fold, NeckPlay: l.NeckPlay, Travel: l.Travel,
		Stock: fit.Stock{Meeting: l.Stock.Meeting, Leaf: l.Stock.Leaf, Shoulder: l.Stock.Shoulder, Lip: l.Stock.Lip,
			Chamber: l.Stock.Chamber, Tab: l.Stock.Tab, Window: l.Stock.Window},
	}
}

// file draws castings of the lock within their tolerance and files them to fit. It fails where clearances as drawn leave nothing to
// file towards, as in a lock whose halves overlap.
func (c *Commission) file() error {
	p := fit.UsualProcess()
	grade, _ := c.Job.Number("casting.grade")
	p.Grade = int(grade)
	s, err := fit.Standard(fitLock(c.Lock), p)
	if err != nil {
		return err
	}
	c.Bench, err = fit.Run(s, castings, castingSeed)
	return err
}

// filing says what the bench has to expect of the castings.
func (c *Commission) filing() []finding.Finding {
	b := c.Bench
	if c.Lock.Slitted() {
		return []finding.Finding{{Check: "fitting the plate", Grade: finding.Note, Unit: "mm", At: r3.Vec{X: c.Lock.XTip, Y: c.Lock.Plate.Tip, Z: c.Lock.ZLeaf}, Measured: c.Lock.Engagement,
			Say: "the castings' tolerance is not drawn for a slit plate: file both heads alike, a stroke at a time, to this engagement; trial in brass first"}}
	}
	if c.Lock.Rolled() {
		return []finding.Finding{{Check: "fitting the strip", Grade: finding.Note, Unit: "mm", At: r3.Vec{X: c.Lock.XTip, Z: c.Lock.ZTip}, Measured: c.Lock.Engagement,
			Say: "the strip is filed and bent to this engagement at the bench: the castings' tolerance is not drawn for it; trial in brass first"}}
	}
	if b == nil {
		return []finding.Finding{{Check: "castings that can be filed to fit", Grade: finding.Caution, Unit: "%", At: r3.Vec{X: c.Lock.XTip, Z: c.Lock.ZLip},
			Say: "none: as drawn a clearance has no room between its limits; see the other findings"}}
	}
	at := r3.Vec{X: c.Lock.XTip, Z: c.Lock.ZPad}
	mends := fmt.Sprintf("more stock on the surfaces, a caster with a finer grade, or another pattern; what costs most: %s", b.Dearest)
	out := []finding.Finding{
		finding.AtLeast("castings that can be filed to fit", "%", 100*b.Fileable.Value, 90, at, finding.Caution, mends),
		finding.AtMost("castings already too loose", "%", 100*b.TooLoose.Value, 5, at, finding.Caution, mends),
	}
	most := -1
	for i, s := range b.Surfaces {
		if most < 0 || s.P95 > b.Surfaces[most].P95 {
			most = i
		}
	}
	if most >= 0 {
		s := b.Surfaces[most]
		out = append(out, finding.Finding{Check: "filing to expect", Grade: finding.Note, Measured: s.P95, Unit: "mm", At: at,
			Say: fmt.Sprintf("most at the %s, in 95 of 100 castings no more; %.0f of 100 fit unfiled", s.Name, 100*b.AsCast.Value)})
	}
	return out
}
