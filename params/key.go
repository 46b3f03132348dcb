package params

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Kind is what a key holds.
type Kind string

// The kinds of key.
const (
	Number Kind = "number"
	Choice Kind = "choice" // one of a few words
	Text   Kind = "text"
)

// Key is one row of the key table: what may be asked for, in which unit and range, and what holds when it is not.
type Key struct {
	Name     string   // "chain.width"
	Kind     Kind     // number, choice or text
	Unit     string   // unit of a plain number: "mm", "g", "%", "" for a ratio and for texts
	Min, Max float64  // the range of a number, both ends allowed, in Unit
	Default  float64  // of a number; NaN when there is a rule instead, or when the key is required
	Word     string   // default of a choice or a text, "" when there is none
	Rule     string   // how the value follows from others when it is not given; "" with a default
	Required bool     // must be given
	Choices  []string // the words of a choice
	Flag     string   // short flag of the command for this key, without dashes, "" if none
	Example  string   // a value as a job file would write it
	Meaning  string   // what it is, one line
	Source   string   // where range and default come from
}

// Keys is the key table, in its own order, which is also the order of the written job.
func Keys() []Key {
	out := slices.Clone(keys)
	for i := range out {
		out[i].Choices = slices.Clone(out[i].Choices)
	}
	return out
}

// Lookup finds a key by its full name.
func Lookup(name string) (Key, bool) {
	i, ok := index[name]
	if !ok {
		return Key{}, false
	}
	return keys[i], true
}

// index is where each key stands in the table.
var index = func() map[string]int {
	m := make(map[string]int, len(keys))
	for i, k := range keys {
		m[k.Name] = i
	}
	return m
}()

// Range is what the key may hold, as a reader wants to see it: "4 to 40 mm", "pad, cradle or lug".
func (k Key) Range() string {
	switch k.Kind {
	case Number:
		return strings.TrimSpace(plain(k.Min) + " to " + plain(k.Max) + " " + k.Unit)
	case Choice:
		return either(k.Choices)
	}
	return "text"
}

// Otherwise is what holds when the key is not given: its default, its rule, or that it must be given.
func (k Key) Otherwise() string {
	switch {
	case k.Required:
		return "must be given"
	case k.Rule != "":
		return k.Rule
	case k.Kind == Number:
		return strings.TrimSpace(plain(k.Default) + " " + k.Unit)
	}
	return k.Word
}

// group is the part of the name before the dot.
func (k Key) group() string {
	head, _, _ := strings.Cut(k.Name, ".")
	return head
}

// with is a number in the key's unit, for messages.
func (k Key) with(v float64) string { return strings.TrimSpace(plain(v) + " " + k.Unit) }

// remedy says what to do about a value that is no number at all.
func (k Key) remedy() string {
	if out := k.leaveOut(); out != "" {
		return "give " + k.Range() + ", or " + out
	}
	return "give " + k.Range()
}

// leaveOut says what the key's rule or default would make of it, "" when it must be given.
func (k Key) leaveOut() string {
	switch {
	case k.Required:
		return ""
	case k.Rule != "":
		return fmt.Sprintf("leave %s out and its rule holds: %s", k.Name, k.Rule)
	}
	return fmt.Sprintf("leave %s out for its default, %s", k.Name, k.with(k.Default))
}

// nearer says what to do about a number outside the range.
func (k Key) nearer() string {
	if out := k.leaveOut(); out != "" {
		return out
	}
	return fmt.Sprintf("a number without a unit is in %s: %q would be in inches", k.Unit, "0.5 in")
}

// plain writes a number with the fewest digits that give it back.
func plain(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e9) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// either joins words: "a, b or c".
func either(words []string) string { return joined(words, " or ") }

// all joins words: "a, b and c".
func all(words []string) string { return joined(words, " and ") }

func joined(words []string, last string) string {
	n := len(words) - 1
	if n < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n], ", ") + last + words[n]
}
