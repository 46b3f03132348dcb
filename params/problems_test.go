package params

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every kind of bad input, with its exact words. The job is a file named order.toml that holds what is given, after a
// sound job's other lines.
func TestMessages(t *testing.T) {
	tests := []struct{ name, file, want string }{
		{"above", "tongue.leaf = 1.9", "order.toml:4: tongue.leaf: 1.9 mm is above the greatest 1.2 mm (0.35 to 1.2 mm)\nhint: leave tongue.leaf out and its rule holds: 0.045 of the width, 0.5 to 0.7 mm; of strip 0.04 of the width, 0.35 to 0.6 mm"},
		{"zero", "tongue.taper = 0", "order.toml:4: tongue.taper: 0 is below the least 0.5 (0.5 to 1)\nhint: leave tongue.taper out for its default, 0.75"},
		{"negative", "stock.lip = -1", "order.toml:4: stock.lip: -1 mm is below the least 0 mm (0 to 0.6 mm)\nhint: leave stock.lip out for its default, 0.05 mm"},
		{"absurd", "lock.length = 1e9", "order.toml:4: lock.length: 1e9 mm is above the greatest 60 mm (10 to 60 mm)\nhint: leave lock.length out and its rule holds: lip, end play, leaf, fold, 0.35 mm and end wall"},
		{"nan", "chain.edge = nan", "order.toml:4: chain.edge: nan is not a number that can be measured\nhint: give 0 to 1 mm, or leave chain.edge out for its default, 0.3 mm"},
		{"inf", "chain.edge = -inf", "order.toml:4: chain.edge: -inf is not a number that can be measured\nhint: give 0 to 1 mm, or leave chain.edge out for its default, 0.3 mm"},
		{"nan as text", `chain.edge = "NaN mm"`, "order.toml:4: chain.edge: NaN mm is not a number that can be measured\nhint: give 0 to 1 mm, or leave chain.edge out for its default, 0.3 mm"},
		{"wrong unit", `chain.edge = "3 g"`, "order.toml:4: chain.edge: 3 g is a mass; a length is expected (mm, um or in)\nhint: give 0 to 1 mm, or leave chain.edge out for its default, 0.3 mm"},
		{"unit of a ratio", `casting.growth = "1.5 %"`, "order.toml:4: casting.growth: 1.5 % is a percentage; a plain number is expected\nhint: write it without a unit"},
		{"unknown unit", `chain.edge = "1 ell"`, "order.toml:4: chain.edge: 1 ell has a unit that is not known here, \"ell\"\nhint: write a number in mm, or one with its unit (mm, um or in)"},
		{"other unit", `chain.edge = "0.5 in"`, "order.toml:4: chain.edge: 0.5 in (12.7 mm) is above the greatest 1 mm (0 to 1 mm)\nhint: leave chain.edge out for its default, 0.3 mm"},
		{"comma in text", `chain.edge = "0,4"`, "order.toml:4: chain.edge: 0,4 has a decimal comma\nhint: write 0.4, with a decimal point"},
		{"bare comma", `chain.edge = 0,4`, "order.toml:4: not valid TOML at column 15: expected newline but got U+002C ','\nhint: write 0.4, with a decimal point"},
		{"bare unit", `chain.edge = 0.4 mm`, "order.toml:4: not valid TOML at column 18: expected newline but got U+006D 'm'\nhint: put a number with its unit in quotes: \"0.4 mm\""},
		{"bare word", `tongue.make = cast`, "order.toml:4: not valid TOML at column 15: unexpected character U+0063 'c' at start of value\nhint: put text in quotes: \"cast\""},
		{"list", "lock.lip = [1, 2]", "order.toml:4: lock.lip: a list is not a length\nhint: give 0.6 to 4 mm, or leave lock.lip out and its rule holds: the greater of 1.1 mm, so that a 1.2 mm file passes, and 0.07 of the width"},
		{"table", "tab.thickness = {a = 1}", "order.toml:4: tab.thickness: a table is not a length\nhint: give 0.8 to 2 mm, or leave tab.thickness out for its default, 1.1 mm"},
		{"yes", "tab.thickness = true", "order.toml:4: tab.thickness: true is not a length\nhint: give 0.8 to 2 mm, or leave tab.thickness out for its default, 1.1 mm"},
		{"date", "tab.thickness = 2026-01-01", "order.toml:4: tab.thickness: a date or a time is not a length\nhint: give 0.8 to 2 mm, or leave tab.thickness out for its default, 1.1 mm"},
		{"empty", `tab.thickness = ""`, "order.toml:4: tab.thickness: \"\" is empty\nhint: write a number in mm, or one with its unit (mm, um or in)"},
		{"no number", `tab.thickness = "thin"`, "order.toml:4: tab.thickness: thin is not a number\nhint: write a number in mm, or one with its unit (mm, um or in)"},
		{"number for a word", "tongue.make = 3", "order.toml:4: tongue.make: 3 is not text\nhint: put text in quotes, such as \"cast\""},
		{"wrong word", `tongue.make = "cats"`, "order.toml:4: tongue.make: cats is not one of cast, opened, strip or slit\nhint: the nearest is cast"},
		{"unknown key", "tongue.leef = 0.5", "order.toml:4: tongue.leef is not a key\nhint: the nearest key is tongue.leaf"},
		{"key without its group", "tolerance = 0.5", "order.toml:4: tolerance is not a key\nhint: the nearest key is mesh.tolerance"},
		{"far from any key", "xylophone.of.brass = 0.5", "order.toml:4: xylophone.of.brass is not a key\nhint: the command keys lists every key"},
		{"group as key", "mesh = 3", "order.toml:4: mesh is a group of keys, not a key\nhint: its keys: mesh.tolerance"},
		{"list of tables", "[[mesh]]\ntolerance = 0.01", "order.toml:4: mesh is a group of keys, not a key\nhint: write [mesh] once, in single brackets"},
		{"unknown group", "[clasp]", "order.toml:4: [clasp] is not a group of keys\nhint: the groups are chain, metal, tongue, lock, link, cradle, lug, strip, tab, window, floor, core, catch, mark, hallmark, stock, casting, mesh, gauge, print, paper and job"},
		{"twice", "chain.width = 13", "order.toml:4: chain.width is given twice, first in line 1\nhint: keep one of the two"},
		{"twice, quoted", "\"chain.width\" = 13", "order.toml:4: chain.width is given twice, first in line 1\nhint: keep one of the two"},
		{"table twice", "[tab]\n[tab]\n", "order.toml:5: not valid TOML at column 2: table tab already exists"},
		{"broken", "[tab\n", "order.toml:4: not valid TOML at column 5: expected ']' to close table name"},
		{"name", "job.name = \"a\\u0007b\"", "order.toml:4: job.name: a?b holds letters that cannot be printed\nhint: write text such as \"lock\""},
		{"alloy", `tongue.alloy = "au750-gold"`, "order.toml:4: tongue.alloy: au750-gold is not an alloy of the table\nhint: the nearest is au750-pale"},
		{"alloy, far", `tongue.alloy = "unobtainium"`, "order.toml:4: tongue.alloy: unobtainium is not an alloy of the table\nhint: \"claspwright alloys\" lists them; or write a composition such as \"Au 75, Ag 12.5, Cu 12.5\""},
		{"sum", `tongue.alloy = "Au 75, Ag 12.5, Cu 12.4"`, "order.toml:4: tongue.alloy: Au 75, Ag 12.5, Cu 12.4 sums to 99.9 %, not to 100 %\nhint: mass percent of all parts must make 100, within 0.05"},
		{"element", `tongue.alloy = "Au 75, Xx 25"`, "order.toml:4: tongue.alloy: Au 75, Xx 25 names \"Xx\", which is not in the table of metals\nhint: the table has Au, Ag, Cu, Zn, Pd, Pt, Ni, Ir, Ru, Co, In, Sn, Ga, Rh and Si"},
		{"element by name", `tongue.alloy = "Au 75, silver 25"`, "order.toml:4: tongue.alloy: Au 75, silver 25 names \"silver\", which is not in the table of metals\nhint: write its symbol, Ag"},
		{"cadmium", `tongue.alloy = "Au 75, Cd 25"`, "order.toml:4: tongue.alloy: Au 75, Cd 25 names \"Cd\", which is not in the table of metals\nhint: its fume or dust is poisonous and it is not offered: choose an alloy without it"},
		{"comma in a share", `tongue.alloy = "Au 58,5, Ag 20, Cu 21,5"`, "order.toml:4: tongue.alloy: Au 58,5, Ag 20, Cu 21,5 has a decimal comma\nhint: write shares with a decimal point: Au 58.5, Ag 20, Cu 21.5"},
		{"element twice", `tongue.alloy = "Au 75, Ag 12.5, Ag 12.5"`, "order.toml:4: tongue.alloy: Au 75, Ag 12.5, Ag 12.5 names Ag twice\nhint: add the two shares up"},
		{"nothing precious", `tongue.alloy = "Cu 70, Zn 30"`, "order.toml:4: tongue.alloy: Cu 70, Zn 30 holds no gold, silver, platinum or palladium\nhint: a composition names at least one of Au, Ag, Pt and Pd; for a trial casting take cuzn30 or cusn10 or cusi4"},
		{"round", "chain.crown = 7", "order.toml:4: chain.crown: 7 mm is less than 0.6 of chain.width, 12.4 mm\nhint: give a radius of at least 7.44 mm, or 0 for a flat top"},
		{"eased", "chain.edge = 1\nchain.crown=0\n", ""},
		{"no window", "lock.floor = \"closed\"\nwindow.width = 3", "order.toml:5: window.width: 3 mm contradicts lock.floor = \"closed\", which has no window\nhint: leave window.width out, or set lock.floor = \"window\""},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse("order.toml", []byte(sound+c.file), nil)
			got := ""
			if err != nil {
				got = err.Error()
			}
			if got != c.want {
				t.Errorf("said\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}

// The same for values of the command line, which have no file and line.
func TestOverrideMessages(t *testing.T) {
	tests := []struct{ name, set, want string }{
		{"comma", "chain.width=12,4", "chain.width: 12,4 has a decimal comma\nhint: write 12.4, with a decimal point"},
		{"range", "chain.width=3", "chain.width: 3 mm is below the least 4 mm (4 to 40 mm)\nhint: a number without a unit is in mm: \"0.5 in\" would be in inches"},
		{"micrometres", "chain.width=3 um", "chain.width: 3 um (0.003 mm) is below the least 4 mm (4 to 40 mm)\nhint: a number without a unit is in mm: \"0.5 in\" would be in inches"},
		{"form", "chain.width", "--set: chain.width is not of the form key=value\nhint: write --set chain.width=12.4"},
		{"key", "chian.width=12", "chian.width is not a key\nhint: the nearest key is chain.width"},
		{"thick", "chain.thickness=13", "chain.thickness: 13 mm is more than chain.width, 12.4 mm\nhint: a curb chain is wider than thick: are the two readings swapped?"},
		{"steep", "chain.crown=7.5", "chain.crown: 7.5 mm falls by 3.28 mm to the sides and leaves less than 1 mm of chain.thickness, 4.2 mm, there\nhint: give a larger radius, or 0 for a flat top"},
		{"eased", "chain.edge=1", ""},
		{"binary", "job.name=a\xffb", "job.name: a?b is not readable text (UTF-8)\nhint: write text such as \"lock\""},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse("", nil, []string{"chain.width=12.4", "chain.thickness=4.2", "metal.alloy=ag925", c.set})
			got := ""
			if err != nil {
				got = err.Error()
			}
			if got != c.want {
				t.Errorf("said\n%s\nwant\n%s", got, c.want)
			}
		})
	}
	_, err := Parse("", nil, []string{"chain.width=12", "chain.thickness=3", "metal.alloy=ag925", "chain.edge=0.8"})
	if want := "chain.edge: 0.8 mm is more than a quarter of chain.thickness, 3 mm\nhint: give at most 0.75 mm"; err == nil || err.Error() != want {
		t.Errorf("said %v, want %s", err, want)
	}
}

// Everything is told at once, by line, then the command line, then what is missing.
func TestAllAtOnce(t *testing.T) {
	_, err := Parse("order.toml", []byte("lock.wall = 99\n[tab]\nwidth = 99\nheight = \"x\"\n[foo]\n"), []string{"chain.width=1", "nonsense=1"})
	var ps Problems
	if !errors.As(err, &ps) {
		t.Fatalf("not Problems: %v", err)
	}
	var got []string
	for _, p := range ps {
		got = append(got, p.Key)
	}
	if want := "lock.wall tab.width tab.height [foo] chain.width nonsense chain.thickness metal.alloy"; strings.Join(got, " ") != want {
		t.Errorf("problems with %v, want %s", got, want)
	}
	var one Problem
	if !errors.As(err, &one) || one.Key != "lock.wall" || one.Line != 1 || one.File != "order.toml" || one.Value != "99 mm" {
		t.Errorf("first problem is %+v", one)
	}
}

func TestMissing(t *testing.T) {
	_, err := Load("", nil)
	want := "chain.width is not given; give --width or chain.width = 12.4\n" +
		"chain.thickness is not given; give --thickness or chain.thickness = 5.2\n" +
		"metal.alloy is not given; give --alloy or metal.alloy = \"au585-yellow\""
	if err == nil || err.Error() != want {
		t.Errorf("said\n%v\nwant\n%s", err, want)
	}
}

// A file that cannot be read is no problem of the input: the error of the file system comes through.
func TestUnreadable(t *testing.T) {
	dir := t.TempDir()
	for path, want := range map[string]error{filepath.Join(dir, "none.toml"): fs.ErrNotExist, dir: nil} {
		_, err := Load(path, nil)
		var ps Problems
		var pe *fs.PathError
		if err == nil || errors.As(err, &ps) || !errors.As(err, &pe) || (want != nil && !errors.Is(err, want)) {
			t.Errorf("%s: %v", path, err)
		}
	}
	big := filepath.Join(dir, "big.toml")
	if err := os.WriteFile(big, make([]byte, maxBytes+1), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Load(big, nil); err == nil || !strings.HasSuffix(err.Error(), "big.toml: is larger than 1 MiB and so no job file") {
		t.Errorf("a large file: %v", err)
	}
}
