package contour

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Wide numbers against math/big, over the range that orient3 may ask of them.
func TestWideAgreesWithBig(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	number := func(limit int64) int64 { return (r.Int64N(2*limit+1) - limit) >> r.IntN(40) }
	for range 20000 {
		a, b, c, d, e := number(1<<41), number(1<<41), number(1<<41), number(1<<41), number(1<<41)
		m := wideMinor(a, b, c, d)
		got := m.times(e).plus(m).minus(wideProduct(a, e))
		prod := func(xs ...int64) *big.Int {
			p := big.NewInt(1)
			for _, x := range xs {
				p.Mul(p, big.NewInt(x))
			}
			return p
		}
		minor := new(big.Int).Sub(prod(a, b), prod(c, d))
		want := new(big.Int).Mul(minor, big.NewInt(e))
		want.Add(want, minor).Sub(want, prod(a, e))
		back := new(big.Int).Lsh(big.NewInt(got.hi), 64)
		back.Add(back, new(big.Int).SetUint64(got.lo))
		if back.Cmp(want) != 0 || got.sign() != want.Sign() {
			t.Fatalf("%d %d %d %d %d: got %v, want %v", a, b, c, d, e, back, want)
		}
	}
}

// Every stage must tell the same of points in, and a hair off, a slanting plane, at all sizes.
func TestOrientStagesAgree(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 20))
	whole, ties := 0, 0
	for range 4000 {
		size := math.Ldexp(1, r.IntN(60)-30)
		p := func() r3.Vec { return r3.Scale(size, rounded(randomPoint(r, 8))) }
		a, b, c := p(), p(), p()
		d := r3.Add(a, r3.Sub(b, c))
		if r.IntN(2) == 0 {
			d.Y = math.Nextafter(d.Y, 1e9*float64(r.IntN(3)-1))
		}
		want := orient3Exact(a, b, c, d)
		if got := orient3(a, b, c, d); got != want {
			t.Fatalf("%v %v %v %v: %d, want %d", a, b, c, d, got, want)
		}
		if got, ok := orient3Whole(a, b, c, d); ok {
			whole++
			if got != want {
				t.Fatalf("whole %v %v %v %v: %d, want %d", a, b, c, d, got, want)
			}
		}
		if want == 0 {
			ties++
		}
		u, v, w := flat(a, 2), flat(b, 2), [2]float64{2*b.X - a.X, 2*b.Y - a.Y}
		if got, want := orient2(u, v, w), orient2Exact(u, v, w); got != want {
			t.Fatalf("%v %v %v: %d, want %d", u, v, w, got, want)
		}
	}
	if whole < 1000 || ties < 1000 {
		t.Errorf("only %d in whole numbers, %d ties", whole, ties)
	}
}

// Points of a line as near as float64 comes to it: the plain determinant often has the wrong sign there.
func TestOrient2NearTheLine(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	wrong := 0
	for range 2000 {
		a, b := [2]float64{r.Float64(), r.Float64()}, [2]float64{9 * r.Float64(), 9 * r.Float64()}
		k := r.Float64()
		c := [2]float64{a[0] + k*(b[0]-a[0]), a[1] + k*(b[1]-a[1])}
		want := orient2Exact(a, b, c)
		if got := orient2(a, b, c); got != want {
			t.Fatalf("%v %v %v: %d, want %d", a, b, c, got, want)
		}
		if sign((a[0]-c[0])*(b[1]-c[1])-(a[1]-c[1])*(b[0]-c[0])) != want {
			wrong++
		}
	}
	if wrong < 100 {
		t.Errorf("only %d were hard", wrong)
	}
}
