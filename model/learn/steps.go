package learn

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Changes is what must change in what was held true so far, so that the readings are described.
type Changes struct {
	Chance float64 // of readings as far off as these, or farther, if nothing had changed: F-test of all values together
	Change []bool  // by value, growths first, then excesses, as in the fit
	To     []float64
	P      []float64 // chance of each value that changes, the others that stay held: t-test
}

// Changes says which of the values that were held true, growths first and then excesses, must change. Values found
// together lean on each other: to change one and to keep its neighbour would make both wrong. So values are put back to what
// was held true one at a time, the least significant first, and the rest is found anew each time, until all that are left
// are significant (backward elimination; N. R. Draper, H. Smith, Applied Regression Analysis). If all of them together are not significant by the F-test, nothing
// changes. alpha is the chance of an error at each, such as 0.05.
func (f *Fit) Changes(was []float64, alpha float64) Changes {
	n := len(was)
	out := Changes{Change: make([]bool, n), To: append([]float64(nil), was...), P: make([]float64, n)}
	held := make([]float64, n) // as the columns stand for them
	free := make([]bool, n)
	for i, v := range was {
		held[i], free[i] = v, true
		if i < len(f.Growth) {
			held[i] = 1/v - 1
		}
		out.P[i] = 1
	}
	all, _, _ := f.model.partial(f.rows, free, held)
	none, _, _ := f.model.partial(f.rows, make([]bool, n), held)
	nu := float64(f.Freedom)
	if all <= 1e-18*float64(len(f.rows)) { // readings without scatter, 1e-9 mm
		if none <= 1e-18*float64(len(f.rows)) {
			out.Chance = 1
		}
	} else {
		out.Chance = distuv.F{D1: float64(n), D2: nu}.Survival((none - all) / float64(n) / (all / nu))
	}
	if out.Chance > alpha {
		return out
	}
	for {
		squares, b, se := f.model.partial(f.rows, free, held)
		freedom := float64(len(f.rows))
		for _, yes := range free {
			if yes {
				freedom--
			}
		}
		scatter := math.Sqrt(squares / freedom)
		worst, most := -1, alpha
		for i, yes := range free {
			if !yes {
				continue
			}
			out.To[i], out.P[i] = b[i], 2*distuv.StudentsT{Sigma: 1, Nu: freedom}.Survival(math.Abs(b[i]-held[i])/math.Max(scatter*se[i], 1e-12))
			if i < len(f.Growth) {
				out.To[i] = 1 / (1 + b[i])
			}
			if out.P[i] > most {
				worst, most = i, out.P[i]
			}
		}
		if worst < 0 {
			break
		}
		free[worst] = false
		out.To[worst] = was[worst]
	}
	copy(out.Change, free)
	return out
}

// partial fits the values that are free, the others held: the sum of squares left, the values, and their standard
// deviations over the scatter.
func (m *model) partial(rows []int, free []bool, held []float64) (squares float64, b, se []float64) {
	x, y := m.matrix(rows)
	b, se = append([]float64(nil), held...), make([]float64, len(held))
	var columns []int
	for j, yes := range free {
		if yes {
			columns = append(columns, j)
			continue
		}
		y.AddScaledVec(y, -held[j], x.ColView(j))
	}
	if len(columns) > 0 {
		part := mat.NewDense(len(rows), len(columns), nil)
		for n, j := range columns {
			part.SetCol(n, mat.Col(nil, j, x))
		}
		var qr mat.QR
		qr.Factorize(part)
		var found mat.VecDense
		inverse, ok := inverted(part)
		if err := qr.SolveVecTo(&found, false, y); err == nil && ok { // it is of full rank, as all columns together are
			for n, j := range columns {
				b[j], se[j] = found.AtVec(n), math.Sqrt(inverse.At(n, n))
			}
			var back mat.VecDense
			back.MulVec(part, &found)
			y.SubVec(y, &back)
		}
	}
	return mat.Dot(y, y), b, se
}
