package model

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/finding"
)

// thumb is how wide two tabs may stand over all for one thumb to press both, mm. Common practice, no source.
const thumb = 16

// alone begins a sentence on the pull: of two leaves one must hold it, since either may break or be struck open.
func (c *Commission) alone() string {
	if c.Lock.Double() {
		return "one of the two leaves alone: "
	}
	return ""
}

// orOne ends a remedy for a pull that one of two leaves does not hold.
func (c *Commission) orOne() string {
	if c.Lock.Double() {
		return "; or tongue.count = 1 with a safety catch"
	}
	return ""
}

// doubled judges what a second leaf beside the first asks of hand and file.
func (c *Commission) doubled() []finding.Finding {
	l, s := c.Lock, c.Spring
	if !l.Double() {
		return nil
	}
	tab := l.OnLeaf(r3.Vec{X: l.XTip + l.TabThickness/2, Z: l.TabTop()})
	out := []finding.Finding{finding.AtMost("tabs under one thumb", "mm", l.TabSpan(), thumb, tab, finding.Caution,
		"over both tabs, wider than one thumb presses at once (common practice, no source): it takes two thumbs to open; smaller tab.width, or tongue.count = 1")}
	if s.Result != nil {
		out = append(out, finding.Finding{Check: "force to open, each tab", Grade: finding.Note, Measured: s.Release.Force, Unit: "N", At: tab,
			Say: fmt.Sprintf("both must go down at once, %.1f N together; file both shoulders so that they snap in together, and try each leaf with the other held down", s.Opens())})
	}
	return append(out, c.askew(), c.slot())
}

// slot is the gap between the two leaves as they are cast, across, measured half way along the lower leaves.
func (c *Commission) slot() finding.Finding {
	const check = "slot between the two leaves, as cast"
	l := c.Lock
	at := r3.Vec{X: (l.XPad + l.XFold) / 2, Z: l.ZLeaf + l.Leaf/2}
	cast, err := l.Tongue(clasp.Casting)
	if err != nil {
		return finding.Finding{Check: check, Grade: finding.Caution, Unit: "mm", At: at, Say: "not measured: " + err.Error()}
	}
	gap, _ := c.Job.Number("casting.gap")
	wide := cast.Trace(at, acrossY, reach) + cast.Trace(at, r3.Scale(-1, acrossY), reach)
	return finding.AtLeast(check, "mm", wide, gap, at, finding.Caution, "a thinner blade of investment breaks off; raise lock.partition")
}

// besideStress is the stress in the lower leaf for each newton of a pull that one of two leaves holds alone, MPa: it stands half the pitch beside the
// chain's line, and that moment is taken to bend the leaf in its own plane, where walls and meeting faces would take a share: F/(bt) + 6M/(tb2)
// (simple bending; Roark, Formulas for Stress and Strain).
func besideStress(l *clasp.Lock) float64 {
	b, t := l.LowerWidth, l.Leaf
	return 1/(b*t) + 6*l.Pitch/2/(t*b*b)
}

// askew judges that pull. The bending of the fold, greater by far, lies elsewhere along the leaf and is judged by itself.
func (c *Commission) askew() finding.Finding {
	const check = "pull held off the middle"
	s, l := c.Spring, c.Lock
	asked, _ := c.Job.Number("lock.pull")
	at := l.OnLeaf(r3.Vec{X: l.XPad, Y: -l.LowerWidth / 2, Z: l.ZLeaf})
	if !s.Known() {
		return finding.Finding{Check: check, Grade: finding.Note, Measured: asked, Unit: "N", At: at,
			Say: fmt.Sprintf("one of the two leaves alone stands beside the pull, which asks for a yield of %.0f MPa at its root", asked*besideStress(l))}
	}
	return finding.AtLeast(check, "N", s.Yield.Value/besideStress(l), asked, at, finding.Caution,
		"one of the two leaves alone stands beside the pull, which then bends it sideways at its root for good; a thicker leaf, or harder metal")
}

// stands says whether one leaf alone holds the pull, new, and worn where that was looked at, as far as its metal is known, so that the other is a
// catch beside it.
func (c *Commission) stands() bool {
	if c.Spring == nil || c.Spring.Result == nil || !c.Spring.Known() {
		return false
	}
	held := append(c.pulling(), c.askew())
	if c.Life != nil {
		held = append(held, c.heldWorn(r3.Vec{}))
	}
	for _, f := range held {
		if f.Grade == finding.Caution || f.Grade == finding.Stop {
			return false
		}
	}
	return true
}

// secondLeaf says what the second leaf is worth where there is no safety catch.
func (c *Commission) secondLeaf() finding.Finding {
	f := finding.Finding{Check: "safety catch", Grade: finding.Note, Unit: "mm", At: r3.Vec{X: c.Lock.XTip, Z: c.Lock.Thickness},
		Say: "none: the second leaf stands for it, since either holds the pull alone and a blow on one tab leaves the other caught; one across both still opens the lock, catch.sides = \"one\" guards against that"}
	if !c.stands() {
		f.Grade = finding.Caution
		f.Say = "none, and the second leaf does not stand for one: it is not shown that one leaf alone holds the pull, new and worn; a harder or thicker leaf, or catch.sides = \"one\""
	}
	return f
}
