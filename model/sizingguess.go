package model

import (
	"cmp"
	"math"
	"slices"

	"claspwright/model/clasp"
	"claspwright/model/spring"
	"claspwright/params"
)

// estimate is the force of release and the stress on the fold's inner side by the hairpin.
func (s *sizer) estimate(z sizes) (force, inner float64) {
	return spring.Hairpin{Leaf: z.leaf, Taper: s.base.Taper, Fold: z.fold, Length: z.length, Level: 0.45, Root: math.Min(3, z.length/4) - 0.45,
		Upper: s.base.UpperWidth, Lower: s.base.LowerWidth, E: s.leaf.Metal.E}.Pressed(s.base.Travel)
}

// guess is the best leaf by the estimate that has not been computed yet; none when the best has been.
func (s *sizer) guess() (sizes, bool) {
	type guessed struct {
		sizes
		cost float64
	}
	var all []guessed
	for _, z := range s.shapes() {
		for _, l := range s.lengths(z) {
			z.length = l
			if !s.isGone(z) {
				all = append(all, guessed{z, s.judge.estimated(s, z).cost})
			}
		}
	}
	if len(all) == 0 {
		return sizes{}, false
	}
	z := slices.MinFunc(all, func(a, b guessed) int { return cmp.Compare(a.cost, b.cost) }).sizes
	for _, t := range s.tried {
		if s.name(t.sizes) == s.name(z) {
			return z, false
		}
	}
	return z, true
}

// shapes are the leaves that the height holds, each with the widest fold for it: that has the lower stress and the shorter lock.
func (s *sizer) shapes() (out []sizes) {
	for _, t := range s.leaves() {
		for _, rise := range s.rises() {
			z := sizes{leaf: t, fold: s.base.Fold, rise: rise, endPlay: s.play, stop: s.stop}
			if s.free["tongue.fold"] {
				z.fold = clasp.Down(math.Min(math.Max(s.bounds.fold, widest*t), (s.room.Height-rise)/2-t))
			}
			if z.fold >= math.Max(s.bounds.fold, tightest*t)-1e-9 || !s.free["tongue.fold"] && 2*(t+z.fold)+rise <= s.room.Height+1e-9 {
				out = append(out, z)
				break // a lower rise only where height is short
			}
		}
	}
	return out
}

func (s *sizer) leaves() (out []float64) {
	if !s.free["tongue.leaf"] {
		return []float64{s.base.Leaf}
	}
	for i := range int(math.Round((s.bounds.thick-s.bounds.thin)*100)) + 1 {
		out = append(out, s.bounds.thin+0.01*float64(i))
	}
	return out
}

func (s *sizer) rises() []float64 {
	if !s.free["tongue.rise"] {
		return []float64{s.base.Rise}
	}
	return []float64{s.base.Rise, s.low}
}

// lengths are those at which one of the things that are asked for is just met: the best force, the least, the greatest; the stress with
// and without its reserve; the longest that does not fold up, the longest within twice the width; the bounds.
func (s *sizer) lengths(z sizes) (out []float64) {
	k, _ := params.Lookup("tongue.length")
	if _, given := s.job.Number("lock.length"); given {
		return []float64{s.base.Length + s.base.Fold + s.base.Leaf - z.fold - z.leaf}
	}
	if !s.free["tongue.length"] {
		return []float64{s.base.Length}
	}
	at := func(l float64) verdict { z.length = l; return s.judge.estimated(s, z) }
	solve := func(over func(verdict) float64) { // the length at which a falling measure passes 0
		lo, hi := k.Min, k.Max
		if over(at(lo)) <= 0 || over(at(hi)) > 0 {
			return
		}
		for hi-lo > 1e-4 {
			if mid := (lo + hi) / 2; over(at(mid)) > 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		out = append(out, clasp.Up(hi), clasp.Down(lo))
	}
	for _, f := range []float64{bestForce + nearForce, bestForce, bestForce - nearForce, leastForce, mostForce} {
		solve(func(v verdict) float64 { return v.force - f })
	}
	for _, r := range []float64{1, s.judge.reserve} {
		solve(func(v verdict) float64 { return v.ratio - r })
	}
	if len(s.gone) > 0 { // what would be best is refused: look around
		for l := k.Min; l <= k.Max; l++ {
			out = append(out, l)
		}
	}
	for _, l := range []float64{k.Min, k.Max, s.slim * math.Pow(z.leaf, 1.5), s.within(z)} {
		if l >= k.Min && l <= k.Max {
			out = append(out, clasp.Down(l))
		}
	}
	return out
}

// within is the length with which box and block are twice as long as the lock is wide.
func (s *sizer) within(z sizes) float64 { return 2*s.base.Width - s.whole(z) + z.length }

// whole is the length of box and block.
func (s *sizer) whole(z sizes) float64 {
	b := s.base
	return b.BoxLength - b.Length - b.Fold - b.Leaf - (b.XTip - b.Lip) + z.length + z.fold + z.leaf + z.endPlay + b.FaceGap + b.Block
}
