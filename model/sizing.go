package model

import (
	"fmt"
	"math"
	"slices"

	"claspwright/model/clasp"
	"claspwright/model/spring"
	"claspwright/params"
)

// Sizing is how the leaf came by its sizes.
type Sizing struct {
	Sets    []string // the keys that were found, as key=value; the rest of the job is as given
	Passes  bool     // every check that the leaf's sizes answer for
	Way     string   // the check in the way, when not
	Yield   float64  // MPa that the leaf asks for
	Ratio   float64  // of that to the yield; to one assumed when the alloy's is not known
	Assumed bool
	Force   float64  // N of release, of all leaves together
	Short   bool     // the lock was kept within twice the width
	Tried   int      // leaves that were computed
	Nearest []Nearby // jobs that would pass, when this one does not
}

// Nearby is a job near the one asked for that would pass.
type Nearby struct {
	Sets []string // key=value
	Say  string
}

// sizes are what is looked for, mm.
type sizes struct{ leaf, fold, length, rise, endPlay, stop float64 }

// sets are the sizes as a job has them, those left out that are not free.
func (z sizes) sets(free map[string]bool) (out []string) {
	for _, s := range []struct {
		key string
		v   float64
	}{{"tongue.leaf", z.leaf}, {"tongue.fold", z.fold}, {"tongue.length", z.length}, {"tongue.rise", z.rise}, {"tongue.end_play", z.endPlay}, {"tongue.stop", z.stop}} {
		if free[s.key] {
			out = append(out, fmt.Sprintf("%s=%.2f", s.key, s.v))
		}
	}
	return out
}

// Bounds of the search. A cast leaf thicker than the greatest is no spring that a thumb moves in a lock that fits a wrist; a fold wider than the leaf is
// thick wins little (Winkler's factor is 1.29 there, 1.15 at twice that) and costs height. Common practice, no source.
const (
	tightest, widest = 0.5, 1.0 // fold over leaf
	lowRise          = 0.16     // where height is short: what the fold's rise needs
)

// bounds are those that the way of making sets, mm: the thinnest and the thickest leaf, and the tightest fold.
type bounds struct{ thin, thick, fold float64 }

var (
	castBounds  = bounds{0.50, 0.90, 0.25} // half the slot that a caster's core can stand
	stripBounds = bounds{0.35, 0.60, 0.18}
)

// sizer looks for the leaf of one job.
type sizer struct {
	job    *params.Job
	metal  string // of the box
	top    *clasp.Top
	leaf   Spring
	ask    spring.Ask
	room   clasp.Room
	bounds bounds
	base   *clasp.Lock // by rule alone
	play   float64     // end play, as the last leaf computed asks for
	stop   float64     // tongue.stop, likewise
	low    float64     // the rise where height is short
	free   map[string]bool
	judge  judge
	kF, kS float64 // the frame's force and stress over the estimate's
	kP     float64 // stress under the pull, times width and leaf2, over leaf and fold
	slim   float64 // greatest length over leaf^1.5 that does not fold up under the pull
	tried  []*tried
	gone   []sizes // that cannot be built
}

// tried is one leaf that was computed.
type tried struct {
	sizes
	lock   *clasp.Lock
	result *spring.Result
	verdict
}

// newSizer prepares the search. It fails with a *clasp.Refusal where the rules find no leaf to begin with.
func newSizer(job *params.Job, metal string, top *clasp.Top, leaf Spring) (*sizer, error) {
	base, err := clasp.Derive(job, metal, top)
	if err != nil {
		return nil, err
	}
	s := &sizer{job: job, metal: metal, top: top, leaf: leaf, ask: askOf(job, leaf), base: base, play: base.EndPlay, stop: base.Stop, bounds: castBounds, low: lowRise, free: map[string]bool{},
		room: clasp.RoomFor(job, metal, top, base.HollowRise), kF: 1.2, kS: 1.32, kP: 900, slim: math.Inf(1)}
	if base.Rolled() {
		s.bounds = stripBounds
	}
	s.begin("tongue.leaf", "tongue.fold", "tongue.length", "tongue.rise", "tongue.end_play", "tongue.stop")
	return s, nil
}

// begin sets what is looked for, of the keys those that are not given, and what it is weighed by.
func (s *sizer) begin(keys ...string) {
	s.ask.Rough, s.ask.Stations = true, 6
	for _, key := range keys {
		_, given := s.job.Number(key)
		s.free[key] = !given
	}
	if _, given := s.job.Number("lock.length"); given {
		s.free["tongue.length"] = false
	}
	s.judge = judge{yield: s.leaf.Yield.Value, pull: s.ask.Pull, reserve: shortReserve, perNewton: shortPerNewton}
	if !s.leaf.Known() {
		s.judge.yield, s.judge.assumed = assumedYield, true
	}
}

// search computes leaves until the estimate, corrected by what was computed last, finds no better one, first within twice the width, then
// without that limit if nothing passes within it.
func (s *sizer) search() *tried {
	s.judge.short = true
	if best := s.climb(); best != nil && best.passes() {
		return best
	}
	s.judge.short, s.judge.reserve, s.judge.perNewton = false, longReserve, longPerNewton
	for _, t := range s.tried {
		t.verdict = s.judge.of(t.lock, t.result)
	}
	return s.climb()
}

const (
	patience = 6  // leaves computed in one climb
	mostGone = 60 // leaves that could not be built
)

func (s *sizer) climb() *tried {
	for more := len(s.tried) + patience; len(s.tried) < more && len(s.gone) < mostGone; {
		z, ok := s.guess()
		if !ok {
			break
		}
		s.compute(z)
	}
	var best *tried
	for _, t := range s.tried {
		if best == nil || t.cost < best.cost {
			best = t
		}
	}
	return best
}

// compute judges one leaf by the frame and corrects the estimate by it.
func (s *sizer) compute(z sizes) {
	lock, err := s.build(z)
	if err != nil {
		s.gone = append(s.gone, z)
		return
	}
	r, err := springLock(lock, s.leaf.Metal).Analyse(s.ask)
	if err != nil {
		s.gone = append(s.gone, z)
		return
	}
	z.length = lock.Length
	t := &tried{sizes: z, lock: lock, result: r, verdict: s.judge.of(lock, r)}
	s.tried = append(s.tried, t)
	force, inner := s.estimate(z)
	s.kF, s.kS = r.Release.Force/force, need(r)/(Safety*inner)
	s.follow(t)
	k := r.Pull.Leaf.Size() * lock.UpperWidth * z.leaf * z.leaf / (z.leaf + z.fold) * s.ask.Pull / math.Max(r.Pull.Force, 1)
	if r.Pull.Gives || k > 1.5*s.kP { // it begins to fold up
		s.slim = math.Min(s.slim, 0.97*z.length/math.Pow(z.leaf, 1.5))
	} else {
		s.kP = k
	}
}

// follow sets end play, stop and the low rise for leaves like the one computed.
func (s *sizer) follow(t *tried) {
	p := t.result.Stop
	if back := clasp.Up(p.Back + endSpare); back > t.lock.EndPlay || back < t.lock.EndPlay-0.02 {
		s.play = math.Max(leastEndPlay, back)
	}
	if up := clasp.Up(p.FoldRise + riseSpare); up > t.lock.Rise {
		s.low = math.Max(s.low, up)
	}
	if over := p.Drop/t.lock.Travel - stopAt; math.Abs(over) > stopBand {
		s.stop = math.Round(100*math.Min(0.6, math.Max(0.1, t.stop-over*t.lock.Travel))) / 100
	}
}

const (
	stopAt       = 1.2 // of the travel
	stopBand     = 0.04
	riseSpare    = 0.022 // over the fold as it rises, of which the check asks for 0.02
	leastEndPlay = 0.15
	endSpare     = 0.035 // beyond the pressed tip's swing, of which the check asks for 0.03
)

// build derives the lock with these sizes.
func (s *sizer) build(z sizes) (*clasp.Lock, error) {
	job, err := s.job.With(z.sets(s.free)...)
	if err != nil {
		return nil, err
	}
	return clasp.Derive(job, s.metal, s.top)
}

// isGone says whether sizes are near some that could not be built.
func (s *sizer) isGone(z sizes) bool {
	return slices.ContainsFunc(s.gone, func(g sizes) bool { return math.Abs(z.leaf-g.leaf) < 0.035 && math.Abs(z.length-g.length) < 0.25 })
}

func (s *sizer) name(z sizes) string { return fmt.Sprintf("%.2f", z) }
