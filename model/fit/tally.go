package fit

import "math"

// bins is how finely quantiles are counted: the range of a value, its worst case, is cut into so many bins.
const bins = 2048

// histogram counts values between two bounds; values beyond them count in the last bin on that side.
type histogram struct {
	low, high float64
	perBin    float64 // bins per mm; 0 where both bounds are one
	count     []uint32
}

func newHistogram(low, high float64) histogram {
	h := histogram{low: low, high: high, count: make([]uint32, bins)}
	if high > low {
		h.perBin = bins / (high - low)
	}
	return h
}

func (h *histogram) add(x float64) {
	k := int((x - h.low) * h.perBin)
	h.count[min(max(k, 0), bins-1)]++
}

func (h *histogram) merge(o histogram) {
	for i, n := range o.count {
		h.count[i] += n
	}
}

// quantile is the value that a share p of those counted do not exceed, right to a bin's width; NaN when none was counted.
func (h *histogram) quantile(p float64) float64 {
	total := uint64(0)
	for _, n := range h.count {
		total += uint64(n)
	}
	if total == 0 {
		return math.NaN()
	}
	want, seen := p*float64(total), 0.0
	for i, n := range h.count {
		if n > 0 && seen+float64(n) >= want {
			into := (want - seen) / float64(n)
			return h.low + (float64(i)+into)*(h.high-h.low)/bins
		}
		seen += float64(n)
	}
	return h.high
}

// moments sums values and their squares about an origin near their mean, so that no digits are lost.
type moments struct{ sum, squares float64 }

func (m *moments) add(x float64) {
	m.sum += x
	m.squares += x * x
}

func (m *moments) merge(o moments) {
	m.sum += o.sum
	m.squares += o.squares
}

// mean is about the origin; n is how many were added, 0 gives 0.
func (m moments) mean(n int) float64 {
	if n == 0 {
		return 0
	}
	return m.sum / float64(n)
}

func (m moments) sd(n int) float64 {
	if n < 2 {
		return 0
	}
	mean := m.mean(n)
	return math.Sqrt(max(0, (m.squares-float64(n)*mean*mean)/float64(n-1)))
}
