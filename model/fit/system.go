package fit

import "math"

// system is a stack as matrices: rows are clearances.
type system struct {
	stack    Stack
	byDim    [][]float64 // clearance per mm of dimension
	byFile   [][]float64 // clearance per mm filed off a surface
	finished []float64   // each clearance with every dimension at its nominal, mm
	cast     []float64   // the same with all stock on, mm
	parts    []part
}

// newSystem takes a valid stack.
func newSystem(s Stack) *system {
	sys := &system{stack: s, finished: make([]float64, len(s.Clearances)), cast: make([]float64, len(s.Clearances))}
	dims, faces := map[string]int{}, map[string]int{}
	for i, d := range s.Dimensions {
		dims[d.Name] = i
	}
	for i, f := range s.Surfaces {
		faces[f.Name] = i
	}
	for i, c := range s.Clearances {
		byDim, byFile := make([]float64, len(s.Dimensions)), make([]float64, len(s.Surfaces))
		sys.finished[i] = c.Const
		for _, t := range c.Terms {
			j := dims[t.Dimension]
			byDim[j] += t.Times
			sys.finished[i] += t.Times * s.Dimensions[j].Nominal
			for _, f := range s.Dimensions[j].Faces {
				byFile[faces[f.Surface]] -= t.Times * f.Grow
			}
		}
		sys.cast[i] = sys.finished[i]
		for k, f := range s.Surfaces {
			sys.cast[i] -= byFile[k] * f.Stock
		}
		sys.byDim, sys.byFile = append(sys.byDim, byDim), append(sys.byFile, byFile)
	}
	sys.split()
	return sys
}

// part is a set of clearances that share no dimension and no surface with any other: it is filed on its own.
type part struct {
	rows  []int        // clearances
	dims  []int        // dimensions they depend on
	files []int        // surfaces whose filing changes them
	least []float64    // limits, by row of the part
	aim   []float64    //
	most  []float64    //
	byDim [][]float64  // by row and dimension of the part
	byRow [][]float64  // by row and file of the part
	left  [][]faceTerm // by row: what stock beyond nominal does
	mends [][2]bool    // by row: would metal off any of its surfaces, reached by a file or not, bring it down, up?
}

// faceTerm is the effect of filing a surface.
type faceTerm struct {
	surface int
	effect  float64
}

// split finds the parts: clearances are joined where they share a dimension or a surface.
func (sys *system) split() {
	n := len(sys.cast)
	group := make([]int, n)
	for i := range group {
		group[i] = i
	}
	for i := range n {
		for j := range i {
			if group[i] != group[j] && (meet(sys.byDim[i], sys.byDim[j]) || meet(sys.byFile[i], sys.byFile[j])) {
				old := group[i]
				for k := range group {
					if group[k] == old {
						group[k] = group[j]
					}
				}
			}
		}
	}
	for g := range n {
		var rows []int
		for i := range n {
			if group[i] == g {
				rows = append(rows, i)
			}
		}
		if rows != nil {
			sys.parts = append(sys.parts, sys.part(rows))
		}
	}
}

// meet says whether two rows have a column in common.
func meet(a, b []float64) bool {
	for k := range a {
		if a[k] != 0 && b[k] != 0 {
			return true
		}
	}
	return false
}

// part gathers what belongs to some clearances.
func (sys *system) part(rows []int) part {
	p := part{rows: rows}
	p.dims = sys.used(rows, sys.byDim, func(int) bool { return true })
	p.files = sys.used(rows, sys.byFile, func(k int) bool { return sys.stack.Surfaces[k].Filable })
	for _, i := range rows {
		c := sys.stack.Clearances[i]
		p.least, p.aim, p.most = append(p.least, c.Least), append(p.aim, c.Aim), append(p.most, c.Most)
		p.byDim = append(p.byDim, pick(sys.byDim[i], p.dims))
		p.byRow = append(p.byRow, pick(sys.byFile[i], p.files))
		var m [2]bool
		var left []faceTerm
		for k, b := range sys.byFile[i] {
			if b != 0 && sys.stack.Surfaces[k].Left.Half > 0 {
				left = append(left, faceTerm{k, b})
			}
			m[0], m[1] = m[0] || b < 0, m[1] || b > 0
		}
		p.left, p.mends = append(p.left, left), append(p.mends, m)
	}
	return p
}

// used lists the columns that are not 0 in some row and that are wanted.
func (sys *system) used(rows []int, m [][]float64, wanted func(int) bool) []int {
	var out []int
	for k := range m[rows[0]] {
		for _, i := range rows {
			if m[i][k] != 0 && wanted(k) {
				out = append(out, k)
				break
			}
		}
	}
	return out
}

func pick(row []float64, columns []int) []float64 {
	out := make([]float64, len(columns))
	for j, k := range columns {
		out[j] = row[k]
	}
	return out
}

// slack is how far a clearance may miss a limit by rounding alone, mm.
const slack = 1e-9

// within says whether every value lies between its limits.
func within(x, least, most []float64) bool {
	for i, v := range x {
		if v < least[i]-slack || v > most[i]+slack {
			return false
		}
	}
	return true
}

// reach is how far filing alone moves a row of the part, mm: down by at most the first, up by at most the second, when the
// surfaces may lose may.
func (p *part) reach(row int, may []float64) (down, up float64) {
	for j, b := range p.byRow[row] {
		if b > 0 {
			up += b * may[j]
		} else {
			down -= b * may[j]
		}
	}
	return down, up
}

// miss says how one row misses its limits beyond what filing alone mends: not at all, Loose where no metal off any
// surface would mend it, Tight where there is not enough metal that may go.
func (p *part) miss(row int, x float64, may []float64) Reason {
	low, high := x < p.least[row]-slack, x > p.most[row]+slack
	if !low && !high {
		return Fits
	}
	m := p.mends[row]
	if low && !m[1] || high && !m[0] {
		return Loose
	}
	down, up := p.reach(row, may)
	if low && x+up < p.least[row]-slack || high && x-down > p.most[row]+slack {
		return Tight
	}
	return Fits
}

// Reason says why a casting cannot be filed to fit.
type Reason int

// The reasons, gravest last.
const (
	Fits     Reason = iota // it can
	Conflict               // each clearance could be mended alone, but what mends one spoils another
	Tight                  // too tight, and not enough metal may go
	Loose                  // already too loose: no file mends it
)

// nearly is for sums that are 0 but for rounding.
func nearly(x float64) bool { return math.Abs(x) < 1e-9 }
