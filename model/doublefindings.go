package model

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

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

// doubled judges what a second leaf beside the first asks of hand and file.
func (c *Commission) doubled() []finding.Finding {
	l, s := c.Lock, c.Spring
	if !l.Double() {
		return nil
	}
	tab := l.OnLeaf(r3.Vec{X: l.XTip + l.TabThickness/2, Z: l.Thickness + l.TabHeight})
	out := []finding.Finding{finding.AtMost("tabs under one thumb", "mm", l.TabSpan(), thumb, tab, finding.Caution,
		"over both tabs, wider than one thumb presses at once (common practice, no source): it takes two thumbs to open; smaller tab.width, or tongue.count = 1")}
	if s.Result != nil {
		out = append(out, finding.Finding{Check: "force to open, each tab", Grade: finding.Note, Measured: s.Release.Force, Unit: "N", At: tab,
			Say: fmt.Sprintf("both must go down at once, %.1f N together; file both shoulders so that they snap in together, and try each leaf with the other held down", s.Opens())})
	}
	return out
}

// stands says whether one leaf alone holds the pull, as far as its metal is known, so that the other is a catch beside it.
func (c *Commission) stands() bool {
	if c.Spring.Result == nil || !c.Spring.Known() {
		return false
	}
	for _, f := range c.pulling() {
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
		f.Say = "none, and the second leaf does not stand for one: it is not shown that one leaf alone holds the pull; a harder or thicker leaf, or catch.sides = \"one\""
	}
	return f
}
