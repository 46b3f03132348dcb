//go:build outside

package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
	"claspwright/model/spring"
	"claspwright/testdata/peers/outside"
)

// slitSizes are those of elements, coarse and fine, in a fifth of the slit's radius at its end and a quarter of the flank along it.
var slitSizes = [2]float64{1.3, 0.9}

// TestOutsideSlitFlanks holds the spring of slit tongues against finite elements: forks drawn from widths, plates, flanks, slits, lengths, tapers and
// alloys after the spring was frozen, each with two sizes of elements. The press is the load case of the report: the edge of the
// shoulder pressed in by the travel, linear elastic; the plate is held in its middle, where the other half is its mirror image, and only the
// half above its mid-plane is filled. The tabs are left out: no bending passes them.
func TestOutsideSlitFlanks(t *testing.T) {
	worst := ratios{}
	for i, f := range drawForks(t, 20261130, max(2, int(math.Round(20*Share())))) {
		var by [2]ratios
		for k, size := range slitSizes {
			by[k] = f.compareFork(f.pinch(t, size))
		}
		for k, name := range by[0].names {
			if d := by[0].low[k] / by[1].low[k]; !(math.Abs(d-1) < 0.02) {
				t.Errorf("%v: %s: two sizes of elements %.4f of each other", f.Sets, name, d)
			}
		}
		l := f.lock
		t.Logf("%2d flank %.2f x %.2f, slit %.2f, length %.1f, taper %.2f, nu %.2f: %.2f N, %.0f MPa: %s", i, l.Leaf, l.Plate.Thick, 2*l.Fold, l.Length, l.Taper,
			f.said.Case.Metal.Poisson, f.said.Case.Force, f.said.Case.Peak.Size(), by[1].String())
		worst.widen(by[1])
	}
	t.Logf("least and greatest of finite elements over spring: %s", worst.String())
	for i, name := range worst.names {
		if !(worst.low[i] > 0.93 && worst.high[i] < 1.07) {
			t.Errorf("%s: from %.3f to %.3f, allowed is 0.07 off 1", name, worst.low[i], worst.high[i])
		}
	}
}

// drawForks draws jobs until so many have a slit tongue whose spring can be analysed.
func drawForks(t *testing.T, seed uint64, want int) []leaf {
	t.Helper()
	return drawUntil(t, rand.New(rand.NewPCG(seed, 7)), want, func(between func(lo, hi float64) float64, alloy func() string) []string {
		thick := between(0.5, 1.2)
		return []string{
			fmt.Sprintf("chain.width=%.1f", between(9, 26)), fmt.Sprintf("chain.thickness=%.1f", between(2.4, 6)), "tongue.make=slit", "metal.alloy=" + alloy(),
			fmt.Sprintf("tongue.leaf=%.2f", thick), fmt.Sprintf("tongue.fold=%.2f", thick*between(0.5, 0.9)),
			fmt.Sprintf("tongue.length=%.1f", between(math.Max(8, 12*thick), 20)), fmt.Sprintf("tongue.taper=%.2f", between(0.6, 1)),
		}
	})
}

// forkSize is how long edges may be.
func (l leaf) forkSize(x, z float64) float64 {
	k := l.lock
	c := r2.Vec{X: k.XFold, Y: k.Plate.Spine + k.Fold}
	h := 0.6
	if z > k.Plate.Spine+k.Fold-0.1 && x > k.Plate.XHead-0.3 {
		h = k.Taper * k.Leaf / 4
	}
	return min(h, k.Fold/5+0.35*max(0, r2.Norm(r2.Sub(r2.Vec{X: x, Y: z}, c))-k.Fold))
}

// pinch presses a flank by finite elements.
func (l leaf) pinch(t *testing.T, size float64) (m *outside.Tets, b outside.Bent) {
	t.Helper()
	k, c := l.lock, l.said.Case
	ch, err := k.PlateSection()
	if err != nil {
		t.Fatal(err)
	}
	half := solid.New(solid.NewPrism(ch, -k.Plate.Thick/2, 0, "plate"), solid.AcrossY)
	m = fill(t, half, k.Fold*size*size/200, outside.Grading{Size: func(x, z float64) float64 { return size * l.forkSize(x, z) }, Step: 0.1, Across: 1.5})
	far := r3.Vec{X: 100, Y: 100, Z: 100}
	edge := r3.Vec{X: k.XTip + k.Chamfer, Z: k.Outside(k.XTip + k.Chamfer)}
	b = outside.Bend(t, m, outside.Load{Youngs: c.Metal.E, Poisson: c.Metal.Poisson, Press: c.Press,
		Held: within(m, r3.Scale(-1, far), r3.Vec{X: 100, Y: 100}), Mirror: within(m, r3.Vec{X: -100, Z: -100}, r3.Vec{X: 100, Z: 100}),
		Pressed: within(m, edge, r3.Vec{X: edge.X, Y: 100, Z: edge.Z})})
	if !(math.Abs(b.Force/b.Held-1) < 2e-3) {
		t.Errorf("%v: pressed with %g N, held with %g", l.Sets, b.Force, b.Held)
	}
	return m, b
}

// compareFork is finite elements over spring: force, stress at the slit's end and along the flank.
func (l leaf) compareFork(m *outside.Tets, b outside.Bent) (r ratios) {
	k, c := l.lock, l.said.Case
	r.put("force", 2*b.Force/c.Force)
	root := inside(m, b, r2.Vec{X: k.XFold, Y: k.Plate.Spine + k.Fold}, k.Fold, k.Plate.Thick)
	most := 0.0
	for _, s := range c.Stresses {
		if s.Part == spring.TheFold {
			most = max(most, math.Abs(s.Left))
		}
	}
	r.put("slit's end, mean across", greatest(root)/most)
	for _, at := range []float64{0.2, 0.35, 0.65} { // away from slit, knee and head
		x := k.XFold - at*k.Length
		for _, in := range []bool{true, false} {
			r.put(fmt.Sprintf("flank %.2f %s", at, map[bool]string{true: "in", false: "out"}[in]), l.alongFlank(m, b, x, in)/l.saidFlank(x, in))
		}
	}
	return r
}

// alongFlank is the stress along the flank at x on one of its sides: a straight line through the means of facets within a thickness.
func (l leaf) alongFlank(m *outside.Tets, b outside.Bent, x float64, in bool) float64 {
	k := l.lock
	side := k.Outside
	if in {
		side = k.Inside
	}
	angle := math.Pi + math.Atan2(side(x+0.1)-side(x-0.1), 0.2)
	var line straight
	for _, f := range m.F {
		var at, v float64
		on := true
		for n, i := range f.V {
			p := m.V[i]
			on = on && math.Abs(p.Z-side(p.X)) < 1e-4 && math.Abs(p.X-x) < k.Leaf
			if n >= 3 {
				at, v = at+(p.X-x)/3, v+fibre(b.S[i], angle)/3
			}
		}
		if on {
			line.add(facetArea(m, f), at, v)
		}
	}
	return line.at0()
}

// saidFlank is the spring's stress there, linear between the places that it gives.
func (l leaf) saidFlank(x float64, in bool) float64 {
	var ss []spring.Stress
	for _, s := range l.said.Case.Stresses {
		if s.Part == spring.UpperLeaf {
			ss = append(ss, s)
		}
	}
	i := slices.IndexFunc(ss, func(s spring.Stress) bool { return s.X < x }) // they run from the slit's end to the tip
	u := (ss[i-1].X - x) / (ss[i-1].X - ss[i].X)
	of := func(s spring.Stress) float64 {
		if in {
			return s.Left
		}
		return s.Right
	}
	return of(ss[i-1]) + u*(of(ss[i])-of(ss[i-1]))
}
