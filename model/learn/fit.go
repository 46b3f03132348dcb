package learn

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Reading is one dimension of one casting, read.
type Reading struct {
	Piece, Name string
	Axis        int                // 0, 1 or 2
	Pattern     float64            // mm, the same dimension of the pattern as it was sent, above 0
	Faces       map[string]float64 // by kind of surface, how often its excess counts: 2 over two sides, -1 into a hollow
	Read        float64            // mm
}

// Options say how a fit is made; the zero value is the usual.
type Options struct {
	Confidence float64 // of intervals; 0 means 0.95
	Outlier    float64 // chance that sound readings lose one as an outlier; 0 means 0.01
	GrowthOnly bool    // excess is taken as 0
}

// Parameter is one thing found.
type Parameter struct {
	Axis     int    // of a growth; -1 for an excess
	Kind     string // of surface, of an excess
	Readings int    // that it rests on
	Value    float64
	Low      float64 // ends of the interval
	High     float64
	est, se  float64 // of what is linear: 1/growth, or the excess
}

// Outlier is a reading that does not belong to the others.
type Outlier struct {
	Index int     // in the readings
	Off   float64 // mm, read over what the others let expect
	P     float64 // chance of so much or more among so many sound readings, Bonferroni's bound
}

// Fit is what readings say.
type Fit struct {
	Growth     []Parameter // pattern over casting, by axis, of those that were read
	Excess     []Parameter // mm, of the kinds that could be told apart
	Held       []string    // kinds that could not: their excess is taken as 0, and is in the growth
	Scatter    float64     // mm, standard deviation of a reading
	ScatterLow float64
	ScatterTop float64
	Freedom    int // readings less what was found
	Used       int // readings without outliers
	Outliers   []Outlier
	Residuals  []float64 // mm, read less fitted, by reading; of outliers too

	model *model
	rows  []int // that were used
}

// spare is how many readings there must be beyond what is found: with fewer, Student's factor passes 3.2 and says little.
const spare = 3

// TooFew says that there are not enough readings.
type TooFew struct{ Have, Need, Parameters int }

func (e *TooFew) Error() string {
	return fmt.Sprintf("holds %d readings, too few to find growth along %d axes: at least %d are needed", e.Have, e.Parameters, e.Need)
}

// Run fits readings. It fails with *TooFew.
func Run(readings []Reading, o Options) (*Fit, error) {
	if o.Confidence == 0 {
		o.Confidence = 0.95
	}
	if o.Outlier == 0 {
		o.Outlier = 0.01
	}
	m := newModel(readings, o.GrowthOnly)
	if p := len(m.axes) + len(m.kinds); len(readings) < p+spare || p == 0 {
		return nil, &TooFew{len(readings), max(p, 1) + spare, max(p, 1)}
	}
	kept := make([]int, len(readings))
	for i := range kept {
		kept[i] = i
	}
	outliers := m.outliers(kept, o.Outlier)
	for _, x := range outliers {
		kept = slices.DeleteFunc(kept, func(i int) bool { return i == x.Index })
	}
	m = m.without(kept, o.GrowthOnly)
	s, ok := m.solve(kept)
	if !ok {
		return nil, &TooFew{len(kept), len(m.axes) + len(m.kinds) + spare, len(m.axes) + len(m.kinds)}
	}
	return m.report(s, kept, outliers, o), nil
}

// model is which columns the readings are fitted by.
type model struct {
	all   []Reading
	axes  []int
	kinds []string
	held  []string
}

// newModel takes every axis that was read, and of the kinds those that can be told apart, the best covered first.
func newModel(all []Reading, growthOnly bool) *model {
	rows := make([]int, len(all))
	for i := range rows {
		rows[i] = i
	}
	return (&model{all: all}).without(rows, growthOnly)
}

// without is the model that the rows kept can bear.
func (m *model) without(rows []int, growthOnly bool) *model {
	out := &model{all: m.all}
	count := map[string]int{}
	for _, i := range rows {
		r := m.all[i]
		if !slices.Contains(out.axes, r.Axis) {
			out.axes = append(out.axes, r.Axis)
		}
		for k, n := range r.Faces {
			if n != 0 {
				count[k]++
			}
		}
	}
	slices.Sort(out.axes)
	var kinds []string
	for k := range count {
		kinds = append(kinds, k)
	}
	slices.SortFunc(kinds, func(a, b string) int { return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(a, b)) })
	for _, k := range kinds {
		try := &model{all: m.all, axes: out.axes, kinds: append(slices.Clone(out.kinds), k)}
		if growthOnly || len(rows) < len(try.axes)+len(try.kinds)+spare || !try.apart(rows) {
			out.held = append(out.held, k)
			continue
		}
		out.kinds = try.kinds
	}
	slices.Sort(out.kinds)
	slices.Sort(out.held)
	return out
}

// inflation is up to how much the variance of a value may be inflated by the others (variance inflation factor; Draper and
// Smith, as in doc.go): beyond, the readings cannot tell it from them.
const inflation = 1e4

// apart says whether every column can be told from the others.
func (m *model) apart(rows []int) bool {
	x, _ := m.matrix(rows)
	inverse, ok := inverted(x)
	if !ok {
		return false
	}
	for j := range len(m.axes) + len(m.kinds) {
		c := x.ColView(j)
		if inverse.At(j, j)*mat.Dot(c, c) > inflation {
			return false
		}
	}
	return true
}

// inverted is the inverse of X'X.
func inverted(x *mat.Dense) (*mat.SymDense, bool) {
	_, p := x.Dims()
	var gram mat.SymDense
	gram.SymOuterK(1, x.T())
	var ch mat.Cholesky
	if !ch.Factorize(&gram) || ch.Cond() > 1e14 {
		return nil, false
	}
	out := mat.NewSymDense(p, nil)
	return out, ch.InverseTo(out) == nil
}

// matrix is the design and what is fitted: reading less pattern, so that the columns of growth stand for u - 1.
func (m *model) matrix(rows []int) (*mat.Dense, *mat.VecDense) {
	p := len(m.axes) + len(m.kinds)
	x, y := mat.NewDense(len(rows), p, nil), mat.NewVecDense(len(rows), nil)
	for n, i := range rows {
		x.SetRow(n, m.row(m.all[i]))
		y.SetVec(n, m.all[i].Read-m.all[i].Pattern)
	}
	return x, y
}

func (m *model) row(r Reading) []float64 {
	row := make([]float64, 0, len(m.axes)+len(m.kinds))
	for _, a := range m.axes {
		v := 0.0
		if a == r.Axis {
			v = r.Pattern
		}
		row = append(row, v)
	}
	for _, k := range m.kinds {
		row = append(row, r.Faces[k])
	}
	return row
}

// solution is a least-squares fit of some rows.
type solution struct {
	b        []float64
	inverse  *mat.SymDense // of X'X
	residual []float64     // by row
	leverage []float64
	squares  float64 // sum of the residuals'
	freedom  int
}

func (m *model) solve(rows []int) (solution, bool) {
	x, y := m.matrix(rows)
	n, p := x.Dims()
	s := solution{freedom: n - p}
	if s.freedom < 1 {
		return s, false
	}
	var qr mat.QR
	qr.Factorize(x)
	var b mat.VecDense
	if qr.SolveVecTo(&b, false, y) != nil {
		return s, false
	}
	inverse, ok := inverted(x)
	if !ok {
		return s, false
	}
	s.inverse, s.b = inverse, b.RawVector().Data
	for i := range n {
		row := x.RowView(i)
		e := y.AtVec(i) - mat.Dot(row, &b)
		s.residual = append(s.residual, e)
		s.leverage = append(s.leverage, mat.Inner(row, inverse, row))
		s.squares += e * e
	}
	return s, true
}

// report turns a solution into what is told.
func (m *model) report(s solution, kept []int, outliers []Outlier, o Options) *Fit {
	f := &Fit{model: m, rows: kept, Held: m.held, Freedom: s.freedom, Used: len(kept), Outliers: outliers}
	nu := float64(s.freedom)
	f.Scatter = math.Sqrt(s.squares / nu)
	chi := distuv.ChiSquared{K: nu}
	f.ScatterLow = math.Sqrt(s.squares / chi.Quantile((1+o.Confidence)/2))
	f.ScatterTop = math.Sqrt(s.squares / chi.Quantile((1-o.Confidence)/2))
	t := distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile((1 + o.Confidence) / 2)
	for j, b := range s.b {
		p := Parameter{Axis: -1, est: b, se: f.Scatter * math.Sqrt(s.inverse.At(j, j))}
		if j < len(m.axes) {
			p.Axis, p.est = m.axes[j], 1+b
			// 1/u falls as u rises: the ends of the interval change places
			p.Value, p.Low, p.High = 1/p.est, 1/(p.est+t*p.se), 1/(p.est-t*p.se)
		} else {
			p.Kind = m.kinds[j-len(m.axes)]
			p.Value, p.Low, p.High = b, b-t*p.se, b+t*p.se
		}
		for _, i := range kept {
			if m.row(m.all[i])[j] != 0 {
				p.Readings++
			}
		}
		if p.Axis >= 0 {
			f.Growth = append(f.Growth, p)
		} else {
			f.Excess = append(f.Excess, p)
		}
	}
	for _, r := range m.all {
		e := r.Read - r.Pattern
		for j, v := range m.row(r) {
			e -= v * s.b[j]
		}
		f.Residuals = append(f.Residuals, e)
	}
	for i := range f.Outliers {
		f.Outliers[i].Off = f.Residuals[f.Outliers[i].Index]
	}
	return f
}

// Chance is the chance of a value as far off as was found, or farther, if it truly were was: two-sided Student's test.
func (f *Fit) Chance(p Parameter, was float64) float64 {
	if p.Axis >= 0 {
		was = 1 / was
	}
	if p.se == 0 {
		if p.est == was {
			return 1
		}
		return 0
	}
	t := math.Abs(p.est-was) / p.se
	return 2 * distuv.StudentsT{Sigma: 1, Nu: float64(f.Freedom)}.Survival(t)
}
