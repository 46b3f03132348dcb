package spring

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Pulled is the closed lock under a pull of the chain.
type Pulled struct {
	Force   float64 // N, less than was asked for where the leaf gives way
	Gives   bool    // the leaf gives way under the next step of the pull
	Leaf    Peak    // in leaf and fold, the roof holding the tip
	Bearing float64 // MPa of the shoulders on the lip, mean
	Shear   float64 // MPa through the shoulders, mean
	Lip     float64 // MPa in bending at the lip's root
	RoofN   float64 // that the roof bears
	Shape   []Station
}

// bearing is the area by which both shoulders bear on the lip, mm2, with so much worn off each.
func (l *Lock) bearing(worn float64) float64 {
	return (l.UpperWidth - l.NotchWidth) * math.Max(0, l.Engagement-l.Chamfer-worn)
}

// lipStress is the bending at the lip's root with a force at its edge on both sides of the notch, MPa: a cantilever as long as the lip is deep, 6 F depth/(width
// thickness2) (any handbook of strength of materials; good for lips deep against their thickness, and safe for shorter ones, whose root is stiffer).
func (l *Lock) lipStress(force float64) float64 {
	return 6 * force * l.LipDepth / ((l.UpperWidth - l.NotchWidth) * l.Lip * l.Lip)
}

// pulled draws the tongue out against the lip by a force, in steps: the lip bears on the middle of the shoulder's face, without
// friction; roof and floor hold the leaf. Where no shape nearby is in balance any more it stops at the last step that had one.
func (b *bed) pulled(asked float64) Pulled {
	l := b.l
	at := b.rigidly(b.m.tip, point{X: l.XTip, Y: l.ZLip + (l.Engagement-l.Chamfer)/2})
	force, step, gives := 0.0, asked/8, false
	e := &equilibrium{shape: b.f.relaxed()}
	for asked-force > 1e-9*asked {
		f := math.Min(asked, force+step)
		next, err := b.f.settle([]load{{at: at, force: point{X: f}}}, b.holds, e)
		if err != nil || b.jumped(e, next) {
			if step /= 2; step > asked/150 { // touches that come and go can fail a long step, or end it in a shape far off
				continue
			}
			gives = true
			break
		}
		e, force = next, f
	}
	p := Pulled{
		Force: force, Gives: gives, Leaf: e.peak(), Bearing: force / l.bearing(0), Shear: force / ((l.UpperWidth - l.NotchWidth) * l.Taper * l.Leaf),
		Lip: l.lipStress(force), Shape: e.stations(),
	}
	for i, h := range e.holds {
		if h.name == AtRoof {
			p.RoofN += e.force[i]
		}
	}
	return p
}

// jumped says whether tip or fold have moved further than a leaf that holds does in a step of the pull.
func (b *bed) jumped(from, to *equilibrium) bool {
	const most = 0.15 // mm; a step of a sound leaf takes a hundredth
	for _, q := range []place{b.corner, b.f.skin((b.m.fold+b.m.upper)/2, -1), b.f.skin(b.m.knee, -1)} {
		if r2.Norm(r2.Sub(to.at(q), from.at(q))) > most {
			return true
		}
	}
	return false
}

// Askew is the pull at an angle: across the chain one shoulder alone is taken to bear all of the part along; up or down the neck bears on lip and floor.
type Askew struct {
	Force, Degrees float64
	Bearing, Lip   float64 // MPa, one shoulder bearing
	Side           float64 // N on the side wall
	Neck           float64 // N on the neck, up and down
	NeckStress     float64 // MPa, bending of the neck in the block's face
}

// askew takes the hand's sums: across, the shoulder on the outer side bears the part along alone, and the wall takes the part across; up or down, the neck is a
// cantilever from the block that takes the part square to the chain at its end, and the block's turning is stopped by the neck as a
// couple between lip and floor as long as the neck and pad.
func (l *Lock) askew(force, degrees float64) Askew {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	along, square := force*cos, force*sin
	h := l.Mouth - 2*l.NeckPlay
	return Askew{
		Force: force, Degrees: degrees, Bearing: 2 * along / l.bearing(0), Lip: 2 * l.lipStress(along), Side: square, Neck: square,
		NeckStress: 6 * square * (l.XNeck + l.FaceGap) / (l.LowerWidth * h * h),
	}
}
