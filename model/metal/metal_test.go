package metal

import (
	"fmt"
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
	Together           bool // composition and density come from the one source named
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
		if p.Together && (p.Kind == "calculated" || p.Kind == "measured" || p.Kind == "gold-copper") {
			kept++
		}
	}
	t.Logf("%d rows with composition and density of one source", kept)
	if kept < 25 {
		t.Errorf("only %d published rows have composition and density of one source", kept)
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

// Our own rows against windows and rows in print. A row with no entry of its own is held to the window of its carat.
func TestAlloyTable(t *testing.T) {
	printed := map[string][2]float64{
		"au999":          {19.25, 19.35}, // CRC Handbook, 19.3
		"ag999":          {10.45, 10.51}, // CRC Handbook, 10.5; T. K. Rose, 10.45
		"ag925":          {10.35, 10.37}, // supplier's data sheet, 10.36
		"ag935":          {10.36, 10.43}, // between the printed 10.36 of 925 and 10.43 of 960 (GOST 6836)
		"ag958":          {10.36, 10.43}, // the same
		"au750-rose":     {15.13, 15.23}, // 18 carat red 15.18, trade page on specific gravity
		"au750-red":      {14.7, 15.2},   // 15.0, tables of W. S. Rapson, from memory
		"au750-green":    {15.9, 16.1},   // T. K. Rose, table XIV, 16.03
		"au750-white-ni": {14.57, 14.71}, // 18 carat white 14.64, trade page on specific gravity
		"au916-red":      {17.4, 17.65},  // T. K. Rose, 17.48
		"au916-yellow":   {17.7, 17.95},  // tables of W. S. Rapson, from memory, 17.9
		"au585-white-pd": {14.54, 14.98}, // gold alloys by GOST, white 585, 14.76, within the 1.5 % of palladium whites
		"au585-white-ni": {12.42, 12.80}, // 14 carat white 12.61 on the same page, within the 1.5 % of nickel whites
		"au417-yellow":   {11.54, 11.61}, // 10 carat yellow 11.57, trade page
		"au417-rose":     {11.56, 11.63}, // 10 carat red 11.59, the same
		"au417-white-ni": {10.90, 11.24}, // 10 carat white 11.07, the same, within 1.5 %
		"pt950-ru":       {20.6, 20.75},  // 20.67, platinum trade tables, from memory
		"pt950-co":       {19.9, 20.15},  // lattice estimate 20.09; list 20.1, trade page
		"pt950-ir":       {21.4, 21.51},  // platinum trade tables, from memory
		"pt900-ir":       {21.45, 21.6},  // trade pages 21.5, 21.54
		"pd950-ru":       {11.8, 12.2},   // Platinum Metals Review, October 2009, around 12
		"cuzn30":         {8.5, 8.56},    // data page of C26000, 8.53
		"cusn10":         {8.7, 8.74},    // copper producers' data, from memory, 8.72
		"cusi4":          {8.33, 8.39},   // data page of C87200, 8.36
	}
	// Windows of a carat in any colour: answer of platers on specific gravity of carat golds; 14 carat: a bullion
	// dealer's page.
	windows := map[string][2]float64{"gold 375": {10.9, 12.7}, "gold 585": {12.9, 14.6}, "gold 750": {15.2, 15.9}, "gold 750 white": {14.7, 16.9}}
	for _, a := range params.Alloys() {
		carat := fmt.Sprintf("%s %g", a.Metal, a.Fineness)
		w, ok := printed[a.ID]
		if !ok && a.Colour == "white" {
			w, ok = windows[carat+" white"]
		}
		if !ok {
			w, ok = windows[carat]
		}
		switch d := Density(a); {
		case !ok && a.ID != "pt950-cu" && a.ID != "pd950-ga" && a.ID != "pd950-cu":
			t.Errorf("%s has neither a row nor a window in print to hold it against", a.ID)
		case ok && (d < w[0] || d > w[1]):
			t.Errorf("%s has density %.3f, want %v", a.ID, d, w)
		case !ok:
			t.Logf("%s: density %.3f; none in print to hold it against", a.ID, d)
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
