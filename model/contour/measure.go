package contour

import "gonum.org/v1/gonum/spatial/r3"

// Products are wrapped in float64() below so that no machine fuses them with the sum that follows: the figures are the
// same everywhere. All is summed relative to the middle of the bounds, so that a mesh far from the origin loses nothing.

// Bounds is the least box, mm, that holds every vertex. An empty mesh has the zero box.
func Bounds(m *Mesh) (lo, hi r3.Vec) {
	if len(m.V) == 0 {
		return r3.Vec{}, r3.Vec{}
	}
	lo, hi = emptyBox()
	for _, v := range m.V {
		lo, hi = vecMin(lo, v), vecMax(hi, v)
	}
	return lo, hi
}

// Volume is the volume, mm3, that a closed outward mesh encloses: the signed tetrahedra from one point to every facet,
// which is Gauss's theorem for the field r/3. Exact for the facets but for rounding.
func Volume(m *Mesh) float64 {
	c := middle(m)
	sum := 0.0
	for f := range m.T {
		sum += tetrahedron(m.triangle(int32(f)), c)
	}
	return sum
}

// Area is the sum of the facets' areas, mm2.
func Area(m *Mesh) float64 {
	sum := 0.0
	for f := range m.T {
		sum += m.triangle(int32(f)).area()
	}
	return sum
}

// Centroid is the centre of mass of the solid that a closed outward mesh encloses, mm: each tetrahedron's own, which is
// the mean of its corners, weighed by its signed volume. A mesh without volume has the middle of its bounds.
func Centroid(m *Mesh) r3.Vec {
	c := middle(m)
	var moment r3.Vec
	volume := 0.0
	for f := range m.T {
		t := m.triangle(int32(f))
		v := tetrahedron(t, c)
		volume += v
		for _, p := range t {
			moment.X += float64(v * (p.X - c.X))
			moment.Y += float64(v * (p.Y - c.Y))
			moment.Z += float64(v * (p.Z - c.Z))
		}
	}
	if volume == 0 {
		return c
	}
	return r3.Add(c, r3.Scale(0.25/volume, moment)) // the fourth corner is c itself and adds nothing
}

func middle(m *Mesh) r3.Vec {
	lo, hi := Bounds(m)
	return r3.Vec{X: 0.5*lo.X + 0.5*hi.X, Y: 0.5*lo.Y + 0.5*hi.Y, Z: 0.5*lo.Z + 0.5*hi.Z}
}

// tetrahedron is the signed volume between a facet and a point, positive if the facet faces away from it.
func tetrahedron(t triangle, c r3.Vec) float64 {
	a, b, d := r3.Sub(t[0], c), r3.Sub(t[1], c), r3.Sub(t[2], c)
	return (float64(a.X*(float64(b.Y*d.Z)-float64(b.Z*d.Y))) +
		float64(a.Y*(float64(b.Z*d.X)-float64(b.X*d.Z))) +
		float64(a.Z*(float64(b.X*d.Y)-float64(b.Y*d.X)))) / 6
}

func (t triangle) area() float64 {
	a, b := r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])
	n := r3.Vec{
		X: float64(a.Y*b.Z) - float64(a.Z*b.Y),
		Y: float64(a.Z*b.X) - float64(a.X*b.Z),
		Z: float64(a.X*b.Y) - float64(a.Y*b.X),
	}
	return 0.5 * r3.Norm(n)
}
