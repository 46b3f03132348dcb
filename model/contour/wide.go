package contour

import (
	"math"
	"math/bits"
)

// Ties are settled in whole numbers where coordinates allow it, as those of float32 near each other do: that is some
// fifty times quicker than math/big.

// wholeBits is how large coordinates may be, in units of the finest that occurs among them: differences then stay below
// 2^41, their products below 2^82, a sum of two of these times a difference below 2^124, and three such within a wide.
const wholeBits = 40

// wholes turns coordinates into whole numbers by one power of two, if that loses nothing.
func wholes(in []float64, out []int64) bool {
	most := 0.0
	for _, x := range in {
		most = max(most, math.Abs(x))
	}
	_, exp := math.Frexp(most)
	scale := math.Ldexp(1, wholeBits-exp)
	if !(most < 1e300 && scale < 1e300) { // not finite, or not in reach of one power of two
		return false
	}
	for i, x := range in {
		x *= scale
		out[i] = int64(x)
		if float64(out[i]) != x {
			return false
		}
	}
	return true
}

// wide is a whole number of 128 bits, hi x 2^64 + lo.
type wide struct {
	hi int64
	lo uint64
}

func wideProduct(a, b int64) wide {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	return wide{int64(hi) - a>>63&b - b>>63&a, lo} // a negative factor was read as 2^64 too much
}

func (a wide) times(b int64) wide {
	hi, lo := bits.Mul64(a.lo, uint64(b))
	return wide{int64(hi) - b>>63&int64(a.lo) + a.hi*b, lo}
}

func (a wide) plus(b wide) wide {
	lo, carry := bits.Add64(a.lo, b.lo, 0)
	return wide{a.hi + b.hi + int64(carry), lo}
}

func (a wide) minus(b wide) wide {
	lo, borrow := bits.Sub64(a.lo, b.lo, 0)
	return wide{a.hi - b.hi - int64(borrow), lo}
}

func (a wide) sign() int {
	switch {
	case a.hi < 0:
		return -1
	case a.hi > 0 || a.lo > 0:
		return 1
	}
	return 0
}

// wideMinor is a b - c d.
func wideMinor(a, b, c, d int64) wide { return wideProduct(a, b).minus(wideProduct(c, d)) }
