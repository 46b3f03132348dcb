package metal

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"claspwright/params"
)

type published struct {
	Parts              string
	Density, Tolerance float64
	Kind, Source       string
}

// alloy makes the alloy of a row; params reads only alloys that hold a precious metal, the table has others too.
func (p published) alloy(t *testing.T) params.Alloy {
	t.Helper()
	a := params.Alloy{ID: p.Parts}
	for _, s := range strings.Split(p.Parts, ",") {
		f := strings.Fields(s)
		v, err := strconv.ParseFloat(f[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		a.Parts = append(a.Parts, params.Share{Element: f[0], Percent: v})
	}
	return a
}

func readPublished(t *testing.T) []published {
	t.Helper()
	data, err := os.ReadFile("testdata/alloys-published.toml")
	if err != nil {
		t.Fatal(err)
	}
	var table struct{ Row []published }
	if err := toml.Unmarshal(data, &table); err != nil {
		t.Fatal(err)
	}
	return table.Row
}

// Densities against what is printed, each row within the tolerance of its kind; misprints must be missed.
func TestPublishedDensities(t *testing.T) {
	kept := 0
	for _, p := range readPublished(t) {
		got := Density(p.alloy(t))
		off := 100 * (got/p.Density - 1)
		within := math.Abs(off) <= p.Tolerance
		switch p.Kind {
		case "calculated", "measured":
		case "gold-copper": // the alloy is less dense than its parts
			within = within && off > 0
		case "contracts":
			within = within && off < -2
		case "misprint":
			within = !within
		default:
			t.Fatalf("%s is of kind %q", p.Parts, p.Kind)
		}
		if p.Source == "" || !within {
			t.Errorf("%s: density %.3f, printed %.2f, off by %+.2f %% (%s, tolerance %g %%, %s)", p.Parts, got, p.Density, off, p.Kind, p.Tolerance, p.Source)
		}
		if p.Kind == "calculated" || p.Kind == "measured" || p.Kind == "gold-copper" {
			kept++
		}
	}
	if kept < 25 {
		t.Errorf("only %d published rows", kept)
	}
}

// Worked examples of ideal mixing, with the densities that the example uses.
func TestWorkedMixtures(t *testing.T) {
	for _, c := range []struct {
		shares, densities []float64
		want, tolerance   float64
		source            string
	}{
		{[]float64{96, 4}, []float64{7.31, 10.5}, 7.399927, 1e-6, "R. Lasky, density of tin 96 silver 4 (7.40)"},
		{[]float64{583, 104, 313}, []float64{19.32, 10.49, 8.96}, 13.33, 0.01, "trade page on specific gravity, 14 carat yellow"},
		{[]float64{41.67, 58.33}, []float64{19.3, 8.96}, 11.53, 0.01, "R. Lasky's page, gold share from the density of gold and copper, run forward"},
		{[]float64{75, 25}, []float64{19.32, 10.49}, 15.96, 0.01, "textbook exercise, 75 gold 25 silver"},
		{[]float64{50, 50}, []float64{19.3, 10.5}, 13.6, 0.01, "textbook exercise, equal parts of gold and silver"},
	} {
		if got := Mix(c.shares, c.densities); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%s: %.6f, want %.6f", c.source, got, c.want)
		}
	}
	// The share-weighted mean, which one meets in print too (17.11 in the fourth example), is not the density.
	if got := Mix([]float64{75, 25}, []float64{19.32, 10.49}); math.Abs(got-17.11) < 1 {
		t.Errorf("density %.3f follows the wrong mean", got)
	}
	for _, d := range []float64{Mix(nil, nil), Mix([]float64{1}, []float64{0}), Mix([]float64{1}, []float64{math.NaN()})} {
		if d != 0 {
			t.Errorf("density of nothing is %g", d)
		}
	}
}

func TestMeasuredDensityGoesFirst(t *testing.T) {
	a := params.Alloy{Density: 14.1, Parts: []params.Share{{Element: "Au", Percent: 100}}}
	if d := Density(a); d != 14.1 {
		t.Errorf("density %g, the row says 14.1", d)
	}
}

// Our own rows against windows and rows in print.
func TestAlloyTable(t *testing.T) {
	windows := map[string][2]float64{
		"au999":        {19.25, 19.35}, // CRC Handbook, 19.3
		"ag925":        {10.35, 10.37}, // supplier's data sheet, 10.36
		"au585-yellow": {12.9, 14.6},   // window of 14 carat, trade page
		"au750-yellow": {15.2, 15.9},   // window of 18 carat yellow, trade page
		"au750-rose":   {15.13, 15.23}, // 18 carat red 15.18, trade page on specific gravity
		"pt950-ru":     {20.6, 20.75},  // 20.67, platinum trade tables, from memory
	}
	for _, a := range params.Alloys() {
		w, ok := windows[a.ID]
		if d := Density(a); !ok || d < w[0] || d > w[1] {
			t.Errorf("%s has density %.3f, want %v", a.ID, d, w)
		}
	}
}

// Platinum Metals Review, October 2009, 189-197: fine metal in 1 cm3. Its densities are round figures.
func TestFinePerVolume(t *testing.T) {
	for _, c := range []struct{ density, fineness, printed, tolerance float64 }{
		{12, 950, 11.4, 0.05}, {15, 750, 11.3, 0.051}, {21, 950, 20, 0.051},
	} {
		a := params.Alloy{Density: c.density, Fineness: c.fineness}
		if got := Density(a) * Fine(a); math.Abs(got-c.printed) > c.tolerance {
			t.Errorf("1 cm3 at %g: %.3f g, printed %g", c.fineness, got, c.printed)
		}
	}
}

// Trade page on specific gravity, table 4: troy ounces in a cubic inch. Units of NIST Handbook 44, appendix C.
func TestOuncesPerCubicInch(t *testing.T) {
	const cubicInch, ounce = 2.54 * 2.54 * 2.54, 31.1034768
	for density, printed := range map[float64]float64{19.32: 10.180, 15.58: 8.211} {
		if got := Density(params.Alloy{Density: density}) * cubicInch / ounce; math.Abs(got-printed) > 0.003 {
			t.Errorf("%g g/cm3 is %.4f ozt/in3, printed %g", density, got, printed)
		}
	}
}

func TestCarat(t *testing.T) {
	// Fineness of carats, parts per thousand: arithmetic of the definition, n/24; printed so in conversion tables.
	for carat, want := range map[float64]float64{9: 375, 10: 416.67, 14: 583.33, 18: 750, 21: 875, 22: 916.67, 24: 1000} {
		if got := 1000 * OfCarat(carat); math.Abs(got-want) > 0.005 {
			t.Errorf("%g carat is %.2f, want %.2f", carat, got, want)
		}
		if got := Carat(OfCarat(carat)); math.Abs(got-carat) > 1e-12 {
			t.Errorf("%g carat comes back as %g", carat, got)
		}
	}
}
