package survey

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Thick is the place where the metal is thickest.
type Thick struct {
	At    r3.Vec
	Ball  float64 // mm, diameter of a ball round At that the field proves to be metal
	Bound float64 // mm, no ball of metal anywhere has a greater diameter: proven
}

// ThickOptions say how far the search goes.
type ThickOptions struct {
	Within float64 // mm between Ball and Bound that is near enough; 0 means 0.02
	Most   int     // cubes that may be looked at; 0 means 20000
}

// Thickest finds the greatest ball of metal in a solid by branch and bound: cubes are cut in eight, those first in which
// it may be greatest. In a cube no ball is greater than the distance of its middle from any point of the surface, a
// witness, and half the diagonal, nor than two witnesses on opposite sides allow. |Eval| at the middle is the radius of a
// ball that is free. Where parts overlap, as a lug and the end that it stands in, the field is less than the distance:
// the nearest point of the surface then takes the witness's place, cubes become dear, and Ball may stay below the truth
// and Bound above it by more than asked for. Both hold all the same.
func Thickest(s *solid.Solid, o ThickOptions) Thick { return NewBody(s).Thickest(o) }

// Thickest is the function of that name.
func (body *Body) Thickest(o ThickOptions) Thick {
	s := body.s
	o.Within = or(o.Within, 0.02)
	if o.Most == 0 {
		o.Most = 20000
	}
	b := s.Bounds()
	size := r3.Sub(b.Max, b.Min)
	t := &thick{body: body, s: s, c: solid.NewCover(s, margin), within: o.Within / 2}
	side := max(size.X, size.Y, size.Z)
	t.open = []dice{{mid: r3.Scale(0.5, r3.Add(b.Min, b.Max)), half: side / 2, bound: side}}
	t.seed(size)
	for spent := 0; len(t.open) > 0 && spent < o.Most; spent += 8 * 64 {
		t.round()
		if t.gauge != nil {
			spent += (gaugeCost - 1) * 8 * 64
		}
	}
	bound := t.best
	for _, d := range t.open {
		bound = max(bound, d.bound)
	}
	bound = max(bound, t.dropped)
	return Thick{At: t.at, Ball: 2 * t.best, Bound: 2 * bound}
}

// gaugeCost is how many cubes with a witness one with a true distance counts for.
const gaugeCost = 15

// dice is a cube and an upper bound of the radius of balls whose middle it holds.
type dice struct {
	mid   r3.Vec
	half  float64
	bound float64
}

type thick struct {
	body    *Body
	gauge   *gauge // made when it is first needed
	s       *solid.Solid
	c       *solid.Cover
	within  float64
	open    []dice
	at      r3.Vec
	best    float64 // radius
	dropped float64 // greatest bound of what was left because it is near enough
}

// seed looks at a coarse grid first, so that most cubes can be left at once.
func (t *thick) seed(size r3.Vec) {
	b := t.s.Bounds()
	const n = 12
	for i := range n * n * n {
		k := r3.Vec{X: float64(i%n) + 0.5, Y: float64(i/n%n) + 0.5, Z: float64(i/(n*n)) + 0.5}
		t.try(r3.Add(b.Min, r3.Vec{X: k.X * size.X / n, Y: k.Y * size.Y / n, Z: k.Z * size.Z / n}))
	}
	t.climb(min(size.X, size.Y, size.Z) / n)
}

func (t *thick) try(p r3.Vec) bool {
	if r := -t.c.Eval(p); r > t.best {
		t.best, t.at = r, p
		return true
	}
	return false
}

// climb goes uphill from the best place by trial steps that are halved.
func (t *thick) climb(step float64) {
	for ; step > 1e-5; step /= 2 {
		for better := true; better; {
			better = false
			for _, d := range before {
				v := r3.Vec{X: float64(d[0]), Y: float64(d[1]), Z: float64(d[2])}
				better = t.try(along(t.at, v, step)) || better
				better = t.try(along(t.at, v, -step)) || better
			}
		}
	}
}

// round cuts the 64 most promising cubes.
func (t *thick) round() {
	slices.SortStableFunc(t.open, func(a, b dice) int { return cmp.Compare(b.bound, a.bound) })
	n := min(64, len(t.open))
	cut := slices.Clone(t.open[:n])
	t.open = t.open[n:]
	for _, d := range cut {
		for k := range 8 {
			e := dice{half: d.half / 2, mid: d.mid}
			sign := func(bit int) float64 { return e.half * float64(2*(k>>bit&1)-1) }
			e.mid = r3.Add(e.mid, r3.Vec{X: sign(0), Y: sign(1), Z: sign(2)})
			t.look(e, d.bound)
		}
	}
	t.open = slices.DeleteFunc(t.open, t.settled)
}

// settled tells whether a cube cannot hold a ball that is notably greater than the best.
func (t *thick) settled(d dice) bool {
	if d.bound > t.best+t.within {
		return false
	}
	t.dropped = max(t.dropped, d.bound)
	return true
}

// look bounds a cube, of which the bound of the cube that it is part of holds as well.
func (t *thick) look(d dice, above float64) {
	reach := d.half * math.Sqrt(3)
	f := t.c.Eval(d.mid)
	if f > reach {
		return // all air
	}
	if -f > t.best {
		t.best, t.at = -f, d.mid
		t.climb(d.half)
	}
	d.bound = min(above, reach) // a ball of metal does not hold a middle that is in the air
	if f <= 0 {
		q := t.surface(d.mid, -f)
		d.bound = min(above, apart(q, d.mid)+reach)
		if d.bound > t.best+t.within {
			d.bound = min(d.bound, t.between(d.mid, q, reach))
		}
	}
	if !t.settled(d) {
		t.open = append(t.open, d)
	}
}

// between bounds the radius by a second witness, beyond the middle from the first: a ball has to stay clear of both, and
// the mean of the squares of its middle's distances from them is at most the mean of theirs from the cube's middle m,
// and |2m - q - w| times the reach, and the reach squared.
func (t *thick) between(m, q r3.Vec, reach float64) float64 {
	a := r3.Sub(m, q)
	p := along(m, a, 0.9)
	b := r3.Sub(m, t.surface(p, math.Abs(t.c.Eval(p))))
	return math.Sqrt((r3.Norm2(a)+r3.Norm2(b))/2 + r3.Norm(r3.Add(a, b))*reach + reach*reach)
}

// surface is a point of the surface near p, where the field's size is f: a witness if the field is the distance there,
// else the nearest point.
func (t *thick) surface(p r3.Vec, f float64) r3.Vec {
	if f < 20*t.within {
		f *= 1.5 // near the surface any witness will do
	}
	if t.gauge == nil {
		if q, _, ok := t.s.Witness(p); ok && apart(q, p) <= f+t.within {
			return q
		}
		t.gauge = newGauge(t.body, 0.8)
	}
	_, q := t.gauge.dist(p, 100)
	return q
}
