package model

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/model/motion"
	"claspwright/model/solid"
	"claspwright/model/spring"
)

// Motion is the tongue moved through the box, and turned in it.
type Motion struct {
	Passages []motion.Passage // at the stations of Outs
	Outs     []float64        // mm that the tongue is still to go in
	Slit     []motion.Gap     // of a slit tongue, in place of Passages
	Turns    []motion.Turning // yaw, roll, nose up, nose down; nil when the halves overlap
	Tight    string           // why Turns is nil
}

const (
	contactReach = 0.3   // mm about a contact of the spring model in which leaf and box may touch
	contactSlack = 0.006 // mm that a contact may go deep: 0.002 by the outline, 0.003 since the frame has thickness square to a slanted leaf, rounding
	heldStations = 8     // of the way in at which the solids are held against each other
)

// turnAxes in the order of the findings.
var turnAxes = []motion.Axis{motion.Yaw, motion.Roll, motion.NoseUp, motion.NoseDown}

// turn finds how far the closed lock turns.
func (c *Commission) turn() {
	var err error
	if c.Motion.Turns, err = turns(c.part(clasp.PartTongue).Solid, c.boxed()); err != nil {
		c.Motion.Turns, c.Motion.Tight = nil, err.Error() // the finding says so
	}
}

// move holds the bent leaf against the box at stations of the way in, and at home relaxed and pressed to the release and to the stop.
func (c *Commission) move(ctx context.Context) error {
	if c.Lock.Slitted() {
		return c.moveSlit(ctx)
	}
	held, err := c.Lock.Held()
	if err != nil {
		return err
	}
	tab, err := c.Lock.Tab()
	if err != nil {
		return err
	}
	box, m := c.boxed(), c.Motion
	var todo []func() error
	if s := c.Spring; s.Result != nil {
		poses := posesOf(s.Result, c.slack())
		m.Passages, m.Outs = make([]motion.Passage, len(poses)), make([]float64, len(poses))
		const lots = 2 // each lot has a Way of its own, which serves one goroutine
		for lot := range lots {
			todo = append(todo, func() error {
				w := motion.NewWay(box, held, tab, motion.Shape{Tip: s.Relaxed[len(s.Relaxed)-1], Chamfer: c.Lock.Chamfer, Lap: c.Lock.Lap(), Across: c.Lock.Middles()})
				return c.passAll(w, poses, lot, lots, m)
			})
		}
	}
	return each(ctx, len(todo), func(i int) error { return todo[i]() })
}

// slack is how deep a contact may go, mm: the frame's shoulder edge stands square to the slanted leaf and so lies up to half its thickness times the
// slope behind the solid's, which on a face that slopes as much again is this much in height.
func (c *Commission) slack() float64 {
	l := c.Lock
	slope := (l.ZTip - l.ZUpper) / (l.XKnee - l.XTip)
	return contactSlack + l.Leaf*slope*slope/2
}

// pose is the leaf at one station and the places where the spring has it touch.
type pose struct {
	out     float64
	leaf    []spring.Station
	touches []motion.Place
	slack   float64 // mm that a touch may go deep
}

// posesOf picks stations of the way in, evenly and the last, and the tongue at home: relaxed, pressed to the release and to the stop.
func posesOf(r *spring.Result, slack float64) []pose {
	var ps []pose
	for k := range heldStations {
		i := int(math.Round(float64(k) * float64(len(r.Way)-1) / (heldStations - 1)))
		p := pose{out: r.Way[i].Out, leaf: r.Way[i].Leaf, slack: slack}
		for _, t := range r.Way[i].Touches {
			p.touches = append(p.touches, motion.Place{X: t.X, Z: t.Z, R: contactReach})
			p.slack = max(p.slack, slack+math.Abs(t.Across)) // the solid is straight across
		}
		ps = append(ps, p)
	}
	for _, leaf := range [][]spring.Station{r.Relaxed, r.Release.Leaf, r.Stop.Leaf} {
		ps = append(ps, pose{leaf: leaf, slack: slack})
	}
	return ps
}

func (c *Commission) passAll(w *motion.Way, poses []pose, lot, lots int, m *Motion) (err error) {
	o := motion.Options{Tolerance: 0.01, Limit: 0.1, Half: c.Lock.End == "pad"}
	for i := lot; i < len(poses); i += lots {
		m.Outs[i] = poses[i].out
		if m.Passages[i], err = w.Pass(poses[i].leaf, poses[i].out, poses[i].touches, poses[i].slack, o); err != nil {
			return err
		}
	}
	return nil
}

func turns(tongue, box *solid.Solid) ([]motion.Turning, error) {
	t, err := motion.NewTurner(tongue, box)
	if err != nil {
		return nil, err
	}
	var out []motion.Turning
	for _, a := range turnAxes {
		u, err := t.Free(a)
		if err != nil {
			return nil, err
		}
		out = append(out, u)
	}
	return out, nil
}

// moved judges the way in and the free turns.
func (c *Commission) moved() []finding.Finding { return append(c.passing(), c.turning()...) }

// passing says where something touches that the spring has not touch.
func (c *Commission) passing() []finding.Finding {
	if c.Lock.Slitted() {
		return c.slitPassing()
	}
	m := c.Motion
	if len(m.Passages) == 0 {
		return nil
	}
	f := finding.Finding{Check: "bent leaf clear of the box", Grade: finding.OK, Unit: "mm", Measured: math.Inf(1), Say: "on its way in, and pressed, the tongue touches only where the leaf is to bear; block, neck, pad and tab stay clear by this much"}
	for i, p := range m.Passages {
		if touch, certain, where := p.Touches(0); touch {
			f.Grade, f.At, f.Measured, f.Margin = finding.Stop, where.P, -where.Depth, -where.Depth
			f.Say = fmt.Sprintf("the tongue runs into the box near x %.2f, y %.2f, z %.2f while it is %.2f mm out; take back what was set by hand there", where.P.X, where.P.Y, where.P.Z, m.Outs[i])
			if !certain {
				f.Grade = finding.Caution
				f.Say = fmt.Sprintf("it is not settled whether the tongue touches the box near x %.2f, y %.2f, z %.2f while it is %.2f mm out", where.P.X, where.P.Y, where.P.Z, m.Outs[i])
			}
			return []finding.Finding{f}
		}
		if g := p.Rigid; g.Lower < f.Measured { // the leaf's own gap is next to nothing beside its contacts
			f.Measured, f.Margin, f.At = g.Lower, g.Lower, g.P
		}
	}
	return []finding.Finding{f}
}

// turning judges how far the closed lock turns before it touches, the tongue shifted as suits it best.
func (c *Commission) turning() []finding.Finding {
	m, l := c.Motion, c.Lock
	if m.Turns == nil {
		return []finding.Finding{{Check: "free turn", Grade: finding.Caution, Unit: "deg", At: r3.Vec{X: l.Lip, Z: l.ZLip}, Say: "how far the closed lock turns cannot be found: " + m.Tight}}
	}
	var out []finding.Finding
	for i, v := range []struct {
		most      float64
		name, say string
	}{
		{0.7, "free turn, yaw", "the closed lock rattles sideways; less tongue.side_play, or a longer leaf"},
		{0.7, "free turn, roll", "the closed lock rolls about the chain; less tongue.neck_play"},
		{0.9, "free turn, nose up", "the closed lock pitches; less tongue.neck_play or tongue.floor_play"},
		{1.75, "free turn, nose down", "the closed lock pitches until the fold meets the roof, a soft stop; less tongue.rise"},
	} {
		t := m.Turns[i]
		at := r3.Vec{X: l.XFold, Z: l.ZLeaf}
		if len(t.Held) > 0 {
			at = t.Held[0]
		}
		out = append(out, finding.AtMost(v.name, "deg", t.Angle*180/math.Pi, v.most, at, finding.Caution, v.say))
	}
	return out
}
