package clasp

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// The underside may be hollowed along the chain by one cylinder across it, so that the closed lock follows the wrist. Both ends keep the
// chain's thickness; in the middle floor and mechanism stand higher.

// land is what stays straight at each end of a hollowed underside, mm: an edge that meets the chain's.
const land = 0.2

// steepest is the greatest slope of a hollow at its ends, as a sine: beyond it the ends are edges and no faces.
const steepest = 0.7

// Whole is the length of the closed lock without lugs, and Middle where its middle stands.
func (l *Lock) Whole() float64  { return l.BoxLength + l.FaceGap + l.Block }
func (l *Lock) Middle() float64 { return (l.BoxLength - l.FaceGap - l.Block) / 2 }

// Sagitta is how far an arc of radius r rises over a chord of the given length: r - sqrt(r^2 - (chord/2)^2).
func Sagitta(r, chord float64) float64 {
	return r - math.Sqrt(math.Max(0, r*r-chord*chord/4))
}

// HollowAt is the height of the underside at x, at mid-width, mm.
func (l *Lock) HollowAt(x float64) float64 {
	if l.Hollow == 0 {
		return 0
	}
	d := x - l.Middle()
	up := Sagitta(l.Hollow, l.Whole()-2*land) - l.Hollow
	return math.Max(0, up+math.Sqrt(math.Max(0, l.Hollow*l.Hollow-d*d)))
}

// DeepestX is where the floor is thinnest over a hollowed underside.
func (l *Lock) DeepestX() float64 { return clamp(l.Middle(), 0, l.XRear) }

// hollow is how far a lock of these lengths has its underside hollowed below the chamber.
func (l *Lock) hollow() (float64, error) {
	if l.Hollow == 0 {
		return 0, nil
	}
	if half := l.Whole()/2 - land; half > steepest*l.Hollow {
		return 0, &Refusal{Key: "lock.hollow", Say: fmt.Sprintf("%.4g mm is too narrow for a lock %.1f mm long", l.Hollow, l.Whole()), Nearest: hollowOf(half / steepest)}
	}
	return l.HollowAt(l.DeepestX()), nil
}

// widest is the greatest radius that the key takes, mm.
const widest = 60

// hollowOf names the least radius that would do, or the straight underside.
func hollowOf(least float64) string {
	if least > widest {
		return "0, a straight underside"
	}
	return fmt.Sprintf("%.1f mm or more, or 0 for a straight underside", math.Ceil(least*10-1e-6)/10)
}

// underFloor is how far the underside comes up below the chamber's floor, where that is thinnest.
func (l *Lock) underFloor() float64 { return math.Max(rise(l.Underside, l.floorEdge()), l.HollowRise) }

// tooHollow turns the refusal of a lock that would do with a straight underside into one of the hollow.
func (d *deriver) tooHollow(err error) error {
	var no *Refusal
	if d.l.HollowRise == 0 || !errors.As(err, &no) {
		return err
	}
	radius, _ := d.job.Number("lock.hollow")
	lo, hi := radius, float64(widest)+0.1
	for hi-lo > 0.01 {
		mid := (lo + hi) / 2
		job, err := d.job.With(fmt.Sprintf("lock.hollow=%.4f", math.Min(mid, widest)))
		if err != nil {
			return err
		}
		if _, err := solve(job, d.l.Metal, d.top); err != nil {
			lo = mid
		} else {
			hi = mid
		}
	}
	near := hollowOf(hi)
	if no.Key == "chain.thickness" {
		near += ", or " + no.Nearest
	}
	return &Refusal{Key: "lock.hollow", Say: fmt.Sprintf("%.4g mm takes %.2f mm off the height in the middle of the lock; %s: %s", radius, d.l.HollowRise, no.Key, no.Say), Nearest: near}
}

// wrist is what hollows the underside at a stage, nothing where it is straight.
func (l *Lock) wrist(s Stock) []*solid.Solid {
	if l.Hollow == 0 {
		return nil
	}
	c := r2.Vec{X: l.Middle(), Y: Sagitta(l.Hollow, l.Whole()-2*land) - l.Hollow}
	r := l.Hollow - s.Face
	half := math.Sqrt(r*r - (c.Y+beyond)*(c.Y+beyond))
	a, b := r2.Vec{X: c.X + half, Y: -beyond}, r2.Vec{X: c.X - half, Y: -beyond}
	ch := solid.Chain{{A: a, B: b, C: c, R: r, Tag: tagHollow}, {A: b, B: a, Tag: tagHidden}}
	w := l.Width/2 + beyond
	return []*solid.Solid{solid.New(solid.NewPrism(ch, -w, w, tagHidden), solid.AcrossY)}
}
