package model

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/finding"
)

// castHoles holds the holes that go through a casting against what the caster casts: the lug's, and those for the core.
func (c *Commission) castHoles() []finding.Finding {
	l := c.Lock
	most, _ := c.Job.Number("casting.hole")
	var out []finding.Finding
	hole := func(check string, depth, diameter float64, at r3.Vec) {
		out = append(out, finding.AtMost(check, "x", depth/diameter, most, at, finding.Note,
			fmt.Sprintf("%.2f mm deep and %.2f mm wide as cast: its core may break; ask the caster, or have a dimple printed and drill it", depth, diameter)))
	}
	if l.End == "lug" {
		hole("hole of the lug, depth over width", l.LugThickness+2*l.Stock.Pad, l.LugHole-2*l.Stock.Window, r3.Vec{X: l.BoxLength + l.LugReach()})
	}
	if len(l.XCoreHoles) > 0 {
		hole("core hole, depth over width", (l.Width-l.Chamber)/2+l.Stock.Face+l.Stock.Chamber, l.CoreHole, r3.Vec{X: l.XCoreHoles[0], Y: l.Width / 2, Z: l.ZCoreHole})
	}
	return out
}

// profiled says where a profile does not suit the lock: kept for another alloy, or of a house that takes no STL.
func (c *Commission) profiled() (out []finding.Finding) {
	p := c.Job.Caster()
	if p == nil {
		return nil
	}
	kept, ok := p.Text("profile.alloy")
	if own, _ := c.Job.Text("metal.alloy"); ok && kept != own {
		out = append(out, remark("alloy of the caster's profile", finding.Note, fmt.Sprintf("the profile was kept for %s, the lock is %s: growth and stock may differ; keep a profile per alloy", kept, own))...)
	}
	if files, ok := p.Text("profile.files"); ok && !strings.Contains(strings.ToLower(files), "stl") {
		out = append(out, remark("files for the caster", finding.Caution, fmt.Sprintf("the caster's profile names %s and no STL, which is what is written here: ask, or convert", files))...)
	}
	return out
}
