package fit

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Standard deviations against the definition, integral of x^2 times density, by Simpson's rule.
func TestSpreadSD(t *testing.T) {
	const h = 0.14
	cut := func(k float64) func(float64) float64 {
		n := distuv.Normal{Sigma: h / k}
		return func(x float64) float64 { return n.Prob(x) / (2*n.CDF(h) - 1) }
	}
	for _, c := range []struct {
		s       Spread
		density func(x float64) float64
	}{
		{Spread{Kind: Uniform, Half: h}, func(float64) float64 { return 1 / (2 * h) }},
		{Spread{Kind: Triangular, Half: h}, func(x float64) float64 { return (h - math.Abs(x)) / (h * h) }},
		{Spread{Kind: Normal, Half: h}, cut(3)},
		{Spread{Kind: Normal, Half: h, Sigmas: 1}, cut(1)},
		{Spread{Kind: Normal, Half: h, Sigmas: 6}, cut(6)},
	} {
		const n = 4000
		sum := 0.0
		for i := 0; i <= n; i++ {
			x := h * (2*float64(i)/n - 1)
			w := 2.0 + 2*float64(i%2)
			if i == 0 || i == n {
				w = 1
			}
			sum += w * x * x * c.density(x) * 2 * h / n / 3
		}
		if want := math.Sqrt(sum); !near(c.s.SD()/want, 1, 1e-6) {
			t.Errorf("%+v: standard deviation %.8f, by quadrature %.8f", c.s, c.s.SD(), want)
		}
	}
}

// ISO 8062-3:2007, table 2.
func TestCastingTolerance(t *testing.T) {
	for _, c := range []struct {
		grade         int
		nominal, want float64
	}{{4, 10, 0.26}, {6, 10, 0.52}, {4, 10.001, 0.28}, {6, 16, 0.54}, {1, 0.1, 0.09}, {10, 100, 3.2}, {5, 20, 0.42}} {
		if got, err := CastingTolerance(c.grade, c.nominal); err != nil || got != c.want {
			t.Errorf("DCTG %d of %g mm: %g, %v; the standard has %g", c.grade, c.nominal, got, err, c.want)
		}
	}
	for _, bad := range []struct {
		grade   int
		nominal float64
	}{{0, 5}, {11, 5}, {4, 0}, {4, -1}, {4, 101}, {4, math.NaN()}} {
		if _, err := CastingTolerance(bad.grade, bad.nominal); err == nil {
			t.Errorf("DCTG %d of %g mm was taken", bad.grade, bad.nominal)
		}
	}
	for i, r := range grades { // the table rises in both directions
		for g := 1; g < 10; g++ {
			if r.width[g] <= r.width[g-1] || i > 0 && r.width[g] <= grades[i-1].width[g] {
				t.Errorf("row to %g mm, DCTG %d: %g does not rise", r.upTo, g+1, r.width[g])
			}
		}
	}
}

// The sum of two uniforms is a trapezium, of three equal ones Irwin-Hall with pieces of the third degree; at ten it is near
// the normal.
func TestUniformSum(t *testing.T) {
	for _, c := range []struct {
		halves  []float64
		x, want float64
	}{
		{[]float64{1}, 0.5, 0.75},
		{[]float64{1, 1}, -1, 0.125},             // a triangle's corner: (1/2)(1/2)^2
		{[]float64{1, 1}, 1, 0.875},              //
		{[]float64{2, 1}, 0, 0.5},                // by symmetry
		{[]float64{2, 1}, -1, 0.25},              // trapezium: 2*2/2 of 8
		{[]float64{0.5, 0.5, 0.5}, -0.5, 1. / 6}, // Irwin-Hall, n 3 at 1: 1/3!
		{[]float64{0.5, 0.5, 0.5}, 0.5, 5. / 6},
		{[]float64{1, 1}, -2, 0},
		{[]float64{1, 1}, 2.1, 1},
	} {
		if got := UniformSum(c.halves, c.x); !near(got, c.want, 1e-12) {
			t.Errorf("sum of %v at most %g: %.15f, want %.15f", c.halves, c.x, got, c.want)
		}
	}
}

// Ten unequal uniforms against the same convolution on a grid, with steps so fine that its own error is below 1e-6.
func TestUniformSumAgainstGrid(t *testing.T) {
	halves := []float64{1, 0.1, 0.2, 0.5, 0.3, 0.7, 0.15, 0.9, 0.4, 0.6}
	const step = 0.005
	total := 0.0
	for _, h := range halves {
		total += h
	}
	n := int(math.Round(total/step)) + 5
	cdf := make([]float64, 2*n+1) // at (i-n) step; starts as the step function, right at its middle
	for i := range cdf {
		cdf[i] = map[bool]float64{true: 1}[i > n]
	}
	cdf[n] = 0.5
	for _, h := range halves {
		cdf = smooth(cdf, int(math.Round(h/step)))
	}
	for _, x := range []float64{-3, -2, -1, -0.5, 0, 0.25, 1.5, 3} {
		want := cdf[n+int(math.Round(x/step))]
		if got := UniformSum(halves, x); !near(got, want, 2e-5) {
			t.Errorf("at %g: %.8f, on the grid %.8f", x, got, want)
		}
	}
}

// smooth is the running mean over m places each way by the trapezium rule: adding a uniform to a distribution.
func smooth(f []float64, m int) []float64 {
	out := make([]float64, len(f))
	at := func(i int) float64 {
		if i < 0 {
			return 0
		}
		if i >= len(f) {
			return 1
		}
		return f[i]
	}
	for i := range f {
		sum := (at(i-m) + at(i+m)) / 2
		for k := i - m + 1; k < i+m; k++ {
			sum += at(k)
		}
		out[i] = sum / float64(2*m)
	}
	return out
}

// The lock as drawn: what Linear calls finished must be the plays that were drawn, and stock takes off each what its
// surfaces say. By hand, mm.
func TestStandardNominals(t *testing.T) {
	us, err := Linear(standard(t, nil))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][2]float64{
		"side play":                    {0.07, 0.07 - 0.05 - 0.10},
		"upper leaf to wall":           {0.12, 0.12 - 0.05 - 0.10},
		"tab to notch":                 {0.15, 0.15 - 0.10 - 0.10},
		"neck play":                    {0.04, 0.04 - (0.05+0.05+0.10+0.10)/2}, // floor, lip, neck above and below; halved
		"floor play":                   {0.08, 0.08 + 0.10 - 0.10},             // the neck stands on the floor: its stock lifts the leaf, the leaf's lowers it
		"engagement":                   {0.5, 0.5 + 0.10 + 0.10 + 0.05 + 0.05}, // under the neck, on the leaf, floor, lip
		"top gap":                      {0.12, 0.12 - 0.10 - 0.10 - 0.05 - 0.05},
		"room over the fold":           {0.2, 0.2 - 0.05 - 0.05 - 0.10 - 0.10},
		"end play":                     {0.15, 0.15 - 0.10 - 0.10 - 0.15},
		"gap when the chain pulls":     {0.2, 0.2 - 0.35},
		"fold to end wall":             {0.35, 0.35 + 0.10 + 0.10 - 0.05 - 0.05},
		"nose up: neck and floor play": {0.12, 0.04 - 0.15 + 0.08},
	}
	seen := 0
	for _, u := range us {
		w, ok := want[u.Name]
		if !ok {
			continue
		}
		seen++
		if !near(u.Finished, w[0], 1e-9) || !near(u.Cast, w[1], 1e-9) {
			t.Errorf("%s: finished %.6f, cast %.6f; by hand %.6f, %.6f", u.Name, u.Finished, u.Cast, w[0], w[1])
		}
	}
	if seen != len(want) {
		t.Errorf("%d of %d clearances are there", seen, len(want))
	}
}

// Side play by hand: two widths of DCTG 4 above 10 mm, 0.28 wide, halved; print 0.025 each, halved; stock 0.02 on wall and edge.
func TestLinearByHand(t *testing.T) {
	us, err := Linear(standard(t, func(_ *Lock, p *Process) { p.Casting = Uniform }))
	if err != nil {
		t.Fatal(err)
	}
	u := us[0]
	worst := 0.5*(0.14+0.14) + 0.5*(0.025+0.025) + 0.02 + 0.02
	sd := math.Sqrt((2*0.07*0.07 + 2*0.0125*0.0125 + 2*0.02*0.02) / 3)
	if u.Name != "side play" || !near(u.High-u.Cast, worst, 1e-12) || !near(u.Cast-u.Low, worst, 1e-12) || !near(u.SD, sd, 1e-12) || !u.Exact {
		t.Errorf("%+v; by hand worst case %.6f each way, standard deviation %.6f", u, worst, sd)
	}
	sum := 0.0
	for _, s := range u.Shares {
		sum += s.Variance
	}
	if !near(sum, 1, 1e-12) || !near(u.Shares[0].Variance, (0.07*0.07+0.0125*0.0125)/3/(sd*sd), 1e-12) {
		t.Errorf("shares of variance %+v", u.Shares)
	}
}

func TestValidateTellsAll(t *testing.T) {
	s := gap(Spread{Kind: "wide", Half: 1}, Spread{Half: -1})
	s.Surfaces = append(s.Surfaces, Surface{Name: "wall", Stock: -1}, Surface{Name: "rim", Left: Spread{Kind: Uniform, Half: 1}})
	s.Dimensions[0].Faces = append(s.Dimensions[0].Faces, Face{"nowhere", math.NaN()})
	s.Clearances[0].Terms = append(s.Clearances[0].Terms, Term{"depth", math.Inf(1)})
	s.Clearances[0].Aim = 1
	s.Clearances = append(s.Clearances, Clearance{})
	err := s.Validate()
	if err == nil {
		t.Fatal("taken")
	}
	for _, want := range []string{`unknown distribution "wide"`, "half width -1 mm", `surface "wall": is there twice`, "stock -1", "more than there is",
		`no surface "nowhere"`, "grows by NaN", `no dimension "depth"`, "+Inf times", "aim 1", "has no name", "depends on nothing"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("nothing about %q in:\n%v", want, err)
		}
	}
	if _, err := Run(s, 10, 1); err == nil {
		t.Error("Run took it")
	}
	if _, err := Run(gap(Spread{}, Spread{}), 0, 1); err == nil {
		t.Error("no samples were taken")
	}
	if _, err := Standard(lock124(), Process{Grade: 0}); err == nil {
		t.Error("grade 0 was taken")
	}
}

// Locks of other sizes and odd plays make a valid stack: a step drawn as 0 or downwards, a lock whose plays miss the limits, the longest
// chamber.
func TestStandardTakesOddLocks(t *testing.T) {
	for name, change := range map[string]func(*Lock){
		"no step under the leaf": func(l *Lock) { l.ZLeaf = l.Floor + l.NeckPlay },
		"step downwards":         func(l *Lock) { l.ZLeaf = l.Floor + 0.03; l.NeckPlay = 0.15 },
		"no side play":           func(l *Lock) { l.LowerWidth = l.Chamber },
		"long chamber":           func(l *Lock) { l.XRear += 40 },
		"no stock":               func(l *Lock) { l.Stock = Stock{} },
	} {
		s := standard(t, func(l *Lock, _ *Process) { change(l) })
		r := run(t, s, 1000, 1)
		if sum := r.TooLoose.Value + r.TooTight.Value + r.Conflict.Value; !near(sum, r.Lost.Value, 1e-12) || !near(r.Lost.Value+r.Fileable.Value, 1, 1e-12) || r.Kept.Value > r.Fileable.Value {
			t.Errorf("%s: shares do not add up: %+v", name, r)
		}
	}
	if _, err := Standard(func() Lock { l := lock124(); l.XRear = 120; return l }(), UsualProcess()); err == nil {
		t.Error("a chamber beyond the table was taken")
	}
}
