package spring

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// What a leaf may touch.
const (
	AtLip   = "lip"
	AtFloor = "floor"
	AtRoof  = "roof"
	AtPad   = "root pad"
	AtLeaf  = "lower leaf"
)

// bed is a tongue that is so far out of its box, mm, and slides in with a coefficient of friction. Everything is seen from the
// tongue: it is the box that moves along x.
type bed struct {
	l       *Lock
	f       *Frame
	m       marks
	out, mu float64
	lipPsi  [terms]float64
	atRoof  []place
	atFloor []place
	inner   []place // of the upper leaf, which may meet the lower
	corner  place   // where the shoulder's chamfer begins
	heel    place   // the tip's lower edge
	topFrom float64 // the part of the outside that may meet the lip, along the middle line
	topTo   float64
	noPad   bool // the root pad is not there
}

func (l *Lock) bed(f *Frame, m marks, out, mu float64) *bed {
	b := &bed{l: l, f: f, m: m, out: out, mu: mu, lipPsi: meanAcross(l.NotchWidth/2, l.UpperWidth/2, l.UpperWidth)}
	b.topFrom, b.topTo = (m.fold+m.upper)/2, m.tip-l.Chamfer
	b.corner, b.heel = f.skin(b.topTo, -1), f.skin(m.tip, 1)
	b.corner.psi, b.heel.psi = b.lipPsi, b.lipPsi
	const apart = 0.4 // mm between places on flats that may touch
	for s := m.leaf; s < m.fold+0.2*(m.upper-m.fold); s += apart {
		b.atFloor = append(b.atFloor, f.skin(s, -1))
	}
	for s := (m.fold + m.upper) / 2; s < b.topTo; s += apart {
		b.atRoof = append(b.atRoof, f.skin(s, -1))
		if s > m.upper && l.Fork == nil {
			b.inner = append(b.inner, f.skin(s, 1))
		}
	}
	b.atRoof = append(b.atRoof, f.skin(b.topTo, -1))
	return b
}

// holds lists every place where the leaf may touch in a shape, far ones left out.
func (b *bed) holds(s *shape) []hold {
	l := b.l
	hs := b.onFlats(s)
	hs = append(hs, b.lip(s)...)
	step := point{X: b.out + l.XStep + l.StepRun, Y: l.ZLip}
	hs = b.add(hs, b.onEdge(s, 4, AtRoof, step, 0, -1, b.topFrom, b.topTo))
	if b.noPad {
		return hs
	}
	for _, h := range b.onPad(s) {
		hs = b.add(hs, h)
	}
	return hs
}

// onPad is the leaf's inside over the rear edge of the root pad's top, and its tip over the top.
func (b *bed) onPad(s *shape) []hold {
	l := b.l
	edge := point{X: l.XPad - (l.ZPad - l.ZLeaf - l.Leaf), Y: l.ZPad}
	hs := []hold{b.onEdge(s, 5, AtPad, edge, 0, 1, b.m.knee, b.m.tip)}
	if p := s.at(b.heel); p.X < edge.X {
		hs = append(hs, flat(6, AtPad, b.heel, p.Y-l.ZPad, 1, 0))
	}
	return hs
}

const far = 0.6 // mm; a gap wider than that is no touch in the next round

func (b *bed) add(hs []hold, h hold) []hold {
	if h.gap > far || math.IsNaN(h.gap) {
		return hs
	}
	return append(hs, h)
}

// flat is a place above (+1) or below (-1) something level; drag is the friction along x.
func flat(id int, name string, at place, gap, up, drag float64) hold {
	return hold{id: id, name: name, gap: gap, by: []pull{{at: at, dir: point{Y: up}, force: point{X: drag, Y: up}}}}
}

// lip is the lip's round entry, its rear edge, and its flat where the shoulder's edge slides on it.
func (b *bed) lip(s *shape) (hs []hold) {
	l := b.l
	entry := point{X: b.out + l.LipEntry, Y: l.ZLip + l.LipEntry}
	hs = b.add(hs, b.onEdge(s, 1, AtLip, entry, l.LipEntry, -1, b.topFrom, b.topTo))
	hs = b.add(hs, b.onEdge(s, 2, AtLip, point{X: b.out + l.Lip, Y: l.ZLip}, 0, -1, b.topFrom, b.topTo))
	p := s.at(b.corner)
	if p.X > b.out+l.LipEntry && p.X < b.out+l.Lip {
		hs = b.add(hs, flat(3, AtLip, b.corner, l.ZLip-p.Y, -1, -b.mu))
	}
	return hs
}

// onFlats are the places along the leaf over the floor, under the roof and over the lower leaf.
func (b *bed) onFlats(s *shape) (hs []hold) {
	l := b.l
	for i, q := range b.atFloor {
		if p := s.at(q); p.X > b.out {
			hs = b.add(hs, flat(100+i, AtFloor, q, p.Y-l.Floor, 1, -b.mu))
		}
	}
	for i, q := range b.atRoof {
		p := s.at(q)
		switch x := p.X - b.out; {
		case x > l.XStep+l.StepRun:
			hs = b.add(hs, flat(300+i, AtRoof, q, l.ZLip-p.Y, -1, -b.mu))
		case x > l.Lip && x < l.XStep:
			hs = b.add(hs, flat(300+i, AtRoof, q, l.ZFront-p.Y, -1, -b.mu))
		}
	}
	for i, q := range b.inner {
		p := s.at(q)
		if at := b.m.leaf + p.X - l.leafFrom(); at > b.m.leaf && at < b.m.fold {
			low := b.f.skin(at, 1)
			h := flat(600+i, AtLeaf, q, p.Y-s.at(low).Y, 1, 0)
			h.by = append(h.by, pull{at: low, dir: point{Y: -1}, force: point{Y: -1}})
			hs = b.add(hs, h)
		}
	}
	return hs
}

// onEdge is where a fixed round of radius r comes nearest to the left (+1) or right (-1) surface between two places.
func (b *bed) onEdge(s *shape, id int, name string, c point, r, side, from, to float64) hold {
	best, at, out, past := math.Inf(1), place{}, point{}, false
	for i := b.f.where(from, 0).seg; i < len(b.f.segs); i++ {
		g := &b.f.segs[i]
		u0, u1 := math.Max(0, (from-g.s)/g.h), math.Min(1, (to-g.s)/g.h)
		if u1 <= u0 {
			continue
		}
		q, o, over := s.nearest(i, u0, u1, side, c)
		if d := r2.Norm(r2.Sub(c, s.at(q))); d < best {
			best, at, out, past = d, q, o, over
		}
	}
	if past { // beyond the end of the surface: round against corner, and nothing against a sharp edge
		if r == 0 {
			return hold{gap: math.Inf(1)}
		}
		out = r2.Unit(r2.Sub(c, s.at(at)))
	}
	if side < 0 {
		at.psi = b.lipPsi
	}
	h := hold{id: id, name: name, gap: r2.Dot(r2.Sub(c, s.at(at)), out) - r}
	drag := point{}
	if name != AtPad {
		drag = r2.Scale(b.mu, against(out))
	}
	h.by = []pull{{at: at, dir: r2.Scale(-1, out), force: r2.Sub(drag, out)}}
	return h
}

// against is the direction along a surface with normal out that goes back along x.
func against(out point) point {
	t := turned(out)
	if t.X > 0 {
		return r2.Scale(-1, t)
	}
	return t
}

// nearest is the place on a segment's surface, taken straight, that comes nearest to c, and the surface's normal there.
// over tells that c lies beyond the segment's end.
func (s *shape) nearest(i int, u0, u1, side float64, c point) (q place, out point, over bool) {
	g := &s.f.segs[i]
	at := func(u float64) place { return place{seg: i, u: u, off: side * g.t(u) / 2} }
	a, z := s.at(at(u0)), s.at(at(u1))
	d := r2.Sub(z, a)
	k := r2.Dot(r2.Sub(c, a), d) / r2.Dot(d, d)
	in := math.Max(0, math.Min(1, k))
	return at(u0 + in*(u1-u0)), r2.Scale(side, r2.Unit(turned(d))), math.Abs(k-in) > 1e-9
}
