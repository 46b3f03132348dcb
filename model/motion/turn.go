package motion

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Axis is a way in which the tongue may turn in the box.
type Axis string

// The ways to turn. Nose up lifts the block, so that the fold goes down.
const (
	Yaw      Axis = "yaw"       // about the upright, z
	Roll     Axis = "roll"      // about the chain's line, x
	NoseUp   Axis = "nose up"   // about y
	NoseDown Axis = "nose down" // about -y
)

// planes gives the axis of turning and the two directions in which the tongue may shift as it turns: those in the plane of the
// turn.
func (a Axis) planes() (axis, s, t r3.Vec, ok bool) {
	x, y, z := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	switch a {
	case Yaw:
		return z, x, y, true
	case Roll:
		return x, y, z, true
	case NoseUp:
		return y, x, z, true
	case NoseDown:
		return r3.Scale(-1, y), x, z, true
	}
	return r3.Vec{}, r3.Vec{}, r3.Vec{}, false
}

// Turning is how far the tongue turns.
type Turning struct {
	Axis  Axis
	Angle float64    // rad: the greatest at which the tongue, shifted as suits best in the plane of the turn, does not overlap the box
	At    solid.Pose // of the tongue there
	Held  []r3.Vec   // places where it then bears, in the box's frame
	Clear Gap        // at 0.98 of the angle and of the shift: apart
	Over  Gap        // at 1.02 of the angle, shifted as suits best there: overlapping
}

// Turner turns a rigid tongue in a box. It serves one goroutine.
type Turner struct {
	tongue, box *Body
	about       r3.Vec
	feelers     []feeler
}

// feeler is a point of one surface before a face of the other, which it may not pass. Each is told in the frame of the solid that has the
// face, with the tongue at home.
type feeler struct {
	from r3.Vec // the point
	n    r3.Vec // unit, from the face to the point
	gap  float64
	box  bool // the point is the box's, the face the tongue's
}

// Turns go so far at most: rad, and shifts mm.
const (
	widestTurn  = 0.15
	widestShift = 1.0
)

// feelSize is how far apart the points of a surface are at most that feel for the other, feelReach how far they feel, and feelFlat how far a patch
// between such points may leave a flat, mm.
const (
	feelSize  = 1.0
	feelReach = 0.8
	feelFlat  = 0.001
)

// NewTurner prepares a tongue at home in a box; they must not touch there.
func NewTurner(tongue, box *solid.Solid) (*Turner, error) {
	t := &Turner{tongue: NewBody(tongue), box: NewBody(box), about: r3.Vec{Z: (box.Bounds().Min.Z + box.Bounds().Max.Z) / 2}}
	if touch, _ := t.gap(solid.Upright).Touch(0); touch {
		return nil, errors.New("motion: tongue and box touch where they stand")
	}
	t.feel()
	return t, nil
}

// feel adds feelers for the tongue at home: from points of either surface square on to every face of the other that lies before them.
func (t *Turner) feel() {
	for _, p := range t.tongue.points(feelSize, t.box.solid.Bounds()) {
		t.feelers = append(t.feelers, t.box.facing(p)...)
	}
	for _, q := range t.box.points(feelSize, t.tongue.solid.Bounds()) {
		for _, f := range t.tongue.facing(q) {
			f.box = true
			t.feelers = append(t.feelers, f)
		}
	}
}

// facing lists the faces of a body that a point in the air sees square before it, no further than feelers reach.
func (b *Body) facing(p r3.Vec) []feeler {
	var out []feeler
	for i := range b.walls {
		q := b.walls[i].On.Foot(p)
		v := r3.Sub(p, q)
		gap := norm(v)
		if gap < 1e-6 || gap > feelReach || !b.holdsOnSurface(q) {
			continue
		}
		n := r3.Scale(1/gap, v)
		const near = 1e-4 // mm before and behind the face
		free := !b.cover.Metal(r3.Add(q, r3.Scale(near, n))) && b.cover.Metal(r3.Sub(q, r3.Scale(near, n)))
		for k := 1; k < 4 && free; k++ {
			free = !b.cover.Metal(r3.Add(q, r3.Scale(float64(k)/4*gap, n)))
		}
		if free {
			out = append(out, feeler{from: p, n: n, gap: gap})
		}
	}
	return out
}

// points are corners of a body's patches, each of at most that size and nearly flat, that lie on the surface. Patches further
// than feelers reach from the other's bounds are left out.
func (b *Body) points(size float64, other r3.Box) []r3.Vec {
	var out []r3.Vec
	have := map[[3]int64]bool{} // patches share corners
	stack := []int32{}
	for i := range b.eldest {
		stack = append(stack, int32(i))
	}
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if p := &b.patches[i]; outside(p.mid, p.half, other, feelReach) || !b.visible(i) {
			continue
		}
		p := b.patches[i]
		if b.cuttable(i) || max(p.extent[0], p.extent[1]) > size || p.curving > feelFlat {
			k := b.split(i)
			stack = append(stack, k, k+1)
			continue
		}
		for _, c := range b.corners(i) {
			const fine = 1e6 // per mm
			key := [3]int64{int64(math.Round(c.X * fine)), int64(math.Round(c.Y * fine)), int64(math.Round(c.Z * fine))}
			if !have[key] && b.holdsOnSurface(c) {
				have[key] = true
				out = append(out, c)
			}
		}
	}
	return out
}

// outside tells whether a box about mid is further than reach from another.
func outside(mid, half r3.Vec, b r3.Box, reach float64) bool {
	return mid.X-half.X > b.Max.X+reach || mid.X+half.X < b.Min.X-reach ||
		mid.Y-half.Y > b.Max.Y+reach || mid.Y+half.Y < b.Min.Y-reach ||
		mid.Z-half.Z > b.Max.Z+reach || mid.Z+half.Z < b.Min.Z-reach
}

func inverse(m solid.Pose) solid.Pose {
	inv := solid.Pose{X: m.Local(r3.Add(m.O, r3.Vec{X: 1})), Y: m.Local(r3.Add(m.O, r3.Vec{Y: 1})), Z: m.Local(r3.Add(m.O, r3.Vec{Z: 1}))}
	inv.O = m.Local(r3.Vec{})
	return inv
}

// Free finds the greatest angle. The shift in the plane of the turn is free too: at a small angle a gap changes by its normal times the way of its point,
// so angle and shift are found by linear programming over all feelers, again and again about the angle found. Then the solids
// themselves are held against each other there; where they overlap, no feeler had felt what is in the way: the
// nearest places just before become one, and all is done again.
func (t *Turner) Free(a Axis) (Turning, error) {
	axis, _, _, ok := a.planes()
	if !ok {
		return Turning{}, errors.New("motion: no such axis: " + string(a))
	}
	var out Turning
	for range 12 {
		angle, shift, held := t.most(a)
		if angle >= widestTurn-1e-9 {
			return Turning{}, errors.New("motion: the tongue turns freely: " + string(a))
		}
		out = Turning{Axis: a, Angle: angle, At: About(angle, t.about, axis, shift)}
		for _, i := range held {
			out.Held = append(out.Held, t.feelers[i].place(out.At))
		}
		near := About(0.98*angle, t.about, axis, r3.Scale(0.98, shift))
		out.Clear = t.gap(near)
		if !out.Clear.Overlap {
			over, _ := t.roomiest(a, 1.02*angle, shift)
			out.Over = t.gap(About(1.02*angle, t.about, axis, over))
			return out, nil
		}
		t.meet(t.free(a, angle, shift))
	}
	return out, errors.New("motion: no angle found at which the tongue is just free: " + string(a))
}

// free is a pose on the way to an angle and shift, not far from where the tongue first overlaps the box.
func (t *Turner) free(a Axis, angle float64, shift r3.Vec) solid.Pose {
	axis, _, _, _ := a.planes()
	at := func(k float64) solid.Pose { return About(k*angle, t.about, axis, r3.Scale(k, shift)) }
	lo, hi := 0.0, 1.0
	for range 7 {
		if mid := (lo + hi) / 2; t.gap(at(mid)).Overlap {
			hi = mid
		} else {
			lo = mid
		}
	}
	return at(lo)
}

// meet adds a feeler where tongue and box are nearest at a pose.
func (t *Turner) meet(at solid.Pose) {
	g := LeastOf([]Placed{{t.tongue, at}}, t.box, Options{Tolerance: 5e-4, Most: 30_000})
	for range 20 { // to and fro, to where the two are nearest to each other
		p, _, ok := t.tongue.solid.Witness(inverse(at).World(g.Q))
		q, _, ok2 := t.box.solid.Witness(at.World(p))
		if !ok || !ok2 || norm(r3.Sub(at.World(p), q)) >= norm(r3.Sub(g.P, g.Q)) {
			break
		}
		g.P, g.Q = at.World(p), q
	}
	if d := norm(r3.Sub(g.P, g.Q)); d > 1e-6 && !g.Overlap {
		f := feeler{from: inverse(at).World(g.P), n: r3.Scale(1/d, r3.Sub(g.P, g.Q))}
		f.gap = d - r3.Dot(f.n, r3.Sub(g.P, f.from)) // as if the tongue were at home
		t.feelers = append(t.feelers, f)
	}
}

// place is where the point is with the tongue at a pose, in the box's frame.
func (f feeler) place(at solid.Pose) r3.Vec {
	if f.box {
		return f.from
	}
	return at.World(f.from)
}

// gap holds the turned tongue against the box, as finely as tells whether they overlap.
func (t *Turner) gap(at solid.Pose) Gap {
	return LeastOf([]Placed{{t.tongue, at}}, t.box, Options{Limit: 1e-4, Tolerance: 5e-5})
}

// limits are those of the feelers in angle and shift, linear about an angle and a shift.
func (t *Turner) limits(a Axis, angle float64, shift r3.Vec) []limit {
	axis, s, u, _ := a.planes()
	at := About(angle, t.about, axis, shift)
	back := inverse(at)
	was := r3.Vec{X: angle, Y: r3.Dot(shift, s), Z: r3.Dot(shift, u)}
	bs, bu := r3.Scale(-1, back.Turn(s)), r3.Scale(-1, back.Turn(u)) // how the box moves, seen from the tongue
	out := make([]limit, len(t.feelers))
	for i, f := range t.feelers {
		var p, turn r3.Vec
		along, across := s, u
		if f.box {
			p = back.World(f.from)
			turn = r3.Cross(r3.Sub(p, t.about), axis)
			along, across = bs, bu
		} else {
			p = at.World(f.from)
			turn = r3.Cross(axis, r3.Sub(p, r3.Add(t.about, shift)))
		}
		n := r3.Vec{X: r3.Dot(f.n, turn), Y: r3.Dot(f.n, along), Z: r3.Dot(f.n, across)}
		out[i] = limit{n, f.gap + r3.Dot(f.n, r3.Sub(p, f.from)) - r3.Dot(n, was)}
	}
	return out
}

// most is the greatest angle and its shift as far as the feelers know, and which of them hold it.
func (t *Turner) most(a Axis) (angle float64, shift r3.Vec, held []int) {
	_, s, u, _ := a.planes()
	for range 5 {
		x, active, ok := furthest(r3.Vec{X: 1}, t.limits(a, angle, shift), r3.Vec{X: widestTurn, Y: widestShift, Z: widestShift})
		if !ok {
			return 0, r3.Vec{}, nil
		}
		angle, shift, held = x.X, r3.Add(r3.Scale(x.Y, s), r3.Scale(x.Z, u)), active
	}
	return angle, shift, held
}

// roomiest is the shift at a given angle that leaves the least gap greatest, and that gap: negative when the angle is too much.
func (t *Turner) roomiest(a Axis, angle float64, near r3.Vec) (shift r3.Vec, room float64) {
	_, s, u, _ := a.planes()
	ls := t.limits(a, angle, near)
	for i := range ls { // the unknowns are room and shift
		ls[i].off += ls[i].n.X * angle
		ls[i].n.X = -1
	}
	x, _, _ := furthest(r3.Vec{X: 1}, ls, r3.Vec{X: 10, Y: widestShift, Z: widestShift})
	return r3.Add(r3.Scale(x.Y, s), r3.Scale(x.Z, u)), x.X
}
