package contour

import (
	"math"
	"math/big"

	"gonum.org/v1/gonum/spatial/r3"
)

// Error bounds of the plain float64 determinants, relative to the sum of the absolute values of their products.
// Source: J. R. Shewchuk, Adaptive Precision Floating-Point Arithmetic and Fast Robust Geometric Predicates,
// Discrete & Computational Geometry 18 (1997), bounds A of orient2d and orient3d.
const (
	halfUlp  = 1.0 / (1 << 53)
	orient2A = (3 + 16*halfUlp) * halfUlp
	orient3A = (7 + 56*halfUlp) * halfUlp
)

// exactBits holds every sum of products of three differences of finite float64 without rounding: a difference spans
// at most 2100 bits. big.Float keeps only the words it needs, so the width costs nothing for ordinary numbers.
const exactBits = 8192

// orient3 tells on which side of the plane through a, b, c the point d lies: +1 where the normal of the anticlockwise
// triangle abc points, -1 on the other side, 0 in the plane. Exact for finite coordinates, 0 for others.
func orient3(a, b, c, d r3.Vec) int {
	ax, ay, az := a.X-d.X, a.Y-d.Y, a.Z-d.Z
	bx, by, bz := b.X-d.X, b.Y-d.Y, b.Z-d.Z
	cx, cy, cz := c.X-d.X, c.Y-d.Y, c.Z-d.Z
	bxcy, cxby := bx*cy, cx*by
	cxay, axcy := cx*ay, ax*cy
	axby, bxay := ax*by, bx*ay
	det := az*(bxcy-cxby) + bz*(cxay-axcy) + cz*(axby-bxay)
	sum := (math.Abs(bxcy)+math.Abs(cxby))*math.Abs(az) +
		(math.Abs(cxay)+math.Abs(axcy))*math.Abs(bz) +
		(math.Abs(axby)+math.Abs(bxay))*math.Abs(cz)
	switch bound := orient3A * sum; {
	case det > bound:
		return -1
	case -det > bound:
		return 1
	}
	if s, ok := orient3Whole(a, b, c, d); ok {
		return s
	}
	return orient3Exact(a, b, c, d)
}

// orient3Whole is orient3 in whole numbers, where that can be done.
func orient3Whole(a, b, c, d r3.Vec) (int, bool) {
	in := [12]float64{a.X, a.Y, a.Z, b.X, b.Y, b.Z, c.X, c.Y, c.Z, d.X, d.Y, d.Z}
	var w [12]int64
	if !wholes(in[:], w[:]) {
		return 0, false
	}
	ax, ay, az := w[0]-w[9], w[1]-w[10], w[2]-w[11]
	bx, by, bz := w[3]-w[9], w[4]-w[10], w[5]-w[11]
	cx, cy, cz := w[6]-w[9], w[7]-w[10], w[8]-w[11]
	det := wideMinor(bx, cy, cx, by).times(az)
	det = det.plus(wideMinor(cx, ay, ax, cy).times(bz))
	det = det.plus(wideMinor(ax, by, bx, ay).times(cz))
	return -det.sign(), true
}

func orient3Exact(a, b, c, d r3.Vec) int {
	if !finite(a) || !finite(b) || !finite(c) || !finite(d) {
		return 0
	}
	ax, ay, az := exactSub(a.X, d.X), exactSub(a.Y, d.Y), exactSub(a.Z, d.Z)
	bx, by, bz := exactSub(b.X, d.X), exactSub(b.Y, d.Y), exactSub(b.Z, d.Z)
	cx, cy, cz := exactSub(c.X, d.X), exactSub(c.Y, d.Y), exactSub(c.Z, d.Z)
	det := exactFloat().Mul(az, exactMinor(bx, cy, cx, by))
	det.Add(det, exactFloat().Mul(bz, exactMinor(cx, ay, ax, cy)))
	det.Add(det, exactFloat().Mul(cz, exactMinor(ax, by, bx, ay)))
	return -det.Sign()
}

// orient2 is +1 where a, b, c turn anticlockwise, -1 clockwise, 0 in one line. Exact for finite coordinates.
func orient2(a, b, c [2]float64) int {
	left := (a[0] - c[0]) * (b[1] - c[1])
	right := (a[1] - c[1]) * (b[0] - c[0])
	det := left - right
	bound := orient2A * (math.Abs(left) + math.Abs(right))
	switch {
	case det > bound:
		return 1
	case -det > bound:
		return -1
	}
	in := [6]float64{a[0], a[1], b[0], b[1], c[0], c[1]}
	var w [6]int64
	if wholes(in[:], w[:]) {
		return wideMinor(w[0]-w[4], w[3]-w[5], w[1]-w[5], w[2]-w[4]).sign()
	}
	return orient2Exact(a, b, c)
}

func orient2Exact(a, b, c [2]float64) int {
	for _, p := range [...][2]float64{a, b, c} {
		if !finite(r3.Vec{X: p[0], Y: p[1]}) {
			return 0
		}
	}
	ax, ay := exactSub(a[0], c[0]), exactSub(a[1], c[1])
	bx, by := exactSub(b[0], c[0]), exactSub(b[1], c[1])
	return exactMinor(ax, by, ay, bx).Sign()
}

func exactFloat() *big.Float { return new(big.Float).SetPrec(exactBits) }

func exactSub(a, b float64) *big.Float {
	return exactFloat().Sub(big.NewFloat(a), big.NewFloat(b))
}

// exactMinor is a b - c d.
func exactMinor(a, b, c, d *big.Float) *big.Float {
	ab := exactFloat().Mul(a, b)
	return ab.Sub(ab, exactFloat().Mul(c, d))
}

func finite(v r3.Vec) bool {
	// x-x is 0 for every finite x and NaN for the rest.
	return v.X-v.X == 0 && v.Y-v.Y == 0 && v.Z-v.Z == 0
}
