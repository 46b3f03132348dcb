package solid

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Seg is a line or a circular arc of a closed chain. Chains run anticlockwise round their area.
type Seg struct {
	A, B r2.Vec
	C    r2.Vec  // centre of an arc
	R    float64 // radius of an arc, 0 for a line
	CW   bool    // the arc runs clockwise, so it is hollow as seen from outside
	Tag  string  // the face that it becomes
}

// Chain is a closed chain of lines and arcs, each beginning where the one before it ends.
type Chain []Seg

// Side is one side of an outline: the line through P and Q, run from P to Q, material on the left, moved outwards by
// Out, with the corner to the next side rounded by the radius Round.
type Side struct {
	P, Q  r2.Vec
	Out   float64 // mm, outwards; stock on metal is positive, in a hollow negative
	Round float64 // mm, 0 leaves the corner sharp
	Tag   string
}

// short is the length below which a piece of an outline is an artefact of rounding and is left out, mm. Sides that two
// full rounds meet on have length zero on purpose.
const short = 1e-9

// Outline joins sides into a chain: each is moved by its own amount first, then neighbours are intersected and the
// corners rounded. Sides that are used up by their rounds vanish. It fails when neighbours are parallel or a round does
// not fit.
func Outline(sides ...Side) (Chain, error) {
	n := len(sides)
	corner := make([]r2.Vec, n) // between side i and i+1
	for i, s := range sides {
		t := sides[(i+1)%n]
		c, ok := meet(s, t)
		if !ok {
			return nil, fmt.Errorf("outline: %q and %q do not meet", s.Tag, t.Tag)
		}
		corner[i] = c
	}
	cut := make([]float64, n) // how much of each corner's legs the round takes
	for i := range sides {
		cut[i] = roundLeg(sides[i], sides[(i+1)%n])
	}
	var ch Chain
	for i, s := range sides {
		j := (i + n - 1) % n
		d := s.dir()
		a := r2.Add(corner[j], r2.Scale(cut[j], d))
		b := r2.Sub(corner[i], r2.Scale(cut[i], d))
		l := r2.Dot(r2.Sub(b, a), d)
		if l < -1e-7 {
			return nil, fmt.Errorf("outline: %q is %.3g mm too short for its rounds", s.Tag, -l)
		}
		if l > short {
			ch = append(ch, Seg{A: a, B: b, Tag: s.Tag})
		}
		if cut[i] > 0 {
			ch = append(ch, s.round(sides[(i+1)%n], b, corner[i], cut[i]))
		}
	}
	return ch.closed(), nil
}

// closed makes each piece end exactly where the next begins.
func (ch Chain) closed() Chain {
	for i := range ch {
		ch[i].B = ch[(i+1)%len(ch)].A
	}
	return ch
}

func (s Side) dir() r2.Vec { return r2.Unit(r2.Sub(s.Q, s.P)) }

// moved is a point of the side after it has been moved outwards, to its right.
func (s Side) moved() r2.Vec {
	d := s.dir()
	return r2.Add(s.P, r2.Scale(s.Out, r2.Vec{X: d.Y, Y: -d.X}))
}

func meet(s, t Side) (r2.Vec, bool) {
	d, e := s.dir(), t.dir()
	x := r2.Cross(d, e)
	if math.Abs(x) < 1e-9 {
		return r2.Vec{}, false
	}
	p := s.moved()
	k := r2.Cross(r2.Sub(t.moved(), p), e) / x
	return r2.Add(p, r2.Scale(k, d)), true
}

// roundLeg is how far from the corner a round begins: R tan(half the turn).
func roundLeg(s, t Side) float64 {
	if s.Round <= 0 {
		return 0
	}
	d, e := s.dir(), t.dir()
	turn := math.Abs(math.Atan2(r2.Cross(d, e), r2.Dot(d, e)))
	return s.Round * math.Tan(turn/2)
}

func (s Side) round(t Side, from, corner r2.Vec, leg float64) Seg {
	d, e := s.dir(), t.dir()
	left := r2.Vec{X: -d.Y, Y: d.X}
	cw := r2.Cross(d, e) < 0
	if cw {
		left = r2.Scale(-1, left)
	}
	return Seg{A: from, B: r2.Add(corner, r2.Scale(leg, e)), C: r2.Add(from, r2.Scale(s.Round, left)), R: s.Round, CW: cw, Tag: s.Tag + " round"}
}

// sweep is the angle of an arc, positive, and the angle at which it starts.
func (s Seg) sweep() (start, angle float64) {
	a, b := r2.Sub(s.A, s.C), r2.Sub(s.B, s.C)
	start = math.Atan2(a.Y, a.X)
	angle = math.Atan2(r2.Cross(a, b), r2.Dot(a, b))
	if s.CW {
		angle = -angle
	}
	if angle < 0 {
		angle += 2 * math.Pi
	}
	return start, angle
}

// closest is the nearest point of the piece to p.
func (s Seg) closest(p r2.Vec) r2.Vec {
	if s.R == 0 {
		d := r2.Sub(s.B, s.A)
		k := r2.Dot(r2.Sub(p, s.A), d) / r2.Norm2(d)
		return r2.Add(s.A, r2.Scale(min(max(k, 0), 1), d))
	}
	v := r2.Sub(p, s.C)
	if n := r2.Norm2(v); n > 0 && s.within(v) {
		return r2.Add(s.C, r2.Scale(s.R/math.Sqrt(n), v))
	}
	if r2.Norm2(r2.Sub(p, s.A)) <= r2.Norm2(r2.Sub(p, s.B)) {
		return s.A
	}
	return s.B
}

// within says whether the direction v from the centre passes through the arc.
func (s Seg) within(v r2.Vec) bool {
	a, b := r2.Sub(s.A, s.C), r2.Sub(s.B, s.C)
	if s.CW {
		a, b = b, a
	}
	if x := r2.Cross(a, b); x > 0 || x == 0 && r2.Dot(a, b) <= 0 { // at most half a turn
		return r2.Cross(a, v) >= 0 && r2.Cross(v, b) >= 0
	}
	return r2.Cross(a, v) >= 0 || r2.Cross(v, b) >= 0
}

// Closest is the nearest point of the chain to p and the piece that it lies on.
func (ch Chain) Closest(p r2.Vec) (q r2.Vec, seg int) {
	best := math.Inf(1)
	for i, s := range ch {
		c := s.closest(p)
		if d := r2.Norm2(r2.Sub(p, c)); d < best {
			best, q, seg = d, c, i
		}
	}
	return q, seg
}

// Inside says whether p lies in the area. It counts crossings of the polygon of chords and then turns the verdict
// over for each arc whose cap, between chord and arc, holds p; points on a chord are given to the same side by both.
func (ch Chain) Inside(p r2.Vec) bool {
	in := false
	for _, s := range ch {
		x := r2.Cross(r2.Sub(s.B, s.A), r2.Sub(p, s.A))
		if up := s.B.Y > s.A.Y; (s.A.Y > p.Y) != (s.B.Y > p.Y) && (up && x > 0 || !up && x < 0) {
			in = !in
		}
		if s.R > 0 && r2.Norm2(r2.Sub(p, s.C)) <= s.R*s.R && s.inCap(x) {
			in = !in
		}
	}
	return in
}

// inCap says whether a point of the arc's disc lies between chord and arc, x being the side of the chord that it is
// on (positive left). Arcs are at most half a turn.
func (s Seg) inCap(x float64) bool {
	rightOnChord := s.B.Y > s.A.Y || s.B.Y == s.A.Y && s.B.X < s.A.X // where the crossing rule puts points on the chord
	if s.CW {
		return x > 0 || x == 0 && !rightOnChord
	}
	return x < 0 || x == 0 && rightOnChord
}

// bounds contains the chain.
func (ch Chain) bounds() r2.Box {
	b := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	grow := func(p r2.Vec) {
		b.Min = r2.Vec{X: math.Min(b.Min.X, p.X), Y: math.Min(b.Min.Y, p.Y)}
		b.Max = r2.Vec{X: math.Max(b.Max.X, p.X), Y: math.Max(b.Max.Y, p.Y)}
	}
	for _, s := range ch {
		grow(s.A)
		for _, d := range []r2.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
			if s.R > 0 && s.within(d) {
				grow(r2.Add(s.C, r2.Scale(s.R, d)))
			}
		}
	}
	return b
}

// Area is the enclosed area in closed form.
func (ch Chain) Area() float64 {
	a := 0.0
	for _, s := range ch {
		a += r2.Cross(s.A, s.B) / 2
		if s.R > 0 {
			_, w := s.sweep()
			segment := s.R * s.R * (w - math.Sin(w)) / 2
			if s.CW {
				segment = -segment
			}
			a += segment
		}
	}
	return a
}

// polygon approximates the chain within a distance by points on it, arcs also broken where the contacts of their pieces
// lie; from names the piece that each edge belongs to.
func (ch Chain) polygon(within float64, at contacts) (pts []r2.Vec, from []int) {
	for i, s := range ch {
		pts, from = append(pts, s.A), append(from, i)
		if s.R == 0 {
			continue
		}
		start, angle := s.sweep()
		for _, t := range s.stops(start, angle, at[i], math.Min(step(within, s.R), 2*math.Pi/3)) {
			if s.CW {
				t = -t
			}
			pts, from = append(pts, s.on(start+t)), append(from, i)
		}
	}
	return pts, from
}

// stops lists where an arc is broken, as angles from its start, both ends left out: at the contacts, and evenly between
// them by steps of at most step.
func (s Seg) stops(start, angle float64, at []r3.Vec, step float64) []float64 {
	var breaks []float64
	for _, d := range at {
		t := math.Atan2(d.Y, d.X) - start
		if s.CW {
			t = -t
		}
		if t = math.Mod(t+4*math.Pi, 2*math.Pi); t > sameAngle && t < angle-sameAngle {
			breaks = append(breaks, t)
		}
	}
	all := evenly(0, angle, breaks, step)
	return all[1:]
}

// sameAngle is how far apart two edges along a cylinder may be and still be one, radians.
const sameAngle = 1e-7

// evenly divides the stretch from a to b, broken at some places, by steps of at most step. It begins with a and leaves
// out b.
func evenly(a, b float64, breaks []float64, step float64) []float64 {
	sort.Float64s(breaks)
	var out []float64
	from := a
	for _, to := range append(breaks, b) {
		if to-from < sameAngle {
			continue
		}
		n := int(math.Ceil((to-from)/step - 1e-9))
		for k := range n {
			out = append(out, from+(to-from)*float64(k)/float64(n))
		}
		from = to
	}
	return out
}

// Broken is the piece as straight pieces no longer than so many mm; the corners lie on it.
func (s Seg) Broken(longest float64) Chain {
	point := func(k float64) r2.Vec { return r2.Add(s.A, r2.Scale(k, r2.Sub(s.B, s.A))) }
	length := r2.Norm(r2.Sub(s.B, s.A))
	if s.R > 0 {
		start, angle := s.sweep()
		if s.CW {
			angle = -angle
		}
		length = s.R * math.Abs(angle)
		point = func(k float64) r2.Vec { return s.on(start + k*angle) }
	}
	n := max(1, int(math.Ceil(length/longest)))
	if s.R > 0 {
		n = max(n, 6)
	}
	out := make(Chain, n)
	for i := range n {
		out[i] = Seg{A: point(float64(i) / float64(n)), B: point(float64(i+1) / float64(n)), Tag: s.Tag}
	}
	out[0].A, out[n-1].B = s.A, s.B
	return out
}
