package params

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strings"
)

// nameColumn heads the column with the names of the locks' folders.
const nameColumn = "name"

// isList says of a file's name whether a list of locks stands in it as a table, a row a lock.
func isList(path string) bool {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".csv", ".tsv":
		return true
	}
	return false
}

// column is a heading of a list.
type column struct {
	key  string // full name of a key, or nameColumn
	unit string // behind the heading, in brackets: of the plain numbers below it; "" for the key's own
}

// ParseList is LoadRun for a list that has been read already: a heading of keys, then a row a lock; an empty cell leaves
// the key to its default or rule. Commas, semicolons or tabs part the cells; a heading may name a unit, as in
// "chain.width (in)", for the plain numbers below it. A line that begins with # is a remark.
func ParseList(name string, data []byte, sets []string) (*Run, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	switch {
	case len(data) > maxRunBytes:
		return nil, Problems{{File: name, Say: "is larger than 8 MiB and so no list of locks"}}
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		return nil, Problems{{File: name, Say: "is not readable text (UTF-8) but UTF-16", Hint: "save it as CSV UTF-8"}}
	}
	l := &listReader{file: name, run: &Run{rows: []row{}}}
	problems := l.sets(sets)
	problems = append(problems, l.read(data)...)
	return l.run.judged(name, problems, true)
}

// listReader collects the rows of one list.
type listReader struct {
	file    string
	columns []column
	run     *Run
}

// sets are the keys that the command line gives for all locks.
func (l *listReader) sets(sets []string) (problems Problems) {
	for _, s := range sets {
		e, p := override(s)
		if p != nil {
			problems = append(problems, *p)
			continue
		}
		problems = append(problems, l.run.common(e, true)...)
	}
	return problems
}

func (l *listReader) read(data []byte) (problems Problems) {
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = parting(data), '#', -1, true
	if r.Comma == '\t' {
		r.TrimLeadingSpace = false // it would take an empty cell for a blank
	}
	for {
		fields, err := r.Read()
		if err == io.EOF {
			break
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			return append(problems, Problem{File: l.file, Line: broken.Line, Say: fmt.Sprintf("cannot be read as a table at letter %d: %v", broken.Column, broken.Err), Hint: `put a cell that holds quotes or commas in quotes, and write a quote in it twice`})
		}
		line, _ := r.FieldPos(0)
		for i := range fields {
			fields[i] = strings.TrimSpace(fields[i])
		}
		switch {
		case strings.Join(fields, "") == "":
		case l.columns == nil:
			if problems = append(problems, l.head(line, fields)...); len(problems) > 0 {
				return problems // rows below a wrong heading mean nothing
			}
		default:
			problems = append(problems, l.row(line, fields)...)
		}
		if len(l.run.rows) > maxLocks {
			return append(problems, l.run.tooMany(l.file)...)
		}
	}
	if l.columns == nil {
		problems = append(problems, Problem{File: l.file, Say: "holds no heading", Hint: "write the keys into its first line, such as name,chain.width,chain.thickness,metal.alloy"})
	} else if len(l.run.rows) == 0 && len(problems) == 0 {
		problems = append(problems, Problem{File: l.file, Say: "holds no lock", Hint: "write a row for each lock below the heading"})
	}
	return problems
}

// parting is what parts the cells, by the first line that is no remark. No key holds any of the three.
func parting(data []byte) rune {
	for _, line := range bytes.Split(data, []byte("\n")) {
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		for _, c := range "\t;" {
			if bytes.ContainsRune(line, c) {
				return c
			}
		}
		break
	}
	return ','
}

var unitBehind = regexp.MustCompile(`^(.*?)\s*\(([^()]*)\)$`)

// head reads the heading.
func (l *listReader) head(line int, fields []string) (problems Problems) {
	l.columns = []column{}
	seen := map[string]int{}
	for i, text := range fields {
		c := column{key: text}
		if m := unitBehind.FindStringSubmatch(text); m != nil {
			c.key, c.unit = m[1], m[2]
		}
		p := Problem{File: l.file, Line: line, Column: i + 1, Key: shorten(text)}
		k, ok := Lookup(c.key)
		switch first := seen[c.key]; {
		case text == "":
			p.Say, p.Hint = "has no heading", "name the key, or take the column out"
		case first > 0:
			p.Say, p.Hint = fmt.Sprintf("is given twice, first in column %d", first), "keep one of the two"
		case !ok && c.key != nameColumn:
			p.Say, p.Hint = "is not a key", unknown(c.key)
		case c.unit != "" && (!ok || k.Kind != Number):
			p.Say, p.Hint = "is no number and has no unit", "take the brackets out"
		case c.unit != "":
			if _, f := quantity("1 "+c.unit, k.Unit); f != nil {
				p.Say, p.Hint = "names a unit that does not fit: 1 "+shorten(c.unit)+" "+f.say, f.hint
			}
		}
		if p.Say != "" {
			problems = append(problems, p)
		}
		seen[c.key] = i + 1
		l.columns = append(l.columns, c)
	}
	return problems
}

// row reads one lock.
func (l *listReader) row(line int, fields []string) (problems Problems) {
	if n, want := len(fields), len(l.columns); n != want {
		return Problems{{File: l.file, Line: line, Say: fmt.Sprintf("has %d cells, the heading has %d", n, want), Hint: "leave a cell empty for a rule or a default; put a value that holds the parting sign in quotes"}}
	}
	one := row{line: line}
	for i, text := range fields {
		c := l.columns[i]
		if text == "" {
			continue
		}
		if c.key == nameColumn {
			one.name = text
			if p := l.run.badName(l.file, one); p != nil {
				p.Column = i + 1
				problems = append(problems, *p)
			}
			continue
		}
		k := known(c.key)
		if c.unit != "" && c.unit != k.Unit && decimal.FindString(text) == text {
			text += " " + c.unit
		}
		ps := one.take(entry{name: c.key, sort: asWord, raw: text, file: l.file, line: line}, k)
		for j := range ps {
			ps[j].Column = i + 1
		}
		problems = append(problems, ps...)
	}
	l.run.rows = append(l.run.rows, one)
	return problems
}
