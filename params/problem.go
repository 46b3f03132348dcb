package params

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Problem is one thing that is wrong with the input.
type Problem struct {
	File   string // the job file as it was named, "" for a value of the command line
	Line   int    // in File, from 1; 0 when it is about no line
	Column int    // of a list, from 1; 0 when it is about no column
	Key    string // the key, as the user wrote it
	Value  string // the value, as the user wrote it, with its unit; "" when it is not about a value
	Say    string // what is wrong with it
	Hint   string // what to do, "" when there is nothing to add
}

// Text is the problem in one line: "order.toml:3: tongue.leaf: 1.9 mm is above the greatest 1.2 mm (0.35 to 1.2 mm)".
func (p Problem) Text() string {
	var b strings.Builder
	switch {
	case p.File != "" && p.Line > 0 && p.Column > 0:
		fmt.Fprintf(&b, "%s:%d, column %d: ", p.File, p.Line, p.Column)
	case p.File != "" && p.Line > 0:
		fmt.Fprintf(&b, "%s:%d: ", p.File, p.Line)
	case p.File != "":
		b.WriteString(p.File + ": ")
	}
	switch {
	case p.Key != "" && p.Value != "":
		b.WriteString(p.Key + ": " + p.Value + " ")
	case p.Key != "":
		b.WriteString(p.Key + " ")
	}
	b.WriteString(p.Say)
	return b.String()
}

// Error is Text, and the hint in a line of its own.
func (p Problem) Error() string {
	if p.Hint == "" {
		return p.Text()
	}
	return p.Text() + "\nhint: " + p.Hint
}

// Problems is everything that is wrong with the input, by line of the job file, then the
// command line in its own order. It is never empty when it is
// returned as an error.
type Problems []Problem

// Error is every problem with its hint, one after the other.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, one := range p {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the problems one by one, for errors.As.
func (p Problems) Unwrap() []error {
	out := make([]error, len(p))
	for i, one := range p {
		out[i] = one
	}
	return out
}

// inOrder puts the problems of the file's lines first, by line; the others stay as they were met.
func (p Problems) inOrder() {
	slices.SortStableFunc(p, func(a, b Problem) int { return cmp.Compare(a.place(), b.place()) })
}

func (p Problem) place() int {
	if p.Line > 0 {
		return p.Line
	}
	return math.MaxInt
}

// orNil keeps an empty list from becoming an error that is not nil.
func (p Problems) orNil() error {
	if len(p) == 0 {
		return nil
	}
	return p
}

// fault is what is wrong with a value, before it is known where it stands.
type fault struct{ say, hint string }
