package fit

import "math"

// bench finds what to file off the surfaces of a part so that every clearance ends between its limits, with the least
// effort: minimise the sum of effort times amount over 0 <= amount <= may, least <= start + effect amounts <= most. Metal beyond
// the stock costs beyond times the effort, so that each amount has two ranges: up to the stock, and beyond.
//
// It is the dual simplex method with bounded variables (C. E. Lemke, The dual method of solving the linear programming
// problem, Naval Research Logistics Quarterly 1, 1954; textbook form in V. Chvatal, Linear Programming, 1983, chapter 10;
// from memory). Nothing filed is a start without regrets, as every effort is above 0. An amount stays in its range until it
// pays to change it. Where no way exists, the row that shows it is kept: it says which clearances are in each other's way,
// and it settles many neighbouring castings too.
type bench struct {
	p       *part
	effort  []float64
	rows    int
	columns int

	table    []float64  // basic variable by nonbasic variable, row by row
	cost     []float64  // what a nonbasic variable costs per mm
	basic    []variable // of each row
	nonbasic []variable // of each column
	further  []bool     // by amount: in its range beyond the stock
	stock    []float64  // by amount: where its first range ends
	may      []float64  // and where its second does; where there is but one, both are its end
	kind     []ranges   // by amount
	value    []float64  // what was found: amounts first, then clearances
	moved    []float64  // by column: how far from nothing filed
	age      int        // castings since the last fresh start; 0 when none was filed yet

	proof  []float64 // after a refusal: weight of each clearance's start in the value that is out of bounds
	excess float64   // and by how much it is, mm; below its bound when negative
}

// ranges says which ranges an amount has.
type ranges int

const (
	stockAndBeyond ranges = iota
	stockOnly
	beyondOnly
)

func rangesOf(stock, may float64) ranges {
	switch {
	case stock <= slack:
		return beyondOnly
	case may-stock <= slack:
		return stockOnly
	}
	return stockAndBeyond
}

// variable is an amount or a clearance: amounts are numbered first.
type variable struct {
	value  float64
	lo, hi float64 // its bounds; of an amount those of its range
	number int
}

// beyond is how much more effort metal beyond the finished size counts for: a bench takes the stock first.
const beyond = 4

func newBench(p *part, effort []float64) *bench {
	m, n := len(p.rows), len(p.files)
	f := func(k int) []float64 { return make([]float64, k) }
	return &bench{p: p, effort: effort, rows: m, columns: n, table: f(m * n), cost: f(n), value: f(m + n), moved: f(n),
		kind: make([]ranges, n), further: make([]bool, n), stock: f(n), may: f(n), basic: make([]variable, m), nonbasic: make([]variable, n), proof: f(m)}
}

// pivots that are smaller than this are taken for 0.
const leastPivot = 1e-9

// patience is after how many steps the method takes variables by their order, which cannot go round in circles; tests see to it that
// the castings tried take less.
const patience = 100

// file finds the amounts. It says whether there is a way; then amounts and clearances are in value. stock is where metal beyond the
// finished size begins.
func (b *bench) file(start, stock, may, least, most []float64) bool {
	b.begin(start, stock, may, least, most)
	return b.solve()
}

// freshEvery is after how many castings rounding that has added up in the table is done away with.
const freshEvery = 64

// next is file, but goes on from where the last casting ended: what is best for one is often best for the next.
func (b *bench) next(start, stock, may, least, most []float64) bool {
	if b.age == 0 || b.age >= freshEvery || !b.renew(start, stock, may, least, most) {
		b.begin(start, stock, may, least, most)
		b.age = 0
	}
	b.age++
	return b.solve()
}

// renew puts other numbers into the state of the last casting; it cannot where an amount has other ranges.
func (b *bench) renew(start, stock, may, least, most []float64) bool {
	for j, k := range b.kind {
		if rangesOf(min(stock[j], may[j]), may[j]) != k {
			return false
		}
	}
	for j := range b.kind {
		b.setStock(j, stock[j], may[j])
	}
	n := b.columns
	for c := range b.nonbasic {
		v := &b.nonbasic[c]
		high := v.value == v.hi && (v.lo < v.hi || b.cost[c] < 0)
		b.setBounds(v, least, most)
		v.value = v.lo
		if high {
			v.value = v.hi
		}
		b.moved[c] = v.value
		if v.number >= n {
			b.moved[c] -= start[v.number-n]
		}
	}
	for i := range b.basic {
		v := &b.basic[i]
		b.setBounds(v, least, most)
		x := 0.0
		if v.number >= n {
			x = start[v.number-n]
		}
		for c, a := range b.table[i*n : (i+1)*n] {
			x += a * b.moved[c]
		}
		v.value = x
	}
	return true
}

// setStock notes where the ranges of amount j end, and which it has.
func (b *bench) setStock(j int, stock, may float64) {
	stock = min(stock, may)
	b.kind[j] = rangesOf(stock, may)
	if b.kind[j] != stockAndBeyond {
		stock = may
	}
	b.stock[j], b.may[j] = stock, may
}

// setBounds gives a variable the bounds that it has for this casting.
func (b *bench) setBounds(v *variable, least, most []float64) {
	if k := v.number - b.columns; k >= 0 {
		v.lo, v.hi = least[k], most[k]
	} else {
		b.setRange(v, b.further[v.number])
	}
}

// solve goes on from any state that costs least among those that ignore the bounds of the basic variables.
func (b *bench) solve() bool {
	for step := 0; ; step++ {
		r, up := b.worst(step > patience)
		if r < 0 {
			b.report()
			return true
		}
		c, price := b.enter(r, up)
		switch v := b.basic[r].number; {
		case b.ranged(v, up) && b.extra(v) <= price:
			b.change(r)
		case c < 0:
			b.prove(r)
			return false
		default:
			b.pivot(r, c, up)
		}
	}
}

// report puts every variable's value where it is asked for.
func (b *bench) report() {
	for _, v := range b.basic {
		b.value[v.number] = v.value
	}
	for _, v := range b.nonbasic {
		b.value[v.number] = v.value
	}
}

// amounts is what file found, mm by surface of the part; clearances what results, mm by row.
func (b *bench) amounts() []float64    { return b.value[:b.columns] }
func (b *bench) clearances() []float64 { return b.value[b.columns:] }

func (b *bench) begin(start, stock, may, least, most []float64) {
	n := b.columns
	for i, row := range b.p.byRow {
		copy(b.table[i*n:], row)
		b.basic[i] = variable{start[i], least[i], most[i], n + i}
	}
	for j, e := range b.effort {
		b.setStock(j, stock[j], may[j])
		if b.kind[j] == beyondOnly {
			e *= beyond
		}
		b.further[j] = false
		b.nonbasic[j], b.cost[j] = variable{0, 0, b.stock[j], j}, e
	}
}

// worst is the row that lies furthest out of its bounds, or the first variable that does; -1 when there is none. up says
// that it has to rise.
func (b *bench) worst(first bool) (row int, up bool) {
	row, far := -1, slack
	for i := range b.basic {
		v := &b.basic[i]
		d, rise := v.value-v.hi, false
		if below := v.lo - v.value; below > d {
			d, rise = below, true
		}
		if d > far && (!first || row < 0 || v.number < b.basic[row].number) {
			row, up = i, rise
			if !first {
				far = d
			}
		}
	}
	return row, up
}

// extra is what a mm of a surface costs more beyond its stock.
func (b *bench) extra(v int) float64 { return (beyond - 1) * b.effort[v] }

// ranged says whether a variable that has to rise, or to fall, only is in the wrong one of its two ranges.
func (b *bench) ranged(v int, up bool) bool {
	return v < b.columns && b.further[v] == up && b.stock[v] < b.may[v]
}

// setRange puts an amount into its first or its further range.
func (b *bench) setRange(v *variable, further bool) {
	b.further[v.number] = further
	if further {
		v.lo, v.hi = b.stock[v.number], b.may[v.number]
	} else {
		v.lo, v.hi = 0, b.stock[v.number]
	}
}

// change takes the amount of row r into its other range.
func (b *bench) change(r int) {
	v := &b.basic[r]
	more := b.extra(v.number)
	if b.further[v.number] {
		more = -more
	}
	for c, a := range b.table[r*b.columns : (r+1)*b.columns] {
		b.cost[c] += more * a
	}
	b.setRange(v, !b.further[v.number])
}

// enter is the column that can move row r towards its bound at the least price per mm; -1 and infinity when none can. An
// amount that waits between its ranges may rise into the further one.
func (b *bench) enter(r int, up bool) (column int, price float64) {
	best, least := -1, math.Inf(1)
	for c, a := range b.table[r*b.columns : (r+1)*b.columns] {
		if !up {
			a = -a
		}
		v, cost := &b.nonbasic[c], b.cost[c]
		switch {
		case a > leastPivot && v.value < v.hi-slack:
		case a > leastPivot && b.ranged(v.number, false):
			cost += b.extra(v.number)
		case a < -leastPivot && v.value > v.lo+slack:
		default:
			continue
		}
		ratio := math.Abs(cost / a)
		if ratio < least-1e-12 || ratio < least+1e-12 && v.number < b.nonbasic[best].number {
			best, least = c, ratio
		}
	}
	return best, least
}

// pivot brings the variable of row r to the bound that it missed by moving the variable of column c, and swaps the two.
func (b *bench) pivot(r, c int, up bool) {
	n := b.columns
	out, in := b.basic[r], b.nonbasic[c]
	row := b.table[r*n : (r+1)*n]
	a := row[c]
	bound := out.hi
	if up {
		bound = out.lo
	}
	move := (bound - out.value) / a
	if move > 0 && in.value >= in.hi-slack { // enter saw to it that there is a further range
		b.cost[c] += b.extra(in.number)
		b.setRange(&in, true)
	}
	out.value = bound
	in.value += move
	row[c] = -1
	for j := range row {
		row[j] /= -a
	}
	for i := range b.basic {
		other := b.table[i*n : (i+1)*n]
		k := other[c]
		if k == 0 || i == r {
			continue
		}
		b.basic[i].value += k * move
		other[c] = 0
		addTimes(other, k, row)
	}
	k := b.cost[c]
	b.cost[c] = 0
	addTimes(b.cost, k, row)
	if out.number < n && b.further[out.number] && up { // back at its stock it waits at the end of its first range
		b.cost[c] -= b.extra(out.number)
		b.setRange(&out, false)
	}
	b.basic[r], b.nonbasic[c] = in, out
}

// addTimes adds k times row to a row of the same length.
func addTimes(to []float64, k float64, row []float64) {
	to = to[:len(row)]
	for j, w := range row {
		to[j] += k * w
	}
}

// prove keeps why there is no way: the value of row r is a sum of the starts and of variables that all stand at the bound
// that helps it most, and it is still out of bounds.
func (b *bench) prove(r int) {
	n := b.columns
	for i := range b.proof {
		b.proof[i] = 0
	}
	v := b.basic[r]
	if v.number >= n {
		b.proof[v.number-n] = 1
	}
	for c, w := range b.nonbasic {
		if w.number >= n {
			b.proof[w.number-n] -= b.table[r*n+c]
		}
	}
	b.excess = v.value - v.hi
	if v.value < v.lo {
		b.excess = v.value - v.lo
	}
}

// refutes says whether the last refusal also holds when the starts are moved by move, mm by row.
func (b *bench) refutes(move []float64) bool {
	d := b.excess
	for i, w := range b.proof {
		d += w * move[i]
	}
	return b.excess < 0 && d < -slack || b.excess > 0 && d > slack
}

// resume takes up what another bench of the same part left off, for starts that are moved by move, and for limits that may be wider
// than those it worked to. A casting that differs little takes a step or two from there.
func (b *bench) resume(from *bench, move, least, most []float64) bool {
	n := b.columns
	copy(b.table, from.table)
	copy(b.cost, from.cost)
	copy(b.further, from.further)
	copy(b.stock, from.stock)
	copy(b.may, from.may)
	copy(b.basic, from.basic)
	copy(b.nonbasic, from.nonbasic)
	for i := range b.basic {
		if v := &b.basic[i]; v.number >= n {
			k := v.number - n
			v.value += move[k]
			v.lo, v.hi = least[k], most[k]
		}
	}
	for c := range b.nonbasic {
		v := &b.nonbasic[c]
		if v.number < n {
			continue
		}
		k := v.number - n
		to := least[k]
		if v.value == v.hi && (v.lo < v.hi || b.cost[c] < 0) {
			to = most[k]
		}
		b.shift(c, to-v.value-move[k])
		v.value, v.lo, v.hi = to, least[k], most[k]
	}
	return b.solve()
}

// shift moves what depends on the variable of a column by that variable's move d.
func (b *bench) shift(c int, d float64) {
	if d == 0 {
		return
	}
	for i := range b.basic {
		b.basic[i].value += b.table[i*b.columns+c] * d
	}
}
