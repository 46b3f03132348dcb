package fit

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// problem is a filing problem by itself.
type problem struct {
	effect             [][]float64
	start, least, most []float64
	effort, stock, may []float64
}

// randomProblem has up to 6 clearances and 7 surfaces, effects of 0, halves and ones either way, as locks have. Some limits are open.
func randomProblem(r *rand.Rand) problem {
	m, n := 1+r.IntN(6), 1+r.IntN(7)
	var p problem
	for range m {
		row := make([]float64, n)
		for j := range row {
			row[j] = []float64{0, 0, 0.5, 1, 1, -1, 1.17}[r.IntN(7)]
		}
		least := r.NormFloat64() * 0.1
		p.effect, p.start = append(p.effect, row), append(p.start, least+r.NormFloat64()*0.2)
		most := least + 0.02 + 0.2*r.Float64()
		switch r.IntN(5) {
		case 0:
			most = math.Inf(1)
		case 1:
			least = math.Inf(-1)
		}
		p.least, p.most = append(p.least, least), append(p.most, most)
	}
	for range n {
		stock := []float64{0, 0.05, 0.1, 0.15}[r.IntN(4)]
		p.stock, p.may = append(p.stock, stock), append(p.may, stock+[]float64{0, 0.03, 0.1}[r.IntN(3)])
		p.effort = append(p.effort, 0.5+r.Float64())
	}
	return p
}

func (p problem) bench() *bench {
	part := &part{rows: make([]int, len(p.start)), files: make([]int, len(p.effort)), byRow: p.effect}
	return newBench(part, p.effort)
}

// reference solves the same problem by gonum's primal simplex: columns for metal up to the stock, metal beyond, and a slack for each
// bound.
func (p problem) reference() (effort float64, fits bool, err error) {
	n := len(p.effort)
	var rows [][]float64
	var rhs []float64
	limit := func(row []float64, most float64) { // row . (stock columns, further columns) <= most
		rows, rhs = append(rows, row), append(rhs, most)
	}
	for i, e := range p.effect {
		row, minus := make([]float64, 2*n), make([]float64, 2*n)
		for j, a := range e {
			row[j], row[n+j], minus[j], minus[n+j] = a, a, -a, -a
		}
		if !math.IsInf(p.most[i], 1) {
			limit(row, p.most[i]-p.start[i])
		}
		if !math.IsInf(p.least[i], -1) {
			limit(minus, p.start[i]-p.least[i])
		}
	}
	for j := range n {
		for k, most := range map[int]float64{j: p.stock[j], n + j: p.may[j] - p.stock[j]} {
			row := make([]float64, 2*n)
			row[k] = 1
			limit(row, most)
		}
	}
	a := mat.NewDense(len(rows), 2*n+len(rows), nil)
	cost := make([]float64, 2*n+len(rows))
	for j, e := range p.effort {
		cost[j], cost[n+j] = e, beyond*e
	}
	for i, row := range rows {
		for j, v := range row {
			a.Set(i, j, v)
		}
		a.Set(i, 2*n+i, 1)
	}
	best, _, err := lp.Simplex(cost, a, rhs, 0, nil)
	if errors.Is(err, lp.ErrInfeasible) {
		return 0, false, nil
	}
	return best, err == nil, err
}

func (p problem) effortOf(amounts []float64) float64 {
	sum := 0.0
	for j, x := range amounts {
		sum += p.effort[j] * (x + (beyond-1)*max(0, x-p.stock[j]))
	}
	return sum
}

// The bench against gonum's simplex on random problems: the same verdict, the same least effort, amounts within their bounds and
// clearances that follow from them.
func TestBenchAgainstSimplex(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	fit, unfit, unsure := 0, 0, 0
	for k := range 3000 {
		p := randomProblem(r)
		b := p.bench()
		got := b.file(p.start, p.stock, p.may, p.least, p.most)
		want, fits, err := p.reference()
		if err != nil {
			unsure++ // the reference gives up on some degenerate problems; counted below
			continue
		}
		if got != fits {
			t.Fatalf("problem %d: fits %v, by simplex %v: %+v", k, got, fits, p)
		}
		if !got {
			unfit++
			continue
		}
		fit++
		p.checkAmounts(t, k, b)
		if e := p.effortOf(b.amounts()); !near(e, want, 1e-7) {
			t.Errorf("problem %d: effort %.9f, by simplex %.9f", k, e, want)
		}
	}
	t.Logf("%d can be filed, %d cannot, the reference gave up on %d", fit, unfit, unsure)
	if fit < 500 || unfit < 500 || unsure > 300 {
		t.Errorf("too few problems of a kind: %d, %d, %d", fit, unfit, unsure)
	}
}

func (p problem) checkAmounts(t *testing.T, k int, b *bench) {
	t.Helper()
	for j, x := range b.amounts() {
		if x < -1e-8 || x > p.may[j]+1e-8 {
			t.Errorf("problem %d: %g of %g mm filed", k, x, p.may[j])
		}
	}
	for i, y := range b.clearances() {
		want := p.start[i]
		for j, x := range b.amounts() {
			want += p.effect[i][j] * x
		}
		if !near(y, want, 1e-9) || y < p.least[i]-1e-8 || y > p.most[i]+1e-8 {
			t.Errorf("problem %d: clearance %g, by sum %g, limits %g to %g", k, y, want, p.least[i], p.most[i])
		}
	}
}

// What resumes from a neighbouring casting must come to the verdict of a fresh start, and what a proof refutes must not fit.
func TestResumeAgainstFresh(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	refuted, tight := 0, 0
	for k := range 20000 {
		p := randomProblem(r)
		b, again, fresh := p.bench(), p.bench(), p.bench()
		goal, moved, move := append([]float64{}, p.least...), make([]float64, len(p.start)), make([]float64, len(p.start))
		for i := range move {
			move[i] = r.NormFloat64() * 0.05
			moved[i] = p.start[i] + move[i]
			goal[i] += 0.01
		}
		fits := b.file(p.start, p.stock, p.may, goal, p.most)
		want := fresh.file(moved, p.stock, p.may, p.least, p.most)
		if got := again.resume(b, move, p.least, p.most); got != want {
			t.Fatalf("problem %d: resumed %v, fresh %v: %+v", k, got, want, p)
		}
		if !fits && !b.file(p.start, p.stock, p.may, p.least, p.most) {
			tight++
			if b.refutes(move) {
				refuted++
				if want {
					t.Fatalf("problem %d: refuted, but fits: %+v", k, p)
				}
			}
		}
	}
	if refuted < 1000 || tight <= refuted {
		t.Errorf("%d of %d refusals still hold: both must happen often", refuted, tight)
	}
}

// The steps that castings of the standard lock take, coarse grades included, stay far below what turns the method to its safe
// order.
func TestPatience(t *testing.T) {
	most := 0
	for _, grade := range []int{2, 4, 6, 9} {
		sys := newSystem(standard(t, func(_ *Lock, p *Process) { p.Grade = grade }))
		w := newWorker(sys, sys.linear())
		cast, file := stream(1, uint64(grade), 0), stream(1, uint64(grade), 1)
		for range 2000 {
			w.draw(cast, file)
			for _, b := range w.parts {
				b.load(sys, w.dim, w.left)
				b.goals()
				most = max(most, steps(b, b.least, b.most), steps(b, b.p.least, b.p.most))
			}
		}
	}
	t.Logf("at most %d steps", most)
	if most > patience/3 {
		t.Errorf("%d steps", most)
	}
}

func steps(b *partBench, least, most []float64) int {
	b.bench.begin(b.start, b.stock, b.may, least, most)
	for n := 0; ; n++ {
		r, up := b.bench.worst(false)
		if r < 0 {
			return n
		}
		c, price := b.bench.enter(r, up)
		switch v := b.bench.basic[r].number; {
		case b.bench.ranged(v, up) && b.bench.extra(v) <= price:
			b.bench.change(r)
		case c < 0:
			return n
		default:
			b.bench.pivot(r, c, up)
		}
	}
}

// Castings filed one after another must come out as each does from a fresh start: the same verdict and the same effort. Limits and
// stock change from one to the next as goals and castings do.
func TestNextAgainstFresh(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 1))
	fit, unfit := 0, 0
	for range 400 {
		p := randomProblem(r)
		warm := p.bench()
		for k := range 60 {
			q := p.varied(r)
			fresh := q.bench()
			got, want := warm.next(q.start, q.stock, q.may, q.least, q.most), fresh.file(q.start, q.stock, q.may, q.least, q.most)
			if got != want {
				t.Fatalf("casting %d: fits %v, fresh %v: %+v", k, got, want, q)
			}
			if !got {
				unfit++
				continue
			}
			fit++
			q.checkAmounts(t, k, warm)
			if a, b := q.effortOf(warm.amounts()), q.effortOf(fresh.amounts()); !near(a, b, 1e-8) {
				t.Fatalf("casting %d: effort %.9f, fresh %.9f: %+v", k, a, b, q)
			}
		}
	}
	if fit < 2000 || unfit < 2000 {
		t.Errorf("%d fit, %d do not: the test says little", fit, unfit)
	}
}

// varied is the problem with another start, other stock, and limits that close in on an aim at times.
func (p problem) varied(r *rand.Rand) problem {
	q := p
	q.start, q.stock, q.may, q.least, q.most = nil, nil, nil, nil, nil
	for i, x := range p.start {
		q.start = append(q.start, x+0.1*r.NormFloat64())
		least, most := p.least[i], p.most[i]
		if aim := least + 0.01; r.IntN(4) == 0 && aim < most {
			least = aim
			if r.IntN(2) == 0 && !math.IsInf(aim, 0) && !math.IsInf(most, 0) {
				most = aim
			}
		}
		q.least, q.most = append(q.least, least), append(q.most, most)
	}
	for j, x := range p.stock {
		d := 0.0
		if x > 0 && r.IntN(8) > 0 {
			d = 0.02 * (2*r.Float64() - 1)
		} else if x > 0 && r.IntN(8) == 0 {
			d = -x
		}
		q.stock, q.may = append(q.stock, x+d), append(q.may, p.may[j]+d)
	}
	return q
}
