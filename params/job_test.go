package params

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// One job, written in every way that TOML allows, is one job.
func TestWaysOfWriting(t *testing.T) {
	want := "chain.width = 12.4\nchain.thickness = 5.2\nmetal.alloy = \"ag925\"\ntongue.make = \"cast\"\ncasting.button = 15.5517384\n"
	for name, text := range map[string]string{
		"dotted": "chain.width = 12.4\nchain.thickness = 5.2\nmetal.alloy = \"ag925\"\ntongue.make = \"cast\"\ncasting.button = \"10 dwt\"\n",
		"tables": "[casting]\nbutton = \"10dwt\"\n[chain]\nthickness = 5.2 # caliper\nwidth = \"12400 um\"\n[metal]\nalloy = 'ag925'\n[tongue]\nmake = \"cast\"\n",
		"inline": "chain = {width = 1.24e1, thickness = 5.2}\nmetal = {alloy = \"ag925\"}\ntongue.make = \"cast\"\ncasting.button = \"0.5 ozt\"\n",
		"dos":    "\ufeffchain.width = 12.4\r\nchain.thickness = 5.2\r\nmetal.alloy = \"ag925\"\r\ntongue.make = \"cast\"\r\ncasting.button = \"240 gr\"\r\n",
		"carats": "chain.width = \"0.48818897637795276 in\"\nchain.thickness = 5.2\nmetal.alloy = \"ag925\"\ntongue.make = \"cast\"\ncasting.button = \"77.758692 ct\"\n",
	} {
		j, err := Parse("job", []byte(text), nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := string(j.TOML()); got != want {
			t.Errorf("%s: written\n%swant\n%s", name, got, want)
		}
	}
}

func TestDefaultsAndRules(t *testing.T) {
	j := must(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow")
	if v, given := j.Number("chain.width"); v != 12.4 || !given {
		t.Errorf("chain.width %g, given %t", v, given)
	}
	if v, given := j.Number("tongue.engagement"); v != 0.5 || given {
		t.Errorf("tongue.engagement %g, given %t; the table's default is 0.5", v, given)
	}
	if v, given := j.Number("tongue.leaf"); !math.IsNaN(v) || given {
		t.Errorf("tongue.leaf %g, given %t; it has a rule", v, given)
	}
	if v, given := j.Text("tongue.condition"); v != "annealed" || given {
		t.Errorf("tongue.condition %q, given %t", v, given)
	}
	if v, given := j.Text("tongue.alloy"); v != "" || given {
		t.Errorf("tongue.alloy %q, given %t", v, given)
	}
	if v, given := j.Number("metal.alloy"); !math.IsNaN(v) || given {
		t.Errorf("metal.alloy as a number is %g, given %t", v, given)
	}
	if v, given := j.Text("chain.width"); v != "" || given {
		t.Errorf("chain.width as text is %q, given %t", v, given)
	}
}

// Overrides win over the file, later ones over earlier ones; the type is the key's, whatever the value looks like.
func TestOverrides(t *testing.T) {
	path := filepath.Join(t.TempDir(), "order.toml")
	if err := os.WriteFile(path, []byte(sound), 0o600); err != nil {
		t.Fatal(err)
	}
	j, err := Load(path, []string{"chain.width=13", " chain.width = 0.5 in", "job.name=1194495", `metal.alloy="Au 75, Ag 12.5, Cu 12.5"`})
	if err != nil {
		t.Fatal(err)
	}
	want := "chain.width = 12.7\nchain.thickness = 5.2\nmetal.alloy = \"Au 75, Ag 12.5, Cu 12.5\"\njob.name = \"1194495\"\n"
	if got := string(j.TOML()); got != want {
		t.Errorf("written\n%swant\n%s", got, want)
	}
}

// With gives a copy, judged like any job, and leaves the job as it was.
func TestWith(t *testing.T) {
	j := must(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow")
	before := string(j.TOML())
	c, err := j.With("metal.alloy=pt950-ru", "chain.crown=18.6")
	if err != nil {
		t.Fatal(err)
	}
	if v, _ := c.Text("metal.alloy"); v != "pt950-ru" {
		t.Errorf("the copy has %s", v)
	}
	for _, bad := range []string{"chain.width=1", "chain.width=4.5", "no.key=1", "word"} {
		if _, err := j.With(bad); err == nil {
			t.Errorf("%s is taken", bad)
		}
	}
	if string(j.TOML()) != before {
		t.Error("With changed the job itself")
	}
}

func TestComposition(t *testing.T) {
	j := must(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow")
	for text, want := range map[string]string{
		"Au 75, Ag 12.5, Cu 12.5":  "gold 750",
		"au 37.5,ag 10,CU 52.5":    "gold 375", // 9 carat: more copper than gold, and gold none the less
		"Ag92.5, Cu 7.5":           "silver 925",
		"Pt 95 %, Ru 5 %":          "platinum 950",
		"Pd 95, Ga 5":              "palladium 950",
		"Au 58.5, Ag 20, Cu 21.54": "gold 585", // sums to 100.04
		"Au 100":                   "gold 1000",
	} {
		a, err := j.Alloy(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if got := fmt.Sprintf("%s %.4g", a.Metal, a.Fineness); got != want || a.ID != text || a.Source == "" {
			t.Errorf("%s is %s, want %s", text, got, want)
		}
	}
	for _, bad := range []string{"", "Au", "Au 75 Ag 25", "Au 75,, Ag 25", "Au 75, Ag 0, Cu 25", "Au 101, Ag -1", "Au 58.5, Ag 20, Cu 21.56", "Au 1e2,"} {
		if _, err := j.Alloy(bad); err == nil {
			t.Errorf("composition %q is taken", bad)
		}
	}
}

func must(t *testing.T, sets ...string) *Job {
	t.Helper()
	j, err := Load("", sets)
	if err != nil {
		t.Fatal(err)
	}
	return j
}
