package contour

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// The drawing of the bench parts and of a drilled block: the curves along which their faces meet, in closed form from
// the dimensions. Which part of a curve is really an edge is settled by inequalities between those dimensions, written
// down here as the ends of each piece. Nothing is asked of package solid.

// edgeSide is a face beside an edge: its outward normal, and the least radius of its curvature, mm, 0 for a flat.
type edgeSide struct {
	normal func(p r3.Vec) r3.Vec
	radius float64
}

func flatSide(x, y, z float64) edgeSide {
	n := r3.Unit(vec(x, y, z))
	return edgeSide{func(r3.Vec) r3.Vec { return n }, 0}
}

// roundSide is a cylinder about the line through o along the unit vector dir: a rod looks out, a bore in.
func roundSide(o, dir r3.Vec, radius float64, bore bool) edgeSide {
	return taperSide(o, dir, radius, 0, bore)
}

// taperSide is a cone whose radius grows by slope with the way along dir; radius is the least that matters.
func taperSide(o, dir r3.Vec, radius, slope float64, bore bool) edgeSide {
	return edgeSide{func(p r3.Vec) r3.Vec {
		v := r3.Sub(p, o)
		out := r3.Unit(r3.Sub(v, r3.Scale(r3.Dot(v, dir), dir)))
		n := r3.Unit(r3.Sub(out, r3.Scale(slope, dir)))
		if bore {
			return r3.Scale(-1, n)
		}
		return n
	}, radius}
}

// trueEdge is a piece of a curve where two faces meet, as points on it.
type trueEdge struct {
	name     string
	straight bool
	pts      []r3.Vec
	a, b     edgeSide
}

func (e trueEdge) angle(p r3.Vec) float64 { return angleBetween(e.a.normal(p), e.b.normal(p)) }

func angleBetween(m, n r3.Vec) float64 { return math.Atan2(r3.Norm(r3.Cross(m, n)), r3.Dot(m, n)) }

// drawing collects edges.
type drawing struct{ edges []trueEdge }

// line is a straight edge.
func (d *drawing) line(name string, p, q r3.Vec, a, b edgeSide) {
	const step = 0.04
	n := max(2, math.Ceil(r3.Norm(r3.Sub(q, p))/step))
	e := trueEdge{name: name, straight: true, a: a, b: b}
	for i := 0.0; i <= n; i++ {
		e.pts = append(e.pts, lerp(p, q, i/n))
	}
	d.edges = append(d.edges, e)
}

// curve is the edge at(t) for t from t0 to t1, an angle on a curve whose radius of curvature is at least radius.
func (d *drawing) curve(name string, t0, t1, radius float64, at func(t float64) r3.Vec, a, b edgeSide) {
	n := math.Ceil((t1 - t0) / (2 * math.Acos(1-curveSag/radius)))
	e := trueEdge{name: name, a: a, b: b}
	for i := 0.0; i <= n; i++ {
		e.pts = append(e.pts, at(t0+(t1-t0)*i/n))
	}
	d.edges = append(d.edges, e)
}

// arc is a piece of the circle about c through c+u and c+v, from u towards v.
func (d *drawing) arc(name string, t0, t1 float64, c, u, v r3.Vec, a, b edgeSide) {
	d.curve(name, t0, t1, r3.Norm(u), func(t float64) r3.Vec {
		sin, cos := math.Sincos(t)
		return r3.Add(c, r3.Add(r3.Scale(cos, u), r3.Scale(sin, v)))
	}, a, b)
}

// The faces of the bench parts that many edges share.
var (
	crownSide = roundSide(vec(0, 0, benchH-benchCrown), vec(1, 0, 0), benchCrown, false)
	downSide  = flatSide(0, 0, -1)
	upSide    = flatSide(0, 0, 1)
	leftSide  = flatSide(-1, 0, 0)
	rightSide = flatSide(1, 0, 0)
)

func acrossSide(y float64) edgeSide { return flatSide(0, y, 0) }

// crownAt is the height of the crown.
func crownAt(y float64) float64 { return benchH - benchCrown + math.Sqrt(benchCrown*benchCrown-y*y) }

// crownArc is where the plane at x cuts the crown, between two places across.
func (d *drawing) crownArc(name string, x, y0, y1 float64, plane edgeSide) {
	d.arc(name, math.Asin(y0/benchCrown), math.Asin(y1/benchCrown), vec(x, 0, benchH-benchCrown), vec(0, 0, benchCrown), vec(0, benchCrown, 0), plane, crownSide)
}

// profile is the outer body with its mating face at x = 0 and its other end, rounded by 0.8, at x = end.
func (d *drawing) profile(end float64) {
	const w, r = benchW / 2, 0.8
	out := math.Copysign(1, end)
	mating, far, c := flatSide(-out, 0, 0), flatSide(out, 0, 0), end-out*r
	d.line("mating face, bottom", vec(0, -w, 0), vec(0, w, 0), mating, downSide)
	d.line("end, bottom", vec(end, r-w, 0), vec(end, w-r, 0), far, downSide)
	d.crownArc("end, crown", end, r-w, w-r, far)
	for _, s := range []float64{-1, 1} {
		side := acrossSide(s)
		d.line("mating face, side", vec(0, s*w, 0), vec(0, s*w, crownAt(w)), mating, side)
		d.line("side, bottom", vec(0, s*w, 0), vec(c, s*w, 0), side, downSide)
		d.line("side, crown", vec(0, s*w, crownAt(w)), vec(c, s*w, crownAt(w)), side, crownSide)
		o := vec(c, s*(w-r), 0)
		rounding := roundSide(o, vec(0, 0, 1), r, false)
		d.arc("rounded corner, bottom", 0, math.Pi/2, o, vec(out*r, 0, 0), vec(0, s*r, 0), rounding, downSide)
		d.curve("rounded corner, crown", 0, math.Pi/2, r, func(t float64) r3.Vec {
			y := w - r + r*math.Sin(t)
			return vec(c+out*r*math.Cos(t), s*y, crownAt(y))
		}, rounding, crownSide)
	}
}

// lugs stand on the end face at x = end.
func (d *drawing) lugs(end float64) {
	const half, r, hole, z = 0.7, 1.2, 0.6, 2.0
	out := math.Copysign(1, end)
	far, c := flatSide(out, 0, 0), end+out*r
	for _, y := range []float64{-3, 3} {
		for _, s := range []float64{-1, 1} {
			cheek := acrossSide(s)
			o := vec(c, y+s*half, z)
			d.line("lug's cheek on the end", vec(end, o.Y, z-r), vec(end, o.Y, z+r), far, cheek)
			d.line("lug on the end", vec(end, y-half, z+s*r), vec(end, y+half, z+s*r), far, flatSide(0, 0, s))
			for _, up := range []float64{-1, 1} {
				d.line("lug's cheek", vec(end, o.Y, z+up*r), vec(c, o.Y, z+up*r), cheek, flatSide(0, 0, up))
			}
			d.arc("lug's round", -math.Pi/2, math.Pi/2, o, vec(out*r, 0, 0), vec(0, 0, r), cheek, roundSide(o, vec(0, 1, 0), r, false))
			d.arc("lug's hole", 0, 2*math.Pi, o, vec(hole, 0, 0), vec(0, 0, hole), cheek, roundSide(o, vec(0, 1, 0), hole, true))
		}
	}
}

// benchBoxEdges are the edges of the box with the first n seats. Inside, x runs to 13.6, the mouth under the lip to 0.9 and
// the notch to 2.4; z runs from 0.9 to 2.7 in the mouth and to 3.6 in the chamber.
func benchBoxEdges(n int) []trueEdge {
	const floor, under, ceiling = 0.9, 2.7, 3.6
	const lip, notch, back = 0.9, 2.4, 13.6
	const half, wall = 1.2, benchW/2 - 1
	d := &drawing{}
	d.profile(benchL)
	d.lugs(benchL)
	top := crownAt(half)
	d.line("mouth, floor", vec(0, -wall, floor), vec(0, wall, floor), leftSide, upSide)
	d.line("chamber, floor at the back", vec(back, -wall, floor), vec(back, wall, floor), leftSide, upSide)
	d.line("chamber, ceiling at the back", vec(back, -wall, ceiling), vec(back, wall, ceiling), leftSide, downSide)
	d.line("notch, below its back", vec(notch, -half, ceiling), vec(notch, half, ceiling), leftSide, downSide)
	d.crownArc("notch, crown at its back", notch, -half, half, leftSide)
	for _, s := range []float64{-1, 1} {
		in, h, w := acrossSide(-s), s*half, s*wall
		d.crownArc("mating face, crown", 0, min(h, s*benchW/2), max(h, s*benchW/2), leftSide)
		d.line("mouth, side", vec(0, w, floor), vec(0, w, under), leftSide, in)
		d.line("lip, below in front", vec(0, h, under), vec(0, w, under), leftSide, downSide)
		d.line("lip, below behind", vec(lip, h, under), vec(lip, w, under), rightSide, downSide)
		d.line("lip, above behind", vec(lip, h, ceiling), vec(lip, w, ceiling), rightSide, downSide)
		d.line("lip, below at the wall", vec(0, w, under), vec(lip, w, under), in, downSide)
		d.line("lip, below at the notch", vec(0, h, under), vec(lip, h, under), in, downSide)
		d.line("lip, behind at the wall", vec(lip, w, under), vec(lip, w, ceiling), in, rightSide)
		d.line("lip, behind at the notch", vec(lip, h, under), vec(lip, h, ceiling), in, rightSide)
		d.line("notch, in front", vec(0, h, under), vec(0, h, top), in, leftSide)
		d.line("notch, crown", vec(0, h, top), vec(notch, h, top), in, crownSide)
		d.line("notch, ceiling", vec(lip, h, ceiling), vec(notch, h, ceiling), in, downSide)
		d.line("notch, back", vec(notch, h, ceiling), vec(notch, h, top), in, leftSide)
		d.line("chamber, floor at the wall", vec(0, w, floor), vec(back, w, floor), in, upSide)
		d.line("chamber, ceiling at the wall", vec(lip, w, ceiling), vec(back, w, ceiling), in, downSide)
		d.line("chamber, back at the wall", vec(back, w, floor), vec(back, w, ceiling), in, leftSide)
	}
	for _, s := range benchSeats(n) {
		d.seat(s.x, s.phi, ceiling)
	}
	return d.edges
}

// seatFrame is a seat's own frame: its origin on the crown, z outward, y across.
type seatFrame struct{ o, x, y, z r3.Vec }

func (f seatFrame) at(x, y, z float64) r3.Vec {
	return r3.Add(f.o, r3.Add(r3.Scale(x, f.x), r3.Add(r3.Scale(y, f.y), r3.Scale(z, f.z))))
}

// The drill: seat of radius 0.9 from 0.35 below to 0.35 above the crown, cone down to 0.85, hole of radius 0.55. The claws:
// rods of radius 0.25 at 0.672 to either side. Since a seat stands square to the crown, the crown in its frame is always
// y^2 + (z+14)^2 = 14^2.
const (
	drillSeat, drillHole = 0.9, 0.55
	seatFoot, coneFoot   = -0.35, -0.85
	seatTop              = 0.35
	clawR, clawAt        = 0.25, 0.672
)

// seat adds the edges of one seat: all holes come out in the ceiling of the chamber, as the lowest cone ends 0.017 above it.
func (d *drawing) seat(x, phi, ceiling float64) {
	sin, cos := math.Sincos(phi)
	f := seatFrame{o: vec(x, benchCrown*sin, benchH-benchCrown+benchCrown*cos), x: vec(1, 0, 0), y: vec(0, cos, -sin), z: vec(0, sin, cos)}
	onCrown := func(x, y float64) r3.Vec { return f.at(x, y, math.Sqrt(benchCrown*benchCrown-y*y)-benchCrown) }
	seat, hole := roundSide(f.o, f.z, drillSeat, true), roundSide(f.o, f.z, drillHole, true)
	cone := taperSide(f.o, f.z, drillHole, (drillSeat-drillHole)/(seatFoot-coneFoot), true)
	circle := func(name string, r, z float64, a, b edgeSide) {
		d.arc(name, 0, 2*math.Pi, f.at(0, 0, z), r3.Scale(r, f.x), r3.Scale(r, f.y), a, b)
	}
	circle("seat, cone", drillSeat, seatFoot, seat, cone)
	circle("cone, hole", drillHole, coneFoot, cone, hole)
	d.curve("hole, ceiling", 0, 2*math.Pi, drillHole, func(t float64) r3.Vec {
		p := f.at(drillHole*math.Cos(t), drillHole*math.Sin(t), 0)
		return r3.Add(p, r3.Scale((ceiling-p.Z)/f.z.Z, f.z))
	}, hole, downSide)

	// The circle of a claw and that of the seat cross at the angle b seen from the seat's axis and g seen from the claw's.
	far := clawAt * math.Sqrt2
	b := math.Acos((far*far + drillSeat*drillSeat - clawR*clawR) / (2 * far * drillSeat))
	g := math.Acos((drillSeat*drillSeat - far*far - clawR*clawR) / (2 * far * clawR))
	below := flatSide(-f.z.X, -f.z.Y, -f.z.Z)
	for k := range 4 {
		dir := math.Pi/4 + math.Pi/2*float64(k)
		cx, cy := far*math.Cos(dir), far*math.Sin(dir)
		claw := roundSide(f.at(cx, cy, 0), f.z, clawR, false)
		d.curve("seat, crown", dir+b, dir+math.Pi/2-b, drillSeat, func(t float64) r3.Vec {
			return onCrown(drillSeat*math.Cos(t), drillSeat*math.Sin(t))
		}, seat, crownSide)
		d.curve("claw, crown", dir-g, dir+g, clawR, func(t float64) r3.Vec {
			return onCrown(cx+clawR*math.Cos(t), cy+clawR*math.Sin(t))
		}, claw, crownSide)
		d.curve("claw, top of the seat", dir+g, dir+2*math.Pi-g, clawR, func(t float64) r3.Vec {
			return f.at(cx+clawR*math.Cos(t), cy+clawR*math.Sin(t), seatTop)
		}, claw, below)
		d.curve("seat in a claw, its top", dir-b, dir+b, drillSeat, func(t float64) r3.Vec {
			return f.at(drillSeat*math.Cos(t), drillSeat*math.Sin(t), seatTop)
		}, seat, below)
		for _, t := range []float64{dir - b, dir + b} {
			px, py := drillSeat*math.Cos(t), drillSeat*math.Sin(t)
			d.line("claw, seat", onCrown(px, py), f.at(px, py, seatTop), claw, seat)
		}
	}
}

// leafProfile collects the edges of a strip of the tongue: curves in the plane y = 0, each drawn at both edges of the strip.
type leafProfile struct {
	*drawing
	half float64 // of the width
}

func (l leafProfile) rim(name string, p, q r3.Vec, face edgeSide) {
	for _, s := range []float64{-1, 1} {
		by := vec(0, s*l.half, 0)
		l.line(name, r3.Add(p, by), r3.Add(q, by), acrossSide(s), face)
	}
}

func (l leafProfile) bend(name string, t0, t1, r float64, c r3.Vec, bore bool) {
	for _, s := range []float64{-1, 1} {
		l.arc(name, t0, t1, r3.Add(c, vec(0, s*l.half, 0)), vec(r, 0, 0), vec(0, 0, r), acrossSide(s), roundSide(c, vec(0, 1, 0), r, bore))
	}
}

func (l leafProfile) across(name string, p r3.Vec, a, b edgeSide) {
	by := vec(0, l.half, 0)
	l.line(name, r3.Sub(p, by), r3.Add(p, by), a, b)
}

// benchTongueEdges are the edges of the tongue. The fold runs round (11.8, 1.95) between the radii 0.5 and 1 and begins and
// ends 0.01 within the leaves; there its inner face stands 0.5 - root(0.25 - 0.0001) = 0.0001 above the leaf's.
func benchTongueEdges() []trueEdge {
	const end, fold = -8.0, 11.8
	const low, high, lap, length = 1.0, 0.5, 0.01, 10.8
	rise := math.Atan(0.55 / 10.8)
	sin, cos := math.Sincos(rise)
	c := vec(fold, 0, 1.95)
	// at is a place in the frame of the upper leaf: u along it, towards the fold, v above it.
	at := func(u, v float64) r3.Vec { return r3.Add(c, vec(u*cos+v*sin, 0, v*cos-u*sin)) }
	along, above := flatSide(-cos, 0, sin), flatSide(sin, 0, cos)
	below := flatSide(-sin, 0, -cos)
	bore := roundSide(c, vec(0, 1, 0), high, true)
	inner := math.Sqrt(high*high - lap*lap)

	d := &drawing{}
	d.profile(end)
	d.lugs(end)
	d.crownArc("mating face, crown", 0, -benchW/2, benchW/2, rightSide)
	l := leafProfile{d, benchW/2 - 1 - 0.2}
	foot, top := c.Z-low, c.Z-high
	l.across("lower leaf, below on the block", vec(0, 0, foot), rightSide, downSide)
	l.across("lower leaf, above on the block", vec(0, 0, top), rightSide, upSide)
	l.rim("lower leaf, side on the block", vec(0, 0, foot), vec(0, 0, top), rightSide)
	l.rim("lower leaf, below", vec(0, 0, foot), vec(fold, 0, foot), downSide)
	l.rim("lower leaf, above", vec(0, 0, top), vec(fold-lap, 0, top), upSide)
	l.rim("fold's step, low", vec(fold-lap, 0, top), vec(fold-lap, 0, c.Z-inner), leftSide)
	l.across("fold's step, low, foot", vec(fold-lap, 0, top), leftSide, upSide)
	l.across("fold's step, low, top", vec(fold-lap, 0, c.Z-inner), leftSide, bore)
	l.bend("fold, outside", -math.Pi/2, math.Pi/2-rise, low, c, false)
	l.bend("fold, inside", -math.Pi/2-math.Asin(lap/high), math.Pi/2-rise+math.Asin(lap/high), high, c, true)
	l.rim("fold's step, high", at(-lap, inner), at(-lap, high), along)
	l.across("fold's step, high, foot", at(-lap, high), along, below)
	l.across("fold's step, high, top", at(-lap, inner), along, bore)
	l.rim("upper leaf, below", at(-length, high), at(-lap, high), below)
	l.rim("upper leaf, above", at(-length, low), at(0, low), above)
	l.rim("upper leaf, end", at(-length, high), at(-length, low), along)
	l.across("upper leaf, end below", at(-length, high), along, below)
	l.across("upper leaf, end above", at(-length, low), along, above)
	leafAt := func(x float64) r3.Vec { return vec(x, 0, c.Z+(low-(x-fold)*sin)/cos) } // above the upper leaf
	d.tab(leafAt, above)
	return d.edges
}

// tab adds the edges of the thumb tab: a stem from x = 1.3 to 1.9 and a head from 0.4, 5.5 to 6 high, 2 wide.
func (d *drawing) tab(foot func(x float64) r3.Vec, leaf edgeSide) {
	const front, stem, back, under, top = 0.4, 1.3, 1.9, 5.5, 6.0
	l := leafProfile{d, 1}
	l.rim("tab's stem, side on the leaf", foot(stem), foot(back), leaf)
	l.across("tab's stem, front on the leaf", foot(stem), leftSide, leaf)
	l.across("tab's stem, back on the leaf", foot(back), rightSide, leaf)
	l.rim("tab's stem, front", foot(stem), vec(stem, 0, under), leftSide)
	l.rim("tab, back", foot(back), vec(back, 0, top), rightSide)
	l.rim("tab's head, below", vec(front, 0, under), vec(stem, 0, under), downSide)
	l.rim("tab's head, front", vec(front, 0, under), vec(front, 0, top), leftSide)
	l.rim("tab's head, top", vec(front, 0, top), vec(back, 0, top), upSide)
	l.across("tab's head, below in front", vec(front, 0, under), leftSide, downSide)
	l.across("tab's head, below at the stem", vec(stem, 0, under), leftSide, downSide)
	l.across("tab's head, top in front", vec(front, 0, top), leftSide, upSide)
	l.across("tab's head, top at the back", vec(back, 0, top), rightSide, upSide)
}

// drilledEdges are the edges of the block of drilled: 8 x 6 x 3, a boss, a blind bore and a bore across into it.
func drilledEdges() []trueEdge {
	d := &drawing{}
	for i := range 2 {
		for k := range 2 {
			x, y, z := 8*float64(i), 6*float64(k), 3*float64(k)
			ox, oy, oz := flatSide(2*float64(i)-1, 0, 0), acrossSide(2*float64(k)-1), flatSide(0, 0, 2*float64(k)-1)
			d.line("block, upright", vec(x, y, 0), vec(x, y, 3), ox, oy)
			d.line("block, across", vec(x, 0, z), vec(x, 6, z), ox, oz)
			y = 6 * float64(i)
			d.line("block, along", vec(0, y, z), vec(8, y, z), acrossSide(2*float64(i)-1), oz)
		}
	}
	up := vec(0, 0, 1)
	circle := func(name string, c r3.Vec, r float64, v r3.Vec, a, b edgeSide) {
		d.arc(name, 0, 2*math.Pi, c, vec(r, 0, 0), r3.Scale(r, v), a, b)
	}
	boss, bore, cross := roundSide(vec(5.5, 3, 0), up, 1.5, false), roundSide(vec(2, 3, 0), up, 1, true), roundSide(vec(2.2, 0, 1.7), vec(0, 1, 0), 0.6, true)
	circle("boss, foot", vec(5.5, 3, 3), 1.5, vec(0, 1, 0), boss, upSide)
	circle("boss, top", vec(5.5, 3, 4.5), 1.5, vec(0, 1, 0), boss, upSide)
	circle("bore, top", vec(2, 3, 3), 1, vec(0, 1, 0), bore, upSide)
	circle("bore, bottom", vec(2, 3, 1), 1, vec(0, 1, 0), bore, upSide)
	for _, s := range []float64{-1, 1} {
		circle("cross bore, mouth", vec(2.2, 3+3*s, 1.7), 0.6, up, cross, acrossSide(s))
		// The cross bore spans x from 1.6 to 2.8 and z from 1.1 to 2.3, all within the bore: two closed curves.
		d.curve("cross bore, bore", 0, 2*math.Pi, 0.4, func(t float64) r3.Vec {
			x := 2.2 + 0.6*math.Cos(t)
			return vec(x, 3+s*math.Sqrt(1-(x-2)*(x-2)), 1.7+0.6*math.Sin(t))
		}, cross, bore)
	}
	return d.edges
}
