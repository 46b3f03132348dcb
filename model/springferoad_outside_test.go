//go:build outside

package model

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/testdata/peers/outside"
)

// fill fills a solid with second-order tetrahedra: its mesh as files hold it (contour; chords of rounds leave them by at most
// chord, mm), tetrahedra by tetgen, and the nodes on rounds about y moved from their chords to the round itself.
func fill(t *testing.T, s *solid.Solid, chord float64, g outside.Grading) *outside.Tets {
	t.Helper()
	mesh, err := contour.Finely(s, 4*chord, 0.25)
	if err != nil {
		t.Fatal(err)
	}
	m := outside.Tetrahedra(t, outside.Surface{V: mesh.V, T: mesh.T, On: mesh.On}, g)
	carriers := s.Carriers()
	for i, faces := range m.On() {
		for _, f := range faces {
			c := carriers[f]
			if d, n := c.Off(m.V[i]); c.Curved() && n.Y == 0 && aboutY(carriers, faces, m.V[i]) {
				if math.Abs(d) > 4*chord {
					t.Fatalf("a node on face %d is %g mm off it", f, d)
				}
				m.V[i] = r3.Sub(m.V[i], r3.Scale(d, n))
			}
		}
	}
	if sum, least := m.Volume(); least <= 0 || math.Abs(sum/contour.Volume(mesh)-1) > 0.01 {
		t.Fatalf("tetrahedra of %g mm3, the least %g, in a mesh of %g", sum, least, contour.Volume(mesh))
	}
	return m
}

// aboutY says whether all faces through p are planes square to y, or run along y: moving p in x and z then keeps it on
// those square to y.
func aboutY(carriers []solid.Carrier, faces []int32, p r3.Vec) bool {
	for _, f := range faces {
		if _, n := carriers[f].Off(p); n.Y != 0 && math.Abs(n.Y) != 1 {
			return false
		}
	}
	return true
}

// within lists the surface's nodes in a box, ends included.
func within(m *outside.Tets, lo, hi r3.Vec) (nodes []int32) {
	const rounding = 1e-5 // mm, of coordinates held as float32
	for i, faces := range m.On() {
		p := m.V[i]
		if len(faces) > 0 && p.X >= lo.X-rounding && p.X <= hi.X+rounding && p.Y >= lo.Y-rounding && p.Y <= hi.Y+rounding && p.Z >= lo.Z-rounding && p.Z <= hi.Z+rounding {
			nodes = append(nodes, int32(i))
		}
	}
	return nodes
}

// principal is the eigenvalue of the greatest size of a stress, and its von Mises stress, MPa.
func principal(s [6]float64) (greatest, mises float64) {
	xx, yy, zz, xy, yz, zx := s[0], s[1], s[2], s[3], s[4], s[5]
	mises = math.Sqrt(((xx-yy)*(xx-yy)+(yy-zz)*(yy-zz)+(zz-xx)*(zz-xx))/2 + 3*(xy*xy+yz*yz+zx*zx))
	mean := (xx + yy + zz) / 3
	a, b, c := xx-mean, yy-mean, zz-mean
	j2 := mises * mises / 3
	if j2 == 0 {
		return mean, 0
	}
	j3 := a*b*c + 2*xy*yz*zx - a*yz*yz - b*zx*zx - c*xy*xy
	angle := math.Acos(math.Max(-1, math.Min(1, 1.5*math.Sqrt(3)*j3/math.Pow(j2, 1.5)))) / 3
	first := mean + 2*math.Sqrt(j2/3)*math.Cos(angle)
	third := mean + 2*math.Sqrt(j2/3)*math.Cos(angle+2*math.Pi/3)
	if math.Abs(third) > math.Abs(first) {
		return third, mises
	}
	return first, mises
}

// fibre is the stress along a direction in the x-z plane at an angle from +x, MPa.
func fibre(s [6]float64, angle float64) float64 {
	sin, cos := math.Sincos(angle)
	return s[0]*cos*cos + s[2]*sin*sin + 2*s[5]*sin*cos
}

// A fold's inside is cut into bins along the half turn, and into quarters of half the width from mid-width to the edge.
const bins, quarters = 9, 4

// patch is the mean of a stress over facets, weighted by their area.
type patch struct{ area, sum float64 }

func (p *patch) add(area, v float64) { p.area, p.sum = p.area+area, p.sum+area*v }

// whole is the mean over patches together, 0 of none.
func whole(ps ...patch) float64 {
	var w patch
	for _, p := range ps {
		w.area, w.sum = w.area+p.area, w.sum+p.sum
	}
	return w.sum / max(w.area, 1e-300)
}

// inside is the stress along the strip on the inside of a fold, MPa, by bins and quarters of half the width. A quadratic over a
// facet has the mean of its values in the middles of the sides.
func inside(m *outside.Tets, bent outside.Bent, centre r2.Vec, radius, width float64) (out [bins][quarters]patch) {
	for _, f := range m.F {
		var angle, v, y float64
		on := true
		for k, n := range f.V {
			p := m.V[n]
			d := r2.Sub(r2.Vec{X: p.X, Y: p.Z}, centre)
			on = on && d.X > -1e-6 && math.Abs(r2.Norm(d)-radius) < 1e-4
			if a := math.Atan2(d.X, -d.Y); k >= 3 {
				angle, v, y = angle+a/3, v+fibre(bent.S[n], a)/3, y+math.Abs(p.Y)/3
			}
		}
		if on {
			out[min(bins-1, int(angle/math.Pi*bins))][quarter(y, width)].add(facetArea(m, f), v)
		}
	}
	return out
}

func quarter(y, width float64) int { return min(quarters-1, int(2*y/width*quarters)) }

func facetArea(m *outside.Tets, f outside.TetFace) float64 {
	return r3.Norm(r3.Cross(r3.Sub(m.V[f.V[1]], m.V[f.V[0]]), r3.Sub(m.V[f.V[2]], m.V[f.V[0]]))) / 2
}

// greatest is the greatest size of the means across the width.
func greatest(all [bins][quarters]patch) (s float64) {
	for _, row := range all {
		s = max(s, math.Abs(whole(row[:]...)))
	}
	return s
}
