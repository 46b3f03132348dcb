package fit

import (
	"encoding/json"
	"math"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// The drawn castings against the closed form: standard deviations within 1 %, means within five standard errors.
func TestRunAgainstStackup(t *testing.T) {
	for _, kind := range []Kind{Uniform, Triangular, Normal} {
		s := standard(t, func(_ *Lock, p *Process) { p.Casting = kind })
		r := run(t, s, 60_000, 42)
		for _, c := range r.Clearances {
			if !near(c.SampleSD/c.SD, 1, 0.01) {
				t.Errorf("%s, %s: standard deviation %.5f, by the sum of squares %.5f", kind, c.Name, c.SampleSD, c.SD)
			}
			if !near(c.Mean, c.Cast, 5*c.SD/math.Sqrt(60_000)) {
				t.Errorf("%s, %s: mean %.5f, in closed form %.5f", kind, c.Name, c.Mean, c.Cast)
			}
		}
	}
}

// Shares and quantiles where they are known exactly: sums of uniforms, and normals that are hardly cut off.
func TestRunAgainstExactShares(t *testing.T) {
	whole := Spread{Kind: Normal, Half: 0.48, Sigmas: 6}
	for name, s := range map[string]Stack{
		"uniforms": gap(Spread{Kind: Uniform, Half: 0.1}, Spread{Kind: Uniform, Half: 0.04}),
		"normals":  gap(whole, whole),
	} {
		const n = 200_000
		r := run(t, s, n, 3)
		c := r.Clearances[0]
		if !c.Exact {
			t.Fatalf("%s: the share is not exact", name)
		}
		se := math.Sqrt(c.InLimits * (1 - c.InLimits) / n)
		if !near(c.Good.Value, c.InLimits, 4*se) || !near(c.Good.StdErr, se, 1e-4) {
			t.Errorf("%s: share between limits %.5f, exact %.5f, standard error %.5f", name, c.Good.Value, c.InLimits, se)
		}
	}
	// by hand: play is 0.05 plus half the difference; trapezium of halves 0.05 and 0.02 between -0.03 and 0.04
	uniform := run(t, gap(Spread{Kind: Uniform, Half: 0.1}, Spread{Kind: Uniform, Half: 0.04}), 1000, 1).Clearances[0]
	// density 10 on the top from -0.03 to 0.03; the slope falls to 0 at 0.07: from 0.03 to 0.04 it loses 0.01^2/2/0.04*10
	if want := 0.6 + 0.1 - 0.01*0.01/2/0.04*10; !near(uniform.InLimits, want, 1e-12) {
		t.Errorf("share between limits %.12f, by hand %.12f", uniform.InLimits, want)
	}
	normal := run(t, gap(whole, whole), 200_000, 1).Clearances[0]
	want := distuv.Normal{Mu: 0.05, Sigma: 0.08 / math.Sqrt2}
	bin := (normal.High - normal.Low) / bins
	for _, q := range []struct{ got, p float64 }{{normal.Low95, 0.025}, {normal.High95, 0.975}} {
		se := math.Sqrt(q.p*(1-q.p)/200_000) / want.Prob(want.Quantile(q.p))
		if !near(q.got, want.Quantile(q.p), 4*se+bin) {
			t.Errorf("quantile %g: %.5f, exact %.5f", q.p, q.got, want.Quantile(q.p))
		}
	}
}

// A play that a file can widen by up to 0.06 mm a side: lost are the castings above the upper limit, and those more than 0.06 below
// the lower one. Both shares are exact sums of uniforms.
func TestFileableExactly(t *testing.T) {
	h, e := Spread{Kind: Uniform, Half: 0.2}, Spread{Kind: Uniform, Half: 0.1}
	s := gap(h, e)
	s.Surfaces[1] = Surface{Name: "edge", Stock: 0.04, Spare: 0.02, Filable: true}
	const n = 200_000
	r := run(t, s, n, 9)
	halves := []float64{0.1, 0.05}
	cast := 0.05 - 0.04
	loose := 1 - UniformSum(halves, 0.09-cast)
	tight := UniformSum(halves, 0.02-0.06-cast)
	as := 1 - loose - UniformSum(halves, 0.02-cast)
	for _, c := range []struct {
		name string
		got  Share
		want float64
	}{{"too loose", r.TooLoose, loose}, {"too tight", r.TooTight, tight}, {"lost", r.Lost, loose + tight}, {"fileable", r.Fileable, 1 - loose - tight},
		{"as cast", r.AsCast, as}, {"conflict", r.Conflict, 0}, {"kept", r.Kept, 1 - loose - tight}} {
		if !near(c.got.Value, c.want, 4*math.Sqrt(c.want*(1-c.want)/n)) {
			t.Errorf("%s: %.5f, exact %.5f", c.name, c.got.Value, c.want)
		}
	}
	// with the hollow at its nominal the edge alone spreads by 0.05: up to 0.06 is fileable, -0.04 to 0.06 all of it
	if d := r.Dimensions[0]; d.LostHeld.Value != 0 || !near(d.Saves, loose+tight, 4*math.Sqrt(0.25/(n/heldEvery))) || r.Dearest != "hollow" {
		t.Errorf("hollow held: %+v, dearest %q", d, r.Dearest)
	}
	// with the edge at its nominal the hollow alone: uniform within 0.1 about 0.01, lost above 0.09 and below -0.04
	want := (0.11-0.09)/0.2 + (-0.04+0.09)/0.2
	if d := r.Dimensions[1]; !near(d.LostHeld.Value, want, 4*math.Sqrt(want*(1-want)/(n/heldEvery))) {
		t.Errorf("edge held: %+v, exact %.5f", d, want)
	}
}

// No error, no spread: the amounts are the drawn ones. Side play lacks 0.15, which the edges give up to their stock of 0.1, then the
// walls, cheaper than metal of the edge beyond its size only where the effort says so.
func TestFilingByHand(t *testing.T) {
	s := gap(Spread{}, Spread{})
	s.Surfaces = []Surface{{Name: "wall", Stock: 0.05, Spare: 0.1, Filable: true, Effort: 3}, {Name: "edge", Stock: 0.1, Spare: 0.1, Filable: true}}
	r := run(t, s, 1, 1) // as cast 0.05 - 0.05 - 0.1 = -0.1; to the aim of 0.05 it lacks 0.15
	if a, b := r.Surfaces[0].Mean, r.Surfaces[1].Mean; !near(a, 0.05, 1e-12) || !near(b, 0.1, 1e-12) {
		t.Errorf("wall %.4f, edge %.4f mm; want 0.05 and 0.1", a, b)
	}
	s.Surfaces[0].Effort = 5 // now 0.05 more off the edge, at 4 times its effort, is cheaper
	r = run(t, s, 1, 1)
	if a, b := r.Surfaces[0].Mean, r.Surfaces[1].Mean; !near(a, 0, 1e-12) || !near(b, 0.15, 1e-12) {
		t.Errorf("wall %.4f, edge %.4f mm; want 0 and 0.15", a, b)
	}
}

// Two overlaps that one surface serves in opposite ways: what widens the gap spoils the engagement.
func TestConflict(t *testing.T) {
	s := Stack{
		Surfaces:   []Surface{{Name: "top", Stock: 0.1, Filable: true}},
		Dimensions: []Dimension{{Name: "height", Nominal: 2, Faces: []Face{{"top", 1}}}, {Name: "roof", Nominal: 2.05}},
		Clearances: []Clearance{
			{Name: "gap", Terms: difference(1, "roof", "height"), Least: 0.06, Aim: 0.06, Most: 0.1},
			{Name: "engagement", Const: -1.5, Terms: one("height"), Least: 0.55, Aim: 0.55, Most: 0.7},
		},
	}
	r := run(t, s, 1, 1) // as cast height 2.1: gap -0.05, engagement 0.6; 0.11 off would do the gap, and leaves 0.49
	if r.TooTight.Value != 1 || r.Clearances[0].TooTight.Value != 1 {
		t.Errorf("only 0.1 may go: %+v", r)
	}
	s.Surfaces[0].Spare = 0.05
	r = run(t, s, 1, 1)
	if r.Conflict.Value != 1 || r.Clearances[0].Conflict.Value != 1 || r.Clearances[1].Conflict.Value != 1 {
		t.Errorf("each can be mended, both cannot: %+v", r)
	}
	s.Clearances[1].Least = 0.4
	if r = run(t, s, 1, 1); r.Fileable.Value != 1 || r.Surfaces[0].Mean == 0 {
		t.Errorf("with less engagement asked it fits: %+v", r)
	}
	s.Clearances[1].Least, s.Clearances[1].Aim = 0.65, 0.65
	if r = run(t, s, 1, 1); r.TooLoose.Value != 1 || r.Clearances[1].TooLoose.Value != 1 {
		t.Errorf("no file adds engagement: %+v", r)
	}
}

// Same seed, same bytes, on any number of cores; another seed, others.
func TestSameOnAnyCores(t *testing.T) {
	s := standard(t, func(_ *Lock, p *Process) { p.Grade = 6 })
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	read := func(seed uint64) string {
		r := run(t, s, 7_321, seed)
		for i := range r.Clearances { // JSON has no infinity
			c := &r.Clearances[i]
			c.Least, c.Most = max(c.Least, -9), min(c.Most, 9)
		}
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	want := ""
	for _, cores := range []int{1, 2, 8, 2} {
		runtime.GOMAXPROCS(cores)
		got := read(5)
		if want == "" {
			want = got
		}
		if got != want {
			t.Errorf("%d cores: other bytes", cores)
		}
	}
	if read(6) == want {
		t.Error("another seed, the same bytes")
	}
}

// Closer tolerances never lose more castings: with the same seed each casting errs the same way, only less, and the castings that can be
// filed are a convex set around the drawn one.
func TestCloserNeverLosesMore(t *testing.T) {
	for _, kind := range []Kind{Uniform, Triangular, Normal} {
		was := -1.0
		for _, k := range []float64{0, 0.3, 0.6, 1, 1.4, 2, 3, 5} {
			s := standard(t, func(_ *Lock, p *Process) { p.Casting = kind })
			for i := range s.Dimensions {
				s.Dimensions[i].Casting.Half *= k
				s.Dimensions[i].Print.Half *= k
			}
			for i := range s.Surfaces {
				s.Surfaces[i].Left = Spread{}
			}
			lost := run(t, s, 4000, 17).Lost.Value
			if lost < was {
				t.Errorf("%s, tolerance times %g: %.4f lost, %.4f with a closer one", kind, k, lost, was)
			}
			was = lost
		}
		if was < 0.1 {
			t.Errorf("%s: only %.4f lost at the coarsest: the test says little", kind, was)
		}
	}
}

// More stock never loses more castings, least of all as too loose.
func TestMoreStockNeverLosesMore(t *testing.T) {
	loose, lost := 2.0, 2.0
	for _, more := range []float64{0, 0.02, 0.05, 0.1, 0.2, 0.4} {
		s := standard(t, func(_ *Lock, p *Process) { p.Grade = 8 })
		for i := range s.Surfaces {
			if f := &s.Surfaces[i]; f.Filable {
				f.Stock += more
			}
		}
		r := run(t, s, 4000, 23)
		if r.TooLoose.Value > loose || r.Lost.Value > lost {
			t.Errorf("%.2f mm more stock: too loose %.4f after %.4f, lost %.4f after %.4f", more, r.TooLoose.Value, loose, r.Lost.Value, lost)
		}
		if more == 0 && r.TooLoose.Value < 0.01 {
			t.Errorf("only %.4f too loose to begin with: the test says little", r.TooLoose.Value)
		}
		loose, lost = r.TooLoose.Value, r.Lost.Value
	}
}

// No casting leaves the worst case, and castings come near it where few errors add up.
func TestWorstCaseHoldsAll(t *testing.T) {
	sys := newSystem(standard(t, func(_ *Lock, p *Process) { p.Casting = Uniform }))
	us := sys.linear()
	w := newWorker(sys, us)
	cast, file := stream(1, 1, 0), stream(1, 1, 1)
	widest := 0.0
	for range 50_000 {
		w.draw(cast, file)
		for _, b := range w.parts {
			b.load(sys, w.dim, w.left)
			for r, i := range b.p.rows {
				u := us[i]
				if x := b.start[r]; x < u.Low || x > u.High {
					t.Fatalf("%s: %.6f mm outside %.6f to %.6f", u.Name, x, u.Low, u.High)
				}
				if u.High > u.Low {
					widest = max(widest, math.Abs(b.start[r]-u.Cast)/(u.High-u.Cast))
				}
			}
		}
	}
	if widest < 0.9 {
		t.Errorf("castings reach %.3f of the worst case only: it is too wide", widest)
	}
}

// What the quick ways of fitsHeld say must be what the bench says of the stack with that dimension at its nominal. The streams differ when a
// spread is gone, so each casting is loaded by hand.
func TestHeldAgainstFresh(t *testing.T) {
	sys := newSystem(standard(t, func(_ *Lock, p *Process) { p.Grade = 7 }))
	w := newWorker(sys, sys.linear())
	cast, file := stream(2, 1, 0), stream(2, 1, 1)
	fits, not := 0, 0
	for range 1500 {
		w.draw(cast, file)
		w.judge()
		for i, b := range w.parts {
			for j, d := range b.p.dims {
				got := b.fitsHeld(j, w.dim[d])
				keep := w.dim[d]
				w.dim[d] = 0
				fresh := newPartBench(sys, &sys.parts[i])
				fresh.load(sys, w.dim, w.left)
				fresh.judge()
				w.dim[d] = keep
				if want := fresh.reason == Fits; got != want {
					t.Fatalf("%s held: fits %v, fresh %v", sys.stack.Dimensions[d].Name, got, want)
				}
				if got {
					fits++
				} else {
					not++
				}
			}
		}
	}
	if fits < 500 || not < 500 {
		t.Errorf("%d fit, %d do not: the test says little", fits, not)
	}
}

// The standard error falls as one over the root of the number of samples, and is what Share says.
func TestStandardErrorFallsAsRoot(t *testing.T) {
	s := gap(Spread{Kind: Uniform, Half: 0.2}, Spread{Kind: Normal, Half: 0.2})
	s.Surfaces[1] = Surface{Name: "edge", Stock: 0.04, Spare: 0.02, Filable: true}
	const seeds = 60
	var logN, logSE []float64
	for _, n := range []int{125, 500, 2000, 8000} {
		var lost []float64
		said := 0.0
		for seed := range uint64(seeds) {
			r := run(t, s, n, 100+seed)
			lost = append(lost, r.Lost.Value)
			said += r.Lost.StdErr / seeds
		}
		se := stat.StdDev(lost, nil)
		t.Logf("n %5d: lost %.4f, standard error over %d seeds %.5f, as said %.5f", n, stat.Mean(lost, nil), seeds, se, said)
		if !near(se/said, 1, 0.4) { // a deviation from 60 values is itself known to a ninth: four of these
			t.Errorf("n %d: standard error %.5f, said %.5f", n, se, said)
		}
		logN, logSE = append(logN, math.Log(float64(n))), append(logSE, math.Log(se))
	}
	_, slope := stat.LinearRegression(logN, logSE, nil, false)
	t.Logf("slope %.3f", slope)
	if !near(slope, -0.5, 0.12) {
		t.Errorf("slope %.3f, want -0.5", slope)
	}
}

// Neighbouring blocks and seeds share no numbers, and their sums are not correlated.
func TestStreamsDiffer(t *testing.T) {
	seen := map[uint64]bool{}
	for seed := range uint64(30) {
		for block := range uint64(30) {
			for purpose := range uint64(2) {
				x := stream(seed, block, purpose).Uint64()
				if seen[x] {
					t.Fatalf("seed %d, block %d, purpose %d begins as another", seed, block, purpose)
				}
				seen[x] = true
			}
		}
	}
	var a, b []float64
	for block := range uint64(4000) {
		a = append(a, stream(1, block, 0).Float64())
		b = append(b, stream(1, block+1, 0).Float64())
	}
	if c := stat.Correlation(a, b, nil); math.Abs(c) > 4/math.Sqrt(4000) {
		t.Errorf("first numbers of neighbouring blocks are correlated: %.4f", c)
	}
}

// Parts are filed on their own: the lock falls into widths, tab, heights and lengths.
func TestParts(t *testing.T) {
	sys := newSystem(standard(t, nil))
	var got []string
	for _, p := range sys.parts {
		var names []string
		for _, i := range p.rows {
			names = append(names, sys.stack.Clearances[i].Name)
		}
		got = append(got, strings.Join(names, ", "))
	}
	want := []string{"side play, upper leaf to wall", "tab to notch",
		"neck play, floor play, engagement, top gap, room over the fold, way to the stop, past the lip, nose up: neck and floor play, nose down: neck play and room over the fold",
		"end play, gap when the chain pulls, fold to end wall"}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("parts:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func BenchmarkStandard20000(b *testing.B) {
	s := standard(b, nil)
	for b.Loop() {
		run(b, s, DefaultSamples, 1)
	}
}
