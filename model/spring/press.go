package spring

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// rigidly is the point (x, z) of the relaxed tongue as it moves with the middle line at s.
func (b *bed) rigidly(s float64, p point) place {
	q := b.f.where(s, 0)
	rest := b.f.relaxed()
	along, left := heading(rest.angle(q.seg, q.u))
	arm := r2.Sub(p, rest.at(q))
	q.along, q.off = r2.Dot(arm, along), r2.Dot(arm, left)
	return q
}

// tab is the middle of the thumb tab's top, which moves with the leaf below it.
func (b *bed) tab() place {
	l := b.l
	in := l.TabThickness / 2
	q := b.rigidly(b.m.tip-in*(b.m.tip-b.m.knee)/(l.XKnee-l.XTip), point{X: l.XTip + in, Y: l.TabTop})
	q.psi = meanAcross(0, l.TabWidth/2, l.UpperWidth)
	return q
}

// down is a force straight down at a place, as great as it takes for the shoulder's edge to stand at a height.
func (b *bed) down(s *shape, at place, height float64) hold {
	return hold{id: bilateral, name: "thumb", both: true, gap: s.at(b.corner).Y - height,
		by: []pull{{at: b.corner, dir: point{Y: 1}}, {at: at, force: point{Y: -1}}}}
}

// pressed is the closed lock with the shoulder's edge pressed down by drop, by a force at a place of the tip.
func (b *bed) pressed(at place, drop float64, start *equilibrium) (*equilibrium, float64, error) {
	height := b.f.relaxed().at(b.corner).Y - drop
	e, err := b.f.settle(nil, func(s *shape) []hold { return append(b.holds(s), b.down(s, at, height)) }, start)
	if err != nil {
		return nil, 0, err
	}
	return e, e.of(bilateral), nil
}

// Press is the closed lock with the thumb on its tab.
type Press struct {
	Drop     float64 // of the shoulder's edge, mm
	Force    float64 // N on the tab
	Peak     Peak
	FoldRise float64 // of the fold's top, mm
	Back     float64 // that the tip has moved towards the lip, mm
	Stresses []Stress
	Leaf     []Station
}

func (b *bed) press(e *equilibrium, drop, force float64) Press {
	rest := b.f.relaxed()
	top, tip := b.f.skin(b.m.upper, -1), b.f.skin(b.m.tip, -1)
	return Press{
		Drop: drop, Force: force, Peak: e.peak(), Stresses: e.stresses(), Leaf: e.stations(),
		FoldRise: e.at(top).Y - rest.at(top).Y, Back: rest.at(tip).X - e.at(tip).X,
	}
}

// stopGap is how far the leaf is from the root pad.
func (b *bed) stopGap(s *shape) float64 {
	gap := math.Inf(1)
	for _, h := range b.onPad(s) {
		gap = math.Min(gap, h.gap)
	}
	return gap
}

// stop presses the tab until the leaf meets the root pad: the secant rule from the release on.
func (b *bed) stop(from *equilibrium, drop float64) (*equilibrium, float64, float64, error) {
	tab := b.tab()
	d0, g0, e := drop, b.stopGap(from.shape), from
	d1, force := d0+0.5*g0, 0.0
	for range 20 {
		var err error
		if e, force, err = b.pressed(tab, d1, e); err != nil {
			return nil, 0, 0, err
		}
		g1 := b.stopGap(e.shape)
		if math.Abs(g1) < 1e-5 {
			break
		}
		next := d1 - g1*(d1-d0)/(g1-g0)
		d0, g0, d1 = d1, g1, math.Max(next-1e-6, 0.02)
	}
	return e, d1, force, nil
}

// LoadCase is a press that anyone can repeat on the finished tongue: all of it at and below x HeldX is held, the line of the shoulders' edge in the box
// from Min to Max goes down by Press, free to move along x; nothing else touches. mm and MPa.
type LoadCase struct {
	HeldX    float64
	Min, Max [3]float64
	Press    float64
	FloorZ   float64
	Metal    Metal
	Force    float64 // N
	Peak     Peak
	Stresses []Stress
}

// pressBox is how far round the shoulders' edge the box of the load case reaches, mm: wide enough for the rounding of a float32, too narrow for a
// second row of nodes, which would hold the tip against turning.
const pressBox = 0.003

// loadCase presses the shoulders' edge by the travel, without box.
func (b *bed) loadCase() (LoadCase, error) {
	l := b.l
	height := b.f.relaxed().at(b.corner).Y - l.Travel
	e, err := b.f.settle(nil, func(s *shape) []hold { return []hold{b.down(s, b.corner, height)} }, nil)
	if err != nil {
		return LoadCase{}, err
	}
	w := l.UpperWidth / 2
	edge := point{X: l.XTip + l.Chamfer, Y: l.ZTip - l.Chamfer*(l.ZTip-l.ZUpper)/(l.XKnee-l.XTip)} // as it is built
	return LoadCase{
		HeldX: -l.FaceGap, Press: l.Travel, FloorZ: l.Floor, Metal: l.Metal, Force: e.of(bilateral), Peak: e.peak(), Stresses: e.stresses(),
		Min: [3]float64{edge.X - pressBox, -w, edge.Y - pressBox}, Max: [3]float64{edge.X + pressBox, w, edge.Y + pressBox},
	}, nil
}
