package motion

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// outline goes round a strip.
type outline struct {
	within float64
	shape  Shape
	turn   float64 // of the tip from the relaxed one, rad
	bound  float64 // met so far, mm
}

// mark is a point of an offset line and its direction.
type mark struct {
	p, dir r2.Vec
}

// round is the outline of a strip, anticlockwise: along the outer side (right of the middle line), across the tip, back along the
// inner one.
func (o *outline) round(s strip) (solid.Chain, error) {
	outer, inner := o.side(s.middle, -1), o.side(s.middle, 1)
	ends := []r2.Vec{outer[len(outer)-1].last(), inner[len(inner)-1].last()}
	if s.tip {
		var err error
		if ends, err = o.tip(s, outer, inner); err != nil {
			return nil, err
		}
	}
	var ch solid.Chain
	for _, run := range outer {
		ch = append(ch, o.fit(run, "outside")...)
	}
	for i := 1; i < len(ends); i++ {
		if d := r2.Norm(r2.Sub(ends[i], ends[i-1])); d > 1e-9 {
			ch = append(ch, solid.Seg{A: ends[i-1], B: ends[i], Tag: "shoulder"})
		}
	}
	for i := len(inner) - 1; i >= 0; i-- {
		ch = append(ch, o.fit(inner[i].reversed(), "inside of the leaf")...)
	}
	ch = append(ch, solid.Seg{A: ch[len(ch)-1].B, B: ch[0].A, Tag: "joint"})
	for i := range ch { // so that each ends exactly where the next begins
		ch[i].B = ch[(i+1)%len(ch)].A
	}
	return ch, nil
}

// run is a smooth piece of an offset line, as points close together.
type run []mark

func (r run) last() r2.Vec { return r[len(r)-1].p }

func (r run) reversed() run {
	out := make(run, len(r))
	for i, m := range r {
		out[len(r)-1-i] = mark{m.p, r2.Scale(-1, m.dir)}
	}
	return out
}

// spacing is how far apart the points of a run are at most, mm, and turning by how much the line turns between them, rad.
const (
	spacing = 0.04
	turning = 0.01
)

// side is the offset line to the left (+1) or right (-1), cut where the middle line has a kink; there the two are drawn on, or cut
// back, to where they meet.
func (o *outline) side(middle []stretch, side float64) []run {
	var out []run
	var now run
	for i := range middle {
		g := &middle[i]
		n := math.Ceil(max((g.s1-g.s0)/spacing, math.Abs(g.a1-g.a0)/turning))
		if i == 0 || g.broken || math.Abs(g.a0-middle[i-1].a1) > 1e-9 {
			if i > 0 {
				out = append(out, now)
			}
			now = run{o.beside(g, 0, side)}
		}
		for k := 1.0; k <= n; k++ {
			now = append(now, o.beside(g, k/n, side))
		}
	}
	out = append(out, now)
	for i := 1; i < len(out); i++ {
		a, b := out[i-1][len(out[i-1])-1], out[i][0]
		x := r2.Cross(a.dir, b.dir)
		if math.Abs(x) < 1e-9 {
			continue
		}
		c := r2.Add(a.p, r2.Scale(r2.Cross(r2.Sub(b.p, a.p), b.dir)/x, a.dir))
		out[i-1] = out[i-1].endAt(c)
		out[i] = out[i].reversed().endAt(c).reversed()
	}
	return out
}

// beside is the point of an offset line at k of a stretch. Its direction takes the taper in.
func (o *outline) beside(g *stretch, k, side float64) mark {
	p, angle, t := g.at(k)
	along := heading(angle)
	left := r2.Vec{X: -along.Y, Y: along.X}
	h := side * (t/2 - o.shape.Inset)
	length := g.s1 - g.s0
	speed := 1 - h*(g.a1-g.a0)/length
	dir := r2.Add(r2.Scale(speed, along), r2.Scale(side*(g.t1-g.t0)/2/length, left))
	return mark{r2.Add(p, r2.Scale(h, left)), r2.Unit(dir)}
}

// endAt makes the run end at c, near its end: points beyond c are left out.
func (r run) endAt(c r2.Vec) run {
	dir := r[len(r)-1].dir
	for len(r) > 2 && r2.Dot(r2.Sub(r[len(r)-1].p, c), dir) > -1e-7 {
		r = r[:len(r)-1]
	}
	return append(r[:len(r):len(r)], mark{c, dir})
}

// tip cuts both sides at the tip's end, and gives the corners across it: end and chamfer stand to the tip as they do on the relaxed
// leaf.
func (o *outline) tip(s strip, outer, inner []run) ([]r2.Vec, error) {
	g := s.middle[len(s.middle)-1]
	along, up := heading(o.turn), heading(o.turn+math.Pi/2) // what was x and z
	in := o.shape.Inset
	mid := r2.Add(g.p1, r2.Scale(in, along))
	ch := max(o.shape.Chamfer-(2-math.Sqrt2)*in, 0)
	cut := func(r run, from r2.Vec) (r2.Vec, bool) { // the line through from, along up, with the end of the run drawn on
		e := r[len(r)-1]
		x := r2.Cross(e.dir, up)
		if math.Abs(x) < 0.1 {
			return r2.Vec{}, false
		}
		return r2.Add(e.p, r2.Scale(r2.Cross(r2.Sub(from, e.p), up)/x, e.dir)), true
	}
	last := len(outer) - 1
	top, ok := cut(outer[last], r2.Add(mid, r2.Scale(ch, along)))
	low, ok2 := cut(inner[len(inner)-1], mid)
	if !ok || !ok2 {
		return nil, errors.New("motion: the leaf's end does not stand across it")
	}
	outer[last] = outer[last].endAt(top)
	inner[len(inner)-1] = inner[len(inner)-1].endAt(low)
	return []r2.Vec{top, r2.Add(top, r2.Scale(-ch, r2.Add(along, up))), low}, nil
}

// fit follows a run by lines and arcs within the tolerance, each as long as can be.
func (o *outline) fit(r run, tag string) solid.Chain {
	var ch solid.Chain
	for len(r) > 1 {
		seg, n := o.longest(r)
		seg.Tag = tag
		ch = append(ch, seg)
		r = r[n:]
	}
	return ch
}

// longest is a line or arc that follows the beginning of a run, and the number of the point at which it ends: ever further while
// that is near enough, then by halving between what was and what was not.
func (o *outline) longest(r run) (solid.Seg, int) {
	seg, good, bad := solid.Seg{A: r[0].p, B: r[1].p}, 1, len(r)
	met := unseen(r[:2], seg)
	for next := 2; good+1 < bad; {
		j := min(next, bad-1)
		if bad < len(r) {
			j = (good + bad) / 2
		}
		s, d := follow(r[:j+1])
		if d += unseen(r[:j+1], s); d <= o.within {
			seg, good, met = s, j, d
		} else {
			bad = j
		}
		next *= 2
	}
	o.bound = max(o.bound, met)
	return seg, good
}

// unseen is how far a smooth line and what follows it can leave each other beyond what is measured at points: between two of them the
// line leaves their chord by length x turn/8, an arc of radius r by length2/(8r); a tenth on top for lines whose curvature is not even.
func unseen(r run, s solid.Seg) float64 {
	most := 0.0
	for i := 1; i < len(r); i++ {
		l := r2.Norm(r2.Sub(r[i].p, r[i-1].p))
		off := l * math.Abs(r2.Cross(r[i-1].dir, r[i].dir))
		if s.R > 0 {
			off += l * l / s.R
		}
		most = max(most, 1.1*off/8)
	}
	return most
}

// follow is the line or arc through the ends of a run that goes nearest to its points, and how far from them it is at most.
// Arcs of a third of a turn and more are refused.
func follow(r run) (solid.Seg, float64) {
	a, b := r[0].p, r[len(r)-1].p
	chord := r2.Sub(b, a)
	l := r2.Norm(chord)
	if len(r) == 2 || l < 1e-9 {
		return solid.Seg{A: a, B: b}, 0
	}
	along := r2.Scale(1/l, chord)
	lo, hi := 0.0, 0.0 // to the right of the chord
	for _, m := range r {
		x := -r2.Cross(along, r2.Sub(m.p, a))
		lo, hi = min(lo, x), max(hi, x)
	}
	bulge := hi + lo // of an arc; where the line goes to and fro about its chord, half of each
	if bulge*bulge > l*l/12 {
		return solid.Seg{}, math.Inf(1)
	}
	best, off := arcOver(a, b, bulge), math.Inf(1)
	for range 4 {
		s := arcOver(a, b, bulge)
		least, most := 0.0, 0.0
		for _, m := range r {
			d := s.beyond(m.p, along, a)
			least, most = min(least, d), max(most, d)
		}
		if d := max(-least, most); d < off {
			best, off = s, d
		}
		bulge += (least + most) / 2
	}
	return best.Seg, off
}

// arc is a line or arc whose bulge, to the right of its chord, is positive.
type arc struct {
	solid.Seg
	bulge float64
}

// flat is the bulge below which an arc is a line, mm.
const flat = 1e-7

func arcOver(a, b r2.Vec, bulge float64) arc {
	chord := r2.Sub(b, a)
	l := r2.Norm(chord)
	if math.Abs(bulge) < flat || l*l/(8*math.Abs(bulge)) > 1e5 {
		return arc{solid.Seg{A: a, B: b}, 0}
	}
	radius := (l*l/4 + bulge*bulge) / (2 * math.Abs(bulge))
	right := r2.Vec{X: chord.Y / l, Y: -chord.X / l}
	c := r2.Add(r2.Scale(0.5, r2.Add(a, b)), r2.Scale(bulge-math.Copysign(radius, bulge), right))
	return arc{solid.Seg{A: a, B: b, C: c, R: radius, CW: bulge < 0}, bulge}
}

// beyond is how far a point lies to the right of the arc.
func (s arc) beyond(p, along, a r2.Vec) float64 {
	if s.R == 0 {
		return -r2.Cross(along, r2.Sub(p, a))
	}
	return math.Copysign(r2.Norm(r2.Sub(p, s.C))-s.R, 1) * math.Copysign(1, s.bulge)
}
