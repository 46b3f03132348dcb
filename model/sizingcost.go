package model

import (
	"math"

	"claspwright/model/clasp"
	"claspwright/model/spring"
)

// What a leaf is aimed at. Its limits are those of the findings, springfindings.go.
const (
	bestForce    = 8.0   // N of release; feel, common practice, no source
	nearForce    = 0.25  // N that a thumb does not tell
	assumedYield = 300.0 // MPa, where none is known: soft 14 and 18 carat gold, from memory (W. S. Rapson, Gold Bulletin 23, 1990: 300 to 350)
)

// judge weighs leaves against each other.
type judge struct {
	yield, pull float64
	assumed     bool    // the yield is
	short       bool    // the lock is to be no longer than twice its width
	reserve     float64 // of the yield: less stress than that wins nothing more
	perNewton   float64 // mm of lock that a newton is worth
}

// verdict is what a leaf is worth.
type verdict struct {
	force, ratio float64
	way          string  // the gravest check in the way
	over         float64 // by how much checks are missed, in parts of their limits
	cost         float64 // mm of lock
}

func (v verdict) passes() bool { return v.over == 0 }

// Weights make the order of what counts: checks first, then the stress, then the force, then the length. 0.01 of the stress ratio beyond
// its reserve is worth 10 mm of lock. The frame's stress may be 7 % low, hence the reserve. A lock that cannot do with twice its width
// stands off the wrist: there each millimetre counts for more, against reserve and force.
const (
	missed   = 1e5
	perRatio = 1e3

	shortReserve, shortPerNewton = 0.85, 10
	longReserve, longPerNewton   = 0.95, 2
)

// shortfalls adds up the checks that are missed.
type shortfalls struct {
	verdict
	worst float64
}

func (s *shortfalls) atMost(check string, v, limit float64) {
	s.miss(check, v/limit-1)
}

func (s *shortfalls) atLeast(check string, v, limit float64) {
	s.miss(check, 1-v/limit)
}

func (s *shortfalls) miss(check string, by float64) {
	if by <= 1e-9 {
		return
	}
	if by > s.worst {
		s.worst, s.way = by, check
	}
	s.over += by
}

// of judges a computed leaf.
func (j judge) of(l *clasp.Lock, r *spring.Result) verdict {
	var s shortfalls
	n := float64(l.Leaves)
	s.force, s.ratio = n*r.Release.Force, need(r)/j.yield
	pulled, _, _ := worstPulled(r.Pull)
	j.common(&s, l.Whole(), l.Width, pulled)
	s.atMost("pull held at 20 degrees", math.Max(r.Askew.Lip, r.Askew.Bearing), j.yield)
	s.atLeast("pull held", r.Pull.Force, j.pull-1e-9)
	s.atMost("force to close", n*r.Push[2], mostPush)
	s.atLeast("way to the stop", r.Stop.Drop, l.Travel+stopPast)
	s.atMost("stop over travel", r.Stop.Drop/l.Travel, mostStop)
	s.atLeast("room over the fold", l.Rise, r.Stop.FoldRise+foldClear)
	s.atLeast("end play", l.EndPlay, r.Stop.Back+tipClear)
	for _, w := range r.Way {
		for _, t := range w.Touches {
			if t.On == spring.AtPad || t.On == spring.AtLeaf || t.On == spring.AtRoof {
				s.miss("way in", 0.01)
			}
		}
	}
	return j.priced(s.verdict, l.Whole())
}

// common are the checks that an estimate knows too.
func (j judge) common(s *shortfalls, whole, width, pull float64) {
	s.atMost("stress in the leaf", s.ratio, 1)
	s.atMost("pull held", pull, j.yield)
	s.atLeast("force to open", s.force, leastForce)
	s.atMost("force to open, for a thumb", s.force, mostForce)
	if j.short {
		s.atMost("length over width", whole, 2*width)
	}
}

// estimated judges a leaf by the hairpin.
func (j judge) estimated(z *sizer, at sizes) verdict {
	var s shortfalls
	force, inner := z.estimate(at)
	s.force, s.ratio = float64(z.base.Leaves)*z.kF*force, z.kS*Safety*inner/j.yield
	j.common(&s, z.whole(at), z.base.Width, z.kP*(at.leaf+at.fold)/(at.leaf*at.leaf*z.base.UpperWidth))
	s.atMost("pull held", at.length, z.slim*math.Pow(at.leaf, 1.5))
	return j.priced(s.verdict, z.whole(at))
}

func (j judge) priced(v verdict, whole float64) verdict {
	return j.pricedAt(v, whole, bestForce)
}

// pricedAt prices a leaf that is to open at a force, N.
func (j judge) pricedAt(v verdict, whole, force float64) verdict {
	v.cost = missed*v.over + perRatio*math.Max(0, v.ratio-j.reserve) + j.perNewton*math.Max(0, math.Abs(v.force-force)-nearForce) + whole
	return v
}

// need is the yield that a computed leaf asks for, MPa.
func need(r *spring.Result) float64 { return math.Max(Safety*r.Peak.Size(), r.Stop.Peak.Size()) }
