package spring

import (
	"math"
	"sync"
)

// Ask is what is wanted of a lock's spring.
type Ask struct {
	Yield    float64 // Rp0.2 of the leaf in its condition, MPa; 0 when not known
	Pull     float64 // N that the closed lock should hold
	Friction [3]float64
	Stations int  // of the way in
	Rough    bool // the way at the greatest friction alone, and no load case: to compare leaves while one is looked for
}

// Result is what the leaf does.
type Result struct {
	Way      []Step     // the way in at the middle friction
	Push     [3]float64 // N, the greatest along the way, at each friction
	Hardest  Step       // the station of the greatest stress on the way
	Release  Press      // the tab pressed by the travel
	Stop     Press      // pressed on until the leaf meets the root pad
	Case     LoadCase
	Pull     Pulled
	Askew    Askew
	Peak     Peak    // the greatest on the way in and at release
	Set      float64 // mm that the shoulders stay down after the first use
	SetKnown bool    // false when yield is not known, or the leaf folds down
	Factor   float64 // of the fold's inner side, Winkler
	Relaxed  []Station
}

// Analyse follows the leaf on its way in, presses it, and pulls at the lock.
func (l *Lock) Analyse(a Ask) (*Result, error) {
	f, m := l.frame()
	r := &Result{Factor: Factor(l.Fold, l.Leaf), Relaxed: f.relaxed().stations()}
	asked := a.Pull
	if l.Fork != nil {
		a.Pull /= 2
	}
	var ways [3][]Step
	var errs [4]error // by index, so that which one is told does not depend on the cores
	var work sync.WaitGroup
	for i, mu := range a.Friction {
		if !a.Rough || i == len(a.Friction)-1 {
			work.Go(func() { ways[i], errs[i] = l.way(f, m, mu, a.Stations) })
		}
	}
	work.Go(func() { errs[3] = l.atHome(f, m, a, r) })
	work.Go(func() { r.Pull, r.Askew = l.bed(f, m, l.EndPlay, 0).pulled(a.Pull), l.askew(a.Pull, 20) })
	work.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	r.take(ways, a.Rough)
	l.peak(f, m, a, r)
	if l.Fork != nil {
		l.both(r, asked)
	}
	return r, nil
}

// take reads the ways in.
func (r *Result) take(ways [3][]Step, rough bool) {
	for i, way := range ways {
		for _, s := range way {
			r.Push[i] = math.Max(r.Push[i], s.Push)
			if math.Abs(s.Peak.MPa) > math.Abs(r.Hardest.Peak.MPa) {
				r.Hardest = s
			}
		}
		if i == 1 || rough && way != nil {
			r.Way = way
		}
	}
}

// atHome is what happens with the tongue in its place when it is pressed.
func (l *Lock) atHome(f *Frame, m marks, a Ask, r *Result) error {
	b := l.bed(f, m, 0, 0)
	b.noPad = true // how far it lets the leaf go is asked for; it may be too near
	e, force, err := b.pressed(b.tab(), l.Travel, nil)
	if err != nil {
		return err
	}
	r.Release = b.press(e, l.Travel, force)
	s, drop, force, err := b.stop(e, l.Travel)
	if err != nil {
		return err
	}
	r.Stop = b.press(s, drop, force)
	if !a.Rough {
		if r.Case, err = b.loadCase(); err != nil {
			return err
		}
	}
	return nil
}

// peak finds the greatest stress on the way and at release, and the set where that is beyond the yield.
func (l *Lock) peak(f *Frame, m marks, a Ask, r *Result) {
	r.Peak = r.Hardest.Peak
	if math.Abs(r.Release.Peak.MPa) > math.Abs(r.Peak.MPa) {
		r.Peak = r.Release.Peak
	}
	if a.Yield > 0 {
		r.SetKnown = true
		if math.Abs(r.Peak.MPa) > a.Yield {
			b := l.bed(f, m, 0, 0)
			b.noPad = true
			r.Set, r.SetKnown = b.firstSet(l.Travel, a.Yield)
		}
	}
}
