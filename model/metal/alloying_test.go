package metal

import (
	"math"
	"testing"
)

// Worked examples in carats. Masses stand in whatever unit the example uses.
func TestWorkedAlloying(t *testing.T) {
	for _, c := range []struct {
		mass, from, to, want, tolerance float64
		source                          string
	}{
		{20, 10, 14, 8, 1e-9, "goldsmiths' forum, raising carat: 20 g"},
		{9, 18, 10, 7.2, 1e-9, "goldsmiths' forum, raising carat: 9 dwt down, factor 0.800"},
		{6, 10, 14, 2.4, 1e-9, "goldsmiths' forum, raising carat: 6 dwt, factor 0.400"},
		{7, 10, 14, 2.8, 1e-9, "trade page: 7 g"},
		{500, 14, 10, 199.95, 0.06, "trade page: 500 ozt, with rounded fineness; exact 200"},
		{20, 18, 14, 5.72, 0.01, "trade page: 20 dwt down, factor 0.286; exact 5.714"},
		{20, 14, 18, 13.34, 0.01, "trade page: 20 dwt up, factor 0.667; exact 13.333"},
		{31.1034768, 24, 18, 10.36, 0.01, "goldsmiths' forum, alloying down: 1 ozt of fine gold; exact 10.3678"},
		{1, 24, 22, 0.091, 0.0005, "forum table of factors"}, {1, 24, 18, 0.333, 0.0005, "forum table of factors"},
		{1, 24, 14, 0.714, 0.0005, "forum table of factors"}, {1, 24, 10, 1.40, 0.0005, "forum table of factors"},
		{1, 10, 18, 4.0 / 3, 1e-9, "arithmetic"}, {1, 10, 22, 6, 1e-9, "arithmetic"}, {1, 18, 22, 2, 1e-9, "arithmetic"}, {1, 14, 22, 4, 1e-9, "arithmetic"},
	} {
		if got := add(t, c.mass, c.from, c.to); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%g of %g carat to %g: %.4f, want %.4f (%s)", c.mass, c.from, c.to, got, c.want, c.source)
		}
	}
	// Factors that are met wrong: we must not agree with them.
	for _, c := range []struct{ from, to, printed float64 }{{24, 9, 1.677}, {18, 9, 1.025}, {18, 22, 3}, {9, 18, 1.400}, {10, 18, 0.800}, {14, 18, 0.400}} {
		if got := add(t, 1, c.from, c.to); math.Abs(got-c.printed) < 0.005 {
			t.Errorf("factor %g to %g is %.4f, which is the misprint", c.from, c.to, got)
		}
	}
}

// add is Raise or Lower, whichever the carats ask for, and checks that the fine metal balances.
func add(t *testing.T, mass, from, to float64) float64 {
	t.Helper()
	f, g := OfCarat(from), OfCarat(to)
	got, err := Lower(mass, f, g)
	fine := mass * f
	if to > from {
		got, err = Raise(mass, f, g)
		fine += got
	}
	if err != nil {
		t.Fatal(err)
	}
	if share := fine / (mass + got); math.Abs(share-g) > 1e-12 {
		t.Errorf("%g of %g carat and %g make %g carat, want %g", mass, from, got, Carat(share), to)
	}
	return got
}

func TestAlloyingRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		f              func(_, _, _ float64) (float64, error)
		mass, from, to float64
		want           string
	}{
		{Raise, 1, 0.75, 0.585, "fine metal cannot bring 0.75 down to 0.585: alloy lowers"},
		{Raise, 1, 0.75, 1, "no addition raises an alloy to fineness 1: refining does"},
		{Lower, 1, 0.585, 0.75, "alloy cannot bring 0.585 up to 0.75: fine metal raises"},
		{Lower, 1, 0.585, 0, "no addition lowers an alloy to fineness 0"},
		{Lower, -1, 0.585, 0.5, "mass -1 is below 0"},
		{Raise, nan, 0.585, 0.75, "mass NaN is below 0"},
		{Raise, 1, 585, 750, "fine share 585 is outside 0 to 1"},
		{Raise, 1, 0.5, nan, "fine share NaN is outside 0 to 1"},
	} {
		if v, err := c.f(c.mass, c.from, c.to); err == nil || err.Error() != c.want {
			t.Errorf("%g, %g to %g gives %g and %v, want %s", c.mass, c.from, c.to, v, err, c.want)
		}
	}
}
