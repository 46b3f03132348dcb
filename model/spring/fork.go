package spring

import (
	"math"
	"slices"
)

// Fork makes a Lock that of a slit tongue, a plate sawn lengthwise so that its two flanks spring sideways. One flank is the
// upper leaf of a folded tongue turned on its side, so all heights of the Lock are distances from mid-width, LowerWidth and UpperWidth are the
// plate's thickness, and there is no lower leaf: the flank is held where the slit's end runs into the spine between the flanks.
type Fork struct {
	XHead  float64 // where the head of the flank ends, which carries shoulder and tab
	Depth  float64 // of the head across, mm
	Middle float64 // height of the plate's middle over the underside
	Neck   float64 // width of the neck
}

// The stretch of a flank that carries shoulder and tab.
const theHead = "head"

// rootFrom is where round the slit's end the frame begins, from the spine on; before it the metal is many times as thick as the flank.
const rootFrom = math.Pi / 9

// flank is one flank from the spine round the slit's end to its tip. Beside the spine the end of the plate is straight, so that there the bar
// round the slit is as thick as (r + t)/sin a - r at the angle a; from its middle on it is as thick as the flank, and round outside too.
func (l *Lock) flank() (*Frame, marks) {
	const parts = 14
	t, r, b := l.Leaf, l.Fold, l.UpperWidth
	thick := func(a float64) float64 { return (r+t)/math.Sin(a) - r }
	da := (math.Pi/2 - rootFrom) / parts
	var ps []Piece
	was, m := 0.0, marks{}
	for i := range parts {
		a := rootFrom + float64(i)*da
		radius := r + thick(a+da/2)/2
		p := Piece{Name: TheFold, Length: radius * da, Curve: 1 / radius, T0: thick(a), T1: thick(a + da), Width: b, Parts: 1}
		if i > 0 {
			p.Step = was - radius
		}
		was = radius
		m.upper += p.Length
		ps = append(ps, p)
	}
	quarter := Piece{Name: TheFold, Length: math.Pi / 2 * (r + t/2), Curve: 1 / (r + t/2), T0: t, T1: t, Width: b, Step: was - r - t/2}
	m.upper += quarter.Length
	m.fold = m.upper - 2*quarter.Length // so that the outside that may touch begins at the flank's own round
	at := l.ZUpper + (l.ZTip-l.ZUpper)*(l.XKnee-l.Fork.XHead)/(l.XKnee-l.XTip)
	run, up := l.XKnee-l.Fork.XHead, (at-l.Taper*t/2)-(l.ZUpper-t/2)
	slope := math.Atan2(l.ZTip-l.ZUpper, l.XKnee-l.XTip)
	lean := math.Atan2(up, run)
	ps = append(ps, quarter,
		Piece{Name: UpperLeaf, Length: l.XFold - l.XKnee, T0: t, T1: t, Width: b},
		Piece{Name: UpperLeaf, Length: math.Hypot(run, up), T0: t, T1: l.Taper * t, Width: b, Kink: -lean},
		Piece{Name: theHead, Length: (l.Fork.XHead - l.XTip + l.Taper*t/2*math.Sin(lean)) / math.Cos(slope), T0: l.Fork.Depth, T1: l.Fork.Depth, Width: b,
			Step: (l.Fork.Depth - l.Taper*t) / 2, Kink: lean - slope, Parts: 4})
	n := len(ps)
	m.knee = m.upper + ps[n-3].Length
	m.tip = m.knee + ps[n-2].Length + ps[n-1].Length
	first := r + thick(rootFrom+da/2)/2
	sin, cos := math.Sincos(rootFrom)
	return NewFrame(l.Metal.inPlane(), l.XFold+first*sin, l.ZUpper-t-r-first*cos, rootFrom, ps...), m
}

// inPlane is the metal of a plate that is bent in its own plane and is free to grow thinner: plane stress, bending by E whatever its Poisson's ratio, which
// then counts for shear alone.
func (m Metal) inPlane() Metal {
	return Metal{E: m.E, shear: m.E / (2 * (1 + m.Poisson))}
}

// both turns what one flank does into what the tongue does, in the lock's frame: push and pull are those of both flanks, the press is that on each of
// the two tabs.
func (l *Lock) both(r *Result, asked float64) {
	for i := range r.Push {
		r.Push[i] *= 2
	}
	for _, s := range append([]*Step{&r.Hardest}, pointers(r.Way)...) {
		s.Push *= 2
		l.turnStep(s)
	}
	for _, p := range []*Peak{&r.Release.Peak, &r.Stop.Peak, &r.Case.Peak, &r.Pull.Leaf, &r.Peak} {
		l.turnPeak(p)
	}
	r.Pull.Force, r.Pull.RoofN = 2*r.Pull.Force, 2*r.Pull.RoofN
	r.Pull.Shear = r.Pull.Force / 2 / (l.UpperWidth * (l.Fork.XHead - l.XTip))
	a := l.askew(asked/2, 20) // one head bears all that comes along: as much as two that bear half of it each
	a.Force, a.Side, a.Neck = asked, 2*a.Side, 2*a.Neck
	a.NeckStress = 6 * a.Neck * (l.XNeck + l.FaceGap) / (l.Fork.Neck * l.UpperWidth * l.UpperWidth)
	r.Askew = a
	b := &r.Case
	mid, half := l.Fork.Middle, l.UpperWidth/2
	b.Min = [3]float64{b.Min[0], b.Min[2], mid - half}
	b.Max = [3]float64{b.Max[0], b.Max[2], mid + half}
	b.FloorZ = 0
}

func pointers(way []Step) (out []*Step) {
	for i := range way {
		out = append(out, &way[i])
	}
	return out
}

func (l *Lock) turnStep(s *Step) {
	l.turnPeak(&s.Peak)
	s.Touches = slices.Clone(s.Touches) // the hardest step is one of the way's too
	for i := range s.Touches {
		t := &s.Touches[i]
		t.Y, t.Z = t.Z, l.Fork.Middle
	}
}

func (l *Lock) turnPeak(p *Peak) { p.Y, p.Z = p.Z, l.Fork.Middle }
