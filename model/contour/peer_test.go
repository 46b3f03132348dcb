package contour

import (
	"math"
	"testing"
	"time"

	"github.com/deadsy/sdfx/render"
	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// round is a cylinder along z.
func round(cx, cy, r, z0, z1 float64) *solid.Solid {
	right, left := r2.Vec{X: cx + r, Y: cy}, r2.Vec{X: cx - r, Y: cy}
	c := r2.Vec{X: cx, Y: cy}
	ch := solid.Chain{{A: right, B: left, C: c, R: r, Tag: "round"}, {A: left, B: right, C: c, R: r, Tag: "round"}}
	return solid.New(solid.NewPrism(ch, z0, z1, "end"), solid.Upright)
}

// drilled is a block with a blind bore, a cross bore that opens into it, and a boss.
func drilled(t testing.TB) *solid.Solid {
	cross := solid.Pose{X: r3.Vec{X: 1}, Y: r3.Vec{Z: 1}, Z: r3.Vec{Y: -1}}
	lying := func(x, z, r, y0, y1 float64) *solid.Solid {
		right, left, c := r2.Vec{X: x + r, Y: z}, r2.Vec{X: x - r, Y: z}, r2.Vec{X: x, Y: z}
		ch := solid.Chain{{A: right, B: left, C: c, R: r, Tag: "bore"}, {A: left, B: right, C: c, R: r, Tag: "bore"}}
		return solid.New(solid.NewPrism(ch, y0, y1, "end"), cross)
	}
	return solid.Cut(solid.Join(block(t, 0, 0, 0, 8, 6, 3), round(5.5, 3, 1.5, 2, 4.5)), round(2, 3, 1, 1, 5), lying(2.2, 1.7, 0.6, -7, 1))
}

// The same solid through sdfx's renderer, a mesher that this project did not write. Marching cubes cuts every edge by a
// part of its cell; at 120 cells of 0.07 mm its volume is good to about cell x edge length x a tenth, so half a per cent
// is asked for, and ours must be inside.
func TestVolumeAgainstSdfxRenderer(t *testing.T) {
	s := drilled(t)
	m, err := Of(s, 0.005)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Verify(m, s, 0.005); err != nil {
		t.Fatal(err)
	}
	peer := 0.0
	for _, f := range render.ToTriangles(solid.Field{Solid: s}, render.NewMarchingCubesUniform(120)) {
		peer += f[0].Dot(f[1].Cross(f[2])) / 6
	}
	if v := Volume(m); math.Abs(v-peer) > 0.005*peer {
		t.Errorf("volume %.4f mm3, sdfx's renderer %.4f", v, peer)
	}
}

func TestVolumeOfRoundsAgainstClosedForms(t *testing.T) {
	for _, c := range []struct {
		name string
		s    *solid.Solid
		want float64
	}{
		{"cylinder: pi r^2 h", round(0, 0, 2, 0, 3), 12 * math.Pi},
		{"tube", solid.Cut(round(0, 0, 2, 0, 3), round(0, 0, 1, -1, 4)), 9 * math.Pi},
		// Two cylinders of radius r crossing at right angles: their common volume is 16 r^3/3 (Archimedes, The Method).
		{"ring: 2 pi^2 R r^2", solid.New(solid.NewRing(2, 0.7, "ring"), solid.Upright), 2 * math.Pi * math.Pi * 2 * 0.49},
		{"half a ring", solid.Cut(solid.New(solid.NewRing(2, 0.7, "ring"), solid.Upright), block(t, -3, -3, -3, 0, 3, 3)), math.Pi * math.Pi * 2 * 0.49},
		{"rod", solid.New(solid.NewRod(1, 0, 3, "rod", "end"), solid.AlongX), 3 * math.Pi},
		{"Steinmetz solid", solid.Common(round(0, 0, 1, -2, 2), lyingX(1)), 16.0 / 3},
	} {
		m, err := Of(c.s, 0.005)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		p, err := Verify(m, c.s, 0.005)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		// Chords keep to a fifth of 0.005 mm, three fifths where curved both ways; with vertices on a bulging surface
		// the volume is short by at most area x 0.003.
		if v := Volume(m); math.Abs(v-c.want) > Area(m)*0.003 || v > c.want+1e-6 {
			t.Errorf("%s: %.6f, want %.6f (proof %+v)", c.name, v, c.want, p)
		}
	}
}

func lyingX(r float64) *solid.Solid {
	right, left := r2.Vec{X: r}, r2.Vec{X: -r}
	ch := solid.Chain{{A: right, B: left, R: r, Tag: "round"}, {A: left, B: right, R: r, Tag: "round"}}
	return solid.New(solid.NewPrism(ch, -2, 2, "end"), solid.AlongX)
}

// octree is sdfx's octree marching cubes with so many cells along the longest side.
func octree(s *solid.Solid, cells int) []*sdf.Triangle3 {
	return render.ToTriangles(solid.Field{Solid: s}, render.NewMarchingCubesOctree(cells))
}

// octreeCells is about how many cells octree gets done in the given time: from two trials, the power by which its time
// grows with the cells, and the time.
func octreeCells(s *solid.Solid, within time.Duration) int {
	took := func(cells int) float64 {
		begin := time.Now()
		octree(s, cells)
		return time.Since(begin).Seconds()
	}
	took(20) // the first run is slower
	few, many := took(40), took(80)
	power := math.Max(1, math.Log2(many/few))
	return max(10, int(80*math.Pow(within.Seconds()/many, 1/power)))
}

// offAtLeast is the greatest |f| at the corners and centres of facets, mm. It does not exceed the distance, so the
// mesh is off by at least as much.
func offAtLeast(s *solid.Solid, facets []*sdf.Triangle3) (off float64) {
	for _, f := range facets {
		mid := f[0].Add(f[1]).Add(f[2]).MulScalar(1.0 / 3)
		for _, p := range []v3.Vec{f[0], f[1], f[2], mid} {
			off = math.Max(off, math.Abs(s.Eval(r3.Vec(p))))
		}
	}
	return off
}

// BenchmarkOf meshes the drilled block at 0.005 mm; BenchmarkPeer is sdfx's renderer at 120 cells, in the same run.
func BenchmarkOf(b *testing.B) {
	s := drilled(b)
	for b.Loop() {
		if _, err := Of(s, 0.005); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPeer(b *testing.B) {
	s := drilled(b)
	for b.Loop() {
		render.ToTriangles(solid.Field{Solid: s}, render.NewMarchingCubesUniform(120))
	}
}

// BenchmarkBox meshes the benchmark box: ours at 0.005 mm, and sdfx's octree at 200 cells and at as many as it gets done
// in the time that ours takes. off_mm is what offAtLeast says; for ours Verify gives an upper bound.
func BenchmarkBox(b *testing.B) {
	s := benchBox(40).solid(b)
	b.Run("ours", func(b *testing.B) {
		var m *Mesh
		var err error
		for b.Loop() {
			if m, err = Of(s, 0.005); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(len(m.T)), "facets")
	})
	b.Run("sdfx octree 200", func(b *testing.B) { benchOctree(b, s, 200) })
	b.Run("sdfx octree in our time", func(b *testing.B) {
		begin := time.Now()
		if _, err := Of(s, 0.005); err != nil {
			b.Fatal(err)
		}
		benchOctree(b, s, octreeCells(s, time.Since(begin)))
	})
}

func benchOctree(b *testing.B, s *solid.Solid, cells int) {
	var facets []*sdf.Triangle3
	for b.Loop() {
		facets = octree(s, cells)
	}
	b.ReportMetric(float64(cells), "cells")
	b.ReportMetric(float64(len(facets)), "facets")
	b.ReportMetric(offAtLeast(s, facets), "off_mm")
}
