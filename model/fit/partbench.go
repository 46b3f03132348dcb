package fit

import "math"

// marginSigmas is how many standard deviations of what the files miss by a bench keeps off the limits where it can.
const marginSigmas = 2

// partBench is one part of one casting on the bench.
type partBench struct {
	p           *part
	bench, held *bench    // held files again, without losing what bench knows
	faces       []Surface // by file of the part
	least, most []float64 // what the bench works to: an aim where a limit is missed
	margin      []float64 // by row: how far the bench stays off the limits, for what its files miss by
	start       []float64 // clearances as cast
	stock, may  []float64 // metal on each surface up to the finished size, and what it may lose
	amounts     []float64 // filed off each surface
	end         []float64 // clearances when filed as meant
	after       []float64 // clearances when filed with the file's misses
	rest        []float64 // what each surface may still lose then
	move, moved []float64
	asCast      bool
	reason      Reason
	rowReason   []Reason
	tried       bool // bench was asked for this casting
}

func newPartBench(sys *system, p *part) *partBench {
	m, n := len(p.rows), len(p.files)
	f := func(k int) []float64 { return make([]float64, k) }
	b := &partBench{p: p, least: f(m), most: f(m), margin: f(m), start: f(m), stock: f(n), may: f(n), amounts: f(n), end: f(m), after: f(m), rest: f(n), move: f(m), moved: f(m),
		rowReason: make([]Reason, m)}
	var effort []float64
	for _, k := range p.files {
		s := sys.stack.Surfaces[k]
		if s.Effort == 0 {
			s.Effort = 1
		}
		b.faces, effort = append(b.faces, s), append(effort, s.Effort)
	}
	for r := range b.margin {
		variance := 0.0
		for j, a := range p.byRow[r] {
			sd := b.faces[j].Filing.SD()
			variance += a * a * sd * sd
		}
		b.margin[r] = marginSigmas * math.Sqrt(variance)
	}
	b.bench, b.held = newBench(p, effort), newBench(p, effort)
	return b
}

// load takes the errors of a casting.
func (b *partBench) load(sys *system, dim, left []float64) {
	for r, i := range b.p.rows {
		x := sys.cast[i]
		for j, d := range b.p.dims {
			x += b.p.byDim[r][j] * dim[d]
		}
		for _, t := range b.p.left[r] {
			x -= t.effect * left[t.surface]
		}
		b.start[r] = x
	}
	for j, k := range b.p.files {
		b.stock[j] = b.faces[j].Stock + left[k]
		b.may[j] = b.stock[j] + b.faces[j].Spare
	}
}

// judge files the part, or finds why it cannot be.
func (b *partBench) judge() {
	b.reason, b.tried = Fits, false
	clear(b.rowReason)
	clear(b.amounts)
	copy(b.end, b.start)
	b.asCast = within(b.start, b.p.least, b.p.most)
	if b.asCast {
		return
	}
	for r, x := range b.start {
		b.rowReason[r] = b.p.miss(r, x, b.may)
		b.reason = max(b.reason, b.rowReason[r])
	}
	if b.reason != Fits {
		return
	}
	b.tried = true
	b.goals()
	if b.bench.next(b.start, b.stock, b.may, b.least, b.most) || b.bench.next(b.start, b.stock, b.may, b.p.least, b.p.most) {
		copy(b.amounts, b.bench.amounts())
		copy(b.end, b.bench.clearances())
		return
	}
	b.reason = Conflict
	for r, w := range b.bench.proof {
		if !nearly(w) {
			b.rowReason[r] = Conflict
		}
	}
}

// goals are what the bench works to: the aim in place of a limit that is missed as cast, since who files on purpose does not stop at
// the limit; and off the other limits by a margin, or by what is there as cast if that is less.
func (b *partBench) goals() {
	for r, x := range b.start {
		least, aim, most := b.p.least[r], b.p.aim[r], b.p.most[r]
		b.least[r], b.most[r] = min(least+b.margin[r], aim, max(x, least)), max(most-b.margin[r], aim, min(x, most))
		if x < least-slack {
			b.least[r], b.most[r] = aim, max(most-b.margin[r], aim)
		} else if x > most+slack {
			b.least[r], b.most[r] = min(least+b.margin[r], aim), aim
		}
	}
}

// miss files once, off by the misses (mm by surface of the stack), and says whether the part fits then, or can be made to by filing
// again.
func (b *partBench) miss(misses []float64) bool {
	copy(b.after, b.end)
	copy(b.rest, b.may)
	for j, a := range b.amounts {
		if a <= slack {
			continue
		}
		off := max(misses[b.p.files[j]], -a)
		b.rest[j] = max(0, b.may[j]-a-off)
		for r := range b.after {
			b.after[r] += b.p.byRow[r][j] * off
		}
	}
	return within(b.after, b.p.least, b.p.most) || b.can(b.after, b.rest)
}

// can says whether clearances can be filed to fit when surfaces may lose may.
func (b *partBench) can(start, may []float64) bool {
	return b.mendable(start, may) && b.held.file(start, may, may, b.p.least, b.p.most)
}

// mendable says whether each clearance could be mended if it were the only one.
func (b *partBench) mendable(start, may []float64) bool {
	for r, x := range start {
		if b.p.miss(r, x, may) != Fits {
			return false
		}
	}
	return true
}

// fitsHeld says whether the part could be filed to fit if its dimension j, which is off by error, were at its nominal. What is known
// of the casting as it is settles most cases: the same amounts may do, or the same proof may hold.
func (b *partBench) fitsHeld(j int, error float64) bool {
	if error == 0 {
		return b.reason == Fits
	}
	for r := range b.move {
		b.move[r] = -b.p.byDim[r][j] * error
		b.moved[r] = b.end[r] + b.move[r]
	}
	if b.reason == Fits && within(b.moved, b.p.least, b.p.most) {
		return true
	}
	for r := range b.moved {
		b.moved[r] = b.start[r] + b.move[r]
	}
	if !b.tried {
		return b.can(b.moved, b.may)
	}
	if b.reason != Fits && b.bench.refutes(b.move) || !b.mendable(b.moved, b.may) {
		return false
	}
	return b.held.resume(b.bench, b.move, b.p.least, b.p.most)
}
