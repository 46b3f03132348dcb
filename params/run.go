package params

import (
	"fmt"
	"slices"
	"strings"
)

// most locks of one run; a folder a lock, and a table that somebody reads.
const maxLocks = 10000

// Run is a size run: a job whose keys may each have several values. Its locks are all combinations. It does not change.
type Run struct {
	axes    []axis             // in the order of the key table
	casters map[string]*Caster // the profiles that its locks name, by what they are called there
}

// axis is one key of a run with all the values that it takes.
type axis struct {
	key     Key
	options []option
}

// option is one value of a key: fixed, or a share of another key.
type option struct {
	value value
	part  *portion // nil for a fixed value
}

// LoadRun reads a run file: a job file whose values may be lists, ranges such as "7 to 20 by 0.5", and shares of
// another number key such as "0.42 of chain.width". Sets of the form "key=value" replace a key for all locks; their
// values may be ranges and shares. It fails with Problems when a value is wrong by itself, and with an error that wraps
// that of the file system when the file cannot be read. Keys that contradict each other in some lock only are told
// with that lock, by Jobs.
func LoadRun(path string, sets []string) (*Run, error) {
	data, err := slurp(path, "run")
	if err != nil {
		return nil, err
	}
	r, err := ParseRun(path, data, sets)
	if err != nil {
		return nil, err
	}
	if err := r.loadCasters(); err != nil {
		return nil, err
	}
	return r, nil
}

// loadCasters reads every profile that a lock names.
func (r *Run) loadCasters() (err error) {
	r.casters = map[string]*Caster{}
	for _, a := range r.axes {
		if a.key.Name != "casting.profile" {
			continue
		}
		for _, o := range a.options {
			if r.casters[o.value.text], err = LoadCaster(beside(o.value.file, o.value.text)); err != nil {
				return err
			}
		}
	}
	return nil
}

// ParseRun is LoadRun for a run file that has been read already; name is what problems call it.
func ParseRun(name string, data []byte, sets []string) (*Run, error) {
	entries, problems, sound := readWith(name, data, sets)
	r := &Run{}
	for _, e := range entries {
		a, ps := axisOf(e)
		problems = append(problems, ps...)
		if len(ps) == 0 {
			r.put(a)
		}
	}
	if sound {
		problems = append(problems, (&Job{}).missing(name, entries)...)
	}
	if len(problems) == 0 {
		problems = append(r.unfounded(), r.tooMany(name)...)
	}
	problems.inOrder()
	if err := problems.orNil(); err != nil {
		return nil, err
	}
	return r, nil
}

// put keeps an axis at its place in the key table's order, over an earlier one of the same key.
func (r *Run) put(a axis) {
	at, found := slices.BinarySearchFunc(r.axes, a, func(x, y axis) int { return index[x.key.Name] - index[y.key.Name] })
	if found {
		r.axes[at] = a
		return
	}
	r.axes = slices.Insert(r.axes, at, a)
}

// Len is how many locks the run has.
func (r *Run) Len() int {
	n := 1
	for _, a := range r.axes {
		if n *= len(a.options); n > maxLocks {
			return n // so that it cannot overflow: no axis is longer than maxLocks
		}
	}
	return n
}

func (r *Run) tooMany(file string) Problems {
	if r.Len() <= maxLocks {
		return nil
	}
	return Problems{{File: file, Say: fmt.Sprintf("asks for more than %d locks", maxLocks), Hint: "take fewer values, or make several runs"}}
}

// Varied are the keys that have more than one value, in the order of the key table. The last of them turns fastest.
func (r *Run) Varied() (out []Key) {
	for _, a := range r.axes {
		if len(a.options) > 1 {
			out = append(out, a.key)
		}
	}
	return out
}

// TOML is the run as it was given, one line a key in the order of the table, ranges as lists of their values. ParseRun
// gives the same run back.
func (r *Run) TOML() []byte {
	var b strings.Builder
	for _, a := range r.axes {
		words := make([]string, len(a.options))
		for i, o := range a.options {
			words[i] = o.toml(a.key)
		}
		text := words[0]
		if len(words) > 1 {
			text = "[" + strings.Join(words, ", ") + "]"
		}
		fmt.Fprintf(&b, "%s = %s\n", a.key.Name, text)
	}
	return []byte(b.String())
}

func (o option) toml(k Key) string {
	switch {
	case o.part != nil:
		return quoted(o.part.digits + " of " + o.part.of)
	case k.Kind == Number:
		return plain(o.value.number)
	}
	return quoted(o.value.text)
}
