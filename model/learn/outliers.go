package learn

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// outliers are the readings that do not belong to the rest: the one with the greatest externally studentized residual is
// set aside, and the rest is fitted anew, for a fifth of the readings at most; all up to the last one that Bonferroni's
// bound finds too far off are outliers, so that two of them cannot hide each other. The residual is that of R. D. Cook,
// S. Weisberg, Residuals and Influence in Regression (1982), the steps those of B. Rosner's generalized ESD procedure,
// Technometrics 25 (1983) 165 (both from memory).
func (m *model) outliers(rows []int, alpha float64) []Outlier {
	rows = slices.Clone(rows)
	var aside []Outlier
	last := 0
	for range max(1, len(rows)/5) {
		s, ok := m.solve(rows)
		if !ok || s.freedom <= spare {
			break
		}
		worst, most := -1, 0.0
		for i := range rows {
			if t := s.studentized(i); t > most {
				worst, most = i, t
			}
		}
		if worst < 0 {
			break
		}
		chance := 2 * distuv.StudentsT{Sigma: 1, Nu: float64(s.freedom - 1)}.Survival(most)
		x := Outlier{Index: rows[worst], P: math.Min(1, float64(len(rows))*chance)}
		aside = append(aside, x)
		if x.P < alpha {
			last = len(aside)
		}
		rows = slices.Delete(rows, worst, worst+1)
	}
	return aside[:last]
}

// studentized is the size of a residual over its standard deviation, that found without the reading itself. A reading that
// nothing else bears on has none.
func (s solution) studentized(i int) float64 {
	free := 1 - s.leverage[i]
	if free < 1e-9 {
		return 0
	}
	e2 := s.residual[i] * s.residual[i] / free
	rest := (s.squares - e2) / float64(s.freedom-1)
	if rest <= 1e-18 { // the others agree to the last digit, 1e-9 mm
		if e2 <= 1e-18 {
			return 0
		}
		return math.Inf(1)
	}
	return math.Sqrt(e2 / rest)
}
