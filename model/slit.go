package model

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/model/motion"
	"claspwright/model/solid"
	"claspwright/model/spring"
)

// forkOf hands a slit tongue's numbers to the spring: one flank, heights counted from mid-width.
func forkOf(l *clasp.Lock, m spring.Metal) *spring.Lock {
	p := l.Plate
	return &spring.Lock{
		Metal: m, FaceGap: l.FaceGap, Floor: -1e6, NeckPlay: l.NeckPlay, Mouth: l.Mouth, XNeck: l.XNeck, XPad: p.XPad, ZPad: p.Pad,
		ZLeaf: p.Pad - l.Leaf, Leaf: l.Leaf, Taper: l.Taper, Fold: l.Fold, XTip: l.XTip, XKnee: l.XKnee, XFold: l.XFold, ZUpper: p.Edge, ZTip: p.Tip,
		Chamfer: l.Chamfer, LowerWidth: p.Thick, UpperWidth: p.Thick, TabWidth: p.Thick, TabThickness: l.TabThickness, TabTop: p.Tab[1],
		Lip: l.Lip, LipEntry: l.LipEntry, ZLip: p.Lip, LipDepth: l.LipDepth, XStep: l.XStep, StepRun: clasp.StepRun, ZFront: p.Front,
		Engagement: l.Engagement, Travel: l.Travel, EndPlay: l.EndPlay,
		Fork: &spring.Fork{XHead: p.XHead, Depth: p.Tip - p.Head, Middle: (l.ZLeaf + l.ZUpper) / 2, Neck: 2 * (p.Lip - l.NeckPlay)},
	}
}

// measureSlit measures how the closed finished halves of a slit lock meet.
func measureSlit(l *clasp.Lock, box, tongue *solid.Solid) Fit {
	f, p := feeler{box, tongue}, l.Plate
	mid := (l.ZLeaf + l.ZUpper) / 2
	at := func(x, y float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: mid} }
	tab := r3.Vec{X: l.XTip + l.TabThickness/2, Y: (p.Tab[0] + p.Tab[1]) / 2, Z: (l.ZFront + l.Thickness) / 2}
	spine := at(l.BesideHoles((p.XPad+l.XFold)/2), p.Spine/2)
	behind := r3.Vec{X: l.XNotch + 0.5, Y: tab.Y, Z: l.Thickness + l.TabHeight}
	rear := at(l.BesideHoles((l.XKnee+l.XFold)/2), p.Edge-0.1)
	lip := f.leave(box, at(0.6*l.Lip, p.Lip-1e-3), acrossY).Y
	tip := func(measure func(r3.Vec) float64) float64 { // past the chamfer, on to the tip
		a, b := measure(at(l.XTip+0.3, p.Tip-0.3)), measure(at(l.XTip+0.6, p.Tip-0.3))
		return 2*a - b
	}
	return Fit{
		SideClearance:  min(f.gap(rear, acrossY), f.gap(r3.Vec{X: rear.X, Y: -rear.Y, Z: mid}, r3.Scale(-1, acrossY))),
		UpperClearance: f.gap(spine, upZ),
		FloorClearance: f.gap(spine, downZ),
		NeckClearance:  f.gap(at(l.XNeck/2, p.Lip-l.NeckPlay-0.1), acrossY),
		FaceGap:        f.gap(r3.Vec{X: -l.FaceGap - 0.1, Y: l.Chamber/2 + l.Wall/2, Z: mid}, alongX),
		Engagement:     tip(func(q r3.Vec) float64 { return f.leave(tongue, q, acrossY).Y }) - lip,
		EndPlay:        f.gap(at(l.XTip+0.2, p.Tip-l.Chamfer-0.1), backX),
		TopGap:         tip(func(q r3.Vec) float64 { return f.gap(q, acrossY) }),
		TabHeight:      f.leave(tongue, tab, upZ).Z - f.leave(box, behind, downZ).Z,
		FoldRoom:       f.gap(at(l.XFold+l.Fold+l.Leaf/2, 0), alongX),
		FoldHeadroom:   f.gap(at(l.XFold+l.Fold+l.Leaf/2, 0), upZ),
		NotchClearance: f.gap(tab, acrossY),
	}
}

// slitClear are the gaps of a slit lock that a file has to make and keep.
func (c *Commission) slitClear() []finding.Finding {
	l, f, p := c.Lock, c.Fit, c.Lock.Plate
	mid := (l.ZLeaf + l.ZUpper) / 2
	at := func(x, y float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: mid} }
	least := func(check string, v, limit float64, at r3.Vec, say string) finding.Finding {
		return finding.AtLeast(check, "mm", v, limit, at, finding.Stop, say)
	}
	return []finding.Finding{
		least("side clearance", f.SideClearance, 0.02, at(l.XFold, p.Edge), "the plate must slide freely between the walls; raise tongue.side_play if it binds"),
		least("upper leaf clearance", f.UpperClearance, 0.02, at(l.XFold, 0), "the plate must slide freely under the roof"),
		least("floor clearance", f.FloorClearance, 0.02, at(p.XPad, 0), "the plate must lie clear of the floor; raise tongue.floor_play"),
		least("neck clearance", f.NeckClearance, 0.01, at(l.XNeck/2, p.Lip), "the neck is filed until it just slides between the lips; raise tongue.neck_play"),
		least("face gap", f.FaceGap, 0.02, r3.Vec{Y: l.Width / 2, Z: mid}, "box and block must not bear on each other before the shoulders have snapped in; raise lock.face_gap"),
		least("tab to notch", f.NotchClearance, 0.05, r3.Vec{X: l.XTip, Y: p.Tab[1], Z: l.Thickness}, "the tabs must move freely in their slots"),
		least("fold to end wall", f.FoldRoom, 0.2, at(l.XRear, 0), "the plate's end must not strike the end wall before the faces meet; make the box longer"),
		finding.AtMost("top gap", "mm", f.TopGap, 0.15, at(l.XTip, p.Tip), finding.Caution, "the side walls must catch the flanks when the chain pulls them outwards; lower tongue.top_gap"),
		least("engagement", f.Engagement, 0.4, at(l.XTip, p.Tip), "the shoulders must stand behind the lips; raise tongue.engagement"),
		least("tab height", f.TabHeight, 0.5, r3.Vec{X: l.XTip, Y: p.Tab[0], Z: l.Thickness}, "finger and thumb cannot grip the tabs; raise tab.height"),
	}
}

// heldFork are the stations of the way in at which a slit tongue is held against its box.
const heldFork = 4

// pressedMore is by how much more the flanks are bent there than the lips bend them, mm, so that what then touches is a touch too many.
const pressedMore = 0.02

// moveSlit holds the bent tongue against the box at stations of the way in, and at home pinched to the release and to the stop.
func (c *Commission) moveSlit(ctx context.Context) error {
	s, m := c.Spring, c.Motion
	if s.Result == nil {
		return nil
	}
	type bent struct {
		out  float64
		leaf []spring.Station
		more float64 // of the shape at release, on top
	}
	var all []bent
	for k := range heldFork {
		w := s.Way[int(math.Round(float64(k)*float64(len(s.Way)-1)/(heldFork-1)))]
		all = append(all, bent{w.Out, w.Leaf, pressedMore / s.Release.Drop})
	}
	all = append(all, bent{0, s.Release.Leaf, 0}, bent{0, s.Stop.Leaf, 0})
	m.Slit, m.Outs = make([]motion.Gap, len(all)), make([]float64, len(all))
	tab, err := c.Lock.TabAt()
	if err != nil {
		return err
	}
	const lots = 2 // each with a box of its own, which serves one goroutine
	return each(ctx, lots, func(lot int) error {
		box, head := motion.NewBody(c.boxed()), motion.NewBody(tab)
		for i := lot; i < len(all); i += lots {
			b := flankBend(c.Lock, s.Relaxed, all[i].leaf, s.Release.Leaf, all[i].more)
			plate, err := c.Lock.BentPlate(b)
			if err != nil {
				return err
			}
			home := solid.Upright.At(r3.Vec{X: -all[i].out})
			tabAt := rigid(c.Lock, b).At(r3.Vec{X: -all[i].out})
			m.Outs[i] = all[i].out
			m.Slit[i] = motion.LeastOf([]motion.Placed{{Body: motion.NewBody(plate), At: home}, {Body: head, At: tabAt}}, box, motion.Options{Tolerance: 0.01, Limit: 0.1})
		}
		return nil
	})
}

// flankBend turns the spring's shape, and a part of another on top of it, into a bend of the solid: each place moves rigidly with the middle line beside it; from
// the slit's end on the plate's end moves less and less.
func flankBend(l *clasp.Lock, relaxed, bent, more []spring.Station, part float64) clasp.Bend {
	first := 0 // of the flank: its stations run from the slit's end towards the tip
	for first < len(relaxed)-1 && !(relaxed[first].X <= l.XFold+1e-9 && relaxed[first].Z > (l.Plate.Spine+l.Plate.Edge)/2) {
		first++
	}
	at := func(x float64) (was, moved r2.Vec, turn float64) {
		i := first
		for i < len(relaxed)-2 && relaxed[i+1].X > x {
			i++
		}
		a, b := relaxed[i], relaxed[i+1]
		k := 0.0
		if d := a.X - b.X; d > 1e-9 {
			k = math.Max(0, (a.X-x)/d)
		}
		mix := func(p, q float64) float64 { return p + k*(q-p) }
		by := func(of func(spring.Station) float64) float64 {
			return mix(of(bent[i])-of(a)+part*(of(more[i])-of(a)), of(bent[i+1])-of(b)+part*(of(more[i+1])-of(b)))
		}
		was = r2.Vec{X: mix(a.X, b.X), Y: mix(a.Z, b.Z)}
		moved = r2.Vec{X: by(func(s spring.Station) float64 { return s.X }), Y: by(func(s spring.Station) float64 { return s.Z })}
		return was, moved, by(func(s spring.Station) float64 { return s.Angle })
	}
	return func(p r2.Vec) r2.Vec {
		share := 1.0
		if p.X > l.XFold {
			share = math.Max(0, 1-(p.X-l.XFold)/(l.Fold+l.Leaf))
		}
		was, by, turn := at(math.Min(p.X, l.XFold))
		sin, cos := math.Sincos(share * turn)
		arm := r2.Sub(p, was)
		moved := r2.Add(was, r2.Scale(share, by))
		return r2.Add(moved, r2.Vec{X: cos*arm.X - sin*arm.Y, Y: sin*arm.X + cos*arm.Y})
	}
}

// rigid is the pose that the tab at y > 0 takes when its head is bent.
func rigid(l *clasp.Lock, b clasp.Bend) solid.Pose {
	p := r2.Vec{X: l.XTip + l.TabThickness/2, Y: (l.Plate.Tab[0] + l.Plate.Tab[1]) / 2}
	const h = 0.1
	o, x := b(p), b(r2.Vec{X: p.X + h, Y: p.Y})
	ax := r2.Unit(r2.Sub(x, o))
	at := solid.Pose{X: r3.Vec{X: ax.X, Y: ax.Y}, Y: r3.Vec{X: -ax.Y, Y: ax.X}, Z: r3.Vec{Z: 1}}
	at.O = r3.Sub(r3.Vec{X: o.X, Y: o.Y}, at.Turn(r3.Vec{X: p.X, Y: p.Y}))
	return at
}

// slitPassing says where a slit tongue touches on its way that its spring has not touch.
func (c *Commission) slitPassing() []finding.Finding {
	m := c.Motion
	if len(m.Slit) == 0 {
		return nil
	}
	f := finding.Finding{Check: "bent leaf clear of the box", Grade: finding.OK, Unit: "mm", Measured: math.Inf(1),
		Say: fmt.Sprintf("on its way in, its flanks bent %.2f mm more than the lips bend them, and pinched, the tongue touches nothing", pressedMore)}
	for i, g := range m.Slit {
		if touch, certain := g.Touch(0); touch {
			f.Grade, f.At, f.Measured, f.Margin = finding.Stop, g.P, -g.Depth, -g.Depth
			f.Say = fmt.Sprintf("the tongue runs into the box near x %.2f, y %.2f, z %.2f while it is %.2f mm out; take back what was set by hand there", g.P.X, g.P.Y, g.P.Z, m.Outs[i])
			if !certain {
				f.Grade = finding.Caution
				f.Say = fmt.Sprintf("it is not settled whether the tongue touches the box near x %.2f, y %.2f, z %.2f while it is %.2f mm out", g.P.X, g.P.Y, g.P.Z, m.Outs[i])
			}
			return []finding.Finding{f}
		}
		if g.Lower < f.Measured {
			f.Measured, f.Margin, f.At = g.Lower, g.Lower, g.P
		}
	}
	return []finding.Finding{f}
}
