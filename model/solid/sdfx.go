package solid

import (
	"math"

	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Block is a box with exact distance, given by its limits; the field is sdfx's Box3D.
type Block struct {
	sdf  sdf.SDF3
	mid  r3.Vec
	half r3.Vec
	tag  [6]string // -x, +x, -y, +y, -z, +z
}

// NewBlock is the box between lo and hi; every face gets the tag. It fails when lo is not below hi.
func NewBlock(lo, hi r3.Vec, tag string) (*Block, error) {
	size := r3.Sub(hi, lo)
	s, err := sdf.Box3D(v3.Vec{X: size.X, Y: size.Y, Z: size.Z}, 0)
	if err != nil {
		return nil, err
	}
	return &Block{sdf: s, mid: r3.Scale(0.5, r3.Add(lo, hi)), half: r3.Scale(0.5, size), tag: [6]string{tag, tag, tag, tag, tag, tag}}, nil
}

// Dist is the exact signed distance.
func (b *Block) Dist(p r3.Vec) float64 {
	q := r3.Sub(p, b.mid)
	return b.sdf.Evaluate(v3.Vec{X: q.X, Y: q.Y, Z: q.Z})
}

// Closest is the nearest point of the surface; faces are numbered -x, +x, -y, +y, -z, +z.
func (b *Block) Closest(p r3.Vec) (r3.Vec, int) {
	q := r3.Sub(p, b.mid)
	v, h := [3]float64{q.X, q.Y, q.Z}, [3]float64{b.half.X, b.half.Y, b.half.Z}
	axis, out := 0, math.Inf(-1)
	for i := range v {
		if d := math.Abs(v[i]) - h[i]; d > out {
			axis, out = i, d
		}
	}
	for i := range v {
		if i == axis || out > 0 {
			v[i] = clampTo(v[i], h[i], i == axis)
		}
	}
	face := 2 * axis
	if v[axis] > 0 {
		face++
	}
	return r3.Add(b.mid, r3.Vec{X: v[0], Y: v[1], Z: v[2]}), face
}

// clampTo brings v into [-h, h], or onto the nearer end of it.
func clampTo(v, h float64, end bool) float64 {
	if end {
		return math.Copysign(h, v)
	}
	return math.Max(-h, math.Min(h, v))
}

// Bounds is the box itself.
func (b *Block) Bounds() r3.Box {
	return r3.Box{Min: r3.Sub(b.mid, b.half), Max: r3.Add(b.mid, b.half)}
}

// Faces names the six faces.
func (b *Block) Faces() []string { return b.tag[:] }

// Facet is exact: six rectangles, one cell.
func (b *Block) Facet(Chord, contacts) Faceted {
	lo, hi := b.Bounds().Min, b.Bounds().Max
	sq := Chain{{A: r2.Vec{X: lo.X, Y: lo.Y}}, {A: r2.Vec{X: hi.X, Y: lo.Y}}, {A: r2.Vec{X: hi.X, Y: hi.Y}}, {A: r2.Vec{X: lo.X, Y: hi.Y}}}.closed()
	f := NewPrism(sq, lo.Z, hi.Z, "").Facet(Chord{1, 1}, nil)
	order := []int{2, 1, 3, 0, 4, 5} // the prism's sides run -y, +x, +y, -x, then -z, +z
	for i := range f.Facets {
		f.Facets[i].Face = order[f.Facets[i].Face]
	}
	return f
}

// Field lets sdfx use a solid.
type Field struct{ *Solid }

// Evaluate is Eval at an sdfx vector.
func (f Field) Evaluate(p v3.Vec) float64 { return f.Eval(r3.Vec{X: p.X, Y: p.Y, Z: p.Z}) }

// BoundingBox is the solid's bounds.
func (f Field) BoundingBox() sdf.Box3 {
	b := f.Bounds()
	return sdf.Box3{Min: v3.Vec{X: b.Min.X, Y: b.Min.Y, Z: b.Min.Z}, Max: v3.Vec{X: b.Max.X, Y: b.Max.Y, Z: b.Max.Z}}
}
