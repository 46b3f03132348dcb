package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// Bend moves a point of a relaxed flank, seen from above at y > 0, to where it is when the flank is bent.
type Bend func(r2.Vec) r2.Vec

// finest is how long the straight pieces are that a bent flank is drawn with, mm.
const finest = 0.3

// BentPlate is block and plate, finished, with both flanks bent alike.
func (l *Lock) BentPlate(bend Bend) (*solid.Solid, error) {
	end, err := l.block(Stock{})
	if err != nil {
		return nil, err
	}
	ch, err := solid.Outline(mirrored(l.plateHalf(Stock{}))...)
	if err != nil {
		return nil, err
	}
	neck, err := l.slitNeck(Stock{})
	if err != nil {
		return nil, err
	}
	return solid.Join(end, l.flat(l.bent(ch, bend), Stock{}), neck), nil
}

// bent breaks the flanks' part of the plate's outline into short straight pieces and bends it.
func (l *Lock) bent(ch solid.Chain, bend Bend) (out solid.Chain) {
	flank := func(p r2.Vec) bool {
		mid := l.midSlit(p.X)
		return p.X > l.XNeck+1e-6 && (p.Y > mid || p.Y < -mid)
	}
	for _, s := range ch {
		if !flank(s.A) && !flank(s.B) || s.Tag == tagNeck || s.Tag == tagHidden {
			out = append(out, s)
			continue
		}
		move := func(p r2.Vec) r2.Vec {
			switch {
			case !flank(p):
				return p
			case p.Y < 0:
				q := bend(r2.Vec{X: p.X, Y: -p.Y})
				return r2.Vec{X: q.X, Y: -q.Y}
			}
			return bend(p)
		}
		for _, q := range s.Broken(finest) {
			out = append(out, solid.Seg{A: move(q.A), B: move(q.B), Tag: s.Tag})
		}
	}
	for i := range out {
		out[i].B = out[(i+1)%len(out)].A
	}
	return out
}

// midSlit is the middle between spine and flank at x.
func (l *Lock) midSlit(x float64) float64 {
	p := l.Plate
	spine, inside := p.Spine, l.Inside(x)
	if x <= p.XHead+1e-6 {
		inside = p.Head
	}
	switch stop := math.Abs(p.Spine - p.Pad); {
	case x <= p.XPad+1e-6:
		spine = p.Pad
	case x <= p.XPad+stop+1e-6:
		spine = math.Max(p.Pad, p.Spine)
	}
	return (spine + inside) / 2
}

// TabAt is the tab at y > 0 of the relaxed tongue.
func (l *Lock) TabAt() (*solid.Solid, error) { return l.slitTab(Stock{}, 1) }

// PlateSection is half of the finished plate seen from above, y > 0 up, from mid-width out.
func (l *Lock) PlateSection() (solid.Chain, error) {
	half := l.plateHalf(Stock{})
	return solid.Outline(append(half, level(0, 1, 0, tagHidden))...)
}
