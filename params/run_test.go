package params

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// widths reads a run of widths and gives them back.
func widths(t *testing.T, text string) (out []float64) {
	t.Helper()
	r, err := ParseRun("run.toml", []byte("chain.width = "+text+"\nchain.thickness = 3\nmetal.alloy = 'ag925'\n"), nil)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	for _, j := range r.Jobs() {
		w, _, _ := j.Value("chain.width")
		out = append(out, w)
	}
	return out
}

func TestRunValues(t *testing.T) {
	for text, want := range map[string][]float64{
		`[7, 7.5, 8]`: {7, 7.5, 8}, `9`: {9}, `["7 mm", 8, "0.5 in"]`: {7, 8, 12.7}, `"7 to 7.5 by 0.1"`: {7, 7.1, 7.2, 7.3, 7.4, 7.5},
		`"7 mm to 8 mm by 0.5 mm"`: {7, 7.5, 8}, `"7 to 8 mm by 0.5"`: {7, 7.5, 8}, `"0.3 in to 0.4 in by 0.05 in"`: {7.62, 8.89, 10.16},
		`"8 to 7 by 0.3"`: {8, 7.7, 7.4, 7.1}, `"7 to 7 by 1"`: {7}, `["7 to 8 by 1", 12]`: {7, 8, 12}, "[7, # a remark\n 8]": {7, 8},
		`"4.1 to 5.3 by 0.3"`: {4.1, 4.4, 4.7, 5, 5.3},
	} {
		if got := widths(t, text); !slices.Equal(got, want) {
			t.Errorf("%s is %v, want exactly %v", text, got, want)
		}
	}
	if got := widths(t, `"7 to 20 by 0.5"`); len(got) != 27 || got[0] != 7 || got[26] != 20 {
		t.Errorf("7 to 20 by 0.5 is %v, want 27 values", got)
	}
}

func TestRunShares(t *testing.T) {
	r, err := ParseRun("run.toml", []byte(`
metal.alloy = "ag925"
chain.thickness = ["0.42 of chain.width", 5, "0.7 of chain.crown"]
chain.width = [7.5, 12.4]
chain.crown = "1.5 of chain.width"
`), nil)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, j := range r.Jobs() {
		w, _, _ := j.Value("chain.width")
		h, _, _ := j.Value("chain.thickness")
		c, _, _ := j.Value("chain.crown")
		got = append(got, fmt.Sprint(w, " ", h, " ", c, " ", j.Err != nil))
	}
	// By hand: 0.42 x 7.5 = 3.15, 0.42 x 12.4 = 5.208, 1.5 x 7.5 = 11.25, 1.5 x 12.4 = 18.6; 0.7 x 11.25 is thicker than wide.
	want := []string{"7.5 3.15 11.25 false", "7.5 5 11.25 false", "7.5 7.875 11.25 true", "12.4 5.208 18.6 false", "12.4 5 18.6 false", "12.4 13.02 18.6 true"}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// Later keys of the table turn fastest, wherever they stand in the file.
func TestRunOrderAndNames(t *testing.T) {
	r, err := ParseRun("run.toml", []byte(`
lock.end = ["pad", "lug"]
metal.alloy = ["au585-yellow", "Au 75, Ag 13, Cu 12"]
chain.width = [12.4, 10]
chain.thickness = 5.2
`), []string{"lock.wall=0.9 to 1 by 0.1"})
	if err != nil {
		t.Fatal(err)
	}
	jobs := r.Jobs()
	if len(jobs) != 16 || r.Len() != 16 {
		t.Fatalf("%d locks, want 16", len(jobs))
	}
	for i, want := range map[int]string{
		0: "12.4x5.2-au585-yellow-lock-wall-0.9-lock-end-pad", 1: "12.4x5.2-au585-yellow-lock-wall-0.9-lock-end-lug",
		2: "12.4x5.2-au585-yellow-lock-wall-1-lock-end-pad", 4: "12.4x5.2-au-75-ag-13-cu-12-lock-wall-0.9-lock-end-pad",
		8: "10x5.2-au585-yellow-lock-wall-0.9-lock-end-pad", 15: "10x5.2-au-75-ag-13-cu-12-lock-wall-1-lock-end-lug",
	} {
		if jobs[i].Name != want {
			t.Errorf("lock %d is %s, want %s", i, jobs[i].Name, want)
		}
	}
	n, given := jobs[2].Job.Number("lock.wall")
	if n != 1 || !given {
		t.Errorf("lock.wall of lock 2 is %v, %v", n, given)
	}
}

// Names that would be equal on some file system get a counter.
func TestRunNamesAreUnique(t *testing.T) {
	text := strings.Repeat("a", 100)
	r, err := ParseRun("run.toml", []byte(sound+"job.name = ['Ab', 'ab', 'a b', 'a/b', '..', '"+text+"x', '"+text+"y']\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, j := range r.Jobs() {
		if seen[j.Name] || !safe(j.Name) {
			t.Errorf("%q is no safe name, or taken", j.Name)
		}
		seen[j.Name] = true
	}
}

// safe names can stand on every usual file system.
func safe(name string) bool {
	return name != "" && len(name) <= maxName+6 && name[0] >= '0' && name[0] <= '9' && !strings.HasSuffix(name, ".") &&
		strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789.-") == ""
}

func TestRunProblems(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{`chain.width = []`, "chain.width is an empty list\nhint: give at least one value, such as [12.4]"},
		{`chain.width = [7, 8, 7.0]`, "chain.width: 7 stands twice among the values\nhint: keep one of the two"},
		{`chain.width = [7, "3 g"]`, "chain.width: 3 g is a mass; a length is expected (mm, um or in)\nhint: give 4 to 40 mm"},
		{`chain.width = [7, [8]]`, "chain.width: a list is not a length\nhint: give 4 to 40 mm"},
		{`chain.width = "7 to 20"`, "chain.width: 7 to 20 is a range without a step\nhint: write a range such as \"7 to 20 by 0.5\""},
		{`chain.width = "7 to 20 by 0"`, "chain.width: 7 to 20 by 0 has a step that is not above 0\nhint: write a range such as \"7 to 20 by 0.5\""},
		{`chain.width = "7 to 20 by -1"`, "chain.width: 7 to 20 by -1 has a step that is not above 0\nhint: write a range such as \"7 to 20 by 0.5\""},
		{`chain.width = "7 to 20 by x"`, "chain.width: 7 to 20 by x has a step that cannot be read: x is not a number\nhint: write a number in mm, or one with its unit (mm, um or in)"},
		{`chain.width = "7 to 20 by 1e-6"`, "chain.width: 7 to 20 by 1e-6 has more than 10000 values\nhint: take a larger step"},
		{`chain.width = "7 to 20 by 1e-999"`, "chain.width: 7 to 20 by 1e-999 has a step that is not above 0\nhint: write a range such as \"7 to 20 by 0.5\""},
		{`chain.width = "0.3 in to 1 by 0.1"`, "chain.width: 0.3 in to 1 by 0.1 has a unit on some of its numbers only\nhint: write the unit behind all three, or behind none"},
		{`chain.width = "7 to 50 by 1"`, "chain.width: 50 mm is above the greatest 40 mm (4 to 40 mm)\nhint: a number without a unit is in mm: \"0.5 in\" would be in inches"},
		{`chain.width = "0.4 of chain.width"`, "chain.width: 0.4 of chain.width is a share that leads back to itself\nhint: give one of the keys as a number"},
		{`chain.width = "0.4 of lock.lenght"`, "chain.width: 0.4 of lock.lenght is a share of lock.lenght, which is not a key\nhint: the nearest key is lock.length"},
		{`chain.width = "0.4 of lock.length"`, "chain.width: 0.4 of lock.length is a share of lock.length, which is not given and follows from a rule\nhint: give lock.length, or a share of another key"},
		{`chain.width = "0.4 of metal.alloy"`, "chain.width: 0.4 of metal.alloy is a share of metal.alloy, which is not a length\nhint: name a number key in the same unit"},
		{`chain.width = "half of chain.crown"`, "chain.width: half of chain.crown is not a share of another key: half is not a number\nhint: write a share such as \"0.42 of chain.width\""},
		{`chain.width = "-1 of chain.crown"`, "chain.width: -1 of chain.crown is a share outside 0.000001 to 1000000\nhint: write a share such as \"0.42 of chain.width\""},
	} {
		_, err := ParseRun("run.toml", []byte("metal.alloy = 'ag925'\nchain.thickness = 4\n"+c.text+"\n"), nil)
		if want := "run.toml:3: " + c.want; err == nil || err.Error() != want {
			t.Errorf("%s: got\n%v\nwant\n%s", c.text, err, want)
		}
	}
}

// Values of a long list are told with the line that they stand in.
func TestRunProblemLines(t *testing.T) {
	_, err := ParseRun("run.toml", []byte("chain.width = [7,\n 8,\n 90]\nchain.thickness = 4\nmetal.alloy = [\n'ag925',\n'ag926']\n"), nil)
	if err == nil || !strings.HasPrefix(err.Error(), "run.toml:3: chain.width: 90 mm is above") || !strings.Contains(err.Error(), "\nrun.toml:7: metal.alloy: ag926 is not") {
		t.Errorf("got %v", err)
	}
}

func TestRunWhole(t *testing.T) {
	for _, c := range []struct{ text, set, want string }{
		{"chain.width = 7\nchain.thickness = 3\n", "job.name=x", "run.toml: metal.alloy is not given; give --alloy or metal.alloy = \"au585-yellow\""},
		{sound, "chain.width=7 to 200 by 1", "chain.width: 200 mm is above the greatest 40 mm (4 to 40 mm)\nhint: a number without a unit is in mm: \"0.5 in\" would be in inches"},
		{sound + "chain.crown = '2 of chain.edge'\nchain.edge = '0.5 of chain.crown'\n", "job.name=x",
			"run.toml:4: chain.crown: 2 of chain.edge is a share that leads back to itself\nhint: give one of the keys as a number\n" +
				"run.toml:5: chain.edge: 0.5 of chain.crown is a share that leads back to itself\nhint: give one of the keys as a number"},
		{"chain.width = '7 to 20 by 0.1'\nchain.thickness = '2 to 7 by 0.1'\nmetal.alloy = ['ag925', 'au999']\n", "job.name=x",
			"run.toml: asks for more than 10000 locks"},
	} {
		_, err := ParseRun("run.toml", []byte(c.text), []string{c.set})
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: got\n%v\nwant\n%s", c.text, err, c.want)
		}
	}
}

// What only one lock gets wrong is told with that lock.
func TestRunLockProblems(t *testing.T) {
	r, err := ParseRun("run.toml", []byte("chain.width = [4, 10]\nchain.thickness = ['0.3 of chain.width', 5]\nmetal.alloy = 'ag925'\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"run.toml:2: chain.thickness: 0.3 of chain.width (1.2 mm) is below the least 1.5 mm (1.5 to 20 mm)\nhint: change the share, or chain.width",
		"run.toml:2: chain.thickness: 5 mm is more than chain.width, 4 mm\nhint: a curb chain is wider than thick: are the two readings swapped?", "", ""}
	for i, j := range r.Jobs() {
		got := ""
		if j.Err != nil {
			got = j.Err.Error()
		}
		if got != want[i] || (j.Job == nil) != (got != "") {
			t.Errorf("lock %d: got\n%s\nwant\n%s", i, got, want[i])
		}
	}
}

// A run of one lock is the job.
func TestRunOfOne(t *testing.T) {
	r, err := ParseRun("run.toml", []byte(sound), nil)
	if err != nil {
		t.Fatal(err)
	}
	j, err := Parse("run.toml", []byte(sound), nil)
	if err != nil {
		t.Fatal(err)
	}
	if jobs := r.Jobs(); len(jobs) != 1 || string(jobs[0].Job.TOML()) != string(j.TOML()) || jobs[0].Name != "12.4x5.2-au585-yellow" {
		t.Errorf("got %v", jobs)
	}
}

func TestLoadRunFiles(t *testing.T) {
	if _, err := LoadRun("missing.toml", nil); err == nil || err.Error() != "the run file cannot be read: open missing.toml: no such file or directory" {
		t.Errorf("got %v", err)
	}
	files, err := filepath.Glob("../testdata/runs/*.*")
	if err != nil || len(files) == 0 {
		t.Fatalf("no example runs: %v", err)
	}
	for _, f := range files {
		if _, err := LoadRun(f, nil); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
}

// Whatever stands in a run file, reading it never panics; what is refused is refused in words; a run that is taken has
// locks with values in range and different safe names, and reads back from its own TOML.
func FuzzParseRun(f *testing.F) {
	for _, s := range []string{
		sound, "chain.width = [7, 8.5]\nchain.thickness = '0.42 of chain.width'\nmetal.alloy = ['ag925', 'au999']\n",
		"[chain]\nwidth = '7 to 20 by 0.5'\nthickness = ['3 mm', '0.1 in to 0.2 in by 0.05 in']\n[metal]\nalloy='Au 75, Ag 25'\n",
		sound + "lock.wall = [[1]]\n", sound + "lock.wall = [{a = 1}]\n", sound + "lock.wall = '1e-9 of chain.crown'\n", sound + "lock.wall = '0e999999999 to 1 by 1e-999999999'\n",
		"metal.alloy='ag925'\n[[row]]\nname='a'\nchain.width=12\nchain={thickness=5}\n[[row]]\nchain.width=9\nchain.thickness='0.4 of chain.width'\n",
		sound + "lock.wall = [true, 1979-05-27]\n", sound + "job.name = ['a to b by c', 'x of y', '..']\n",
	} {
		f.Add(s, "chain.edge=0.1 to 0.3 by 0.1")
	}
	f.Add(sound, "chain.edge=\xff1 to .3 by ,1\xf8") // a hint once repeated bytes that are no text
	f.Fuzz(func(t *testing.T, text, set string) {
		r, err := ParseRun("run.toml", []byte(text), []string{set})
		if err != nil {
			words(t, err)
			return
		}
		checkRun(t, r)
	})
}

func checkRun(t *testing.T, r *Run) {
	t.Helper()
	seen := map[string]bool{}
	for _, j := range r.Jobs() {
		named := r.rows != nil && j.Name != "" && strings.IndexAny(j.Name, ".-") != 0 && safe("0"+j.Name) // of a list: a letter may come first
		if seen[j.Name] || !safe(j.Name) && !named {
			t.Fatalf("%q is no safe name, or taken", j.Name)
		}
		seen[j.Name] = true
		if j.Err != nil {
			words(t, j.Err)
			continue
		}
		for _, k := range keys {
			if v, given := j.Job.Number(k.Name); given && (math.IsNaN(v) || v < k.Min || v > k.Max) {
				t.Fatalf("%s is %v, outside %s", k.Name, v, k.Range())
			}
		}
	}
	again, err := ParseRun("again.toml", r.TOML(), nil)
	if err != nil {
		t.Fatalf("its own TOML is refused:\n%s\n%v", r.TOML(), err)
	}
	if string(again.TOML()) != string(r.TOML()) {
		t.Fatalf("read back\n%s\nof\n%s", again.TOML(), r.TOML())
	}
}
