package params

import (
	"fmt"
	"slices"
	"strings"
)

// rowList is what the locks of a list are called in a run file: [[row]].
const rowList = "row"

// row is one lock of a list.
type row struct {
	name  string // of its folder, as written; "" to be named by its keys
	line  int
	cells []cell // what the row gives itself, in the order in which it does
}

type cell struct {
	at     int // of the key, in the key table
	option option
}

// take reads one value of a row: as in a job file, or a share of another key.
func (w *row) take(e entry, k Key) Problems {
	options, p := optionsOf(e)
	switch {
	case e.list != nil:
		p = e.wrong("has several values, but a row is one lock", "write a row for each")
	case p == nil && len(options) > 1:
		p = e.wrong(fmt.Sprintf("has %d values, but a row is one lock", len(options)), "write a row for each")
	}
	if p != nil {
		return Problems{*p}
	}
	w.cells = append(w.cells, cell{index[k.Name], options[0]})
	return nil
}

// common takes a key that holds for all locks of a list; over says that it stands over those of the rows.
func (r *Run) common(e entry, over bool) Problems {
	a, problems := axisOf(e)
	if len(problems) == 0 && len(a.options) != 1 {
		problems = Problems{*e.wrong("has several values, but in a list a row is one lock", "give it a column, or a value in each row")}
	}
	if len(problems) > 0 {
		return problems
	}
	r.put(a)
	if over {
		r.over = append(r.over, index[a.key.Name])
	}
	return nil
}

// chosen is what lock i gives.
func (r *Run) chosen(i int) map[string]option {
	out := map[string]option{}
	if r.rows != nil {
		for _, a := range r.axes {
			out[a.key.Name] = a.options[0]
		}
		for _, c := range r.rows[i].cells {
			if !slices.Contains(r.over, c.at) {
				out[keys[c.at].Name] = c.option
			}
		}
		return out
	}
	for at := len(r.axes) - 1; at >= 0; at-- {
		a := r.axes[at]
		out[a.key.Name] = a.options[i%len(a.options)]
		i /= len(a.options)
	}
	return out
}

// differing are the keys of a list that are not the same in all its locks, in the order of the key table.
func (r *Run) differing() (out []Key) {
	first, differ := r.chosen(0), map[string]bool{}
	for i := range r.rows {
		c := r.chosen(i)
		for name, o := range c {
			if f, ok := first[name]; !ok || f.toml(known(name)) != o.toml(known(name)) {
				differ[name] = true
			}
		}
		for name := range first {
			if _, ok := c[name]; !ok {
				differ[name] = true
			}
		}
	}
	for _, k := range keys {
		if differ[k.Name] {
			out = append(out, k)
		}
	}
	return out
}

// badName tells a name that no folder can take, or that another row has.
func (r *Run) badName(file string, w row) *Problem {
	p := &Problem{File: file, Line: w.line, Key: nameColumn, Value: shorten(w.name)}
	if f := readable(w.name); f != nil {
		p.Say, p.Hint = f.say, "write letters and digits"
		return p
	}
	folder := folderOf(w.name)
	if folder == "" {
		p.Say, p.Hint = "has no letter or digit that a folder's name can take", "write small letters and digits, such as ferry-14"
		return p
	}
	if first := r.folders[folder]; first > 0 {
		p.Say, p.Hint = fmt.Sprintf("gives the folder %s, as line %d does", folder, first), "name one of the two otherwise"
		return p
	}
	if r.folders == nil {
		r.folders = map[string]int{}
	}
	r.folders[folder] = w.line
	return nil
}

// ownWords are names in a run's folder that no lock can have, by what they begin with, and those that some file systems keep to
// themselves.
var (
	ownWords = []string{"run", "rows", "plate", "manifest", "unfinished"}
	devices  = []string{"con", "prn", "aux", "nul", "com", "lpt"}
)

// folderOf is the name of a folder for a name that was given.
func folderOf(name string) string {
	s := cut(strings.TrimLeft(slug(name), ".-"))
	if s == "" {
		return ""
	}
	head, _, _ := strings.Cut(s, ".")
	for _, w := range ownWords {
		if strings.HasPrefix(s, w) {
			return cut("lock-" + s)
		}
	}
	for _, w := range devices {
		if head == w || len(head) == 4 && head[:3] == w {
			return cut("lock-" + s)
		}
	}
	return s
}

// sameLocks tells rows that ask for the same lock.
func (r *Run) sameLocks(file string) (problems Problems) {
	seen := map[string]int{}
	for i, w := range r.rows {
		var b strings.Builder
		for _, s := range r.settled(r.chosen(i)) {
			fmt.Fprintf(&b, "%s = %s\n", s.key.Name, option{value: s.value}.toml(s.key))
		}
		text := b.String()
		if first := seen[text]; first > 0 {
			problems = append(problems, Problem{File: file, Line: w.line, Say: fmt.Sprintf("asks for the same lock as line %d", first), Hint: "keep one of the two; tree --pieces counts more than one of each"})
			continue
		}
		seen[text] = w.line
	}
	return problems
}

// lacking names the required keys that a row does not have.
func (r *Run) lacking(file string) (problems Problems) {
	for i, w := range r.rows {
		given := r.chosen(i)
		for _, k := range keys {
			if _, ok := given[k.Name]; k.Required && !ok {
				problems = append(problems, Problem{File: file, Line: w.line, Key: k.Name, Say: "is not given", Hint: "give it a column, such as " + k.Name + " with " + k.Example + ", or all locks one with --set"})
			}
		}
	}
	return problems
}

// unfoundedRows is unfounded for each lock of a list, every problem once.
func (r *Run) unfoundedRows() (problems Problems) {
	told := map[string]bool{}
	for i := range r.rows {
		one := &Run{}
		for name, o := range r.chosen(i) {
			one.put(axis{known(name), []option{o}})
		}
		for _, p := range one.unfounded() {
			if !told[p.Text()] {
				problems = append(problems, p)
			}
			told[p.Text()] = true
		}
	}
	return problems
}

// rowsTOML are the rows of a list as a run file holds them.
func (r *Run) rowsTOML(b *strings.Builder) {
	for _, w := range r.rows {
		fmt.Fprintf(b, "\n[[%s]]\n", rowList)
		if w.name != "" {
			fmt.Fprintf(b, "%s = %s\n", nameColumn, quoted(w.name))
		}
		cells := slices.Clone(w.cells)
		slices.SortStableFunc(cells, func(x, y cell) int { return x.at - y.at })
		for _, c := range cells {
			if !slices.Contains(r.over, c.at) {
				fmt.Fprintf(b, "%s = %s\n", keys[c.at].Name, c.option.toml(keys[c.at]))
			}
		}
	}
}

// takeRows reads the rows of a run file: entries whose names begin with row and its place.
func (r *Run) takeRows(file string, entries []entry, lines []int) (rest []entry, problems Problems) {
	for _, line := range lines {
		r.rows = append(r.rows, row{line: line})
	}
	for _, e := range entries {
		at, name, ok := inRow(e.name)
		if !ok || at > len(r.rows) {
			rest = append(rest, e)
			continue
		}
		w := &r.rows[at-1]
		e.name = name
		if name == nameColumn {
			problems = append(problems, r.named(file, w, e)...)
			continue
		}
		k, ok := Lookup(name)
		if !ok {
			_, p := judge(e)
			problems = append(problems, *p)
			continue
		}
		problems = append(problems, w.take(e, k)...)
	}
	return rest, problems
}

// named takes the name of a row.
func (r *Run) named(file string, w *row, e entry) Problems {
	if e.sort != asText {
		return Problems{*e.wrong("is not text", "put the name in quotes")}
	}
	own := row{name: strings.TrimSpace(e.raw), line: e.line}
	if p := r.badName(file, own); p != nil {
		return Problems{*p}
	}
	w.name = own.name
	return nil
}

// inRow takes "row.3.chain.width" apart.
func inRow(name string) (at int, key string, ok bool) {
	rest, found := strings.CutPrefix(name, rowList+".")
	if !found {
		return 0, "", false
	}
	head, key, found := strings.Cut(rest, ".")
	if _, err := fmt.Sscanf(head, "%d", &at); err != nil || at < 1 || !found {
		return 0, "", false
	}
	return at, key, true
}
