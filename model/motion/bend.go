package motion

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
	"claspwright/model/spring"
)

// Shape is what the middle line does not tell of a leaf.
type Shape struct {
	Tip     spring.Station // the relaxed tip: its end stands upright then, and turns with the middle line
	Chamfer float64        // at the tip's top, at 45 degrees to its end, mm
	Lap     float64        // where the width steps the first strip ends so far before, and the next begins as far again before that, mm
	Across  []float64      // middles of equal leaves beside each other, mm from mid-width; none for one leaf at mid-width
	Inset   float64        // the whole leaf thinner by this on every side, mm: for proving that contacts go no deeper
}

func (s Shape) middles() []float64 {
	if len(s.Across) == 0 {
		return []float64{0}
	}
	return s.Across
}

// Bent is the bent leaf.
type Bent struct {
	Solid  *solid.Solid
	Bound  float64    // no surface is further from that of the stations, mm
	Pieces int        // lines and arcs round the outlines
	Tip    solid.Pose // moves what stands on the relaxed tip to where it stands now
}

// rootLap is how far the leaf reaches back into the root that holds it, mm.
const rootLap = 0.3

// Bend builds the leaf from where its root ends (the last step of the middle line or of the thickness) to the tip, as
// strips extruded across: half the thickness on either side of the middle line. Offset lines of arcs with varying thickness are no arcs;
// they are followed by as few lines and arcs as stay within so many mm of them. It fails where the stations make no leaf.
func Bend(st []spring.Station, shape Shape, within float64) (*Bent, error) {
	all, err := middleOf(st)
	if err != nil {
		return nil, err
	}
	tip := st[len(st)-1]
	turn := tip.Angle - shape.Tip.Angle
	at := r3.Vec{X: shape.Tip.X, Z: shape.Tip.Z}
	out := &Bent{Tip: About(turn, at, r3.Vec{Y: -1}, r3.Sub(r3.Vec{X: tip.X, Z: tip.Z}, at))}
	var parts []*solid.Solid
	for _, s := range strips(all, shape) {
		o := outline{within: within, shape: shape, turn: turn}
		ch, err := o.round(s)
		if err != nil {
			return nil, err
		}
		w := s.width/2 - shape.Inset
		for _, y := range shape.middles() {
			parts = append(parts, solid.New(solid.NewPrism(ch, -w, w, "leaf edge"), solid.AcrossY.At(r3.Vec{Y: y})))
		}
		out.Bound, out.Pieces = max(out.Bound, o.bound), out.Pieces+len(ch)
	}
	out.Solid = parts[0]
	if len(parts) > 1 {
		out.Solid = solid.Join(parts...)
	}
	return out, nil
}

// stretch is the middle line between two stations: an arc through both that turns by the difference of their angles.
type stretch struct {
	s0, s1 float64
	p0, p1 r2.Vec
	a0, a1 float64 // angles
	t0, t1 float64 // thickness
	width  float64
	broken bool // offset lines are broken at its start
}

// at is the place at k from 0 to 1, its angle and thickness.
func (g *stretch) at(k float64) (p r2.Vec, angle, t float64) {
	chord := r2.Sub(g.p1, g.p0)
	turn := g.a1 - g.a0
	angle, t = g.a0+k*turn, g.t0+k*(g.t1-g.t0)
	if math.Abs(turn) < 1e-9 {
		return r2.Add(g.p0, r2.Scale(k, chord)), angle, t
	}
	radius := r2.Norm(chord) / (2 * math.Sin(turn/2))
	start := math.Atan2(chord.Y, chord.X) - turn/2
	s0, c0 := math.Sincos(start)
	s1, c1 := math.Sincos(start + k*turn)
	return r2.Add(g.p0, r2.Scale(radius, r2.Vec{X: s1 - s0, Y: c0 - c1})), angle, t
}

// part is the stretch between two places of it.
func (g stretch) part(k0, k1 float64) stretch {
	q := g
	q.p0, q.a0, q.t0 = g.at(k0)
	q.p1, q.a1, q.t1 = g.at(k1)
	q.s0, q.s1 = g.s0+k0*(g.s1-g.s0), g.s0+k1*(g.s1-g.s0)
	return q
}

// step is by how much middle line or thickness must jump between stations to be a step and no rounding, mm.
const step = 1e-6

// middleOf lists the stretches from the last step on, and one more before them that reaches straight back into the root.
func middleOf(st []spring.Station) ([]stretch, error) {
	from := 0
	for i := 1; i < len(st); i++ {
		a, b := st[i-1], st[i]
		if b.S-a.S < step && (math.Hypot(b.X-a.X, b.Z-a.Z) > step || math.Abs(b.T-a.T) > step) {
			from = i
		}
	}
	var out []stretch
	for i := from + 1; i < len(st); i++ {
		a, b := st[i-1], st[i]
		if b.S-a.S < step {
			continue
		}
		if !(a.T > 0 && b.T > 0 && b.Width > 0) || math.Abs(b.Angle-a.Angle) > 1 {
			return nil, errors.New("motion: a station without thickness or width, or one that turns by more than a radian")
		}
		out = append(out, stretch{a.S, b.S, r2.Vec{X: a.X, Y: a.Z}, r2.Vec{X: b.X, Y: b.Z}, a.Angle, b.Angle, a.T, b.T, b.Width, false})
	}
	if len(out) == 0 {
		return nil, errors.New("motion: no leaf between these stations")
	}
	g := out[0]
	back := r2.Sub(g.p0, r2.Scale(rootLap, heading(g.a0)))
	root := stretch{g.s0 - rootLap, g.s0, back, g.p0, g.a0, g.a0, g.t0, g.t0, g.width, false}
	return append([]stretch{root}, out...), nil
}

func heading(angle float64) r2.Vec {
	sin, cos := math.Sincos(angle)
	return r2.Vec{X: cos, Y: sin}
}

// strip is a part of the leaf of one width.
type strip struct {
	middle []stretch
	width  float64
	tip    bool // it ends in the tip
}

// strips cuts the middle line where the width steps, with a lap. In the lap both have the very same lines and arcs, so that their
// faces coincide and do not graze.
func strips(all []stretch, shape Shape) []strip {
	end, lap := shape.Lap+shape.Inset, shape.Lap
	var marks []float64
	for i := range all[:len(all)-1] {
		if math.Abs(all[i+1].width-all[i].width) >= step {
			marks = append(marks, all[i].s1-end, all[i].s1-end-lap)
		}
	}
	all = cutAt(all, marks)
	var out []strip
	from := all[0].s0
	for i := range all {
		last := i == len(all)-1
		if !last && math.Abs(all[i+1].width-all[i].width) < step {
			continue
		}
		to := all[i].s1
		if !last {
			to -= end
		}
		out = append(out, strip{between(all, from, to), all[i].width, last})
		from = to - lap
	}
	return out
}

// cutAt cuts the middle line at some places along it; offset lines are broken there.
func cutAt(all []stretch, marks []float64) []stretch {
	for _, m := range marks {
		for i, g := range all {
			if m <= g.s0+step || m >= g.s1-step {
				if math.Abs(m-g.s0) <= step {
					all[i].broken = true
				}
				continue
			}
			k := (m - g.s0) / (g.s1 - g.s0)
			front, back := g.part(0, k), g.part(k, 1)
			front.broken, back.broken = g.broken, true
			all = slices.Replace(all, i, i+1, front, back)
			break
		}
	}
	return all
}

// between is what lies from one place to another, where the middle line is cut already.
func between(all []stretch, from, to float64) []stretch {
	var out []stretch
	for _, g := range all {
		if mid := (g.s0 + g.s1) / 2; mid > from && mid < to {
			out = append(out, g)
		}
	}
	return out
}
