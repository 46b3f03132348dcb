package motion

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Body is a solid made ready for being held against others: its surface cut into patches, halved where a search comes to,
// with those known that lie inside the metal or in the air. Patches are kept, so that a Body that is asked again is quicker. It
// serves one goroutine; answers do not depend on what was asked before.
type Body struct {
	solid   *solid.Solid
	cover   *solid.Cover
	walls   []wall
	patches []patch
	eldest  int     // so many patches are whole walls, or quarters of one
	all     []int32 // the numbers of the eldest
	view    solid.View
	spans   []float64 // scratch of cut
}

// coverMargin is how far round the surface looks are quick, mm: about the plays of a lock.
const coverMargin = 0.2

// NewBody prepares a solid.
func NewBody(s *solid.Solid) *Body {
	b := &Body{solid: s, cover: solid.NewCover(s, coverMargin), walls: wallsOf(s)}
	for i := range b.walls {
		b.patches = append(b.patches, b.walls[i].eldest(int32(i))...)
	}
	b.eldest = len(b.patches)
	for i := range b.eldest {
		b.all = append(b.all, int32(i))
	}
	return b
}

// visible tells whether any of a patch may be surface. It is not where other primitives bury it in metal or take it away.
// Where no other primitive's faces come into the box round the patch, all of it has the same fate and one point tells it;
// elsewhere the field's slope may prove it (solid.Cover.Look). Nor is a patch surface where the rectangle of an end face lies outside
// the primitive.
func (b *Body) visible(i int32) bool {
	p := &b.patches[i]
	if p.seen == notLooked {
		p.seen = kept
		w := &b.walls[p.wall]
		foreign := b.crossing(p)
		r := p.radius
		if !foreign {
			r = onSurface
		}
		if w.Round && b.cover.Dist(w.Leaf, p.on) > p.radius+1e-9 {
			p.seen = hidden
		} else if b.cover.Look(p.on, r, w.Leaf, &b.view); b.view.Ball == solid.Hidden {
			p.seen = hidden
		}
	}
	return p.seen == kept
}

// crossing cuts the list of eldest patches that may run through a patch down to those that do: of other primitives, and of
// its own where it is an end face, since the primitive's sides cut that rectangle. It tells whether there are any of others.
func (b *Body) crossing(p *patch) (foreign bool) {
	w := &b.walls[p.wall]
	ask := p.cross
	if ask == nil {
		ask = b.all
	}
	out := []int32{}
	for _, k := range ask {
		q := &b.patches[k]
		other := &b.walls[q.wall]
		if own := other.Leaf == w.Leaf; (!own || w.Round && !other.Round) && p.apart(&q.hull, 2e-9) < 1e-9 {
			out = append(out, k)
			foreign = foreign || !own
		}
	}
	p.cross = out
	return foreign
}

// bent is how far a patch may leave a flat, mm, before it is halved across its arc whatever its sides.
const bent = 0.0001

// aside is how far beside another primitive's face a patch is cut, mm, so that what is left is clear of it.
const aside = 1e-7

// split cuts a patch in two and gives the number of the first part; the other follows it: beside a face that runs through
// it where there is one, else across its arc while that leaves a flat by much, else across its longer side.
func (b *Body) split(i int32) int32 {
	if p := &b.patches[i]; p.kids == 0 {
		w := &b.walls[p.wall]
		q, r := *p, *p
		along, x, ok := b.cut(p)
		if !ok {
			if along = w.lengthways(p); along {
				x = (p.u0 + p.u1) / 2
			} else {
				x = (p.v0 + p.v1) / 2
			}
		}
		if along {
			q.u1, r.u0 = x, x
		} else {
			q.v1, r.v0 = x, x
		}
		p.kids = int32(len(b.patches))
		for _, h := range [...]*patch{&q, &r} {
			h.seen, h.kids = notLooked, 0
			h.hull = w.hull(h.u0, h.u1, h.v0, h.v1)
			b.patches = append(b.patches, *h)
		}
	}
	return b.patches[i].kids
}

// lengthways tells whether a patch is to be halved along u.
func (w *wall) lengthways(p *patch) bool {
	if p.curving > bent && w.arcs != w.rounds {
		return w.arcs
	}
	return p.extent[0] >= p.extent[1]
}

// cut finds where to cut a looked-at patch beside a face that runs through it. Best is where one part is then clear of all
// such faces, and the larger that part the better; else the place nearest to the middle. Across an arc none
// is looked for.
func (b *Body) cut(p *patch) (along bool, at float64, ok bool) {
	w := &b.walls[p.wall]
	if p.seen == notLooked {
		return false, 0, false
	}
	best := math.Inf(-1)
	for side := range 2 {
		if side == 0 && w.arcs || side == 1 && w.turning {
			continue
		}
		half := p.extent[side]
		b.spans = b.spans[:0]
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, k := range p.cross {
			g := &b.patches[k].hull
			mid, reach := r3.Dot(p.axis[side], r3.Sub(g.mid, p.mid)), g.reach(p.axis[side])+aside
			b.spans = append(b.spans, mid-reach, mid+reach)
			lo, hi = min(lo, mid-reach), max(hi, mid+reach)
		}
		for _, x := range b.spans {
			if math.Abs(x) >= half-aside/2 {
				continue
			}
			worth := -math.Abs(x) / half
			if x <= lo {
				worth = (x + half) / half
			} else if x >= hi {
				worth = (half - x) / half
			}
			if worth > best {
				best, along, ok = worth, side == 0, true
				if at = (p.v0+p.v1)/2 + x/half*(p.v1-p.v0)/2; along {
					at = (p.u0+p.u1)/2 + x/half*(p.u1-p.u0)/2
				}
			}
		}
	}
	return along, at, ok
}

// cuttable tells whether a face of another primitive runs through a patch such that it can be cut beside it.
func (b *Body) cuttable(i int32) bool {
	_, _, ok := b.cut(&b.patches[i])
	return ok
}

// point is the point of a patch near p.
func (b *Body) point(i int32, p r3.Vec) r3.Vec {
	t := &b.patches[i]
	w := &b.walls[t.wall]
	u, v := w.toward(p, t)
	return w.At(u, v)
}

// corners are those of a patch.
func (b *Body) corners(i int32) [4]r3.Vec {
	p := &b.patches[i]
	w := &b.walls[p.wall]
	return [...]r3.Vec{w.At(p.u0, p.v0), w.At(p.u0, p.v1), w.At(p.u1, p.v0), w.At(p.u1, p.v1)}
}

// onSurface is how near to zero the field must be at a point that counts as lying on the surface, mm.
const onSurface = 1e-9

func (b *Body) holdsOnSurface(p r3.Vec) bool { return b.cover.On(p, onSurface) }

// Placed is a body somewhere else than where it was built: its frame put to a pose in the frame of the other.
type Placed struct {
	Body *Body
	At   solid.Pose
}

// placed keeps the hulls of a placed body's patches once they are moved. They lie in pages, for of many patches few are asked for.
type placed struct {
	*Body
	at    solid.Pose
	pages []*[hullPage]movedHull
}

type movedHull struct {
	hull
	done bool
}

const hullPage = 128

func (p *placed) hullOf(i int32) *hull {
	at := int(i) / hullPage
	if n := at + 1 - len(p.pages); n > 0 {
		p.pages = append(p.pages, make([]*[hullPage]movedHull, n)...)
	}
	if p.pages[at] == nil {
		p.pages[at] = new([hullPage]movedHull)
	}
	h := &p.pages[at][i%hullPage]
	if !h.done {
		h.hull, h.done = p.patches[i].at(p.at), true
	}
	return &h.hull
}

func (p *placed) eval(at r3.Vec) float64 { return p.cover.Eval(p.at.Local(at)) }

// About is the pose that turns by angle (rad) about the line through a point along a unit vector, then moves.
func About(angle float64, about, axis, move r3.Vec) solid.Pose {
	turn := func(v r3.Vec) r3.Vec {
		sin, cos := math.Sincos(angle)
		k := r3.Scale((1-cos)*r3.Dot(axis, v), axis)
		return r3.Add(r3.Add(r3.Scale(cos, v), r3.Scale(sin, r3.Cross(axis, v))), k)
	}
	return solid.Pose{
		O: r3.Add(move, r3.Sub(about, turn(about))),
		X: turn(r3.Vec{X: 1}), Y: turn(r3.Vec{Y: 1}), Z: turn(r3.Vec{Z: 1}),
	}
}
