package params

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// value is what a key holds once it has been read and judged.
type value struct {
	number float64
	text   string
	file   string // where it was given, for problems between keys
	line   int
}

// longest text of a job file; compositions of a dozen elements fit.
const maxText = 200

// judge reads one entry by the row of its key. The problem is nil when the value can be taken.
func judge(e entry) (value, *Problem) {
	p := &Problem{File: e.file, Line: e.line, Key: shorten(e.name), Value: e.shown("")}
	k, ok := Lookup(e.name)
	if !ok {
		p.Value, p.Say, p.Hint = "", "is not a key", unknown(e.name)
		if isGroup(e.name) {
			p.Say, p.Hint = "is a group of keys, not a key", "its keys: "+strings.Join(within(e.name), ", ")
			if e.raw == listOfTables {
				p.Hint = "write [" + e.name + "] once, in single brackets"
			}
		}
		return value{}, p
	}
	return k.judge(e)
}

// judge reads an entry of the key's row.
func (k Key) judge(e entry) (value, *Problem) {
	p := &Problem{File: e.file, Line: e.line, Key: shorten(e.name), Value: e.shown("")}
	v := value{number: math.NaN(), file: e.file, line: e.line}
	var f *fault
	if k.Kind == Number {
		p.Value = e.shown(k.Unit)
		v.number, f = k.number(e)
	} else {
		v.text, f = k.words(e)
	}
	if f != nil {
		p.Say, p.Hint = f.say, f.hint
		return value{}, p
	}
	return v, nil
}

func unknown(name string) string {
	if near := nearestKey(name); near != "" {
		return "the nearest key is " + near
	}
	return "the command keys lists every key"
}

func within(group string) (out []string) {
	for _, k := range keys {
		if k.group() == group {
			out = append(out, k.Name)
		}
	}
	return out
}

// shown is the value as it is quoted in a problem: a bare number with the unit it is taken in.
func (e entry) shown(unit string) string {
	raw := shorten(e.raw)
	number := (e.sort == asNumber && !unmeasurable.MatchString(raw)) || (e.sort != asOther && decimal.FindString(raw) == raw && raw != "")
	if number && unit != "" {
		return raw + " " + unit
	}
	if raw == "" {
		return `""`
	}
	return raw
}

// shorten makes a name or a value fit into a message: printable, one line, not too long.
func shorten(s string) string {
	s = strings.Map(func(r rune) rune {
		if !unicode.IsGraphic(r) || r == utf8.RuneError {
			return '?'
		}
		return r
	}, s)
	if r := []rune(s); len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return s
}

// number reads a number, with or without a unit, and holds it against the key's range.
func (k Key) number(e entry) (float64, *fault) {
	var v float64
	switch e.sort {
	case asOther:
		return 0, &fault{say: "is not " + measure(k.Unit), hint: k.remedy()}
	case asNumber:
		v = tomlNumber(e.raw)
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return 0, &fault{say: "is not a number that can be measured", hint: k.remedy()}
		}
	default:
		var f *fault
		if v, f = quantity(e.raw, k.Unit); f != nil {
			if f.hint == "" {
				f.hint = k.remedy()
			}
			return 0, f
		}
	}
	return v, k.outside(v, e)
}

// outside says that a number lies outside the key's range; nil when it does not.
func (k Key) outside(v float64, e entry) *fault {
	given := ""
	if u := unitIn(e); u != "" && u != k.Unit {
		given = "(" + k.with(v) + ") "
	}
	switch {
	case v < k.Min:
		return &fault{say: fmt.Sprintf("%sis below the least %s (%s)", given, k.with(k.Min), k.Range()), hint: k.nearer()}
	case v > k.Max:
		return &fault{say: fmt.Sprintf("%sis above the greatest %s (%s)", given, k.with(k.Max), k.Range()), hint: k.nearer()}
	}
	return nil
}

// unitIn is the unit that was written behind a number, "" for none.
func unitIn(e entry) string {
	if e.sort == asNumber {
		return ""
	}
	s := strings.TrimSpace(e.raw)
	return strings.TrimSpace(s[len(decimal.FindString(s)):])
}

// tomlNumber is a number as TOML writes it: with underscores, in hexadecimal, "inf", "nan".
func tomlNumber(raw string) float64 {
	s := strings.ReplaceAll(raw, "_", "")
	if len(s) > 2 && s[0] == '0' {
		if base, ok := map[byte]int{'x': 16, 'o': 8, 'b': 2}[s[1]]; ok {
			return whole(s[2:], base)
		}
	}
	return float(s)
}

// whole reads digits of any base; beyond 2^63 only the size matters.
func whole(digits string, base int) float64 {
	v := 0.0
	for _, r := range strings.ToLower(digits) {
		v = v*float64(base) + float64(strings.IndexRune("0123456789abcdef", r))
	}
	return v
}

// words reads a choice or a text.
func (k Key) words(e entry) (string, *fault) {
	if e.sort == asNumber || e.sort == asOther {
		return "", &fault{say: "is not text", hint: "put text in quotes, such as " + k.Example}
	}
	s := strings.TrimSpace(e.raw)
	if e.sort == asWord {
		s = unquote(s)
	}
	if f := readable(s); f != nil {
		f.hint = "write text such as " + k.Example
		return "", f
	}
	if k.Kind == Choice && !slices.Contains(k.Choices, s) {
		return "", &fault{say: "is not one of " + either(k.Choices), hint: didYouMean(nearest(s, k.Choices))}
	}
	if strings.HasSuffix(k.Name, ".alloy") {
		if _, f := alloy(s); f != nil {
			return "", f
		}
	}
	if k.Name == "chain.heights" {
		if _, f := heights(s); f != nil {
			f.hint = "write place and thickness, mm, such as " + k.Example
			return "", f
		}
	}
	return s, nil
}

// unquote takes off the quotes that a shell let through.
func unquote(s string) string {
	if n := len(s); n >= 2 && s[0] == '"' && s[n-1] == '"' {
		return strings.TrimSpace(s[1 : n-1])
	}
	return s
}

func readable(s string) *fault {
	switch {
	case s == "":
		return &fault{say: "is empty"}
	case !utf8.ValidString(s):
		return &fault{say: "is not readable text (UTF-8)"}
	case utf8.RuneCountInString(s) > maxText:
		return &fault{say: fmt.Sprintf("is longer than %d letters", maxText)}
	case strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsGraphic(r) }):
		return &fault{say: "holds letters that cannot be printed"}
	}
	return nil
}

func didYouMean(word string) string {
	if word == "" {
		return ""
	}
	return "the nearest is " + word
}
