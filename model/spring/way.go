package spring

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Touch is one place where the bent leaf bears.
type Touch struct {
	On     string  // lip, floor, roof, root pad, lower leaf
	X, Z   float64 // mm, in the lock's frame with the tongue home
	Y      float64 // of a flank; 0 in a folded leaf
	Normal float64 // N
	Along  float64 // N, on the tongue along x
	Across float64 // mm by which bending across moves the surface there off the middle line's shape
}

// Step is one station: the tongue so far out of its place, the leaf bent as it is there.
type Step struct {
	Out      float64 // mm that the tongue is still to go in
	Push     float64 // N, along x on the tongue
	Lift     float64 // N, sum of the normal forces at the lip
	Drop     float64 // of the shoulder's edge below its relaxed height, mm
	Peak     Peak
	Touches  []Touch
	Stresses []Stress
	Leaf     []Station
}

// step reads a station off a shape in balance.
func (b *bed) step(e *equilibrium, relaxed float64) Step {
	st := Step{Out: b.out, Drop: relaxed - e.at(b.corner).Y, Peak: e.peak(), Stresses: e.stresses(), Leaf: e.stations()}
	for i, h := range e.holds {
		if h.id >= bilateral {
			continue
		}
		f := r2.Scale(e.force[i], h.by[0].force)
		p := e.at(h.by[0].at)
		at := h.by[0].at
		st.Touches = append(st.Touches, Touch{On: h.name, X: p.X, Z: p.Y, Normal: e.force[i] * r2.Dot(h.by[0].force, h.by[0].dir), Along: f.X,
			Across: acrossAt(e.across, at, b.f.segs[at.seg].h)})
		if h.name != AtLeaf && h.name != AtPad {
			st.Push -= f.X
		}
		if h.name == AtLip {
			st.Lift += e.force[i] * r2.Dot(h.by[0].force, h.by[0].dir)
		}
	}
	return st
}

// bilateral is the first id of holds that push and pull: loads whose size is unknown.
const bilateral = 10000

// Way is the way in from the first touch at the lip until the shoulders snap up behind it, with a coefficient of friction at lip,
// floor and roof: so many stations, closer towards the end. The tongue is held level as drawn. Touches that would need the lip to be
// passed by a leaf that cannot go down so far are an error.
func (l *Lock) Way(mu float64, stations int) ([]Step, error) {
	f, m := l.frame()
	return l.way(f, m, mu, stations)
}

func (l *Lock) way(f *Frame, m marks, mu float64, stations int) ([]Step, error) {
	first, last := l.firstTouch(), l.EndPlay+l.Chamfer
	var out []Step
	var e *equilibrium
	relaxed := f.relaxed().at(l.bed(f, m, 0, 0).corner).Y
	for i := range stations {
		k := float64(i) / float64(stations-1)
		b := l.bed(f, m, first+(last-first)*(1-(1-k)*(1-k)), mu)
		var err error
		if e, err = f.settle(nil, b.holds, e); err != nil {
			if e, err = f.settle(nil, b.holds, nil); err != nil {
				return nil, fmt.Errorf("the leaf %.2f mm from home: %w", b.out, err)
			}
		}
		out = append(out, b.step(e, relaxed))
	}
	return out, nil
}

// firstTouch is how far out the tongue is when the lip's entry meets the rising upper leaf, a little before.
func (l *Lock) firstTouch() float64 {
	slope := (l.ZTip - l.ZUpper) / (l.XKnee - l.XTip)
	at := l.XKnee - (l.ZLip-l.ZUpper)/slope // where the leaf's top is as high as the lip's edge
	return math.Max(l.EndPlay+l.Chamfer+1, at-l.LipEntry+0.1)
}
