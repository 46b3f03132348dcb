package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// File is a straight tool: a plate of right-angled section, or a round rod.
type File struct {
	Thickness float64 // mm
	Width     float64 // mm; 0 is a rod whose diameter is the thickness
	Length    float64 // mm of blade; 0 means 60
}

// ReachOptions say how reach is sampled.
type ReachOptions struct {
	Files      []File  // a place is reached if one of them does; none means a rod and a square of 1.2 mm
	Step       float64 // mm, the reach of the patches whose middles are tried; 0 means 1
	Directions int     // in which a blade is tried, evenly round, beside those of the face's own; 0 means 16
	Cut        float64 // mm by which a blade may run into the metal, as it does when it works; 0 means 0.02
}

// Reach tells how much of the surface of a kind a file gets to.
type Reach struct {
	Tag     string
	Share   float64 // of the sampled area that is reached
	Area    float64 // mm2 that were sampled
	Missed  bool    // some is not reached
	At      r3.Vec  // the first place that is not
	Samples int
}

// ReachOf tries, for points on all faces with one of the tags, whether a straight file that lies on the face there gets out
// of the solid in some direction without cutting metal, and with a way out no longer than its blade. Its axis runs in the
// tangent plane's direction, its tip is at the point; a rod touches there, a plate lies on the tangent plane, over
// the point, in the middle of the room that it has to both sides. No tags means all.
//
// The file's body is tested where the field does not prove it free: by points round its section, half the
// thickness apart at most, and its axis, in sections as far from each other. Metal that falls between those, and
// directions between those tried, are not seen: shares are good to a few percent.
func ReachOf(s *solid.Solid, tags []string, o ReachOptions) []Reach {
	return NewBody(s).Reach(tags, o)
}

// Reach is ReachOf.
func (b *Body) Reach(tags []string, o ReachOptions) []Reach {
	o.Files = slices.Clone(o.Files)
	if len(o.Files) == 0 {
		o.Files = []File{{Thickness: 1.2}, {Thickness: 1.2, Width: 1.2}}
	}
	for i := range o.Files {
		o.Files[i].Length = or(o.Files[i].Length, 60)
	}
	o.Step, o.Cut = or(o.Step, 1), or(o.Cut, 0.02)
	if o.Directions == 0 {
		o.Directions = 16
	}
	k, hull := b.skin(o.Step), b.convex()
	found := make([]Reach, len(k.walls))
	spread(b.s, len(k.walls), func(c *solid.Cover, i int) {
		tag := k.tags[k.walls[i].Face]
		if len(tags) > 0 && !slices.Contains(tags, tag) {
			return
		}
		found[i] = (&blade{k: k, c: c, o: o, hull: hull}).wall(i, tag)
	})
	return byTag(found)
}

// byTag adds up what was found wall by wall, tags in the order of the walls.
func byTag(found []Reach) []Reach {
	var out []Reach
	for _, r := range found {
		if r.Samples == 0 {
			continue
		}
		i := slices.IndexFunc(out, func(q Reach) bool { return q.Tag == r.Tag })
		if i < 0 {
			out = append(out, Reach{Tag: r.Tag})
			i = len(out) - 1
		}
		q := &out[i]
		if r.Missed && !q.Missed {
			q.Missed, q.At = true, r.At
		}
		q.Share = (q.Share*q.Area + r.Share*r.Area) / (q.Area + r.Area)
		q.Area, q.Samples = q.Area+r.Area, q.Samples+r.Samples
	}
	return out
}

// blade tries a file on the patches of a wall.
type blade struct {
	k    *skin
	c    *solid.Cover
	o    ReachOptions
	hull []halfSpace
}

func (b *blade) wall(i int, tag string) Reach {
	out := Reach{Tag: tag}
	got := 0.0
	last := r3.Vec{} // the direction that worked last is tried first
	for j := range b.k.patches[i] {
		a := &b.k.patches[i][j]
		if !a.seen {
			continue
		}
		size := b.k.area(a)
		out.Area += size
		out.Samples++
		d, ok := b.reaches(a, last)
		if ok {
			got, last = got+size, d
		} else if !out.Missed {
			out.Missed, out.At = true, a.p
		}
	}
	out.Share = got / max(out.Area, 1e-300)
	return out
}

// reaches tries directions in the tangent plane: the one given, those in which the face's parameters run, and others
// evenly round.
func (b *blade) reaches(a *patch, first r3.Vec) (r3.Vec, bool) {
	w := &b.k.walls[a.wall]
	um, vm := (a.u[0]+a.u[1])/2, (a.v[0]+a.v[1])/2
	const part = 1e-4
	du := r3.Sub(w.At(um+part*(w.U[1]-w.U[0]), vm), a.p)
	dv := r3.Sub(w.At(um, vm+part*(w.V[1]-w.V[0])), a.p)
	x, y := across(a.n)
	dirs := []r3.Vec{first, du, r3.Scale(-1, du), dv, r3.Scale(-1, dv)}
	for k := range b.o.Directions {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(b.o.Directions))
		dirs = append(dirs, r3.Add(r3.Scale(cos, x), r3.Scale(sin, y)))
	}
	for _, d := range dirs {
		d = r3.Sub(d, r3.Scale(r3.Dot(d, a.n), a.n))
		if r3.Norm2(d) < 1e-18 {
			continue
		}
		d = unit(d)
		for _, f := range b.o.Files {
			if b.out(f, a.p, a.n, d) {
				return d, true
			}
		}
	}
	return r3.Vec{}, false
}

// out tells whether a file that lies on p, on the side of n, comes out in direction d.
func (b *blade) out(f File, p, n, d r3.Vec) bool {
	side := r3.Cross(n, d)
	leave := b.leave(p, d, math.Hypot(f.Thickness, f.Width))
	if leave > f.Length {
		return false
	}
	axis := along(p, n, f.Thickness/2)
	if f.Width == 0 {
		return b.free(axis, d, f.Thickness/2, leave, b.round(n, side, f.Thickness/2))
	}
	far := math.Hypot(f.Width, f.Thickness) / 2
	rim := b.oblong(n, side, f)
	left, right := b.room(axis, r3.Scale(-1, side), f.Width), b.room(axis, side, f.Width)
	if left+right < f.Width-2*b.o.Cut {
		return false
	}
	shift := min(max((right-left)/2, -f.Width/2), f.Width/2)
	return b.free(along(axis, side, shift), d, far, leave, rim) ||
		math.Abs(shift) > b.o.Cut && b.free(axis, d, far, leave, rim)
}

// room is how far it is from p along d to metal, no further than far.
func (b *blade) room(p, d r3.Vec, far float64) float64 {
	t := 0.0
	for range mostSteps {
		f := b.c.Eval(along(p, d, t))
		if f <= beside {
			return t
		}
		if t += f; t >= far {
			return far
		}
	}
	return t
}

// round is points of a rod's section, about its axis, less what it may cut.
func (b *blade) round(x, y r3.Vec, radius float64) []r3.Vec {
	var rim []r3.Vec
	for k := range 10 {
		sin, cos := math.Sincos(math.Pi / 5 * float64(k))
		rim = append(rim, r3.Scale(radius-b.o.Cut, r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))))
	}
	return rim
}

// oblong is points round a plate's section, its corners first.
func (b *blade) oblong(x, y r3.Vec, f File) []r3.Vec {
	h, w := f.Thickness/2-b.o.Cut, f.Width/2-b.o.Cut
	var rim []r3.Vec
	add := func(u, v float64) { rim = append(rim, r3.Add(r3.Scale(u, x), r3.Scale(v, y))) }
	for _, v := range [2]float64{-w, w} {
		add(-h, v)
		add(h, v)
		add(0, v)
	}
	n := int(math.Ceil(2.5 * f.Width / f.Thickness))
	for i := 1; i < n; i++ {
		v := w * (2*float64(i)/float64(n) - 1)
		add(-h, v)
		add(h, v)
	}
	return rim
}

// leave is how far along d the solid's convex hull is left by a section that reaches so far to all sides.
func (b *blade) leave(p, d r3.Vec, far float64) float64 {
	t := math.Inf(1)
	for _, h := range b.hull {
		if slope := r3.Dot(h.n, d); slope > 1e-9 {
			t = min(t, (h.d+far*math.Sqrt(max(0, 1-slope*slope))-r3.Dot(h.n, p))/slope)
		}
	}
	return max(t, 0)
}

// free tells whether a body whose section lies within far of its axis, and has these points on its rim, is free from p
// along d as far as leave.
func (b *blade) free(p, d r3.Vec, far, leave float64, rim []r3.Vec) bool {
	far -= b.o.Cut
	step := far / 2
	for t := 0.0; t < leave; t += step {
		q := along(p, d, t)
		f := b.c.Eval(q)
		if f < 0 {
			return false
		}
		if f > far { // the field proves the section free, and those as far on as the ball is wide enough
			t += max(0, math.Sqrt(f*f-far*far)-step)
			continue
		}
		for _, r := range rim {
			if b.c.Metal(r3.Add(q, r)) {
				return false
			}
		}
	}
	return true
}
