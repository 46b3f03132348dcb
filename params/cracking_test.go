package params

import (
	"math"
	"slices"
	"testing"
)

// 18 carat yellow by hand: Au 75/196.97 = 0.38077, Ag 12.5/107.87 = 0.11588, Cu 12.5/63.546 = 0.19671; 0.38077/0.69336 = 54.92 %. Two
// metals have a closed form: in Au 50, Cu 50 the share of gold is 63.546/(63.546 + 196.97) = 24.392 %.
func TestAtoms(t *testing.T) {
	for _, c := range []struct {
		id, of string
		want   float64
	}{{"au750-yellow", "Au", 54.92}, {"Au 50, Cu 50", "Au", 24.392}, {"Au 50, Cu 50", "Cu", 75.608}, {"au999", "Au", 100}, {"au999", "Ag", 0}} {
		a, f := alloy(c.id)
		if f != nil {
			t.Fatal(f.say)
		}
		if got := a.Atoms(c.of); math.Abs(got-c.want) > 0.005 {
			t.Errorf("%s: %.3f %% of atoms are %s, want %.3f", c.id, got, c.of, c.want)
		}
	}
	for _, e := range Elements() { // densities over atomic masses: no metal of the table has an atomic volume beyond 6 to 16 cm3/mol
		if v := e.Atomic / e.Density; v < 6 || v > 16.5 {
			t.Errorf("%s: atomic mass %.4g over density %.4g is %.2f cm3/mol", e.Symbol, e.Atomic, e.Density, v)
		}
	}
}

func TestCrackingRows(t *testing.T) {
	for _, r := range crackings() {
		if !slices.Contains([]string{CracksOften, CracksSeldom, NeverCracked}, r.Risk) || !slices.Contains([]string{Published, Memory, Practice}, r.Kind) {
			t.Errorf("%s: risk %q, kind %q", r.Class, r.Risk, r.Kind)
		}
		if r.Class == "" || r.Source == "" || r.FinenessMost+r.AtomsMost+r.NickelLeast+r.PalladiumLeast == 0 {
			t.Errorf("row %+v lacks class, source or limit", r)
		}
	}
}

// What the trade has seen (S. Grice; jewelryscience.com): 10 carat and less, less in 14 carat, chiefly nickel white, not 14 carat palladium
// white. Other 18 carat colours and other metals belong to no class.
func TestCrackingOf(t *testing.T) {
	for _, c := range []struct{ id, class, risk string }{
		{"au375-yellow", "gold of 10 carat and less", CracksOften},
		{"au417-rose", "gold of 10 carat and less", CracksOften},
		{"au375-white-pd", "gold of 10 carat and less", CracksOften},
		{"au417-white-ni", "nickel white gold of 14 carat and less", CracksOften},
		{"au585-white-ni", "nickel white gold of 14 carat and less", CracksOften},
		{"au750-white-ni", "nickel white gold", CracksSeldom},
		{"au585-yellow", "gold of 14 carat and less", CracksSeldom},
		{"au585-red", "gold of 14 carat and less", CracksSeldom},
		{"au750-red", "gold with fewer than half of its atoms gold", CracksSeldom}, // 75/196.97 over that and 25/63.546: 49.2 %
		{"au585-green", "gold with fewer than half of its atoms gold", CracksSeldom},
		{"au585-white-pd", "palladium white gold of 14 carat", NeverCracked},
		{"au750-yellow", "", ""}, {"au750-rose", "", ""}, {"au916-red", "", ""}, {"ag925", "", ""}, {"pt950-ru", "", ""}, {"cuzn30", "", ""},
	} {
		a, f := alloy(c.id)
		if f != nil {
			t.Fatal(f.say)
		}
		if got, ok := CrackingOf(a); got.Class != c.class || got.Risk != c.risk || ok != (c.class != "") {
			t.Errorf("%s (%.1f %% of atoms gold): %+v", c.id, a.Atoms("Au"), got)
		}
	}
}
