package model

import (
	"math"

	"claspwright/model/clasp"
	"claspwright/model/spring"
	"claspwright/params"
)

// slitSizer looks for flanks: thickness at the root and length. A tapered cantilever with a round slit's end is a plain cantilever but for two
// factors, of force and of stress, that hardly change between flanks that are alike; the frame's last result gives them.
type slitSizer struct {
	*sizer
	fF, fS float64 // the frame's force and stress over the plain cantilever's
}

// slitSearch finds the flanks of a job for a slit tongue. It fails with a *clasp.Refusal where there are none.
func slitSearch(job *params.Job, metal string, top *clasp.Top, leaf Spring) (*sizer, *tried, error) {
	base, err := clasp.Derive(job, metal, top)
	if err != nil {
		return nil, nil, err
	}
	s := &slitSizer{sizer: &sizer{job: job, metal: metal, top: top, leaf: leaf, ask: askOf(job, leaf), base: base, free: map[string]bool{}}, fF: 0.6, fS: 1}
	s.begin("tongue.leaf", "tongue.length")
	if !s.anyFree() {
		return s.sizer, nil, nil
	}
	s.judge.short = true
	best := s.look()
	if best == nil || !best.passes() {
		s.judge.short, s.judge.reserve, s.judge.perNewton = false, longReserve, longPerNewton
		for _, t := range s.tried {
			t.verdict = s.judge.ofSlit(t.lock, t.result)
		}
		best = s.look()
	}
	return s.sizer, best, nil
}

// look computes flanks until the best by the estimate has been computed.
func (s *slitSizer) look() (best *tried) {
	for range patience {
		z, ok := s.next()
		if !ok || s.known(z) {
			break
		}
		s.evaluate(z)
	}
	for _, t := range s.tried {
		if best == nil || t.cost < best.cost {
			best = t
		}
	}
	return best
}

func (s *slitSizer) known(z sizes) bool {
	for _, t := range s.tried {
		if math.Abs(t.leaf-z.leaf) < 0.005 && math.Abs(t.length-z.length) < 0.005 {
			return true
		}
	}
	return false
}

func (s *slitSizer) evaluate(z sizes) {
	lock, err := s.build(z)
	if err == nil {
		if r, err := forkOf(lock, s.leaf.Metal).Analyse(s.ask); err == nil {
			s.tried = append(s.tried, &tried{sizes: z, lock: lock, result: r, verdict: s.judge.ofSlit(lock, r)})
			force, mpa := s.cantilever(z)
			s.fF, s.fS = r.Release.Force/force, need(r)/(Safety*mpa)
			return
		}
	}
	s.gone = append(s.gone, z)
}

// cantilever is force and stress of a plain cantilever, pressed at its end by the travel.
func (s *slitSizer) cantilever(z sizes) (force, mpa float64) {
	l, e := s.base, s.leaf.Metal.E
	return e * l.Plate.Thick * math.Pow(z.leaf, 3) * l.Travel / (4 * math.Pow(z.length, 3)), 1.5 * e * z.leaf * l.Travel / (z.length * z.length)
}

// next is the best pair of sizes by the estimate.
func (s *slitSizer) next() (best sizes, ok bool) {
	least := math.Inf(1)
	span := func(key string, own, lo, hi, step float64, use func(float64)) {
		if !s.free[key] {
			use(own)
			return
		}
		for i := 0; lo+float64(i)*step <= hi+1e-9; i++ {
			use(lo + float64(i)*step)
		}
	}
	span("tongue.leaf", s.base.Leaf, 0.5, 1.2, 0.01, func(leaf float64) {
		span("tongue.length", s.base.Length, 7, 20, 0.1, func(length float64) {
			z := sizes{leaf: leaf, fold: s.base.Fold, length: length}
			if length < 12*leaf || s.isGone(z) {
				return
			}
			force, mpa := s.cantilever(z)
			var f shortfalls
			f.force, f.ratio = s.fF*force, Safety*s.fS*mpa/s.judge.yield
			whole := s.base.Whole() + length - s.base.Length + leaf - s.base.Leaf
			s.judge.slitCommon(&f, whole, s.base.Width)
			if v := s.judge.pricedAt(f.verdict, whole, bestPinch); v.cost < least {
				least, best, ok = v.cost, z, true
			}
		})
	})
	return best, ok
}

// slitCommon are the checks that the estimate knows too.
func (j judge) slitCommon(s *shortfalls, whole, width float64) {
	s.atMost("stress in the leaf", s.ratio, 1)
	s.atLeast("force to open", s.force, leastPinch)
	s.atMost("force to open, for a thumb", s.force, mostForce)
	if j.short {
		s.atMost("length over width", whole, 2*width)
	}
}

// ofSlit judges computed flanks.
func (j judge) ofSlit(l *clasp.Lock, r *spring.Result) verdict {
	var s shortfalls
	s.force, s.ratio = r.Release.Force, need(r)/j.yield
	pulled, _, _ := worstPulled(r.Pull)
	j.slitCommon(&s, l.Whole(), l.Width)
	s.atMost("pull held", pulled, j.yield)
	s.atMost("pull held at 20 degrees", math.Max(r.Askew.Lip, r.Askew.Bearing), j.yield)
	s.atLeast("pull held", r.Pull.Force, j.pull-1e-9)
	s.atMost("force to close", r.Push[2], mostPush)
	s.atLeast("way to the stop", r.Stop.Drop, l.Travel+stopPast)
	s.atMost("stop over travel", r.Stop.Drop/l.Travel, mostStop)
	s.atLeast("end play", l.EndPlay, r.Stop.Back+tipClear)
	return j.pricedAt(s.verdict, l.Whole(), bestPinch)
}
