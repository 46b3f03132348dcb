package model

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
)

// check makes every finding of the finished lock.
func (c *Commission) check() ([]finding.Finding, error) {
	out := []finding.Finding{c.overlap()}
	out = append(out, c.crownRead()...)
	out = append(out, c.clearances()...)
	out = append(out, c.moved()...)
	out = append(out, c.catching()...)
	out = append(out, c.springing()...)
	out = append(out, c.doubled()...)
	out = append(out, c.sizing()...)
	out = append(out, c.living()...)
	out = append(out, c.stripping()...)
	out = append(out, c.filing()...)
	out = append(out, c.walls()...)
	out = append(out, c.surveyed()...)
	out = append(out, c.castability()...)
	out = append(out, c.castHoles()...)
	fed, err := c.feeding()
	if err != nil {
		return nil, err
	}
	out = append(out, fed...)
	out = append(out, c.profiled()...)
	out = append(out, c.flooring()...)
	opening, err := c.opening()
	if err != nil {
		return nil, err
	}
	out = append(out, opening...)
	out = append(out, c.swinging()...)
	out = append(out, c.wearing()...)
	out = append(out, c.caught()...)
	out = append(out, c.hallmarked()...)
	out = append(out, c.lettered()...)
	marks, err := c.marks()
	return append(out, marks...), err
}

// overlap holds the finished meshes of the closed halves against each other.
func (c *Commission) overlap() finding.Finding {
	tongue := c.part(clasp.PartTongue).Mesh
	f := finding.Finding{Check: "closed halves apart", Grade: finding.OK, Measured: math.Inf(1), Unit: "mm", Say: "the closed halves touch nowhere"}
	for _, p := range Closed(c) {
		if p.Name == clasp.PartTongue {
			continue
		}
		if at, yes := contour.Overlap(p.Mesh, tongue); yes {
			f.Grade, f.Measured, f.Margin, f.At = finding.Stop, 0, 0, at
			f.Say = fmt.Sprintf("the closed halves run into each other near x %.2f, y %.2f, z %.2f; take back what was set by hand there", at.X, at.Y, at.Z)
			return f
		}
		if d, q, _ := contour.Distance(contour.NewTree(p.Mesh), contour.NewTree(tongue)); d < f.Measured {
			f.Measured, f.Margin, f.At = d, d, q
		}
	}
	return f
}

// clearances are the gaps that a file has to make and keep.
func (c *Commission) clearances() []finding.Finding {
	if c.Lock.Slitted() {
		return c.slitClear()
	}
	l, f := c.Lock, c.Fit
	mid := r3.Vec{X: (l.XPad + l.XFold) / 2, Y: l.YLeaf(), Z: l.ZLeaf}
	least := func(check string, v, limit float64, at r3.Vec, say string) finding.Finding {
		return finding.AtLeast(check, "mm", v, limit, at, finding.Stop, say)
	}
	return []finding.Finding{
		least("side clearance", f.SideClearance, 0.02, r3.Add(mid, r3.Vec{Y: l.LowerWidth / 2}), "the lower leaf must slide freely; raise tongue.side_play if it binds"),
		least("upper leaf clearance", f.UpperClearance, 0.02, r3.Add(mid, r3.Vec{Y: l.UpperWidth / 2}), "the upper leaf must not rub on the side walls; raise tongue.side_play"),
		least("floor clearance", f.FloorClearance, 0.02, mid, "the lower leaf must lie clear of the floor; raise tongue.floor_play"),
		least("neck clearance", f.NeckClearance, 0.01, r3.Vec{X: l.XNeck / 2, Y: l.YLeaf(), Z: l.ZLip}, "the neck is filed until it just slides under the lip; raise tongue.neck_play"),
		least("face gap", f.FaceGap, 0.02, r3.Vec{Y: l.Width / 2, Z: l.ZLip}, "box and block must not bear on each other before the shoulders have snapped in; raise lock.face_gap"),
		least("tab to notch", f.NotchClearance, 0.05, r3.Vec{X: l.XTip, Y: l.YLeaf() + l.TabWidth/2, Z: l.Thickness}, "the thumb tab must move freely in its notch; make tab.width smaller"),
		least("fold to end wall", f.FoldRoom, 0.2, r3.Vec{X: l.XRear, Y: l.YLeaf(), Z: l.ZLeaf + l.Leaf}, "the fold must not strike the end wall before the faces meet; make the box longer"),
		finding.AtMost("top gap", "mm", f.TopGap, 0.15, r3.Vec{X: l.XTip, Y: l.YLeaf(), Z: l.ZTip}, finding.Caution, "the roof must catch the leaf when the chain pulls it up; lower tongue.top_gap"),
	}
}

// catching are the measures by which shoulder and lip hold.
func (c *Commission) catching() []finding.Finding {
	if c.Lock.Slitted() {
		return nil // among its gaps
	}
	l, f := c.Lock, c.Fit
	tip := r3.Vec{X: l.XTip, Y: l.Bearing(), Z: l.ZTip}
	return []finding.Finding{
		finding.AtLeast("engagement", "mm", f.Engagement, 0.4, tip, finding.Stop, "the shoulders must stand behind the lip; raise tongue.engagement"),
		finding.AtLeast("shoulder, each side", "mm", l.Shoulder(), 1.0, tip, finding.Stop, "the shoulders beside the notch are too narrow to bear; make tab.width smaller"),
		finding.AtLeast("tab height", "mm", f.TabHeight, l.Travel+0.3, r3.Vec{X: l.XTip, Y: l.YLeaf(), Z: l.Thickness}, finding.Stop, "the thumb cannot press the tab far enough; raise tab.height"),
	}
}
