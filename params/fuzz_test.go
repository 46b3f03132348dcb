package params

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

// Whatever stands in a job file, reading it never panics; what is refused is refused in words; and a job that is taken
// reads back from its own TOML with the same values.
func FuzzParse(f *testing.F) {
	for _, s := range []string{
		sound, "[chain]\nwidth = 12.4\nthickness = \"0.2 in\"\n[metal]\nalloy = 'Au 75, Ag 25'\n", sound + "job.name = \"a \\\"b\\\" \\\\ c\"\n",
		"chain = {width = 12.4, thickness = 5.2}\nmetal.alloy=\"ag925\"", sound + "casting.button = 0x10\nmesh.tolerance = 5e-3\n", sound + "lock.wall = 1_0\n",
		"[[chain]]\n", "chain.width = 12,4", "chain.width = nan", "[chain", "\"\" = 1", "\ufeff", "a.b.c.d = {e = [{f = 1}]}", sound + "chain.width.x = 1\n", "x = \"\xff\"",
		sound + "job.name = \"\"\"\nx\"\"\"", "chain.width = 1979-05-27T07:32:00Z",
	} {
		f.Add(s, "chain.edge=0.2")
	}
	f.Add(sound, "metal.alloy=Au 58.5, Ag 20, Cu 21.5")
	f.Add(sound, "job.name=\"")
	f.Fuzz(func(t *testing.T, text, set string) {
		j, err := Parse("job.toml", []byte(text), []string{set})
		if err != nil {
			words(t, err)
			return
		}
		again, err := Parse("again.toml", j.TOML(), nil)
		if err != nil {
			t.Fatalf("its own TOML is refused:\n%s\n%v", j.TOML(), err)
		}
		if a, b := bare(j), bare(again); !reflect.DeepEqual(a, b) {
			t.Fatalf("read back\n%v\nof\n%v", b, a)
		}
	})
}

// words checks that an error is one for people: printable, and without the names of Go types.
func words(t *testing.T, err error) {
	t.Helper()
	ps, ok := err.(Problems)
	if !ok || len(ps) == 0 {
		t.Fatalf("refused without problems: %#v", err)
	}
	for _, p := range ps {
		if p.Say == "" || !utf8.ValidString(p.Error()) || strings.Contains(p.Say, "interface {}") || strings.Contains(p.Text(), "\n") {
			t.Errorf("no words for people: %q", p.Error())
		}
	}
}

// bare is a job's values without where they stood.
func bare(j *Job) map[string][2]any {
	out := map[string][2]any{}
	for key, v := range j.given {
		out[key] = [2]any{math.Float64bits(v.number), v.text}
	}
	return out
}

// A number with a unit is read or refused, never anything else; and what is read is finite unless it is too large, and
// is the same number when it is written again.
func FuzzQuantity(f *testing.F) {
	for _, s := range []string{"12.4", "0.5 in", "12 dwt", "3 g", "1,5", "nan", "-inf", "1e999", "0x10", "", "mm", "1_000", "+.5e-3um", "5 %", "٣", "1e-400 ct", strings.Repeat("9", 80)} {
		for _, u := range []string{"mm", "g", "%", "deg", ""} {
			f.Add(s, u)
		}
	}
	f.Fuzz(func(t *testing.T, text, unit string) {
		if _, ok := unitNamed(unit); !ok && unit != "" {
			return
		}
		v, fault := quantity(text, unit)
		switch {
		case fault != nil && fault.say == "":
			t.Errorf("%q is refused without a word", text)
		case fault != nil:
		case math.IsNaN(v):
			t.Errorf("%q is read as NaN", text)
		case !math.IsInf(v, 0):
			if again, fault := quantity(plain(v), unit); fault != nil && len(plain(v)) <= maxDigits || fault == nil && again != v {
				t.Errorf("%q is %v, but written again %v (%v)", text, v, again, fault)
			}
		}
	})
}
