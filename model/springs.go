package model

import (
	"claspwright/model/clasp"
	"claspwright/model/metal"
	"claspwright/model/spring"
	"claspwright/params"
)

// Spring is the leaf's spring with the metal that it was computed for.
type Spring struct {
	*spring.Result
	Metal     spring.Metal
	Condition string
	Yield     params.Figure // Rp0.2 of the leaf in its condition, MPa; not known when its kind is ""
	Estimated bool          // from hardness
	Leaves    int           // beside each other; the result is that of one
	Failed    string        // why there is no result: the way in ends, or nothing is in balance
}

// Known says whether there is a yield to hold stresses against.
func (s *Spring) Known() bool { return s.Yield.Known() }

// Safety is by how much yield must exceed the stress on the way in and at release. Common practice, no source.
const Safety = 1.25

// Needed is the yield that the leaf asks for, MPa: on the way in and at release with safety, at the stop without.
func (s *Spring) Needed() float64 {
	if s.Result == nil {
		return 0
	}
	return need(s.Result)
}

// Opens is the force that opens the lock, N: on the tab, or on both tabs together.
func (s *Spring) Opens() float64 { return float64(s.Leaves) * s.Release.Force }

// Closes is the push along the chain that closes the lock, N, all leaves together, at the least, the job's and the greatest friction.
func (s *Spring) Closes() (push [3]float64) {
	for i, v := range s.Push {
		push[i] = float64(s.Leaves) * v
	}
	return push
}

// Gold of any kind has a modulus in the table, as has every metal; these hold for an alloy without.
const (
	plainModulus = 90000 // MPa, gold alloys, common practice, no source
	plainPoisson = 0.4
)

// leafMetal is the tongue's metal in the job's condition.
func leafMetal(job *params.Job, a params.Alloy) Spring {
	s := metalIn(a, condition(job))
	if y, given := job.Number("tongue.yield"); given {
		s.Yield, s.Estimated = params.Figure{Value: y, Kind: params.Published, Source: "tongue.yield, as given"}, false
	}
	return s
}

// metalIn is the same of an alloy in a condition.
func metalIn(a params.Alloy, condition string) Spring {
	k, _ := params.Strength(a, condition)
	s := Spring{Metal: spring.Metal{E: plainModulus, Poisson: plainPoisson}, Condition: condition, Yield: k.Yield}
	if k.Modulus.Known() {
		s.Metal.E = 1000 * k.Modulus.Value
	}
	if k.Poisson.Known() {
		s.Metal.Poisson = k.Poisson.Value
	}
	if !k.Yield.Known() && k.Hardness.Known() {
		if y, ok := metal.YieldOfHardness(a.Metal, k.Hardness.Value); ok {
			s.Yield, s.Estimated = k.Hardness, true
			s.Yield.Value = y
		}
	}
	return s
}

// stations of the way in; closer towards the end.
const stations = 20

// springs computes the leaf of the commission.
func (c *Commission) springs() error {
	leaf, err := c.stripAlloy()
	if err != nil {
		return err
	}
	s := leafMetal(c.Job, leaf)
	s.Leaves = c.Lock.Leaves
	if s.Result, err = springLock(c.Lock, s.Metal).Analyse(askOf(c.Job, s)); err != nil {
		s.Failed = err.Error()
	}
	c.Spring = &s
	return nil
}

// askOf is what a job wants to know of its spring.
func askOf(job *params.Job, s Spring) spring.Ask {
	pull, _ := job.Number("lock.pull")
	mu, _ := job.Number("tongue.friction")
	return spring.Ask{Yield: s.Yield.Value, Pull: pull, Friction: [3]float64{max(0, mu-0.1), mu, mu + 0.1}, Stations: stations}
}

// springLock hands the lock's numbers to the spring.
func springLock(l *clasp.Lock, m spring.Metal) *spring.Lock {
	if l.Slitted() {
		return forkOf(l, m)
	}
	return &spring.Lock{
		Metal: m, FaceGap: l.FaceGap, Floor: l.Floor, NeckPlay: l.NeckPlay, Mouth: l.Mouth, XNeck: l.XNeck, XPad: l.XPad, ZPad: l.ZPad, Toe: l.Toe,
		ZLeaf: l.ZLeaf, Leaf: l.Leaf, Taper: l.Taper, Fold: l.Fold, XTip: l.XTip, XKnee: l.XKnee, XFold: l.XFold, ZUpper: l.ZUpper, ZTip: l.ZTip,
		Chamfer: l.Chamfer, LowerWidth: l.LowerWidth, UpperWidth: l.UpperWidth, NotchWidth: l.NotchWidth,
		TabWidth: l.TabWidth, TabThickness: l.TabThickness, TabTop: l.TabTop(),
		Lip: l.Lip, LipEntry: l.LipEntry, ZLip: l.ZLip, LipDepth: l.LipDepth, XStep: l.XStep, StepRun: clasp.StepRun, ZFront: l.ZFront,
		Engagement: l.Engagement, Travel: l.Travel, EndPlay: l.EndPlay,
	}
}
