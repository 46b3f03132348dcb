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

// barrel is a cylindrical face in the model's frame.
type barrel struct {
	prim, face int
	axis, dir  r3.Vec
	r          float64
	same       int // the first barrel on the same cylinder
}

// flat is a plane face in the model's frame.
type flat struct {
	prim int
	n    r3.Vec
	d    float64
}

// contacts are, for the faces of one primitive, the directions from a cylinder's axis to lines where it must have an
// edge: where a face of another primitive is tangent to it, or where another one on the same cylinder ends. Directions
// are in the primitive's frame.
type contacts map[int][]r3.Vec

// contactsOf finds the contacts of all primitives; nil for one without.
func contactsOf(prims []prim) []contacts {
	out := make([]contacts, len(prims))
	barrels, flats := roundAndFlat(prims)
	add := func(b *barrel, dir r3.Vec) {
		if out[b.prim] == nil {
			out[b.prim] = contacts{}
		}
		m := prims[b.prim].pose
		local := r3.Vec{X: r3.Dot(dir, m.X), Y: r3.Dot(dir, m.Y), Z: r3.Dot(dir, m.Z)}
		out[b.prim][b.face] = append(out[b.prim][b.face], local)
	}
	near := func(i, j int) bool { return i != j && !boxesApart(prims[i].bounds, prims[j].bounds, touching) }
	for i := range barrels {
		b := &barrels[i]
		for _, f := range flats {
			if s := r3.Dot(f.n, b.axis) - f.d; near(b.prim, f.prim) && math.Abs(r3.Dot(f.n, b.dir)) < parallel && math.Abs(math.Abs(s)-b.r) < touching {
				add(b, r3.Scale(-math.Copysign(1, s), f.n))
			}
		}
		for j := range i {
			if c := &barrels[j]; near(b.prim, c.prim) {
				b.meet(c, add)
			}
		}
	}
	shareEnds(prims, barrels, add)
	return out
}

func roundAndFlat(prims []prim) (barrels []barrel, flats []flat) {
	for i, p := range prims {
		for face, c := range p.shape.Carriers() {
			c = p.pose.carrier(c)
			switch {
			case !c.round:
				flats = append(flats, flat{i, c.dir, r3.Dot(c.dir, c.point)})
			case c.radius == 0 && c.normal.X == 0:
				at := r3.Add(c.point, r3.Scale(c.at.Y, c.dir))
				flats = append(flats, flat{i, c.dir, r3.Dot(c.dir, at)})
			case c.radius == 0 && c.normal.Y == 0:
				barrels = append(barrels, barrel{prim: i, face: face, axis: c.point, dir: c.dir, r: c.at.X, same: len(barrels)})
			}
		}
	}
	return barrels, flats
}

// meet adds the contact of two cylinders with parallel axes that touch, or notes that they are the same cylinder.
func (b *barrel) meet(c *barrel, add func(*barrel, r3.Vec)) {
	if r3.Norm(r3.Cross(b.dir, c.dir)) > parallel {
		return
	}
	v := r3.Sub(c.axis, b.axis)
	v = r3.Sub(v, r3.Scale(r3.Dot(v, b.dir), b.dir))
	d := r3.Norm(v)
	if d < touching && math.Abs(b.r-c.r) < touching {
		b.same = c.same
		return
	}
	switch {
	case d < touching:
	case math.Abs(d-b.r-c.r) < touching:
		add(b, r3.Scale(1/d, v))
		add(c, r3.Scale(-1/d, v))
	case math.Abs(d-math.Abs(b.r-c.r)) < touching: // one within the other
		u := r3.Scale(math.Copysign(1/d, b.r-c.r), v)
		add(b, u)
		add(c, u)
	}
}

// shareEnds gives all barrels on one cylinder each other's edges.
func shareEnds(prims []prim, barrels []barrel, add func(*barrel, r3.Vec)) {
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
			p := prims[barrels[k].prim]
			for _, e := range p.shape.(ended).ends(barrels[k].face) {
				ends = append(ends, p.pose.Turn(e))
			}
		}
		for _, k := range group {
			for _, e := range ends {
				add(&barrels[k], e)
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
