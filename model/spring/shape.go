package spring

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

type point = r2.Vec

// heading is the direction of an angle, and left of it.
func heading(angle float64) (along, left point) {
	s, c := math.Sincos(angle)
	return point{X: c, Y: s}, point{X: -s, Y: c}
}

// turned is how the arm a moves when it turns by a small angle of 1 rad.
func turned(a point) point { return point{X: -a.Y, Y: a.X} }

func cross(a, b point) float64 { return a.X*b.Y - a.Y*b.X }

// place is a point that moves with the strip: on a segment at u from 0 to 1 of it, then along and to the left of the middle
// line by a rigid arm. psi is how far it goes with the bending across (across.go).
type place struct {
	seg        int
	u          float64
	along, off float64
	psi        [terms]float64
}

// load is a force, N, and a moment, N mm, at a place; across is its work on the bending across.
type load struct {
	at     place
	force  point
	moment float64
	across float64
}

// shape is the frame as it stands under loads.
type shape struct {
	f       *Frame
	a       []point   // start of each segment, after step and kink
	th      []float64 // angle there
	kap     []float64 // curvature
	eps     []float64 // strain of the middle line
	gam     []float64 // shear
	m, n, v []float64 // moment about the middle, force along and to the left, mean over the segment
	across  []float64
	set     []float64 // curvature that yielding has left, nil without
}

// relaxed is the frame without loads.
func (f *Frame) relaxed() *shape {
	n := len(f.segs)
	room := make([]float64, 7*n)
	cut := func() []float64 { c := room[:n:n]; room = room[n:]; return c }
	s := &shape{f: f, a: make([]point, n), th: cut(), kap: cut(), eps: cut(), gam: cut(), m: cut(), n: cut(), v: cut()}
	for i := range f.segs {
		s.kap[i] = f.segs[i].k
	}
	s.lay()
	return s
}

// lay puts the segments one behind the other and returns how far any of them moved.
func (s *shape) lay() (moved float64) {
	p, th := s.f.start, s.f.angle
	for i := range s.f.segs {
		g := &s.f.segs[i]
		_, left := heading(th)
		p = r2.Add(p, r2.Scale(g.step, left))
		th += g.kink
		moved = max(moved, math.Abs(p.X-s.a[i].X), math.Abs(p.Y-s.a[i].Y))
		s.a[i], s.th[i] = p, th
		p = s.on(i, 1)
		th += s.kap[i] * g.h
	}
	return moved
}

// on is the middle line of a segment at u: an arc.
func (s *shape) on(i int, u float64) point {
	g := &s.f.segs[i]
	turn, l := s.kap[i]*g.h*u, g.h*u*(1+s.eps[i])
	along, left := heading(s.th[i])
	c, d := 1-turn*turn/6, turn/2*(1-turn*turn/12)
	if math.Abs(turn) > 1e-3 {
		sin, cos := math.Sincos(turn)
		c, d = sin/turn, (1-cos)/turn
	}
	return r2.Add(s.a[i], r2.Add(r2.Scale(l*c, along), r2.Scale(l*d+s.gam[i]*g.h*u, left)))
}

func (s *shape) angle(i int, u float64) float64 { return s.th[i] + s.kap[i]*s.f.segs[i].h*u }

// at is where a place is now.
func (s *shape) at(q place) point {
	along, left := heading(s.angle(q.seg, q.u))
	off := q.off
	if q.psi != ([terms]float64{}) {
		off += acrossAt(s.across, q, s.f.segs[q.seg].h)
	}
	return r2.Add(s.on(q.seg, q.u), r2.Add(r2.Scale(q.along, along), r2.Scale(off, left)))
}

// internal finds the moment and the forces in every segment, each the mean over it, of loads where they are now.
func (s *shape) internal(ls []load, m, n, v []float64) {
	for i := range m {
		m[i], n[i], v[i] = 0, 0, 0
	}
	for k := range ls {
		l := &ls[k]
		where := s.at(l.at)
		_, left := heading(s.angle(l.at.seg, l.at.u))
		l.across = r2.Dot(l.force, left)
		for i := 0; i <= l.at.seg; i++ {
			u := 1.0
			if i == l.at.seg {
				u = l.at.u
			}
			along, left := heading(s.angle(i, u/2))
			m[i] += u * (l.moment + cross(r2.Sub(where, s.on(i, u/2)), l.force))
			n[i] += u * r2.Dot(l.force, along)
			v[i] += u * r2.Dot(l.force, left)
		}
	}
}

// response is how the frame answers to one small load, linear about a shape.
type response struct {
	s             *shape
	da            []point // of each segment's start
	dth           []float64
	kap, eps, gam []float64
	across        []float64
}

func (s *shape) still() *response {
	n := len(s.f.segs)
	return &response{s: s, da: make([]point, n), dth: make([]float64, n), kap: make([]float64, n), eps: make([]float64, n), gam: make([]float64, n)}
}

// answer is the response to small loads of a shape on which others bear, which sway with it.
func (s *shape) answer(small []load, with *sway) *response {
	r := s.still()
	n := len(s.f.segs)
	m, along, left := make([]float64, n), make([]float64, n), make([]float64, n)
	s.internal(small, m, along, left)
	r.across = s.f.across.solve(m, small)
	for i := range s.f.segs {
		r.kap[i], r.eps[i], r.gam[i] = s.f.strains(i, m[i], along[i], left[i], r.across)
	}
	r.lay(with)
	return r
}

// strains are what moment and forces make of a segment: curvature, stretch and shear.
func (f *Frame) strains(i int, m, n, v float64, across []float64) (k, e, g float64) {
	c := &f.segs[i].c
	return c.mm*m + c.mn*n + f.across.gives(across, i), c.mn*m + c.nn*n, c.vv * v
}

// lacking is how the shape still has to move under its loads to be in balance, to first order.
func (s *shape) lacking(ls []load, with *sway) *response {
	r := s.still()
	s.internal(ls, s.m, s.n, s.v)
	r.across = s.f.across.solve(s.m, ls)
	for i := range s.f.segs {
		k, e, g := s.f.strains(i, s.m[i], s.n[i], s.v[i], r.across)
		k += s.f.segs[i].k
		if s.set != nil {
			k += s.set[i]
		}
		r.kap[i], r.eps[i], r.gam[i] = k-s.kap[i], e-s.eps[i], g-s.gam[i]
	}
	for i := range s.across {
		r.across[i] -= s.across[i]
	}
	r.lay(with)
	return r
}

// lay finds how the segments' starts move.
func (r *response) lay(with *sway) {
	with.solve(r.kap)
	s := r.s
	for i := 1; i < len(s.f.segs); i++ {
		end := s.on(i-1, 1)
		d, th := r.inside(i-1, 1, end)
		r.da[i] = r2.Add(d, r2.Scale(th, turned(r2.Sub(s.a[i], end)))) // a step between pieces turns along
		r.dth[i] = th
	}
}

// add takes on k times a response; lay has to follow.
func (s *shape) add(r *response, k float64) {
	if s.across == nil {
		s.across = make([]float64, len(r.across))
	}
	for i := range s.kap {
		s.kap[i] += k * r.kap[i]
		s.eps[i] += k * r.eps[i]
		s.gam[i] += k * r.gam[i]
	}
	for i := range s.across {
		s.across[i] += k * r.across[i]
	}
}

// reach is the furthest that a response moves the start of a segment.
func (r *response) reach() (far float64) {
	for _, d := range r.da {
		far = max(far, math.Abs(d.X), math.Abs(d.Y))
	}
	return far
}

// inside is how the point p, rigid with the middle line at u of a segment, moves and turns.
func (r *response) inside(i int, u float64, p point) (point, float64) {
	s, h := r.s, r.s.f.segs[i].h
	along, left := heading(s.angle(i, u/2))
	turn := r.kap[i] * h * u
	d := r2.Add(r.da[i], r2.Scale(r.dth[i], turned(r2.Sub(p, s.a[i]))))
	d = r2.Add(d, r2.Scale(turn, turned(r2.Sub(p, s.on(i, u/2)))))
	d = r2.Add(d, r2.Add(r2.Scale(r.eps[i]*h*u, along), r2.Scale(r.gam[i]*h*u, left)))
	return d, r.dth[i] + turn
}

// of is how a place moves and turns.
func (r *response) of(q place) (point, float64) {
	d, th := r.inside(q.seg, q.u, r.s.at(q))
	if q.psi != ([terms]float64{}) {
		_, left := heading(r.s.angle(q.seg, q.u))
		d = r2.Add(d, r2.Scale(acrossAt(r.across, q, r.s.f.segs[q.seg].h), left))
	}
	return d, th
}

// where finds the place at s along the relaxed middle line, off to the left of it.
func (f *Frame) where(s, off float64) place {
	lo, hi := 0, len(f.segs)-1
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if f.segs[mid].s <= s+1e-12 {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	g := &f.segs[lo]
	return place{seg: lo, u: math.Max(0, math.Min(1, (s-g.s)/g.h)), off: off}
}

// skin is the place on the left (+1) or right (-1) surface at s.
func (f *Frame) skin(s, side float64) place {
	p := f.where(s, 0)
	p.off = side * f.segs[p.seg].t(p.u) / 2
	return p
}

// Stations is the shape, both ends of every segment where the middle line steps or turns, else one place a node.
func (s *shape) stations() []Station {
	var out []Station
	add := func(i int, u float64) {
		g := &s.f.segs[i]
		p := s.on(i, u)
		out = append(out, Station{S: g.s + u*g.h, X: p.X, Z: p.Y, Angle: s.angle(i, u), T: g.t(u), Width: g.b})
	}
	for i := range s.f.segs {
		g := &s.f.segs[i]
		if i == 0 || g.step != 0 || g.kink != 0 || g.b != s.f.segs[i-1].b || g.t0 != s.f.segs[i-1].t1 {
			add(i, 0)
		}
		add(i, 1)
	}
	return out
}
