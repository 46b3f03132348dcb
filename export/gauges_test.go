package export

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/contour"
	"claspwright/params"
)

func gaugesOf(t *testing.T, sets ...string) *model.Gauges {
	t.Helper()
	job, err := params.Load("", append(sets, plainJob...))
	if err != nil {
		t.Fatal(err)
	}
	g, err := model.NewGauges(context.Background(), job)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// Each named dimension of the coupon is measured back from the written pattern: where its line meets the facets. Over the growth it is the
// dimension that should come back.
func TestCouponMeasuredFromItsFile(t *testing.T) {
	g := gaugesOf(t, "casting.growth_x=1.012", "casting.growth_y=1.02", "casting.growth_z=1.017")
	dir := filepath.Join(t.TempDir(), "gauges")
	if err := WriteGauges(context.Background(), dir, g); err != nil {
		t.Fatal(err)
	}
	m := readMesh(t, filepath.Join(dir, couponFile))
	grow := [3]float64{1.012, 1.02, 1.017}
	worst := 0.0
	for _, want := range g.Measures() {
		mid := r3.Scale(0.5, r3.Add(want.From.At, want.To.At))
		mid = r3.Vec{X: mid.X * grow[0], Y: mid.Y * grow[1], Z: mid.Z * grow[2]}
		got := acrossAt(m, mid, want.Axis, want.To.Out > 0) / grow[want.Axis]
		worst = math.Max(worst, math.Abs(got-want.Casting))
		if strings.Contains(want.Name, "bar_") {
			t.Logf("%s: %.5f mm from the file over growth, %.5f drawn", want.Name, got, want.Casting)
		}
	}
	if worst > 4e-6 { // two ends of a float32 of some tens of mm
		t.Errorf("a dimension is off by %.2g mm", worst)
	}
}

// acrossAt is the distance along an axis between the facets on both sides of a point: the furthest, as over metal, or the nearest, as in
// a hollow.
func acrossAt(m *contour.Mesh, p r3.Vec, axis int, over bool) float64 {
	turn := func(v r3.Vec) r3.Vec {
		return [3]r3.Vec{{X: v.Y, Y: v.Z, Z: v.X}, {X: v.Z, Y: v.X, Z: v.Y}, v}[axis]
	}
	p = turn(p)
	var below, above []float64
	for _, t := range m.T {
		a, b, c := turn(m.V[t[0]]), turn(m.V[t[1]]), turn(m.V[t[2]])
		side := func(a, b r3.Vec) float64 { return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X) }
		u, v, w := side(b, c), side(c, a), side(a, b)
		if area := u + v + w; area == 0 || u*area < 0 || v*area < 0 || w*area < 0 {
			continue
		} else if z := (u*a.Z + v*b.Z + w*c.Z) / area; z > p.Z {
			above = append(above, z)
		} else {
			below = append(below, z)
		}
	}
	if over {
		return slices.Max(above) - slices.Min(below)
	}
	return slices.Min(above) - slices.Max(below)
}

// The folder holds what is listed, twice the same bytes; an order is left alone, and so is a folder of others.
func TestGaugesFolder(t *testing.T) {
	g := gaugesOf(t)
	dir := filepath.Join(t.TempDir(), "gauges")
	var first map[string]string
	for range 2 {
		if err := WriteGauges(context.Background(), dir, g); err != nil {
			t.Fatal(err)
		}
		files := tree(t, dir)
		if first == nil {
			first = files
		}
		for _, name := range gaugeNames(g) {
			if files[name] == "" || files[name] != first[name] {
				t.Errorf("%s: %d bytes, then %d", name, len(first[name]), len(files[name]))
			}
		}
	}
	if h := first[crownGaugeFile][:80]; !strings.Contains(h, "crown-gauge, stage finished, millimetre") {
		t.Errorf("header %q", h)
	}
	order := filepath.Join(t.TempDir(), "order")
	if err := os.MkdirAll(order, 0o755); err != nil {
		t.Fatal(err)
	}
	manifest := `{"tool": "` + Tool + ` x", "files": [{"name": "box.stl"}]}`
	if err := os.WriteFile(filepath.Join(order, manifestName), []byte(manifest), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := WriteGauges(context.Background(), order, g); err == nil || !strings.Contains(err.Error(), "holds an order") {
		t.Errorf("into an order: %v", err)
	}
	if got := tree(t, order); len(got) != 1 || got[manifestName] != manifest {
		t.Errorf("the order is not as it was: %v", got)
	}
}

// The sheet has each dimension with its size, and what is printed at which size.
func TestGaugesSheet(t *testing.T) {
	var b strings.Builder
	g := gaugesOf(t, "gauge.step=0.05")
	if err := WriteGaugesSheet(&b, g); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"printed true to size, not grown", "grown by 1.015", "5.300 mm high", "-0.030, does not enter as drawn", "does not enter"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the sheet lacks %q", want)
		}
	}
	names := []string{}
	for _, m := range g.Measures() {
		names = append(names, m.Name)
		if !strings.Contains(b.String(), m.Name) {
			t.Errorf("the sheet lacks %s", m.Name)
		}
	}
	for _, n := range []string{"coupon.bar_x", "coupon.bar_y", "coupon.bar_z"} {
		if !slices.Contains(names, n) {
			t.Errorf("no %s", n)
		}
	}
}
