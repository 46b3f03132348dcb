package model

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/finding"
	"claspwright/model/spring"
)

// Limits of the leaf; common practice, no source.
const (
	mostPush   = 20.0 // N, to close with two fingers
	leastForce = 4.0  // N on the tab; less, and a sleeve may open it
	mostForce  = 12.0 // N on the tab
	stopPast   = 0.05 // mm beyond the travel at which the leaf may meet its stop at the soonest
	mostStop   = 1.25 // of the travel at the latest
	foldClear  = 0.02 // mm between the risen fold and the roof
	tipClear   = 0.03 // mm between the pressed tip and the lip
)

// springing judges the leaf: force, stress, stop and pull.
func (c *Commission) springing() []finding.Finding {
	s := c.Spring
	if s.Result == nil {
		at := c.Lock.OnLeaf(r3.Vec{X: c.Lock.XTip, Z: c.Lock.ZTip})
		return []finding.Finding{{Check: "way in", Grade: finding.Stop, Unit: "mm", At: at,
			Say: fmt.Sprintf("the leaf cannot be followed into the box (%s): %s", s.Failed, c.room())}}
	}
	out := c.onTheWay()
	out = append(out, c.stressed()...)
	out = append(out, c.pressing()...)
	return append(out, c.pulling()...)
}

// onTheWay says where the leaf touches before it has snapped in.
func (c *Commission) onTheWay() []finding.Finding {
	s, l := c.Spring, c.Lock
	grip := s.Closes()[len(s.Push)-1]
	tip := l.OnLeaf(r3.Vec{X: l.XTip, Z: l.ZTip})
	out := []finding.Finding{
		finding.AtMost("force to close", "N", grip, mostPush, tip, finding.Caution, "hard to push home with two fingers (common practice, no source); a longer or thinner leaf"),
	}
	free := finding.Finding{Check: "way in", Grade: finding.OK, Unit: "mm", At: tip, Say: "on its way in the leaf touches lip and floor alone"}
	for _, st := range s.Way {
		for _, t := range st.Touches {
			at := l.OnLeaf(r3.Vec{X: t.X, Y: t.Y, Z: t.Z})
			switch {
			case t.On == spring.AtPad || t.On == spring.AtLeaf:
				free.Grade, free.At, free.Measured = finding.Stop, at, st.Out
				free.Say = fmt.Sprintf("pressed aside by the lip, the leaf strikes the %s while the tongue is still %.2f mm out; %s", t.On, st.Out, c.room())
			case t.On == spring.AtRoof && free.Grade == finding.OK:
				free.Grade, free.At, free.Measured = finding.Caution, at, st.Out
				free.Say = fmt.Sprintf("the leaf bears on the chamber's step while the tongue is %.2f mm out; %s", st.Out, c.room())
			}
		}
	}
	return append(out, free)
}

// room is what gives the leaf room to bend.
func (c *Commission) room() string {
	if c.Lock.Slitted() {
		return "a larger tongue.fold, or a thinner tongue.leaf"
	}
	return "more tongue.rise or tongue.fold, or a thinner tongue.leaf"
}

// stressed holds the leaf's stresses against its yield.
func (c *Commission) stressed() []finding.Finding {
	s := c.Spring
	need := s.Needed()
	if !s.Known() {
		return []finding.Finding{{Check: "stress in the leaf", Grade: finding.Caution, Measured: s.Peak.Size(), Unit: "MPa", At: c.Lock.OnLeaf(s.Peak.At()),
			Say: fmt.Sprintf("the yield of this alloy, %s, is not known: ask its maker for Rp0.2, the leaf needs %.0f MPa; or another tongue.alloy", s.Condition, need)}}
	}
	bad, of := finding.Stop, ""
	if s.Estimated {
		bad, of = finding.Caution, "; the yield is estimated from hardness"
	}
	help := fmt.Sprintf("the leaf would stay bent: a longer tongue.length, a thinner tongue.leaf, a harder tongue.condition, or another tongue.alloy; it needs a yield of %.0f MPa%s", need, of)
	out := []finding.Finding{
		finding.AtMost("stress in the leaf", "MPa", s.Peak.Size(), s.Yield.Value/Safety, c.Lock.OnLeaf(s.Peak.At()), bad, help),
		finding.AtMost("stress at the stop", "MPa", s.Stop.Peak.Size(), s.Yield.Value, c.Lock.OnLeaf(s.Stop.Peak.At()), finding.Caution, "a thumb that presses the tab right down bends the leaf for good"+of),
	}
	switch {
	case s.Peak.Size() > s.Yield.Value && !s.SetKnown:
		out = append(out, finding.Finding{Check: "set after first use", Grade: finding.Caution, Unit: "mm", At: c.Lock.OnLeaf(s.Peak.At()), Say: "the fold gives way at the first use; how far cannot be said"})
	case s.Set > 0:
		out = append(out, finding.AtMost("set after first use", "mm", s.Set, c.Lock.Engagement-c.Lock.Chamfer-0.2, c.Lock.OnLeaf(s.Peak.At()), finding.Caution, "the shoulders stay down by this much after the first use and catch too little; bend the leaf up again, or see the stress in the leaf"))
	}
	return append(out, finding.Finding{Check: "life of the spring", Grade: finding.Note, Unit: "MPa", Measured: s.Peak.Size(), At: c.Lock.OnLeaf(s.Peak.At()),
		Say: "no published data on the fatigue of this alloy: how often the leaf may be pressed cannot be said"})
}

// pressing judges the thumb on the tab.
func (c *Commission) pressing() []finding.Finding {
	if c.Lock.Slitted() {
		return c.pinching()
	}
	s, l := c.Spring, c.Lock
	tab := l.OnLeaf(r3.Vec{X: l.XTip + l.TabThickness/2, Z: l.TabTop()})
	fold := l.OnLeaf(r3.Vec{X: l.XFold, Z: l.ZUpper})
	pad := l.OnLeaf(r3.Vec{X: l.XPad, Z: l.ZPad})
	return []finding.Finding{
		finding.AtLeast("force to open", "N", s.Opens(), leastForce, tab, finding.Caution, "so light that a sleeve may open it; a shorter or thicker leaf"),
		finding.AtMost("force to open, for a thumb", "N", s.Opens(), mostForce, tab, finding.Caution, "hard on a thumb; a longer or thinner leaf"),
		finding.AtLeast("way to the stop", "mm", s.Stop.Drop, l.Travel+stopPast, pad, finding.Stop, "the leaf meets the root pad before the shoulders are free; raise tongue.rise or tongue.fold"),
		finding.AtMost("stop over travel", "x", s.Stop.Drop/l.Travel, mostStop, pad, finding.Caution, "the tab can be pressed much further than it needs; a thicker root pad, that is a smaller tongue.rise"),
		finding.AtLeast("room over the fold", "mm", c.Fit.FoldHeadroom, s.Stop.FoldRise+foldClear, fold, finding.Stop, "the fold rises by this much when the tab is pressed to its stop, and must clear the roof; raise tongue.rise"),
		finding.AtLeast("end play", "mm", c.Fit.EndPlay, s.Stop.Back+tipClear, l.OnLeaf(r3.Vec{X: l.XTip, Z: l.ZTip}), finding.Stop, "pressed, the shoulders swing towards the lip and must not strike it; raise tongue.end_play"),
	}
}

// worstPulled is the greatest stress under the pull, MPa, shear counted by its yield, what it does, and whether it is the leaf's.
func worstPulled(p spring.Pulled) (mpa float64, does string, leaf bool) {
	mpa, does, leaf = p.Leaf.Size(), "the fold opens", true
	for _, v := range []struct {
		mpa  float64
		does string
	}{{p.Lip, "the lip bends"}, {p.Bearing, "the shoulders are crushed"}, {math.Sqrt(3) * p.Shear, "the shoulders are sheared"}} {
		if v.mpa > mpa {
			mpa, does, leaf = v.mpa, v.does, false
		}
	}
	return mpa, does, leaf
}

// pulling judges the closed lock under the pull of the chain, straight and at 20 degrees. Of two leaves each must hold it alone.
func (c *Commission) pulling() []finding.Finding {
	s, l := c.Spring, c.Lock
	p, a := s.Pull, s.Askew
	lip := c.lipAt()
	worst, what, leaf := worstPulled(p)
	if leaf && l.Slitted() {
		what = "the flanks bend"
	}
	at := lip
	if leaf {
		at = c.Lock.OnLeaf(p.Leaf.At())
	}
	asked, _ := c.Job.Number("lock.pull")
	if p.Gives {
		return []finding.Finding{finding.AtLeast("pull held", "N", p.Force, asked, c.Lock.OnLeaf(p.Leaf.At()), finding.Caution, c.alone()+"pulled harder, the leaf folds up or slips from its hold; a thicker leaf, or less tongue.top_gap"+c.orOne())}
	}
	if !s.Known() {
		return []finding.Finding{{Check: "pull held", Grade: finding.Note, Measured: p.Force, Unit: "N", At: at,
			Say: c.alone() + fmt.Sprintf("asks for a yield of %.0f MPa (%s); at 20 degrees %.0f MPa", worst, what, math.Max(a.Lip, a.Bearing))}}
	}
	held := func(stress float64) float64 { return p.Force * s.Yield.Value / math.Max(stress, 1e-9) }
	return []finding.Finding{
		finding.AtLeast("pull held", "N", held(worst), p.Force, at, finding.Caution, c.alone()+fmt.Sprintf("pulled harder, %s for good; a thicker leaf or lip, or harder metal", what)+c.orOne()),
		finding.AtLeast("pull held at 20 degrees", "N", held(math.Max(a.Lip, a.Bearing)), p.Force, lip, finding.Caution, "one shoulder alone bears then; a thicker lock.lip, or harder metal"),
	}
}
