package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// touching is how near a face must come to a cylinder to count as touching it along a line, mm, and parallel as a sine.
// Both hold what float64 rounding through a rigid pose leaves; faces that are apart on purpose are a hundred times
// further apart.
const (
	touching = 1e-8
	parallel = 1e-9
)

// shallow is how deep, in chords, cylinders and planes may cut into each other and still count as nearly touching: there
// the true edges lie so flat that facets would miss them, and both get corners right on them.
const shallow = 8

// barrel is a cylindrical face in the model's frame.
type barrel struct {
	prim, face int
	axis, dir  r3.Vec
	r          float64
	out        float64 // 1 when the solid is within the cylinder there, -1 when round it
	same       int     // the first barrel on the same cylinder
}

// flat is a plane face in the model's frame, n away from the solid.
type flat struct {
	prim int
	n    r3.Vec
	d    float64
}

// contacts are, for the faces of one primitive, the directions from a cylinder's axis to lines where it must have an
// edge: where a face of another primitive is tangent to it or nearly so, or where another one on the same cylinder ends.
// Directions are in the primitive's frame.
type contacts map[int][]r3.Vec

// meeting finds contacts.
type meeting struct {
	prims []prim
	chord float64
	out   []contacts
	round []barrel
}

// contactsOf finds the contacts of all primitives for a chord, mm; nil for a primitive without.
func contactsOf(prims []prim, chord float64) []contacts {
	barrels, flats := roundAndFlat(prims)
	m := meeting{prims, chord, make([]contacts, len(prims)), barrels}
	for i := range barrels {
		b := &barrels[i]
		for _, f := range flats {
			if m.near(b.prim, f.prim) && math.Abs(r3.Dot(f.n, b.dir)) < parallel {
				m.flat(b, f)
			}
		}
		for j := range i {
			c := &barrels[j]
			switch {
			case !m.near(b.prim, c.prim):
			case r3.Norm(r3.Cross(b.dir, c.dir)) < parallel:
				m.barrels(b, c)
			default:
				m.crossing(b, c)
			}
		}
	}
	m.shareEnds(barrels)
	m.collars(barrels)
	m.shareRims()
	return m.out
}

// collars gives cylinders and the balls that they are tangent to along a circle, as a round-ended drill is, corners at
// the same places of that circle. The ball's poles must lie on the cylinder's axis.
func (m *meeting) collars(barrels []barrel) {
	for i, p := range m.prims {
		v, ok := p.shape.(*Revolve)
		if !ok {
			continue
		}
		for k, s := range v.rim {
			if !s.ball() {
				continue
			}
			centre := p.pose.World(r3.Vec{Z: s.C.Y})
			for j := range barrels {
				b := &barrels[j]
				off := r3.Sub(centre, b.axis)
				if m.near(i, b.prim) && math.Abs(b.r-s.R) < touching && r3.Norm(r3.Cross(b.dir, p.pose.Z)) < parallel && r3.Norm(r3.Cross(off, b.dir)) < touching {
					m.collar(b, barrel{prim: i, face: v.face[k], dir: p.pose.Z, r: s.R})
				}
			}
		}
	}
}

func (m *meeting) collar(b *barrel, ball barrel) {
	n := math.Ceil(2 * math.Pi / math.Min(step(m.chord, b.r), side(m.chord, b.r)))
	for k := range int(n) {
		a := 2 * math.Pi * float64(k) / n // the same set whichever way round
		m.add(b, m.prims[ball.prim].pose.X, a)
		m.add(&ball, m.prims[ball.prim].pose.X, a)
	}
}

func (m *meeting) near(i, j int) bool {
	return i != j && !boxesApart(m.prims[i].bounds, m.prims[j].bounds, touching)
}

// add gives a barrel an edge in a direction turned by an angle.
func (m *meeting) add(b *barrel, dir r3.Vec, angles ...float64) {
	if m.out[b.prim] == nil {
		m.out[b.prim] = contacts{}
	}
	at := m.prims[b.prim].pose
	side := r3.Cross(b.dir, dir)
	for _, a := range angles {
		sin, cos := math.Sincos(a)
		d := r3.Add(r3.Scale(cos, dir), r3.Scale(sin, side))
		local := r3.Vec{X: r3.Dot(d, at.X), Y: r3.Dot(d, at.Y), Z: r3.Dot(d, at.Z)}
		m.out[b.prim][b.face] = append(m.out[b.prim][b.face], local)
	}
}

// roundAndFlat lists the cylindrical and the plane faces. A primitive that is taken away is inside out.
func roundAndFlat(prims []prim) (barrels []barrel, flats []flat) {
	for i, p := range prims {
		out := 1.0
		if p.taken {
			out = -1
		}
		for face, c := range p.shape.Carriers() {
			c = p.pose.carrier(c)
			switch {
			case !c.round:
				flats = append(flats, flat{i, r3.Scale(out, c.dir), out * r3.Dot(c.dir, c.point)})
			case c.radius == 0 && c.normal.X == 0:
				at := r3.Add(c.point, r3.Scale(c.at.Y, c.dir))
				n := r3.Scale(out*c.normal.Y, c.dir)
				flats = append(flats, flat{i, n, r3.Dot(n, at)})
			case c.radius == 0 && c.normal.Y == 0 && c.at.X > 0: // else the axis itself
				b := barrel{prim: i, face: face, axis: c.point, dir: c.dir, r: c.at.X, out: out * c.normal.X, same: len(barrels)}
				if q, ok := p.shape.(*Prism); ok && q.chain[face].CW {
					b.out = -b.out
				}
				barrels = append(barrels, b)
			}
		}
	}
	return barrels, flats
}

// flat adds the contacts of a cylinder with a plane parallel to its axis. Where the two touch and the solid lies on the
// same side of both, one goes over into the other, and the edge is there. Where it lies on opposite sides there would be
// two solids, or two hollows, that meet in a line: the cylinder gets a chord there, and they stay apart.
func (m *meeting) flat(b *barrel, f flat) {
	s := r3.Dot(f.n, b.axis) - f.d
	dir := r3.Scale(-math.Copysign(1, s), f.n)
	switch depth := b.r - math.Abs(s); {
	case math.Abs(depth) < touching:
		if b.out*r3.Dot(dir, f.n) > 0 {
			m.add(b, dir, 0)
		} else {
			half := step(m.chord, b.r) / 2
			m.add(b, dir, -half, half)
		}
	case depth > 0 && depth < shallow*m.chord:
		a := math.Acos(math.Abs(s) / b.r)
		m.add(b, dir, -a, 0, a)
	}
}

// barrels adds the contacts of two cylinders with parallel axes, or notes that they are the same cylinder.
func (m *meeting) barrels(b, c *barrel) {
	v := r3.Sub(c.axis, b.axis)
	v = r3.Sub(v, r3.Scale(r3.Dot(v, b.dir), b.dir))
	d := r3.Norm(v)
	if d < touching {
		if math.Abs(b.r-c.r) < touching {
			m.unite(b.same, c.same)
		}
		return
	}
	u := r3.Scale(1/d, v)
	within := math.Abs(d-math.Abs(b.r-c.r)) < math.Abs(d-b.r-c.r) // one is in the other
	toB, toC := u, r3.Scale(-1, u)                                // from each axis towards the contact
	switch {
	case within && b.r > c.r:
		toC = u
	case within:
		toB = toC
	}
	off := math.Min(math.Abs(d-b.r-c.r), math.Abs(d-math.Abs(b.r-c.r)))
	switch {
	case off < touching && b.out*c.out*r3.Dot(toB, toC) > 0:
		m.add(b, toB, 0)
		m.add(c, toC, 0)
	case off < touching:
		m.keepApart(b, c, toB, toC)
	case d > math.Abs(b.r-c.r) && d < b.r+c.r && off < shallow*m.chord:
		x := (d*d + b.r*b.r - c.r*c.r) / (2 * d) // from b's axis to the line through both edges
		a := math.Acos(math.Abs(x) / b.r)
		m.add(b, toB, -a, 0, a)
		a = math.Acos(math.Abs(d-x) / c.r)
		m.add(c, toC, -a, 0, a)
	}
}

// unite makes two groups of barrels on one cylinder one, under the number of the earlier.
func (m *meeting) unite(a, b int) {
	for i := range m.round {
		if m.round[i].same == max(a, b) {
			m.round[i].same = min(a, b)
		}
	}
}

// crossing adds the contacts of two cylinders whose axes are not parallel and which touch, or nearly, in a point of the
// common perpendicular: both get an edge through it. Two equal ones whose axes cross touch at both ends of it.
func (m *meeting) crossing(b, c *barrel) {
	n := r3.Cross(b.dir, c.dir)
	v := r3.Sub(c.axis, b.axis)
	foot := r3.Add(b.axis, r3.Scale(r3.Dot(r3.Cross(v, c.dir), n)/r3.Norm2(n), b.dir)) // on b's axis
	u := r3.Unit(n)
	d := r3.Dot(v, u)
	for _, mine := range []float64{-1, 1} {
		for _, theirs := range []float64{-1, 1} {
			at := r3.Add(foot, r3.Scale(mine*b.r, u))
			if math.Abs(mine*b.r-d-theirs*c.r) < shallow*m.chord && m.reaches(b.prim, at) && m.reaches(c.prim, at) {
				m.add(b, r3.Scale(mine, u), 0)
				m.add(c, r3.Scale(theirs, u), 0)
			}
		}
	}
}

// reaches says whether a point lies within a primitive's bounds, or nearly.
func (m *meeting) reaches(i int, p r3.Vec) bool {
	return boxDist(m.prims[i].bounds, p) < shallow*m.chord
}

// keepApart gives two cylinders that touch chords across the contact, with corners side by side: one within the other
// then stays clear of it.
func (m *meeting) keepApart(b, c *barrel, toB, toC r3.Vec) {
	r := math.Min(b.r, c.r)
	half := step(m.chord, r) / 2
	for k := 1.0; k <= 5 && k*half < 1; k += 2 {
		x := r * math.Sin(k*half)
		a := math.Asin(x / b.r)
		m.add(b, toB, -a, a)
		a = math.Asin(x / c.r)
		m.add(c, toC, -a, a)
	}
}

// shareEnds gives all barrels on one cylinder each other's edges.
func (m *meeting) shareEnds(barrels []barrel) {
	of := map[int][]int{}
	for i, b := range barrels {
		of[b.same] = append(of[b.same], i)
	}
	for i := range barrels {
		group := of[i]
		if len(group) < 2 {
			continue
		}
		var ends []r3.Vec
		for _, k := range group {
			p := m.prims[barrels[k].prim]
			for _, e := range p.shape.(ended).ends(barrels[k].face) {
				ends = append(ends, p.pose.Turn(e))
			}
		}
		for _, k := range group {
			for _, e := range ends {
				m.add(&barrels[k], e, 0)
			}
		}
	}
}

// ended is a shape with cylindrical faces: ends gives the directions from the axis to the edges along such a face.
type ended interface{ ends(face int) []r3.Vec }

func (p *Prism) ends(face int) []r3.Vec {
	s := p.chain[face]
	return []r3.Vec{p.at(r2.Sub(s.A, s.C), 0), p.at(r2.Sub(s.B, s.C), 0)}
}

// A full turn has no edges along it; four are chosen.
func (v *Revolve) ends(int) []r3.Vec { return []r3.Vec{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} }

func boxesApart(a, b r3.Box, pad float64) bool {
	return a.Min.X > b.Max.X+pad || b.Min.X > a.Max.X+pad || a.Min.Y > b.Max.Y+pad || b.Min.Y > a.Max.Y+pad ||
		a.Min.Z > b.Max.Z+pad || b.Min.Z > a.Max.Z+pad
}
