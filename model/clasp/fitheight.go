package clasp

import (
	"fmt"
	"math"
	"strings"

	"claspwright/params"
)

// height finds leaf, fold, floor and roof that the thickness can hold, or says why there are none.
func (d *deriver) height() error {
	l := d.l
	l.Rise, l.TopGap, l.FloorPlay = d.set("tongue.rise"), d.set("tongue.top_gap"), d.set("tongue.floor_play")
	l.Engagement, l.Taper = d.set("tongue.engagement"), d.taper()
	choice, ok := d.choose(l.Thickness)
	if !ok {
		return d.tooThin()
	}
	l.Leaf = d.num("tongue.leaf", choice.leaf)
	l.Fold = d.num("tongue.fold", choice.fold)
	l.Mouth = l.FloorPlay + 2*l.Leaf + 2*l.Fold + l.Rise
	l.LipDepth = l.Engagement + l.TopGap
	d.share(stack(l.FloorPlay, l.Leaf, l.Fold, l.Rise, l.Engagement, l.TopGap))
	return nil
}

// choose is the best leaf that a chain of the given thickness can hold.
func (d *deriver) choose(thickness float64) (leafChoice, bool) {
	for _, c := range d.candidates() {
		if d.spare(thickness, c) >= -heightSlack {
			return c, true
		}
	}
	return leafChoice{}, false
}

// candidates are the leaves to be tried, with what the job fixes put in.
func (d *deriver) candidates() []leafChoice {
	cs := d.leaves()
	if t, ok := d.job.Number("tongue.leaf"); ok {
		cs = []leafChoice{{t, fullFold(t)}, {t, tightFold(t)}}
	}
	if r, ok := d.job.Number("tongue.fold"); ok {
		for i := range cs {
			cs[i].fold = r
		}
	}
	return cs
}

// effective is the height that the mechanism, floor and roof have: thickness less the crown's fall and the underside's rise
// at the chamber's corner.
func (d *deriver) effective(thickness float64) float64 {
	return thickness - d.l.top().fall(d.l.Outer()) - d.l.underFloor()
}

// need is the height that a leaf asks for with the least floor and roof, or those given.
func (d *deriver) need(thickness float64, c leafChoice) float64 {
	l := d.l
	floor, roof := d.leastFloor(thickness), d.leastRoof()
	return floor + stack(l.FloorPlay, c.leaf, c.fold, l.Rise, l.Engagement, l.TopGap) + l.top().upright(roof, l.Outer())
}

func (d *deriver) leastFloor(thickness float64) float64 {
	if v, ok := d.job.Number("lock.floor_wall"); ok {
		return v
	}
	keep := d.l.Thickness
	defer func() { d.l.Thickness = keep }()
	d.l.Thickness = thickness
	return d.floorRule()
}

func (d *deriver) leastRoof() float64 {
	if v, ok := d.job.Number("lock.roof"); ok {
		return v
	}
	return d.roofRule()
}

func (d *deriver) spare(thickness float64, c leafChoice) float64 {
	return d.effective(thickness) - d.need(thickness, c)
}

// tooThin says why no leaf fits: a key of the job is in the way, a strip leaf would fit, or nothing would.
func (d *deriver) tooThin() error {
	l := d.l
	least := d.thinnest()
	have := d.effective(l.Thickness)
	cs := d.candidates()
	c := cs[len(cs)-1]
	if t, ok := d.job.Number("tongue.leaf"); ok {
		if most, fits := d.thickestLeaf(); fits {
			return &Refusal{Key: "tongue.leaf", Say: fmt.Sprintf("%.4g mm does not fit a lock with %.2f mm of height, of which it needs %.2f mm; at most %.2f mm", t, have, d.need(l.Thickness, c), most),
				Nearest: fmt.Sprintf("tongue.leaf of %.2f mm or less, or chain.thickness of %.2f mm", most, least)}
		}
	}
	say := fmt.Sprintf("%.4g mm leaves %.2f mm of height at the chamber's corner; a %s leaf needs %.2f mm at this width", l.Thickness, have, l.made(), d.need(l.Thickness, c))
	near := fmt.Sprintf("chain.thickness of %.2f mm or more", least)
	if k, _ := params.Lookup("chain.thickness"); least > k.Max {
		near = "a narrower chain, or thinner floor and roof if the caster allows"
	}
	switch flat := d.need(l.Thickness, stripLeaf); {
	case l.Make == strip:
	case d.spare(l.Thickness, stripLeaf) >= -heightSlack:
		say += fmt.Sprintf(", one of rolled strip %.2f mm", flat)
		near = "use tongue.make = \"strip\", or " + near
	default:
		say += fmt.Sprintf(", even a leaf of rolled strip %.2f mm: too thin for a folded leaf", flat)
	}
	if l.Crown > 0 {
		near += ", or a flatter crown"
	}
	if d.takesSlit() {
		near = "use tongue.make = \"slit\", a plate whose flanks spring sideways; or " + strings.TrimPrefix(near, "use ")
	}
	return &Refusal{Key: "chain.thickness", Say: say, Nearest: near}
}

// thinnest is the least chain thickness, to 0.01 mm upwards, that holds one of the candidates.
func (d *deriver) thinnest() float64 {
	lo, hi := d.l.Thickness, 100.0
	for hi-lo > 1e-9 {
		mid := (lo + hi) / 2
		if _, ok := d.choose(mid); ok {
			hi = mid
		} else {
			lo = mid
		}
	}
	return Up(hi)
}

// thickestLeaf is the thickest leaf, to 0.01 mm downwards, that the lock can hold.
func (d *deriver) thickestLeaf() (float64, bool) {
	for t := d.thickest(); t >= d.leastLeaf()-1e-9; t -= 0.01 {
		c := leafChoice{t, tightFold(t)}
		if r, ok := d.job.Number("tongue.fold"); ok {
			c.fold = r
		}
		if d.spare(d.l.Thickness, c) >= -heightSlack {
			return t, true
		}
	}
	return 0, false
}

// plenty is the thickness up to which spare height goes into the roof, then into the floor, mm; thicker metal there is
// a hot spot.
const plenty = 2.5

// share gives height that the mechanism, so high, does not need to the roof up to 2.5 mm at mid-width, then to the floor up
// to 2.5 mm, then to the roof.
func (d *deriver) share(inner float64) {
	l := d.l
	y := l.Outer()
	under := l.underFloor()
	floor := d.floorRule()                         // where a domed or hollowed underside leaves least
	if roof, ok := d.job.Number("lock.roof"); ok { // the roof is fixed: the floor takes the rest
		floor = d.effective(l.Thickness) - l.top().upright(roof, y) - inner
	} else if over := l.Thickness - floor - under - inner - plenty; over > 0 {
		floor = math.Max(floor, math.Min(plenty, floor+over))
	}
	l.FloorWall = d.num("lock.floor_wall", floor)
	l.Floor = l.FloorWall + under
	l.RoofMid = l.Thickness - l.Floor - inner
	l.Roof = d.num("lock.roof", (l.RoofMid-l.top().fall(y))/l.top().upright(1, y))
}
