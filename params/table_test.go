package params

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// Every row of the key table must say what it is, in which unit and range, and where that comes from.
func TestKeyRows(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range Keys() {
		if seen[k.Name] {
			t.Errorf("%s stands in the table twice", k.Name)
		}
		seen[k.Name] = true
		if strings.Count(k.Name, ".") != 1 || k.Name != strings.ToLower(k.Name) {
			t.Errorf("%s is not of the form group.name", k.Name)
		}
		if k.Meaning == "" || k.Source == "" || k.Example == "" || k.Range() == "" || k.Otherwise() == "" {
			t.Errorf("%s has no meaning, source, example, range or default", k.Name)
		}
		switch k.Kind {
		case Number:
			numberRow(t, k)
		case Choice:
			if len(k.Choices) < 2 || k.Rule == "" && !slices.Contains(k.Choices, k.Word) || k.Rule != "" && k.Word != "" {
				t.Errorf("%s: of default %q and rule %q it must have one, the default among %v", k.Name, k.Word, k.Rule, k.Choices)
			}
		case Text:
			if ways := count(k.Word != "", k.Rule != "", k.Required); ways != 1 {
				t.Errorf("%s has %d of default, rule and required, want one", k.Name, ways)
			}
		default:
			t.Errorf("%s has kind %q", k.Name, k.Kind)
		}
	}
}

func numberRow(t *testing.T, k Key) {
	t.Helper()
	if _, ok := unitNamed(k.Unit); !ok && k.Unit != "" {
		t.Errorf("%s has unit %q, which the unit table does not have", k.Name, k.Unit)
	}
	if !(k.Min < k.Max) {
		t.Errorf("%s has range %g to %g", k.Name, k.Min, k.Max)
	}
	hasDefault := !math.IsNaN(k.Default)
	if hasDefault && !(k.Default >= k.Min && k.Default <= k.Max) {
		t.Errorf("%s: default %g is outside %g to %g", k.Name, k.Default, k.Min, k.Max)
	}
	if ways := count(hasDefault, k.Rule != "", k.Required); ways != 1 {
		t.Errorf("%s has %d of default, rule and required, want one", k.Name, ways)
	}
}

func count(all ...bool) (n int) {
	for _, b := range all {
		if b {
			n++
		}
	}
	return n
}

// Every row's own example, least and greatest value must be taken, and what lies just outside refused.
func TestKeyRowsAreRead(t *testing.T) {
	for _, k := range Keys() {
		if _, err := Parse("job", []byte(without(k.Name)+k.Name+" = "+k.Example+"\n"), nil); err != nil {
			t.Errorf("%s: its own example %s is refused: %v", k.Name, k.Example, err)
		}
		if k.Kind != Number {
			continue
		}
		for _, v := range []float64{k.Min, k.Max} {
			if _, p := judge(entry{name: k.Name, sort: asWord, raw: plain(v)}); p != nil {
				t.Errorf("%s: end of its range refused: %v", k.Name, p)
			}
		}
		for _, v := range []float64{math.Nextafter(k.Min, -1e9), math.Nextafter(k.Max, 1e9)} {
			if _, p := judge(entry{name: k.Name, sort: asNumber, raw: plain(v)}); p == nil {
				t.Errorf("%s: %v is taken, outside %s", k.Name, v, k.Range())
			}
		}
	}
}

// without is a sound job that does not give the key.
func without(key string) string {
	var b strings.Builder
	for _, line := range strings.SplitAfter(sound, "\n") {
		if !strings.HasPrefix(line, key+" ") {
			b.WriteString(line)
		}
	}
	return b.String()
}

const sound = "chain.width = 12.4\nchain.thickness = 5.2\nmetal.alloy = \"au585-yellow\"\n"

// Rows of one group stand together, so that a written job has each group once.
func TestGroupsStandTogether(t *testing.T) {
	g := groups()
	slices.Sort(g)
	if n := len(slices.Compact(g)); n != len(groups()) {
		t.Errorf("%d groups, but %d runs of rows", n, len(groups()))
	}
}

// What a caller does to the rows it was given must not reach the table.
func TestTablesAreCopies(t *testing.T) {
	Keys()[0].Name = "x"
	k, _ := Lookup("tongue.make")
	Keys()[index["tongue.make"]].Choices[0] = "x"
	Alloys()[0].Parts[0].Percent = 1
	Elements()[0].Density = 1
	if Keys()[0].Name == "x" || k.Choices[0] == "x" || Alloys()[0].Parts[0].Percent == 1 || Elements()[0].Density == 1 {
		t.Error("a table was changed from outside")
	}
}

func TestElements(t *testing.T) {
	// Melting points of the CRC Handbook, "Physical Constants of Inorganic Compounds", C.
	crc := map[string]float64{"Au": 1064.18, "Ag": 961.78, "Cu": 1084.62, "Pt": 1768.2, "Pd": 1554.8}
	// Densities of the CRC Handbook, rounded there to three digits, g/cm3, with the spread between its editions and
	// other tables.
	density := map[string][2]float64{"Au": {19.3, .001}, "Ag": {10.5, .001}, "Cu": {8.96, .004}, "Zn": {7.134, .001}, "Pt": {21.5, .003},
		"Pd": {12.0, .002}, "Ni": {8.90, .005}, "Co": {8.86, .005}, "Ru": {12.1, .03}, "Ir": {22.5622, .007}, "Sn": {7.287, .006}, "In": {7.31, .001},
		"Ga": {5.91, .001}, "Rh": {12.4, .001}}
	for _, e := range Elements() {
		if e.Source == "" || e.Name == "" || e.Density <= 0 {
			t.Errorf("%s lacks name, density or source", e.Symbol)
		}
		if want, ok := crc[e.Symbol]; ok && math.Abs(e.MeltC-want) > 0.1 {
			t.Errorf("%s melts at %g C, CRC %g", e.Symbol, e.MeltC, want)
		}
		if want, ok := density[e.Symbol]; ok && math.Abs(e.Density/want[0]-1) > want[1] {
			t.Errorf("%s has density %g, CRC %g", e.Symbol, e.Density, want[0])
		}
	}
	if len(Elements()) != 15 {
		t.Errorf("%d elements, want 15", len(Elements()))
	}
}

// Each alloy: id of element, fineness and colour; parts that sum to 100; the metal's share at least the fineness.
func TestAlloys(t *testing.T) {
	for _, a := range Alloys() {
		sum, share := 0.0, 0.0
		for _, p := range a.Parts {
			e, ok := element(p.Element)
			if !ok {
				t.Errorf("%s: no element %s", a.ID, p.Element)
			}
			sum += p.Percent
			if e.Name == a.Metal {
				share = p.Percent
				if want := strings.ToLower(e.Symbol) + plain(a.Fineness); !a.Base() && !strings.HasPrefix(a.ID, want) {
					t.Errorf("%s should begin with %s", a.ID, want)
				}
			}
		}
		if math.Abs(sum-100) > 1e-9 {
			t.Errorf("%s sums to %g", a.ID, sum)
		}
		if 10*share < a.Fineness-1e-9 {
			t.Errorf("%s holds %g %% of %s, less than its fineness %g", a.ID, share, a.Metal, a.Fineness)
		}
		if a.Base() != (a.Metal == "copper") || a.Base() && a.Density == 0 {
			t.Errorf("%s: a base metal has no fineness, and a measured density", a.ID)
		}
		if m := a.Melting; m.Solidus > m.Liquidus || (m.Solidus > 0) != (m.Kind == Published || m.Kind == Memory) {
			t.Errorf("%s: melting range %v", a.ID, m)
		}
		if a.Source == "" || a.Colour == "" {
			t.Errorf("%s has no source or colour", a.ID)
		}
	}
	for _, id := range []string{"au999", "ag925", "au585-yellow", "au750-yellow", "au750-rose", "pt950-ru"} {
		if a, f := alloy(id); f != nil || a.ID != id {
			t.Errorf("no alloy %s", id)
		}
	}
}
