package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Wall is a face of a primitive with parameters u, v in a rectangle.
type Wall struct {
	Face           int   // its number in the solid
	Leaf           int32 // the place of its primitive in the order of the tree's leaves
	Round          bool  // it is a rectangle round its face and reaches beyond it
	U, V           [2]float64
	SpeedU, SpeedV float64 // how fast At moves at most, mm per unit
	At             func(u, v float64) r3.Vec
	On             Carrier
}

// Walls lists the faces of all primitives of the solid with their parameters. Faces that are no surface, as the axis of
// a turned profile, are left out.
func (s *Solid) Walls() []Wall {
	var out []Wall
	s.wallsInto(0, 0, &out)
	return out
}

func (s *Solid) wallsInto(first int, leaf int32, out *[]Wall) {
	if s.op != Leaf {
		for _, k := range s.kids {
			k.wallsInto(first, leaf, out)
			first += k.faces
			leaf += int32(k.leaves)
		}
		return
	}
	var own []Wall
	switch shape := s.shape.(type) {
	case *Prism:
		own = shape.walls()
	case *Revolve:
		own = shape.walls()
	case *Block:
		own = shape.walls()
	}
	carriers := s.Carriers()
	for _, w := range own {
		local := w.At
		w.At = func(u, v float64) r3.Vec { return s.pose.World(local(u, v)) }
		w.On = carriers[w.Face]
		w.Face += first
		w.Leaf = leaf
		*out = append(*out, w)
	}
}

// along is the point of the piece at u from 0 to 1, and its length.
func (s Seg) along() (at func(u float64) r2.Vec, length float64) {
	if s.R == 0 {
		d := r2.Sub(s.B, s.A)
		return func(u float64) r2.Vec { return r2.Add(s.A, r2.Scale(u, d)) }, r2.Norm(d)
	}
	start, angle := s.sweep()
	length = angle * s.R
	if s.CW {
		angle = -angle
	}
	return func(u float64) r2.Vec {
		sin, cos := math.Sincos(start + u*angle)
		return r2.Vec{X: s.C.X + s.R*cos, Y: s.C.Y + s.R*sin}
	}, length
}

func (p *Prism) walls() []Wall {
	var out []Wall
	for i, s := range p.chain {
		at, length := s.along()
		out = append(out, Wall{Face: i, U: [2]float64{0, 1}, V: [2]float64{p.lo, p.hi}, SpeedU: length, SpeedV: 1,
			At: func(u, v float64) r3.Vec { return p.at(at(u), v) }})
	}
	for i, z := range []float64{p.lo, p.hi} {
		out = append(out, Wall{Face: len(p.chain) + i, U: [2]float64{p.box.Min.X, p.box.Max.X}, V: [2]float64{p.box.Min.Y, p.box.Max.Y},
			Round: true, SpeedU: 1, SpeedV: 1, At: func(u, v float64) r3.Vec { return r3.Vec{X: u, Y: v, Z: z} }})
	}
	return out
}

func (v *Revolve) walls() []Wall {
	var out []Wall
	for i, s := range v.rim {
		at, length := s.along()
		out = append(out, Wall{Face: v.face[i], U: [2]float64{0, 1}, V: [2]float64{0, 2 * math.Pi}, SpeedU: length,
			SpeedV: max(s.A.X, s.B.X, s.C.X+s.R), At: func(u, turn float64) r3.Vec {
				sin, cos := math.Sincos(turn)
				q := at(u)
				return r3.Vec{X: q.X * cos, Y: q.X * sin, Z: q.Y}
			}})
	}
	return out
}

func (b *Block) walls() []Wall {
	box := b.Bounds()
	lo, hi := [3]float64{box.Min.X, box.Min.Y, box.Min.Z}, [3]float64{box.Max.X, box.Max.Y, box.Max.Z}
	var out []Wall
	for face := range 6 {
		axis := face / 2
		i, j := (axis+1)%3, (axis+2)%3
		end := lo[axis]
		if face%2 == 1 {
			end = hi[axis]
		}
		out = append(out, Wall{Face: face, U: [2]float64{lo[i], hi[i]}, V: [2]float64{lo[j], hi[j]}, SpeedU: 1, SpeedV: 1,
			At: func(u, v float64) r3.Vec {
				var p [3]float64
				p[axis], p[i], p[j] = end, u, v
				return r3.Vec{X: p[0], Y: p[1], Z: p[2]}
			}})
	}
	return out
}
