package params

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Reading is one line of a file of readings: a dimension of one casting that came back, or its weight.
type Reading struct {
	File  string
	Line  int
	Piece string  // which casting: "1", "bracelet 14"
	Name  string  // of the dimension: "box.width"
	Value float64 // mm, or g where the name ends in ".weight"
	As    string  // as it was written
}

// Readings is a file of readings.
type Readings struct {
	Date string // day on which they were taken, "" when the file does not say
	List []Reading
}

// WeightName ends the names of weights.
const WeightName = ".weight"

// LoadReadings reads a CSV file of readings: piece, dimension, reading. names are the dimensions that may stand in it. A
// line that begins with # is a remark; "# date: 2026-06-01" says when they were taken. It fails with Problems.
func LoadReadings(path string, names []string) (*Readings, error) {
	data, err := slurp(path, "readings")
	if err != nil {
		return nil, err
	}
	return ParseReadings(path, data, names)
}

// ParseReadings is LoadReadings for a file that has been read already.
func ParseReadings(name string, data []byte, names []string) (*Readings, error) {
	if len(data) > maxBytes {
		return nil, Problems{{File: name, Say: "is larger than 1 MiB and so no file of readings"}}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	out := &Readings{}
	problems := out.remarks(name, data)
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = '#', -1, true
	seen := map[[2]string]int{}
	for {
		fields, err := r.Read()
		if err == io.EOF {
			break
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			problems = append(problems, Problem{File: name, Line: broken.Line, Say: "cannot be read as comma-separated values", Hint: readingForm})
			break
		}
		line, _ := r.FieldPos(0)
		one, p := readingOf(name, line, fields, names)
		switch {
		case p != nil:
			problems = append(problems, *p)
		case one != nil:
			key := [2]string{one.Piece, one.Name}
			if first := seen[key]; first > 0 {
				problems = append(problems, Problem{File: name, Line: line, Key: one.Name, Value: one.As, Say: fmt.Sprintf("is read twice of piece %s, first in line %d", shorten(one.Piece), first), Hint: "keep one, or their mean"})
			}
			seen[key] = line
			out.List = append(out.List, *one)
		}
	}
	problems.inOrder()
	if err := problems.orNil(); err != nil {
		return nil, err
	}
	return out, nil
}

const readingForm = "write piece, dimension and reading, such as 1,box.width,12.63"

// remarks looks for the day.
func (r *Readings) remarks(name string, data []byte) (problems Problems) {
	for i, line := range strings.Split(string(data), "\n") {
		rest, ok := strings.CutPrefix(strings.TrimSpace(line), "#")
		if !ok {
			continue
		}
		head, day, ok := strings.Cut(rest, ":")
		if !ok || strings.ToLower(strings.TrimSpace(head)) != "date" {
			continue
		}
		r.Date = strings.TrimSpace(day)
		if !IsDay(r.Date) {
			problems = append(problems, Problem{File: name, Line: i + 1, Key: "date", Value: shorten(r.Date), Say: "is not a day", Hint: "write year, month and day, such as # date: 2026-06-01"})
		}
	}
	return problems
}

// readingOf reads a line; nil for a heading and for one whose reading is still empty.
func readingOf(file string, line int, fields, names []string) (*Reading, *Problem) {
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	if len(fields) >= 3 && strings.EqualFold(fields[0], "piece") && strings.EqualFold(fields[1], "dimension") {
		return nil, nil
	}
	p := &Problem{File: file, Line: line, Say: "holds no reading", Hint: readingForm}
	if len(fields) < 3 {
		return nil, p
	}
	if fields[2] == "" {
		return nil, nil
	}
	p.Key, p.Value = shorten(fields[1]), shorten(fields[2])
	if f := readable(fields[0]); f != nil {
		p.Value, p.Say = shorten(fields[0]), "is of a piece whose name "+f.say
		return nil, p
	}
	known := false
	for _, n := range names {
		known = known || n == fields[1]
	}
	if !known {
		p.Value, p.Say, p.Hint = "", "is not a dimension of this lock", "learn --names lists them"
		if near := nearest(fields[1], names); near != "" {
			p.Hint = "the nearest is " + near + "; " + p.Hint
		}
		return nil, p
	}
	unit, most := "mm", 100.0
	if strings.HasSuffix(fields[1], WeightName) {
		unit, most = "g", 1000
	}
	v, f := quantity(fields[2], unit)
	switch {
	case f != nil:
		p.Say, p.Hint = f.say, f.hint
		if p.Hint == "" {
			p.Hint = "give a number in " + unit
		}
		return nil, p
	case !(v > 0 && v <= most):
		p.Say, p.Hint = fmt.Sprintf("is not above 0 and at most %g %s", most, unit), "give the reading in "+unit+", or with its unit"
		return nil, p
	}
	return &Reading{File: file, Line: line, Piece: fields[0], Name: fields[1], Value: v, As: fields[2]}, nil
}

// Wrong is a problem of a reading.
func (r Reading) Wrong(say, hint string) Problem {
	return Problem{File: r.File, Line: r.Line, Key: r.Name, Value: shorten(r.As), Say: say, Hint: hint}
}
