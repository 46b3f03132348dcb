package params

import (
	"fmt"
	"slices"
	"strings"
)

// most locks of one run; a folder a lock, and a table that somebody reads.
const maxLocks = 10000

// a run file or a list of as many locks as a run may have.
const maxRunBytes = 8 << 20

// Run is a size run: a job whose keys may each have several values, its locks all combinations; or a list, its locks the
// rows. It does not change.
type Run struct {
	axes    []axis             // in the order of the key table; of a list those that all rows have, one value each
	rows    []row              // of a list; nil for combinations
	over    []int              // places in the key table of those axes of a list that stand over its rows
	varied  []Key              // what Varied gives
	folders map[string]int     // the lines of the rows that have a name, by the folder that it gives
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

// LoadRun reads a run file or a list of locks. A list is a table by its name, .csv or .tsv: see ParseList. A run file is a job file whose values may be lists, ranges such as "7 to 20 by 0.5", and shares of
// another number key such as "0.42 of chain.width"; with tables [[row]] it is a list too, a table a lock. Sets of the form "key=value" replace a key for all locks; their
// values may be ranges and shares. It fails with Problems when a value is wrong by itself, and with an error that wraps
// that of the file system when the file cannot be read. Keys that contradict each other in some lock only are told
// with that lock, by Jobs.
func LoadRun(path string, sets []string) (*Run, error) {
	data, err := slurpUpTo(path, "run", maxRunBytes)
	if err != nil {
		return nil, err
	}
	parse := ParseRun
	if isList(path) {
		parse = ParseList
	}
	r, err := parse(path, data, sets)
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
	load := func(o option) {
		if _, done := r.casters[o.value.text]; done || err != nil {
			return
		}
		r.casters[o.value.text], err = LoadCaster(beside(o.value.file, o.value.text))
	}
	for _, a := range r.axes {
		if a.key.Name == "casting.profile" {
			for _, o := range a.options {
				load(o)
			}
		}
	}
	for i := range r.rows {
		if o, ok := r.chosen(i)["casting.profile"]; ok {
			load(o)
		}
	}
	return err
}

// ParseRun is LoadRun for a run file that has been read already; name is what problems call it.
func ParseRun(name string, data []byte, sets []string) (*Run, error) {
	t := &reader{most: maxRunBytes, groups: groups(), lists: map[string]int{rowList: 0}}
	entries, problems, sound := t.tables(name, data)
	r := &Run{}
	own := len(entries)
	entries, problems = withSets(entries, problems, sets)
	set := entries[own:]
	entries, ps := r.takeRows(name, entries[:own], t.rowLines)
	problems = append(problems, ps...)
	if r.rows != nil {
		return r.ofRows(name, entries, set, problems, sound)
	}
	entries = append(entries, set...)
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
	return r.judged(name, problems, sound)
}

// ofRows takes what all locks of a list have.
func (r *Run) ofRows(name string, entries, set []entry, problems Problems, sound bool) (*Run, error) {
	for _, e := range entries {
		problems = append(problems, r.common(e, false)...)
	}
	for _, e := range set {
		problems = append(problems, r.common(e, true)...)
	}
	return r.judged(name, problems, sound)
}

// judged is the run when nothing is wrong with it.
func (r *Run) judged(name string, problems Problems, sound bool) (*Run, error) {
	if len(problems) == 0 {
		problems = r.tooMany(name)
	}
	switch {
	case len(problems) > 0:
	case r.rows == nil:
		problems = r.unfounded()
	default:
		if problems = append(r.lacking(name), r.unfoundedRows()...); len(problems) == 0 {
			problems = r.sameLocks(name)
		}
	}
	problems.inOrder()
	if err := problems.orNil(); err != nil {
		return nil, err
	}
	if r.rows != nil {
		r.varied = r.differing()
		return r, nil
	}
	for _, a := range r.axes {
		if len(a.options) > 1 {
			r.varied = append(r.varied, a.key)
		}
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
	if r.rows != nil {
		return len(r.rows)
	}
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

// Varied are the keys that are not the same in all locks, in the order of the key table. The last of them turns fastest.
func (r *Run) Varied() []Key { return slices.Clone(r.varied) }

// TOML is the run as it was given, one line a key in the order of the table, ranges as lists of their values,
// then the rows of a list. ParseRun gives the same run back.
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
	r.rowsTOML(&b)
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
