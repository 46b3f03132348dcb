package params

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// sort is what kind of value stands behind a key in the file.
type sort int

const (
	asText   sort = iota // a string
	asNumber             // a plain number
	asWord               // of the command line: text whose meaning the key decides
	asOther              // true, a date, a list, a table
)

// listOfTables stands for [[ ]] in an entry.
const listOfTables = "a list of tables"

// entry is a key and a value as they were written.
type entry struct {
	name string
	sort sort
	raw  string // the string, or the number as written; for asOther what it is: "a list"
	file string
	line int
	list []entry // of a list, its values; only a size run looks at them
}

// a job file is a page or two; what is larger is something else by mistake.
const maxBytes = 1 << 20

// reader collects the entries of one job file.
type reader struct {
	file     string
	parser   unstable.Parser
	entries  []entry
	problems Problems
	seen     map[string]int // line of each key
	groups   []string       // the tables that the file may have
	lists    map[string]int // the lists of tables that it may have, and how many of each were met
	rowLines []int          // where those of rowList begin
	most     int            // bytes that the file may have
	ends     []int          // where each line ends, so that a list of thousands of rows is not counted through for every key
}

// lineAt is the line in which a part of the file begins.
func (r *reader) lineAt(part unstable.Range) int {
	at, _ := slices.BinarySearch(r.ends, int(part.Offset))
	return at + 1
}

// read takes a job file apart. Broken TOML is the last problem: what stands behind it is not read.
func read(file string, data []byte) ([]entry, Problems, bool) {
	return readTables(file, data, groups(), nil)
}

// readTables takes a file apart that has the given tables and lists of tables. The tables of a list are called by their
// place in it, from 1: "earlier.1".
func readTables(file string, data []byte, groups, lists []string) ([]entry, Problems, bool) {
	r := &reader{most: maxBytes, groups: groups, lists: map[string]int{}}
	for _, l := range lists {
		r.lists[l] = 0
	}
	return r.tables(file, data)
}

// tables takes a file apart.
func (r *reader) tables(file string, data []byte) ([]entry, Problems, bool) {
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some editors put a byte order mark first
	data = append([]byte(nil), data...)             // the parser's errors point into the slice; this one ends where its data end
	if len(data) > r.most {
		return nil, Problems{{File: file, Say: fmt.Sprintf("is larger than %d MiB and so no job file", r.most>>20)}}, false
	}
	r.file, r.seen = file, map[string]int{}
	for i, c := range data {
		if c == '\n' {
			r.ends = append(r.ends, i)
		}
	}
	r.parser.Reset(data)
	var table []string
	for r.parser.NextExpression() {
		table = r.expression(r.parser.Expression(), table)
	}
	whole := r.check(data)
	return r.entries, r.problems, whole
}

// check asks the strict decoder whether the file is TOML at all, tables that are opened twice included.
func (r *reader) check(data []byte) bool {
	var all map[string]any
	err := toml.Unmarshal(data, &all)
	if err == nil && r.parser.Error() == nil {
		return true
	}
	p := Problem{File: r.file, Say: "is not valid TOML"}
	var at *toml.DecodeError
	if errors.As(err, &at) {
		line, column := at.Position()
		p.Line = line
		p.Say = fmt.Sprintf("not valid TOML at column %d: %s", column, strings.TrimPrefix(at.Error(), "toml: "))
		p.Hint = hintFor(lineOf(data, line))
	}
	for _, q := range r.problems {
		if q.File == p.File && q.Line == p.Line {
			return false // a key given twice has been told already
		}
	}
	r.problems = append(r.problems, p)
	return false
}

var (
	bareComma = regexp.MustCompile(`=\s*([+-]?\d+),(\d+)`)
	bareUnit  = regexp.MustCompile(`=\s*([+-]?[\d.]+\s*[A-Za-zµ%]+)\s*(#.*)?$`)
	bareWord  = regexp.MustCompile(`=\s*([A-Za-z][^"'#]*?)\s*(#.*)?$`)
)

// hintFor guesses what was meant by a line that is not TOML.
func hintFor(line string) string {
	if m := bareComma.FindStringSubmatch(line); m != nil {
		return fmt.Sprintf("write %s.%s, with a decimal point", m[1], m[2])
	}
	if m := bareUnit.FindStringSubmatch(line); m != nil {
		return fmt.Sprintf("put a number with its unit in quotes: %q", m[1])
	}
	if m := bareWord.FindStringSubmatch(line); m != nil {
		return fmt.Sprintf("put text in quotes: %q", m[1])
	}
	return ""
}

func lineOf(data []byte, n int) string {
	lines := strings.Split(string(data), "\n")
	if n < 1 || n > len(lines) {
		return ""
	}
	return strings.TrimSuffix(lines[n-1], "\r")
}

// expression takes one line or table head and gives the table that the next lines stand in.
func (r *reader) expression(n *unstable.Node, table []string) []string {
	switch n.Kind {
	case unstable.Table:
		table, line := r.path(n, nil)
		r.head(strings.Join(table, "."), line)
		return table
	case unstable.ArrayTable:
		table, line := r.path(n, nil)
		name := strings.Join(table, ".")
		if count, ok := r.lists[name]; ok {
			r.lists[name] = count + 1
			if name == rowList {
				r.rowLines = append(r.rowLines, line)
			}
			return []string{name, strconv.Itoa(count + 1)}
		}
		r.add(entry{name: name, sort: asOther, raw: listOfTables, line: line})
		return table
	case unstable.KeyValue:
		r.keyValue(n, table)
	}
	return table
}

// head judges a table's name: it must be a group of keys.
func (r *reader) head(name string, line int) {
	if _, ok := Lookup(name); ok {
		r.add(entry{name: name, sort: asOther, raw: "a table", line: line})
		return
	}
	if !slices.Contains(r.groups, name) {
		r.problems = append(r.problems, Problem{File: r.file, Line: line, Key: "[" + name + "]", Say: "is not a group of keys",
			Hint: "the groups are " + all(r.groups)})
	}
}

func (r *reader) keyValue(n *unstable.Node, table []string) {
	path, line := r.path(n, table)
	name, v := strings.Join(path, "."), n.Value()
	if v.Kind == unstable.InlineTable {
		r.inline(v, path, line)
		return
	}
	r.add(r.value(v, name, line))
}

// value is one value as an entry.
func (r *reader) value(v *unstable.Node, name string, line int) entry {
	e := entry{name: name, raw: string(v.Data), file: r.file, line: line}
	switch v.Kind {
	case unstable.String:
		e.sort = asText
	case unstable.Integer, unstable.Float:
		e.sort = asNumber
	case unstable.Bool:
		e.sort = asOther
	case unstable.Array:
		e.sort, e.raw = asOther, "a list"
		e.list = r.list(v, name, line)
	case unstable.InlineTable:
		e.sort, e.raw = asOther, "a table"
	default:
		e.sort, e.raw = asOther, "a date or a time"
	}
	return e
}

// list is the values of a list, each with the line that it stands in, as far as the parser knows it.
func (r *reader) list(v *unstable.Node, name string, line int) []entry {
	out := []entry{}
	for it := v.Children(); it.Next(); {
		n := it.Node()
		if n.Kind == unstable.Comment {
			continue
		}
		at := line
		if n.Raw.Length > 0 {
			at = r.lineAt(n.Raw)
		}
		out = append(out, r.value(n, name, at))
	}
	return out
}

// inline takes a table in braces apart.
func (r *reader) inline(v *unstable.Node, path []string, line int) {
	name := strings.Join(path, ".")
	if _, inside, ok := inRow(name); ok {
		name = inside
	}
	r.head(name, line)
	if !slices.Contains(r.groups, name) {
		return
	}
	for it := v.Children(); it.Next(); {
		if it.Node().Kind == unstable.KeyValue {
			r.keyValue(it.Node(), path)
		}
	}
}

// path is the full name of a key and its line.
func (r *reader) path(n *unstable.Node, table []string) ([]string, int) {
	path, line := append([]string(nil), table...), 0
	for it := n.Key(); it.Next(); {
		k := it.Node()
		path = append(path, string(k.Data))
		line = r.lineAt(k.Raw)
	}
	return path, line
}

// add keeps an entry, unless the key stood in the file before.
func (r *reader) add(e entry) {
	e.file = r.file
	if first := r.seen[e.name]; first > 0 {
		r.problems = append(r.problems, Problem{File: r.file, Line: e.line, Key: e.name, Say: fmt.Sprintf("is given twice, first in line %d", first),
			Hint: "keep one of the two"})
		return
	}
	r.seen[e.name] = e.line
	r.entries = append(r.entries, e)
}

// groups are the first words of the keys, in the table's order.
func groups() (out []string) {
	for _, k := range keys {
		if g := k.group(); len(out) == 0 || out[len(out)-1] != g {
			out = append(out, g)
		}
	}
	return out
}

func isGroup(name string) bool {
	for _, g := range groups() {
		if g == name {
			return true
		}
	}
	return false
}
