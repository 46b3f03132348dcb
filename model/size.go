package model

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"claspwright/model/clasp"
	"claspwright/params"
)

// size finds the lock's dimensions: by the rules, then the leaf by its spring, unless the job wants the rules alone. Where no leaf passes it takes
// the one that misses least, and looks for jobs nearby that would pass if that is wanted.
func (c *Commission) size(metal string, near bool) error {
	own, err := c.stripAlloy()
	if err != nil {
		return err
	}
	c.sized = c.Job
	leaf := leafMetal(c.Job, own)
	if how, _ := c.Job.Text("tongue.sizes"); how == "spring" {
		if err := c.search(metal, leaf); err != nil {
			return err
		}
	}
	if c.Lock == nil {
		c.Lock, err = clasp.Derive(c.Job, metal, topOf(c.Crown))
	}
	if z := c.Sizing; err == nil && z != nil && !z.Passes && near && ofMetal[z.Way] {
		z.Nearest = c.nearest(metal, own, z)
	}
	return err
}

// ofMetal are the checks that other metal, or more of it, can help; what else is in the way was set by hand.
var ofMetal = map[string]bool{"stress in the leaf": true, "pull held": true, "pull held at 20 degrees": true, "force to open": true, "force to open, for a thumb": true}

// search sizes the leaf by its spring. A job that fixes every size is left as it is, and so is one whose spring cannot be computed at all.
func (c *Commission) search(metal string, leaf Spring) error {
	s, best, err := searched(c.Job, metal, topOf(c.Crown), leaf)
	if err != nil || best == nil {
		return err
	}
	c.Sizing = s.sizing(best)
	if c.sized, err = c.Job.With(c.Sizing.Sets...); err != nil {
		return err
	}
	c.Lock = best.lock
	c.originate()
	return nil
}

// searched is the best leaf of a job, nil where it leaves nothing to find or no spring can be computed.
func searched(job *params.Job, metal string, top *clasp.Top, leaf Spring) (*sizer, *tried, error) {
	if how, _ := job.Text("tongue.make"); how == "slit" {
		return slitSearch(job, metal, top, leaf)
	}
	s, err := newSizer(job, metal, top, leaf)
	if err != nil || !s.anyFree() {
		return s, nil, err
	}
	return s, s.search(), nil
}

func (s *sizer) anyFree() bool {
	for _, free := range s.free {
		if free {
			return true
		}
	}
	return false
}

func (s *sizer) sizing(best *tried) *Sizing {
	return &Sizing{Sets: best.sets(s.free), Passes: best.passes(), Way: best.way, Yield: need(best.result), Ratio: best.ratio, Assumed: s.judge.assumed,
		Short: s.judge.short, Force: best.force, Tried: len(s.tried)}
}

// bySpring is the origin of a size that was found.
const bySpring = "found: by the spring"

// originate notes of what was found that it was not given.
func (c *Commission) originate() {
	for i := range c.Lock.Resolved {
		r := &c.Lock.Resolved[i]
		if slices.ContainsFunc(c.Sizing.Sets, func(set string) bool { return strings.HasPrefix(set, r.Key+"=") }) {
			r.Origin = bySpring
		}
	}
}

// knownYield puts the yield that the leaf is held against into the resolved job.
func (c *Commission) knownYield() {
	own, err := c.stripAlloy()
	if err != nil {
		return
	}
	if s := leafMetal(c.Job, own); s.Known() {
		c.resolved("tongue.yield", s.Yield.Value)
	}
}

// nearest looks for jobs near this one that pass: another condition of the leaf, another alloy for the tongue, a leaf of strip, a thicker chain, a lesser pull.
func (c *Commission) nearest(metal string, own params.Alloy, z *Sizing) (out []Nearby) {
	if n, ok := c.harder(metal, own); ok {
		out = append(out, n)
	}
	if n, ok := c.otherAlloy(metal, own); ok {
		out = append(out, n)
	}
	if strip := []string{"tongue.make=strip", "tongue.condition=hammered"}; !ofStrip(c.Job) && c.passesWith(metal, own, strip...) {
		out = append(out, Nearby{Sets: strip, Say: "a leaf of hard-rolled strip"})
	}
	if n, ok := c.thicker(metal, own); ok {
		out = append(out, n)
	}
	if n, ok := c.weaker(metal, own, z); ok {
		out = append(out, n)
	}
	if len(out) == 0 {
		if n, ok := c.both(metal, own); ok {
			out = append(out, n)
		}
	}
	return out
}

// both tries a harder leaf that is asked to hold less, where neither helps alone.
func (c *Commission) both(metal string, own params.Alloy) (Nearby, bool) {
	for _, p := range []float64{80, 60, 40, 20} {
		for _, cond := range []string{"hammered", "age-hardened"} {
			sets := []string{"tongue.condition=" + cond, fmt.Sprintf("lock.pull=%.0f", p)}
			if c.passesWith(metal, own, sets...) {
				return Nearby{Sets: sets, Say: fmt.Sprintf("the leaf %s and a pull of %.0f N", cond, p)}, true
			}
		}
	}
	return Nearby{}, false
}

// weaker is the greatest pull, in tens of newtons, that a leaf which passes otherwise holds, down to the 20 N that buyers test a clasp with (GB/T 35777-2017).
func (c *Commission) weaker(metal string, own params.Alloy, z *Sizing) (Nearby, bool) {
	pull, _ := c.Job.Number("lock.pull")
	if !strings.HasPrefix(z.Way, "pull held") {
		return Nearby{}, false
	}
	for p := math.Ceil(pull/10-1) * 10; p >= 20; p -= 10 {
		if set := fmt.Sprintf("lock.pull=%.0f", p); c.passesWith(metal, own, set) {
			return Nearby{Sets: []string{set}, Say: fmt.Sprintf("a pull of %.0f N for one of %.0f N", p, pull)}, true
		}
	}
	return Nearby{}, false
}

// harder tries the other conditions of the leaf's alloy, the softest first.
func (c *Commission) harder(metal string, own params.Alloy) (Nearby, bool) {
	now, _ := c.Job.Text("tongue.condition")
	for _, cond := range []string{"hammered", "age-hardened"} {
		if set := "tongue.condition=" + cond; cond != now {
			if ok := c.passesWith(metal, own, set); ok {
				return Nearby{Sets: []string{set}, Say: "the leaf " + cond}, true
			}
		}
	}
	return Nearby{}, false
}

// otherAlloy tries the other alloys of the tongue's metal that do not lower the mark, the nearest in fineness first, and of each the softest condition
// whose yield is known.
func (c *Commission) otherAlloy(metal string, own params.Alloy) (Nearby, bool) {
	if _, given := c.Job.Number("tongue.yield"); given {
		return Nearby{}, false
	}
	var others []params.Alloy
	for _, a := range params.Alloys() {
		if a.Metal == own.Metal && a.ID != own.ID && a.Fineness >= own.Fineness {
			others = append(others, a)
		}
	}
	slices.SortStableFunc(others, func(a, b params.Alloy) int { return int(math.Round(a.Fineness - b.Fineness)) })
	for _, a := range others {
		for _, cond := range []string{"annealed", "hammered", "age-hardened"} {
			sets := []string{"tongue.alloy=" + a.ID, "tongue.condition=" + cond}
			if ok := c.passesWith(metal, a, sets...); ok {
				return Nearby{Sets: sets, Say: "a tongue of " + a.ID + ", " + cond}, true
			}
		}
	}
	return Nearby{}, false
}

// thicker is the least thickness, to 0.1 mm, with which the same job passes, up to half as thick again.
func (c *Commission) thicker(metal string, own params.Alloy) (Nearby, bool) {
	if c.Crown != nil {
		return Nearby{}, false // its readings would have to change too
	}
	t, _ := c.Job.Number("chain.thickness")
	set := func(i int) string { return fmt.Sprintf("chain.thickness=%.1f", math.Floor(10*t)/10+0.1*float64(i)) }
	lo, hi := 0, int(math.Ceil(5*t))
	if ok := c.passesWith(metal, own, set(hi)); !ok {
		return Nearby{}, false
	}
	for hi-lo > 1 {
		if ok := c.passesWith(metal, own, set((lo+hi)/2)); ok {
			hi = (lo + hi) / 2
		} else {
			lo = (lo + hi) / 2
		}
	}
	return Nearby{Sets: []string{set(hi)}, Say: "a chain " + strings.TrimPrefix(set(hi), "chain.thickness=") + " mm thick"}, true
}

// passesWith says whether a leaf of known yield is found that passes when keys are set otherwise.
func (c *Commission) passesWith(metal string, leaf params.Alloy, sets ...string) bool {
	job, err := c.Job.With(sets...)
	if err != nil {
		return false
	}
	m := leafMetal(job, leaf)
	if !m.Known() || m.Yield.Value < 0.8*c.Sizing.Yield && m.Yield.Value <= leafMetal(c.Job, leaf).Yield.Value {
		return false
	}
	_, best, err := searched(job, metal, topOf(c.Crown), m)
	return err == nil && best != nil && best.passes()
}
