//go:build long

package contour

import (
	"flag"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// plotFile is where the picture of the cost goes: go test -tags long -run LongCost -plot FILE.png.
var plotFile = flag.String("plot", "", "PNG file for the cost curves; none is written without it")

// cost is what one mesh takes.
type cost struct {
	tolerance float64 // mm
	stones    int
	area      float64 // of the mesh, mm2
	seconds   float64 // of the processor, on one thread, median of three
	proof     float64 // Verify, the same, once
	allocated float64 // MiB, whatever becomes of it later
	peak      float64 // MiB, of the whole process
	facets    float64
}

// series is a row of costs against one of their figures.
type series struct {
	name  string
	over  func(cost) float64
	costs []cost
}

// yields are the figures that are fitted.
var yields = []struct {
	name string
	of   func(cost) float64
}{
	{"seconds", func(c cost) float64 { return c.seconds }},
	{"seconds of proof", func(c cost) float64 { return c.proof }},
	{"MiB allocated", func(c cost) float64 { return c.allocated }},
	{"facets", func(c cost) float64 { return c.facets }},
}

func tolerance(c cost) float64 { return c.tolerance }
func stones(c cost) float64    { return float64(c.stones) }

// The cost of meshing against the tolerance, with 40 seats, and against the stones, at 0.005 mm; from 40 stones on the box
// grows with them, so that each brings the same surface along. Every mesh is proven. Only what does not depend on the
// machine is asserted, with a twentieth to spare in the exponent: facets go up no faster than one over the tolerance, and
// facets and memory no faster than the stones, where work on each stone for each part of the surface would give 2. With
// -short three of each are measured.
func TestLongCost(t *testing.T) {
	tolerances, seats := []float64{0.02, 0.01, 0.005, 0.002, 0.001}, []int{0, 10, 40, 100, 200}
	if testing.Short() {
		tolerances, seats = tolerances[:3], seats[:3]
	}
	var byTolerance, byStones []cost
	for _, tol := range tolerances {
		byTolerance = append(byTolerance, costOf(t, tol, 40))
	}
	for _, n := range seats {
		byStones = append(byStones, costOf(t, 0.005, n))
	}
	all := []series{
		{"tolerance, mm", tolerance, byTolerance},
		{"stones, from 10 on", stones, byStones[1:]},
	}
	t.Logf("\n%s\n%s", costTable(append(byTolerance, byStones...)), fitTable(all))
	for _, y := range yields[2:] {
		if over, f := fit(all[0], y.of), fit(all[1], y.of); over.exponent < -1.05 || f.exponent > 1.05 {
			t.Errorf("%s go with tolerance^%.2f, stones^%.2f", y.name, over.exponent, f.exponent)
		}
	}
	if *plotFile != "" {
		drawCosts(t, *plotFile, all[0], all[1])
	}
}

// costOf meshes and proves a box with so many seats.
func costOf(t *testing.T, tol float64, seats int) cost {
	t.Helper()
	s := longBox(seats).solid(t)
	var m *Mesh
	mesh := func() {
		var err error
		if m, err = Of(s, tol); err != nil {
			t.Fatalf("%d seats at %g mm: %v", seats, tol, err)
		}
	}
	c := cost{tolerance: tol, stones: seats, peak: PeakMiB(t, mesh), allocated: allocatedMiB(mesh), seconds: Median([]float64{Processor(mesh), Processor(mesh), Processor(mesh)})}
	c.proof = Processor(func() {
		if _, err := Verify(m, s, tol); err != nil {
			t.Errorf("%d seats at %g mm: %v", seats, tol, err)
		}
	})
	c.area, c.facets = Area(m), float64(len(m.T))
	return c
}

// allocatedMiB is what f asks of the heap in all.
func allocatedMiB(f func()) float64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	OnThreads(1, f)
	runtime.ReadMemStats(&after)
	return float64(after.TotalAlloc-before.TotalAlloc) / (1 << 20)
}

// power is y = factor x^exponent, fitted by least squares on the logarithms; off is the greatest factor by which a value
// lies beside it.
type power struct{ factor, exponent, off float64 }

func (p power) at(x float64) float64 { return p.factor * math.Pow(x, p.exponent) }

func fit(s series, of func(cost) float64) power {
	var x, y []float64
	for _, c := range s.costs {
		x, y = append(x, math.Log(s.over(c))), append(y, math.Log(of(c)))
	}
	a, b := stat.LinearRegression(x, y, nil, false)
	worst := 0.0
	for i := range x {
		worst = math.Max(worst, math.Abs(y[i]-a-b*x[i]))
	}
	return power{math.Exp(a), b, math.Exp(worst)}
}

func costTable(costs []cost) string {
	var b strings.Builder
	b.WriteString("| tolerance, mm | stones | surface, mm2 | seconds | proof, seconds | MiB allocated | MiB at the peak | facets |\n|---|---|---|---|---|---|---|---|\n")
	for _, c := range costs {
		fmt.Fprintf(&b, "| %g | %d | %.0f | %.3f | %.3f | %.0f | %.0f | %.0f |\n", c.tolerance, c.stones, c.area, c.seconds, c.proof, c.allocated, c.peak, c.facets)
	}
	return b.String()
}

func fitTable(all []series) string {
	var b strings.Builder
	b.WriteString("| exponent of | in the " + all[0].name)
	for _, s := range all[1:] {
		b.WriteString(" | in the " + s.name)
	}
	b.WriteString(" |\n|---" + strings.Repeat("|---", len(all)) + "|\n")
	for _, y := range yields {
		b.WriteString("| " + y.name)
		for _, s := range all {
			f := fit(s, y.of)
			fmt.Fprintf(&b, " | %.2f (within a factor of %.2f)", f.exponent, f.off)
		}
		b.WriteString(" |\n")
	}
	return b.String()
}

// The fit finds what a table made by y = 3 x^-0.5 was made by, and how far off one value is that was doubled.
func TestCostFitFindsThePower(t *testing.T) {
	s := series{"tolerance", tolerance, nil}
	for _, x := range []float64{1, 2, 4, 8, 16} {
		s.costs = append(s.costs, cost{tolerance: x, seconds: 3 / math.Sqrt(x)})
	}
	seconds := yields[0].of
	if f := fit(s, seconds); math.Abs(f.factor-3) > 1e-12 || math.Abs(f.exponent+0.5) > 1e-12 || f.off > 1+1e-12 {
		t.Errorf("%+v", f)
	}
	s.costs[2].seconds *= 2 // in the middle of five: the line rises by a fifth of ln 2, and the value lies above by the rest
	if f := fit(s, seconds); math.Abs(f.exponent+0.5) > 1e-12 || math.Abs(f.off-math.Pow(2, 0.8)) > 1e-12 {
		t.Errorf("with one value doubled: %+v", f)
	}
}
