package model

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/finding"
)

// sizing says how the leaf came by its sizes, or what is in the way of any and what would help.
func (c *Commission) sizing() []finding.Finding {
	z, l := c.Sizing, c.Lock
	if z == nil {
		return nil
	}
	f := finding.AtMost("sizes of the leaf", "MPa", z.Yield, z.Yield/z.Ratio, r3.Vec{X: l.XFold, Z: l.ZUpper}, finding.Note,
		fmt.Sprintf("found by the spring: %.2f mm thick, folded round %.2f mm, %.2f mm long; it asks for this yield", l.Leaf, l.Fold, l.Length))
	if l.Slitted() {
		f.Say = c.slitSized(z)
	}
	if z.Assumed {
		f.Grade = finding.Note
		f.Say += fmt.Sprintf(", %.0f MPa were assumed: set tongue.yield to what the alloy's maker states", assumedYield)
	}
	if !z.Passes {
		f.Grade = finding.Caution
		f.Say = fmt.Sprintf("no leaf of this lock passes every check, in the way is %q; %s", z.Way, z.help())
	}
	return []finding.Finding{f}
}

// help lists the jobs that would pass.
func (z *Sizing) help() string {
	if !ofMetal[z.Way] {
		return "take back what was set by hand there"
	}
	if len(z.Nearest) == 0 {
		return "no other condition, tongue alloy or thickness near this one helps"
	}
	var ways []string
	for _, n := range z.Nearest {
		ways = append(ways, fmt.Sprintf("%s (%s)", n.Say, strings.Join(n.Sets, ", ")))
	}
	return "this would: " + strings.Join(ways, "; or ")
}
