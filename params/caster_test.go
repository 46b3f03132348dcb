package params

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const house = "[profile]\nhouse = \"the foundry\"\nalloy = \"au585-yellow\"\ndate = \"2026-03-01\"\n" +
	"[casting]\ngrowth_x = 1.014\nbutton = \"8 g\"\nwall = 0.6\ngrade = 5\n[stock]\nface = 0.25\n"

func profileOf(t *testing.T, text string) *Caster {
	t.Helper()
	c, err := ParseCaster("caster.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// What the job gives wins, then the profile, then the table.
func TestCasterGivesWhatTheJobDoesNot(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	write("caster.toml", house)
	path := write("job.toml", sound+"casting.profile = \"caster.toml\"\nstock.face = 0.3\n")
	j, err := Load(path, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []struct {
		key    string
		value  float64
		given  bool
		origin string
	}{
		{"stock.face", 0.3, true, "given"},
		{"casting.growth_x", 1.014, true, ByCaster},
		{"casting.button", 8, true, ByCaster},
		{"casting.grade", 5, true, ByCaster},
		{"stock.lip", 0.05, false, ""},
		{"casting.gap", 0.5, false, ""},
	} {
		v, given := j.Number(want.key)
		if v != want.value || given != want.given || j.Origin(want.key) != want.origin {
			t.Errorf("%s is %g, given %t, from %q; want %+v", want.key, v, given, j.Origin(want.key), want)
		}
	}
	if k, err := j.With("metal.alloy=ag925"); err != nil || k.Origin("casting.grade") != ByCaster {
		t.Errorf("in another alloy the profile is lost: %v", err)
	}
	all, err := Load(path, []string{"casting.growth=1.02"})
	if err != nil {
		t.Fatal(err)
	}
	if _, given := all.Number("casting.growth_x"); given {
		t.Error("the profile's growth along x stands over the one that the job gives for all axes")
	}
	if _, err := Load(write("far.toml", sound+"casting.profile = \"none.toml\"\n"), nil); !os.IsNotExist(unwrapped(err)) {
		t.Errorf("a profile that is not there: %v", err)
	}
}

func unwrapped(err error) error {
	for {
		u, ok := err.(interface{ Unwrap() error })
		if !ok {
			return err
		}
		err = u.Unwrap()
		if _, path := err.(*os.PathError); path {
			return err
		}
	}
}

// A run's locks take it too.
func TestCasterOfARun(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"a.toml": house, "b.toml": "casting.grade = 6\n", "run.toml": "chain.width = [10, 12]\nchain.thickness = 4\nmetal.alloy = \"ag925\"\ncasting.profile = [\"a.toml\", \"b.toml\"]\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	r, err := LoadRun(filepath.Join(dir, "run.toml"), nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{5, 6, 5, 6} {
		j := r.Jobs()[i]
		if j.Err != nil {
			t.Fatal(j.Err)
		}
		if g, _ := j.Job.Number("casting.grade"); g != want {
			t.Errorf("lock %d has grade %g, want %g", i, g, want)
		}
	}
}

// Never scaled twice.
func TestScalesOnce(t *testing.T) {
	if _, err := Parse("", nil, []string{"chain.width=12", "chain.thickness=5", "metal.alloy=ag925", "casting.scales=house", "casting.growth_y=1.01"}); err == nil || !strings.Contains(err.Error(), "scaled twice") {
		t.Errorf("scaled by both: %v", err)
	}
	j := must(t, "chain.width=12", "chain.thickness=5", "metal.alloy=ag925", "casting.growth=1.02")
	if _, err := j.From(profileOf(t, "casting.scales = \"house\"\n")); err == nil || !strings.Contains(err.Error(), "which the caster's profile says") {
		t.Errorf("the job's growth and a house that scales: %v", err)
	}
	j = must(t, "chain.width=12", "chain.thickness=5", "metal.alloy=ag925", "casting.scales=house")
	k, err := j.From(profileOf(t, house))
	if err != nil {
		t.Fatal(err)
	}
	if _, given := k.Number("casting.growth_x"); given {
		t.Error("the house scales, and the profile's growth is used as well")
	}
}

// Nonsense is told with key, value, range and remedy.
func TestCasterNonsense(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"growth below 1": {"[casting]\ngrowth = 0.985\n", "caster.toml:2: casting.growth: 0.985 is below the least 1 (1 to 1.1)"},
		"growth above":   {"[casting]\ngrowth_z = 1.15\n", "caster.toml:2: casting.growth_z: 1.15 is above the greatest 1.1 (1 to 1.1)"},
		"thick stock":    {"[casting]\nwall = 0.4\n[stock]\nface = 0.5\n", "caster.toml:4: stock.face: 0.5 mm is as thick as the least wall, 0.4 mm, or thicker"},
		"thicker still":  {"stock.tab = 0.6\n", "stock.tab: 0.6 mm is as thick as the least wall, 0.5 mm, or thicker"},
		"unknown":        {"[casting]\ngrowht = 1.01\n", "casting.growht is not a key of a caster's profile\nhint: the nearest key is casting.growth"},
		"unknown group":  {"[sprue]\ndiameter = 2\n", "[sprue] is not a group of keys\nhint: the groups are profile, wanted, casting and stock"},
		"of the job":     {"[casting]\nprofile = \"other.toml\"\n", "casting.profile is not a key of a caster's profile\nhint: it belongs into the job file"},
		"day":            {"[profile]\ndate = \"March 2026\"\n", "profile.date: March 2026 is not a day"},
		"no day":         {"[profile]\ndate = \"2026-02-30\"\n", "is not a day"},
		"alloy":          {"[profile]\nalloy = \"au58\"\n", "profile.alloy"},
		"who scales":     {"[casting]\nscales = \"they\"\n", "casting.scales: they is not one of us or house"},
		"grade":          {"casting.grade = 4.5\n", "is not a whole number"},
		"unit":           {"casting.wall = \"0.5 g\"\n", "is a mass; a length is expected"},
		"earlier":        {"[[earlier]]\nstock.face = 0.2\n", "earlier.1.until is not given"},
		"earlier key":    {"[[earlier]]\nuntil = \"2026-01-01\"\nstock.nose = 0.2\n", "caster.toml:3: stock.nose is not a key"},
		"single":         {"[earlier]\nuntil = \"2026-01-01\"\n", "[earlier] is not a group of keys"},
		"twice":          {"casting.wall = 0.5\ncasting.wall = 0.6\n", "is given twice"},
		"not TOML":       {"casting.wall = 0,5\n", "not valid TOML"},
	} {
		_, err := ParseCaster("caster.toml", []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v\nwant %s", name, err, c.want)
		}
	}
}

// What is changed is kept with its day, the oldest first, and reads back.
func TestCasterChanged(t *testing.T) {
	c := profileOf(t, house)
	d, err := c.Changed([]Setting{{Key: "casting.growth_x", Number: 1.017}, {Key: "casting.growth_y", Number: 1.013}}, "2026-06-01", "12 readings of 3 pieces")
	if err != nil {
		t.Fatal(err)
	}
	e, err := d.Changed([]Setting{{Key: "casting.growth_x", Number: 1.016}}, "2026-09-01", "")
	if err != nil {
		t.Fatal(err)
	}
	got := string(e.TOML())
	for _, want := range []string{"growth_x = 1.016\ngrowth_y = 1.013\n", "date = \"2026-09-01\"", "face = 0.25",
		"[[earlier]]\nuntil = \"2026-06-01\"\nwhy = \"12 readings of 3 pieces\"\ncasting.growth_x = 1.014\nprofile.date = \"2026-03-01\"\n",
		"[[earlier]]\nuntil = \"2026-09-01\"\ncasting.growth_x = 1.017\nprofile.date = \"2026-06-01\"\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("the changed profile lacks\n%s\nin\n%s", want, got)
		}
	}
	if v, _ := c.Number("casting.growth_x"); v != 1.014 || len(c.Earlier()) != 0 {
		t.Error("the old profile has changed")
	}
	if _, err := c.Changed([]Setting{{Key: "casting.growth_x", Number: 1.2}}, "2026-06-01", ""); err == nil {
		t.Error("a growth of 1.2 is written")
	}
	if _, err := c.Changed(nil, "today", ""); err == nil {
		t.Error("a day that is none is written")
	}
}

// Every key with a default: a profile of all defaults is read, and changes nothing in the job.
func TestNeutralProfile(t *testing.T) {
	var b strings.Builder
	for _, k := range ProfileKeys() {
		if k.Source == "" || k.Meaning == "" || k.Example == "" {
			t.Errorf("%s has no source", k.Name)
		}
		if k.Kind == Number && k.Rule == "" {
			b.WriteString(k.Name + " = " + plain(k.Default) + "\n")
		}
	}
	j, err := must(t, "chain.width=12", "chain.thickness=5", "metal.alloy=ag925").From(profileOf(t, b.String()))
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range Keys() {
		if v, _ := j.Number(k.Name); ofCaster(k.Name) && k.Kind == Number && k.Rule == "" && v != k.Default {
			t.Errorf("%s is %g, want %g", k.Name, v, k.Default)
		}
	}
}

// Whatever stands in a profile, reading it never panics, and what is taken reads back from its own TOML as the same text.
func FuzzParseCaster(f *testing.F) {
	for _, s := range []string{house, "", "[[earlier]]\nuntil = \"2026-01-01\"\ncasting.growth = 1.01\n[[earlier]]\nuntil = \"2026-01-02\"\nstock.lip = 0.1\n", "[earlier]\n", "earlier = 1\n",
		"earlier.1.until = \"2026-01-01\"\n", "earlier = [{until = \"2026-01-01\"}]\n", "casting = {growth = 1.02, scales = 'house'}\n", "[[casting]]\n", "profile.house = \"a\\\"b\"\n", "\ufeff[stock]\nface = \"0.01 in\"\n", "[[earlier]]\n[earlier.x]\n",
		"[[earlier]]\nuntil = \"2026-01-01\"\nwhy = \"x\"\ncasting.growth = 1.01\ncasting.growth = 1.02\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCaster("caster.toml", []byte(text))
		if err != nil {
			words(t, err)
			return
		}
		again, err := ParseCaster("caster.toml", c.TOML())
		if err != nil {
			t.Fatalf("its own TOML is refused:\n%s\n%v", c.TOML(), err)
		}
		if string(again.TOML()) != string(c.TOML()) {
			t.Fatalf("read back\n%s\nof\n%s", again.TOML(), c.TOML())
		}
	})
}
