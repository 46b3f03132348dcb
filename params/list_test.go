package params

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const listText = "name,chain.width,chain.thickness,metal.alloy,lock.end\nferry,12.4,5.2,au585-yellow,\n,14,0.42 of chain.width,\"Au 75, Ag 13, Cu 12\",lug\n"

// Commas, semicolons, tabs, a byte order mark, the line ends of other systems, remarks, empty lines, units and a run file with rows: one list.
func TestListForms(t *testing.T) {
	want := "ferry 12.4 5.2 au585-yellow -|14x5.88-au-75-ag-13-cu-12-lock-end-lug 14 5.88 Au 75, Ag 13, Cu 12 lug"
	for what, text := range map[string]string{
		"commas":     listText,
		"bom, crlf":  "\ufeff" + strings.ReplaceAll(listText, "\n", "\r\n"),
		"semicolons": "name;chain.width;chain.thickness;metal.alloy;lock.end\nferry;12.4;5.2;au585-yellow;\n;14;0.42 of chain.width;Au 75, Ag 13, Cu 12;lug\n",
		"tabs":       "name\tchain.width\tchain.thickness\tmetal.alloy\tlock.end\nferry\t12.4\t5.2\tau585-yellow\t\n\t14\t0.42 of chain.width\tAu 75, Ag 13, Cu 12\tlug\n",
		"remarks":    "# spring order\n\n" + strings.Replace(listText, "\n", "\n,,,,\n# the ferry's\n", 1),
		"units":      "name,chain.width (um),chain.thickness (mm),metal.alloy,lock.end\nferry,12400,5.2 mm,au585-yellow,\n,14 mm,0.42 of chain.width,\"Au 75, Ag 13, Cu 12\",lug",
		"order":      "metal.alloy,lock.end,chain.thickness,chain.width,name\nau585-yellow,,5.2,12.4,ferry\n\"Au 75, Ag 13, Cu 12\",lug,0.42 of chain.width,14,\n",
	} {
		r, err := ParseList("list.csv", []byte(text), nil)
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		if got := told(r); got != want {
			t.Errorf("%s: got %s, want %s", what, got, want)
		}
	}
	rows := "metal.alloy = 'au585-yellow'\n[[row]]\nname = 'ferry'\nchain.width = 12.4\nchain.thickness = 5.2\n" +
		"[[row]]\nchain = {width = 14, thickness = '0.42 of chain.width'}\nmetal.alloy = 'Au 75, Ag 13, Cu 12'\nlock.end = 'lug'\n"
	r, err := ParseRun("run.toml", []byte(rows), nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := told(r); got != want {
		t.Errorf("rows of a run file: got %s, want %s", got, want)
	}
	// The command line stands over all rows.
	if r, err = ParseList("list.csv", []byte(listText), []string{"metal.alloy=ag925", "lock.end=pad"}); err != nil {
		t.Fatal(err)
	}
	if got, want := told(r), "ferry 12.4 5.2 ag925 pad|14x5.88-ag925 14 5.88 ag925 pad"; got != want {
		t.Errorf("with sets: got %s, want %s", got, want)
	}
	checkRun(t, r)
}

// told is a list in one line.
func told(r *Run) string {
	var out []string
	for _, j := range r.Jobs() {
		w, _, _ := j.Value("chain.width")
		h, _, _ := j.Value("chain.thickness")
		_, a, _ := j.Value("metal.alloy")
		_, e, ok := j.Value("lock.end")
		if !ok {
			e = "-"
		}
		out = append(out, fmt.Sprint(j.Name, " ", w, " ", h, " ", a, " ", e))
	}
	return strings.Join(out, "|")
}

func TestListProblems(t *testing.T) {
	head := "name,chain.width,chain.thickness,metal.alloy\n"
	for _, c := range []struct{ text, want string }{
		{"", "list.csv: holds no heading\nhint: write the keys into its first line, such as name,chain.width,chain.thickness,metal.alloy"},
		{head, "list.csv: holds no lock\nhint: write a row for each lock below the heading"},
		{"chain.widht,metal.alloy\n", "list.csv:1, column 1: chain.widht is not a key\nhint: the nearest key is chain.width"},
		{"width,metal.alloy\n", "list.csv:1, column 1: width is not a key\nhint: the nearest key is chain.width"},
		{"chain,metal.alloy\n", "list.csv:1, column 1: chain is not a key\nhint: the nearest key is chain.width"},
		{"chain.width,chain.width (in)\n", "list.csv:1, column 2: chain.width (in) is given twice, first in column 1\nhint: keep one of the two"},
		{"name,name\n", "list.csv:1, column 2: name is given twice, first in column 1\nhint: keep one of the two"},
		{"chain.width,,metal.alloy\n", "list.csv:1, column 2: has no heading\nhint: name the key, or take the column out"},
		{"metal.alloy (mm)\n", "list.csv:1, column 1: metal.alloy (mm) is no number and has no unit\nhint: take the brackets out"},
		{"chain.width (g)\n", "list.csv:1, column 1: chain.width (g) names a unit that does not fit: 1 g is a mass; a length is expected (mm, um or in)"},
		{head + "a,12.4,5.2\n", "list.csv:2: has 3 cells, the heading has 4\nhint: leave a cell empty for a rule or a default; put a value that holds the parting sign in quotes"},
		{head + "\na,12.4,5.2,ag925,x\n", "list.csv:3: has 5 cells, the heading has 4\nhint: leave a cell empty for a rule or a default; put a value that holds the parting sign in quotes"},
		{head + "a,12.4,5.2,\n", "list.csv:2: metal.alloy is not given\nhint: give it a column, such as metal.alloy with \"au585-yellow\", or all locks one with --set"},
		{head + "a,90,5.2,ag926\n", "list.csv:2, column 2: chain.width: 90 mm is above the greatest 40 mm (4 to 40 mm)\nhint: a number without a unit is in mm: \"0.5 in\" would be in inches\n" +
			"list.csv:2, column 4: metal.alloy: ag926 is not an alloy of the table\nhint: the nearest is ag925"},
		{head + "a,\"12,4\",5.2,ag925\n", "list.csv:2, column 2: chain.width: 12,4 has a decimal comma\nhint: write 12.4, with a decimal point"},
		{head + "a,7 to 8 by 0.5,3,ag925\n", "list.csv:2, column 2: chain.width: 7 to 8 by 0.5 has 3 values, but a row is one lock\nhint: write a row for each"},
		{head + "a,12.4,0.4 of lock.length,ag925\n", "list.csv:2: chain.thickness: 0.4 of lock.length is a share of lock.length, which is not given and follows from a rule\nhint: give lock.length, or a share of another key"},
		{head + "a,12.4,5.2,ag925\nb,12.4 mm,5.20,ag925\n", "list.csv:3: asks for the same lock as line 2\nhint: keep one of the two; tree --pieces counts more than one of each"},
		{head + "Ab,12.4,5.2,ag925\nab,13,5.2,ag925\n", "list.csv:3, column 1: name: ab gives the folder ab, as line 2 does\nhint: name one of the two otherwise"},
		{head + "..,12.4,5.2,ag925\n", "list.csv:2, column 1: name: .. has no letter or digit that a folder's name can take\nhint: write small letters and digits, such as ferry-14"},
		{head + "a\"b,12.4,5.2,ag925\n", "list.csv:2: cannot be read as a table at letter 2: bare \" in non-quoted-field\nhint: put a cell that holds quotes or commas in quotes, and write a quote in it twice"},
		{"\xff\xfen\x00", "list.csv: is not readable text (UTF-8) but UTF-16\nhint: save it as CSV UTF-8"},
	} {
		_, err := ParseList("list.csv", []byte(c.text), nil)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q: got\n%v\nwant\n%s", c.text, err, c.want)
		}
	}
	for text, want := range map[string]string{
		"chain.width = [7, 8]\n[[row]]\nchain.thickness = 5\n":                                                                     "run.toml:1: chain.width: a list has several values, but in a list a row is one lock\nhint: give it a column, or a value in each row",
		"metal.alloy = 'ag925'\n[[row]]\nchain.width = [7, 8]\nchain.thickness = 3\n":                                              "run.toml:3: chain.width: a list has several values, but a row is one lock\nhint: write a row for each",
		"metal.alloy = 'ag925'\n[[row]]\nchain.widht = 7\n":                                                                        "run.toml:3: chain.widht is not a key\nhint: the nearest key is chain.width",
		"metal.alloy = 'ag925'\nchain.thickness = 3\n[[row]]\nchain.width = 7\n\n[[row]]\n":                                        "run.toml:6: chain.width is not given\nhint: give it a column, such as chain.width with 12.4, or all locks one with --set",
		"metal.alloy = 'ag925'\nchain.thickness = 3\n[[row]]\nname = 7\nchain.width = 7\n":                                         "run.toml:4: name: 7 is not text\nhint: put the name in quotes",
		"metal.alloy = 'ag925'\nchain.thickness = 3\n[[row]]\nname = 'a'\nchain.width = 7\n[[row]]\nname = 'A'\nchain.width = 8\n": "run.toml:7: name: A gives the folder a, as line 4 does\nhint: name one of the two otherwise",
	} {
		if _, err := ParseRun("run.toml", []byte(text), nil); err == nil || err.Error() != want {
			t.Errorf("%q: got\n%v\nwant\n%s", text, err, want)
		}
	}
}

// Names that the run's own files have, or that some systems keep to themselves, get a word before them.
func TestListNames(t *testing.T) {
	text := "name,chain.width,chain.thickness,metal.alloy\n"
	want := map[string]string{"Plate-1.3mf": "lock-plate-1.3mf", "run.csv": "lock-run.csv", "rows": "lock-rows", "NUL": "lock-nul", "com1.txt": "lock-com1.txt", ".hidden": "hidden",
		"Teasel, no. 4": "teasel-no.-4", "manifest.json": "lock-manifest.json", strings.Repeat("a", 99): strings.Repeat("a", 80), "5x2-ag925": "5x2-ag925", "": "5x2-ag925-2"}
	var names []string
	n := 0
	for name := range want {
		w := 6 + float64(n)/100
		n++
		if name == "" {
			w = 5
		}
		text += fmt.Sprintf("%q,%g,2,ag925\n", name, w)
		names = append(names, name)
	}
	r, err := ParseList("list.csv", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, got := range r.Names() {
		if got != want[names[i]] {
			t.Errorf("%q: folder %s, want %s", names[i], got, want[names[i]])
		}
	}
}

// The file's name says that it is a list.
func TestLoadList(t *testing.T) {
	for _, name := range []string{"list.csv", "LIST.CSV", "list.tsv"} {
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, []byte(listText), 0o644); err != nil {
			t.Fatal(err)
		}
		r, err := LoadRun(path, nil)
		if err != nil || r.Len() != 2 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Whatever stands in a list, reading it never panics; what is refused is refused in words; a list that is taken has locks with values in range
// and different safe names, and reads back from its own TOML.
func FuzzParseList(f *testing.F) {
	for _, s := range []string{
		listText, strings.ReplaceAll(listText, ",", ";"), strings.ReplaceAll(listText, ",", "\t"), "\ufeff" + listText, "chain.width (in),chain.thickness (um),metal.alloy\r\n0.5,5200,ag925\r\n",
		"name,chain.width,chain.thickness,metal.alloy\n\"a\"\"b\",12,5,ag925\n..,12,4,ag925\n", "name\n\"", "#\n\n,\n", "chain.width (),name (x)\n1,2\n",
	} {
		f.Add(s, "chain.edge=0.1")
	}
	f.Add(listText, "chain.width=0.5 of chain.crown")
	f.Fuzz(func(t *testing.T, text, set string) {
		r, err := ParseList("list.csv", []byte(text), []string{set})
		if err != nil {
			words(t, err)
			return
		}
		checkRun(t, r)
	})
}
