package fit

import "fmt"

// gradeRow is a row of the table: full widths of the tolerance, mm, for nominal lengths up to UpTo mm.
type gradeRow struct {
	upTo  float64
	width [10]float64 // DCTG 1 to 10
}

// grades is the beginning of ISO 8062-3:2007, Geometrical product specifications: dimensional and geometrical tolerances
// for moulded parts, part 3, table 2: linear dimensional casting tolerances. A later edition was not seen.
var grades = []gradeRow{
	{10, [10]float64{0.09, 0.13, 0.18, 0.26, 0.36, 0.52, 0.74, 1.0, 1.5, 2.0}},
	{16, [10]float64{0.10, 0.14, 0.20, 0.28, 0.38, 0.54, 0.78, 1.1, 1.6, 2.2}},
	{25, [10]float64{0.11, 0.15, 0.22, 0.30, 0.42, 0.58, 0.82, 1.2, 1.7, 2.4}},
	{40, [10]float64{0.12, 0.17, 0.24, 0.32, 0.46, 0.64, 0.90, 1.3, 1.8, 2.6}},
	{63, [10]float64{0.13, 0.18, 0.26, 0.36, 0.50, 0.70, 1.0, 1.4, 2.0, 2.8}},
	{100, [10]float64{0.14, 0.20, 0.28, 0.40, 0.56, 0.78, 1.1, 1.6, 2.2, 3.2}},
}

// The grades of ISO 8062-3 that the table holds. Investment castings are usually quoted DCTG 4 to 6.
const (
	FinestGrade   = 1
	CoarsestGrade = 10
)

// CastingTolerance is the full width of the linear dimensional casting tolerance DCTG, mm, for a nominal length in mm:
// the length as cast may be off by half of it each way (ISO 8062-3:2007, table 2). grade is 1 to 10, nominal above 0 and
// at most 100 mm.
func CastingTolerance(grade int, nominal float64) (float64, error) {
	if grade < FinestGrade || grade > CoarsestGrade {
		return 0, fmt.Errorf("casting grade DCTG %d: must be %d to %d", grade, FinestGrade, CoarsestGrade)
	}
	if !(nominal > 0) {
		return 0, fmt.Errorf("casting tolerance of %g mm: the length must be above 0", nominal)
	}
	for _, r := range grades {
		if nominal <= r.upTo {
			return r.width[grade-1], nil
		}
	}
	return 0, fmt.Errorf("casting tolerance of %g mm: the table ends at 100 mm", nominal)
}
