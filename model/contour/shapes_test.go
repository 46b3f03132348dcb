package contour

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func vec(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// rounded is p as float32 holds it.
func rounded(p r3.Vec) r3.Vec {
	return vec(float64(float32(p.X)), float64(float32(p.Y)), float64(float32(p.Z)))
}

func tagged(m *Mesh) *Mesh {
	m.Face, m.Tags = make([]int32, len(m.T)), []string{"all"}
	return m
}

func clone(m *Mesh) *Mesh {
	return &Mesh{
		V:    append([]r3.Vec(nil), m.V...),
		T:    append([][3]int32(nil), m.T...),
		Face: append([]int32(nil), m.Face...),
		On:   append([]int32(nil), m.On...),
		Tags: m.Tags,
	}
}

// join puts meshes side by side in one.
func joinMeshes(ms ...*Mesh) *Mesh {
	all := &Mesh{}
	for _, m := range ms {
		base := int32(len(all.V))
		all.V = append(all.V, m.V...)
		for _, c := range m.T {
			all.T = append(all.T, [3]int32{c[0] + base, c[1] + base, c[2] + base})
		}
	}
	return tagged(all)
}

func turnedOver(m *Mesh) *Mesh {
	m = clone(m)
	for i, c := range m.T {
		m.T[i] = [3]int32{c[0], c[2], c[1]}
	}
	return m
}

func moved(m *Mesh, by r3.Vec) *Mesh {
	m = clone(m)
	for i, v := range m.V {
		m.V[i] = rounded(r3.Add(v, by))
	}
	return m
}

func scaledMesh(m *Mesh, by float64) *Mesh {
	m = clone(m)
	for i, v := range m.V {
		m.V[i] = rounded(r3.Scale(by, v))
	}
	return m
}

// boxMesh has corners lo, hi and 12 facets.
func boxMesh(lo, hi r3.Vec) *Mesh {
	m := &Mesh{}
	for k := range 8 {
		p := lo
		if k&1 != 0 {
			p.X = hi.X
		}
		if k&2 != 0 {
			p.Y = hi.Y
		}
		if k&4 != 0 {
			p.Z = hi.Z
		}
		m.V = append(m.V, rounded(p))
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.T = append(m.T, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return tagged(m)
}

func tetraMesh(size float64) *Mesh {
	return tagged(&Mesh{
		V: []r3.Vec{{}, vec(size, 0, 0), vec(0, size, 0), vec(0, 0, size)},
		T: [][3]int32{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}},
	})
}

// sphereMesh halves the edges of an octahedron n times and puts all vertices on the sphere.
func sphereMesh(c r3.Vec, radius float64, n int) *Mesh {
	v := []r3.Vec{vec(1, 0, 0), vec(-1, 0, 0), vec(0, 1, 0), vec(0, -1, 0), vec(0, 0, 1), vec(0, 0, -1)}
	f := [][3]int32{{0, 2, 4}, {2, 1, 4}, {1, 3, 4}, {3, 0, 4}, {2, 0, 5}, {1, 2, 5}, {3, 1, 5}, {0, 3, 5}}
	for range n {
		mids := map[[2]int32]int32{}
		mid := func(a, b int32) int32 {
			key := [2]int32{min(a, b), max(a, b)}
			if _, ok := mids[key]; !ok {
				mids[key] = int32(len(v))
				v = append(v, r3.Unit(r3.Add(v[a], v[b])))
			}
			return mids[key]
		}
		var next [][3]int32
		for _, c := range f {
			x, y, z := mid(c[0], c[1]), mid(c[1], c[2]), mid(c[2], c[0])
			next = append(next, [3]int32{c[0], x, z}, [3]int32{x, c[1], y}, [3]int32{z, y, c[2]}, [3]int32{x, y, z})
		}
		f = next
	}
	for i := range v {
		v[i] = rounded(r3.Add(c, r3.Scale(radius, v[i])))
	}
	return tagged(&Mesh{V: v, T: f})
}

// torusMesh lies round the z axis: n quads round the axis, k round the tube.
func torusMesh(major, minor float64, n, k int) *Mesh {
	m := &Mesh{}
	for i := range n {
		for j := range k {
			a, b := 2*math.Pi*float64(i)/float64(n), 2*math.Pi*float64(j)/float64(k)
			r := major + minor*math.Cos(b)
			m.V = append(m.V, rounded(vec(r*math.Cos(a), r*math.Sin(a), minor*math.Sin(b))))
		}
	}
	at := func(i, j int) int32 { return int32(i%n*k + j%k) }
	for i := range n {
		for j := range k {
			p, q, r, s := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			m.T = append(m.T, [3]int32{p, q, r}, [3]int32{p, r, s})
		}
	}
	return tagged(m)
}

// Fields with their distance and nearest point in closed form.

type boxField struct{ lo, hi r3.Vec }

func (b boxField) Eval(p r3.Vec) float64 {
	d := vecMax(r3.Sub(b.lo, p), r3.Sub(p, b.hi))
	if most := max(d.X, d.Y, d.Z); most <= 0 {
		return most
	}
	return r3.Norm(vecMax(d, r3.Vec{}))
}

func (b boxField) Witness(p r3.Vec) (r3.Vec, int, bool) {
	q := vecMin(vecMax(p, b.lo), b.hi)
	if q != p {
		return q, 0, true
	}
	to := []struct {
		d float64
		q r3.Vec
	}{
		{p.X - b.lo.X, vec(b.lo.X, p.Y, p.Z)}, {b.hi.X - p.X, vec(b.hi.X, p.Y, p.Z)},
		{p.Y - b.lo.Y, vec(p.X, b.lo.Y, p.Z)}, {b.hi.Y - p.Y, vec(p.X, b.hi.Y, p.Z)},
		{p.Z - b.lo.Z, vec(p.X, p.Y, b.lo.Z)}, {b.hi.Z - p.Z, vec(p.X, p.Y, b.hi.Z)},
	}
	best := to[0]
	for _, x := range to {
		if x.d < best.d {
			best = x
		}
	}
	return best.q, 0, true
}

type sphereField struct {
	c r3.Vec
	r float64
}

func (s sphereField) Eval(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, s.c)) - s.r }

func (s sphereField) Witness(p r3.Vec) (r3.Vec, int, bool) {
	d := r3.Sub(p, s.c)
	if d == (r3.Vec{}) {
		return p, 0, false
	}
	return r3.Add(s.c, r3.Scale(s.r, r3.Unit(d))), 0, true
}

type torusField struct{ major, minor float64 }

func (t torusField) Eval(p r3.Vec) float64 {
	return math.Hypot(math.Hypot(p.X, p.Y)-t.major, p.Z) - t.minor
}

func (t torusField) Witness(p r3.Vec) (r3.Vec, int, bool) {
	r := math.Hypot(p.X, p.Y)
	if r == 0 {
		return p, 0, false
	}
	c := vec(p.X/r*t.major, p.Y/r*t.major, 0)
	return sphereField{c, t.minor}.Witness(p)
}

// tetraField is the tetrahedron of tetraMesh. Its witness serves points near one facet.
type tetraField float64

func (t tetraField) planes(p r3.Vec) [4]float64 {
	return [4]float64{-p.X, -p.Y, -p.Z, (p.X + p.Y + p.Z - float64(t)) / math.Sqrt(3)}
}

func (t tetraField) Eval(p r3.Vec) float64 {
	d := t.planes(p)
	return max(d[0], d[1], d[2], d[3])
}

func (t tetraField) Witness(p r3.Vec) (r3.Vec, int, bool) {
	normals := [4]r3.Vec{vec(-1, 0, 0), vec(0, -1, 0), vec(0, 0, -1), r3.Scale(1/math.Sqrt(3), vec(1, 1, 1))}
	d := t.planes(p)
	best := 0
	for i := range d {
		if d[i] > d[best] {
			best = i
		}
	}
	q := r3.Sub(p, r3.Scale(d[best], normals[best]))
	return q, best, t.Eval(q) < 1e-12
}

// both is the union of two surfaces that lie apart.
type both struct{ a, b Surface }

func (u both) Eval(p r3.Vec) float64 { return min(u.a.Eval(p), u.b.Eval(p)) }

func (u both) Witness(p r3.Vec) (r3.Vec, int, bool) {
	q, _, ok := u.a.Witness(p)
	r, _, also := u.b.Witness(p)
	if !ok || also && r3.Norm(r3.Sub(p, r)) < r3.Norm(r3.Sub(p, q)) {
		return r, 1, also
	}
	return q, 0, ok
}

// less is a with b, which lies inside it, taken out.
type less struct{ a, b Surface }

func (l less) Eval(p r3.Vec) float64 { return max(l.a.Eval(p), -l.b.Eval(p)) }

func (l less) Witness(p r3.Vec) (r3.Vec, int, bool) { return both{l.a, l.b}.Witness(p) }

func near(t *testing.T, what string, got, want, limit float64) {
	t.Helper()
	if !(math.Abs(got-want) <= limit) {
		t.Errorf("%s: got %.12g, want %.12g within %g", what, got, want, limit)
	}
}

// plainRunOnly leaves a long table out of the short run, which is the race detector's; the plain run does it.
func plainRunOnly(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("done by the plain run")
	}
}
