package export

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// curve is a line or an arc of a drawing, from a to b, mm, y upwards. An arc runs anticlockwise unless cw; one whose ends
// are the same point is a whole circle.
type curve struct {
	a, b, c r2.Vec
	r       float64 // 0 for a line
	cw      bool
}

// sweep is the angle at which an arc begins and the angle that it goes through, positive if anticlockwise, radians.
func (k curve) sweep() (start, angle float64) {
	u, v := r2.Sub(k.a, k.c), r2.Sub(k.b, k.c)
	start = math.Atan2(u.Y, u.X)
	angle = math.Atan2(r2.Cross(u, v), r2.Dot(u, v))
	switch {
	case k.cw && angle >= -1e-9:
		angle -= 2 * math.Pi
	case !k.cw && angle <= 1e-9:
		angle += 2 * math.Pi
	}
	return start, angle
}

func (k curve) moved(by r2.Vec) curve {
	k.a, k.b, k.c = r2.Add(k.a, by), r2.Add(k.b, by), r2.Add(k.c, by)
	return k
}

// extent is the box that a curve fills.
func (k curve) extent() (lo, hi r2.Vec) {
	lo = r2.Vec{X: min(k.a.X, k.b.X), Y: min(k.a.Y, k.b.Y)}
	hi = r2.Vec{X: max(k.a.X, k.b.X), Y: max(k.a.Y, k.b.Y)}
	if k.r == 0 {
		return lo, hi
	}
	start, angle := k.sweep()
	if angle < 0 {
		start, angle = start+angle, -angle
	}
	for q := -4; q <= 8; q++ { // quarters of the circle
		if t := float64(q) * math.Pi / 2; t >= start && t <= start+angle {
			x, y := k.c.X+k.r*math.Cos(t), k.c.Y+k.r*math.Sin(t)
			lo, hi = r2.Vec{X: min(lo.X, x), Y: min(lo.Y, y)}, r2.Vec{X: max(hi.X, x), Y: max(hi.Y, y)}
		}
	}
	return lo, hi
}

const (
	onSame = 2e-5 // mm: two pieces that lie on one line or circle, beyond the rounding of a mesh to float32
	joined = 3e-3 // mm: a gap between them that is none: the edge of what hides a line is found to 1e-3
	trace  = 2e-3 // mm: what is shorter is left out
)

// stretch is a stretch along a line, mm, or round a circle, radians.
type stretch struct{ from, to float64 }

// track is a line or a circle with all stretches of it that are drawn.
type track struct {
	p, dir r2.Vec // a point of the line and its direction
	c      r2.Vec
	r      float64
	spans  []stretch
}

// united joins pieces that lie on the same line or circle and overlap or touch, so that each is drawn once and whole.
func united(pieces []curve) []curve {
	pieces = slices.Clone(pieces)
	slices.SortStableFunc(pieces, func(a, b curve) int { return cmp.Compare(chord(b), chord(a)) }) // a long one tells its line best
	var tracks []*track
	for _, k := range pieces {
		if chord(k) == 0 {
			continue
		}
		i := slices.IndexFunc(tracks, func(t *track) bool { return t.takes(k) })
		if i < 0 {
			i = len(tracks)
			tracks = append(tracks, &track{p: k.a, dir: r2.Unit(r2.Sub(k.b, k.a)), c: k.c, r: k.r})
		}
		tracks[i].add(k)
	}
	var out []curve
	for _, t := range tracks {
		out = append(out, t.curves()...)
	}
	return out
}

func chord(k curve) float64 { return r2.Norm(r2.Sub(k.b, k.a)) }

func (t *track) takes(k curve) bool {
	if (t.r == 0) != (k.r == 0) {
		return false
	}
	if t.r > 0 {
		return math.Abs(t.r-k.r) < onSame && r2.Norm(r2.Sub(t.c, k.c)) < onSame
	}
	return math.Abs(r2.Cross(t.dir, r2.Sub(k.a, t.p))) < onSame && math.Abs(r2.Cross(t.dir, r2.Sub(k.b, t.p))) < onSame
}

func (t *track) add(k curve) {
	if t.r == 0 {
		a, b := r2.Dot(t.dir, r2.Sub(k.a, t.p)), r2.Dot(t.dir, r2.Sub(k.b, t.p))
		t.spans = append(t.spans, stretch{min(a, b), max(a, b)})
		return
	}
	start, angle := k.sweep()
	if angle < 0 {
		start, angle = start+angle, -angle
	}
	start = math.Mod(start+4*math.Pi, 2*math.Pi)
	t.spans = append(t.spans, stretch{start, start + angle})
}

func (t *track) curves() (out []curve) {
	near, least := joined, trace
	if t.r > 0 {
		near, least = joined/t.r, trace/t.r
	}
	for _, s := range t.merged(near) {
		if s.to-s.from < least {
			continue
		}
		if t.r == 0 {
			out = append(out, curve{a: r2.Add(t.p, r2.Scale(s.from, t.dir)), b: r2.Add(t.p, r2.Scale(s.to, t.dir))})
			continue
		}
		at := func(angle float64) r2.Vec {
			return r2.Vec{X: t.c.X + t.r*math.Cos(angle), Y: t.c.Y + t.r*math.Sin(angle)}
		}
		k := curve{a: at(s.from), b: at(s.to), c: t.c, r: t.r}
		if s.to-s.from > 2*math.Pi-near {
			k.b = k.a
		}
		out = append(out, k)
	}
	return out
}

// merged is the union of the stretches; on a circle the last may run on into the first.
func (t *track) merged(near float64) []stretch {
	slices.SortFunc(t.spans, func(a, b stretch) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	var out []stretch
	for _, s := range t.spans {
		if k := len(out) - 1; k >= 0 && s.from <= out[k].to+near {
			out[k].to = max(out[k].to, s.to)
			continue
		}
		out = append(out, s)
	}
	if k := len(out) - 1; t.r > 0 && k > 0 && out[k].to-2*math.Pi >= out[0].from-near {
		out[k].to = max(out[k].to, out[0].to+2*math.Pi)
		out = out[1:]
	}
	return out
}
