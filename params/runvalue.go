package params

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
)

// portion is a share of another key: digits times the value of the key of.
type portion struct {
	digits string // a plain decimal
	of     string
	entry  entry // as it was written, for problems
}

var (
	fromTo = regexp.MustCompile(`^(.+?)\s+to\s+(.+?)(?:\s+by\s+(.*))?$`)
	partOf = regexp.MustCompile(`^(.*?)\s*\bof\s+(\S.*)$`)
)

// axisOf reads all the values of a key.
func axisOf(e entry) (axis, Problems) {
	k, ok := Lookup(e.name)
	if !ok || e.list == nil {
		options, p := optionsOf(e)
		if p != nil {
			return axis{}, Problems{*p}
		}
		return axis{k, options}, nil
	}
	if len(e.list) == 0 {
		return axis{}, Problems{{File: e.file, Line: e.line, Key: e.name, Say: "is an empty list", Hint: "give at least one value, such as [" + k.Example + "]"}}
	}
	a := axis{key: k}
	var problems Problems
	for _, one := range e.list {
		options, p := optionsOf(one)
		if p != nil {
			problems = append(problems, *p)
			continue
		}
		a.options = append(a.options, options...)
		if len(a.options) > maxLocks {
			return axis{}, append(problems, Problem{File: e.file, Line: e.line, Key: e.name, Say: fmt.Sprintf("has more than %d values", maxLocks), Hint: "take fewer"})
		}
	}
	return a, append(problems, a.twice()...)
}

// twice tells values that stand in a list more than once: two folders of the same lock would be a mistake.
func (a axis) twice() (problems Problems) {
	seen := map[string]bool{}
	for _, o := range a.options {
		text := o.toml(a.key)
		if seen[text] {
			problems = append(problems, Problem{File: o.value.file, Line: o.value.line, Key: a.key.Name, Value: shorten(strings.Trim(text, `"`)),
				Say: "stands twice among the values", Hint: "keep one of the two"})
		}
		seen[text] = true
	}
	return problems
}

// optionsOf reads one value: a range or a share when it is text of a number key, else a value as in a job file.
func optionsOf(e entry) ([]option, *Problem) {
	k, ok := Lookup(e.name)
	if ok && k.Kind == Number && (e.sort == asText || e.sort == asWord) {
		text := unquote(strings.TrimSpace(e.raw))
		if m := fromTo.FindStringSubmatch(text); m != nil {
			return rangeOf(k, e, m)
		}
		if m := partOf.FindStringSubmatch(text); m != nil {
			return shareOf(k, e, m)
		}
	}
	v, p := judge(e)
	if p != nil {
		return nil, p
	}
	return []option{{value: v}}, nil
}

// wrong is a problem of an entry.
func (e entry) wrong(say, hint string) *Problem {
	return &Problem{File: e.file, Line: e.line, Key: e.name, Value: e.shown(""), Say: say, Hint: hint}
}

// rangeOf reads "first to last by step". The last value counts if the steps meet it. Steps are exact decimals.
func rangeOf(k Key, e entry, m []string) ([]option, *Problem) {
	example := "write a range such as \"7 to 20 by 0.5\""
	if m[3] == "" {
		return nil, e.wrong("is a range without a step", example)
	}
	step, f := quantity(m[3], k.Unit)
	if f != nil {
		return nil, e.wrong("has a step that cannot be read: "+shorten(m[3])+" "+f.say, f.hint)
	}
	if !(step > 0) {
		return nil, e.wrong("has a step that is not above 0", example)
	}
	if !sameUnits(m[1:], k.Unit) {
		return nil, e.wrong("has a unit on some of its numbers only", "write the unit behind all three, or behind none")
	}
	for _, end := range m[1:3] { // all between them is then in range too
		one := e
		one.raw, one.sort = end, asText
		if _, p := judge(one); p != nil {
			return nil, p
		}
	}
	first, last, by := ratio(m[1], k.Unit), ratio(m[2], k.Unit), ratio(m[3], k.Unit)
	return steps(e, first, last, by)
}

// steps lists the values of a range, rising or falling.
func steps(e entry, first, last, by *big.Rat) ([]option, *Problem) {
	way := new(big.Rat).Sub(last, first)
	if way.Sign() < 0 {
		by = new(big.Rat).Neg(by)
	}
	if by.Sign() == 0 {
		return nil, e.wrong("has a step too small to count", "take a larger step")
	}
	count := new(big.Rat).Quo(way, by)
	n := new(big.Int).Quo(count.Num(), count.Denom())
	if n.Cmp(big.NewInt(maxLocks)) >= 0 {
		return nil, e.wrong(fmt.Sprintf("has more than %d values", maxLocks), "take a larger step")
	}
	var out []option
	at := new(big.Rat).Set(first)
	for range n.Int64() + 1 {
		v, _ := at.Float64()
		out = append(out, option{value: value{number: v, file: e.file, line: e.line}})
		at.Add(at, by)
	}
	return out, nil
}

// sameUnits: a unit behind one number alone would leave it open what the others are in, unless it is the key's own.
func sameUnits(texts []string, own string) bool {
	first := ""
	for i, t := range texts {
		u := unitIn(entry{raw: t})
		if u == "" {
			u = own
		}
		if i == 0 {
			first = u
		}
		if u != first {
			return false
		}
	}
	return true
}

// ratio is a number with or without a unit, exactly, in the wanted unit. The text has been read by quantity before;
// what is smaller than anything that is measured is 0.
func ratio(text, unit string) *big.Rat {
	s := strings.TrimSpace(text)
	digits := decimal.FindString(s)
	if v := float(digits); v < 1e-30 && v > -1e-30 {
		return new(big.Rat)
	}
	x, ok := new(big.Rat).SetString(digits)
	if !ok {
		return new(big.Rat)
	}
	u, ok := unitNamed(strings.TrimSpace(s[len(digits):]))
	if !ok {
		return x
	}
	f, _ := new(big.Rat).SetString(u.Exact)
	return x.Mul(x, f)
}

// shareOf reads "0.42 of chain.width".
func shareOf(k Key, e entry, m []string) ([]option, *Problem) {
	v, f := quantity(m[1], "")
	if f != nil {
		return nil, e.wrong("is not a share of another key: "+shorten(m[1])+" "+f.say, `write a share such as "0.42 of chain.width"`)
	}
	if v < 0 || v > 1e6 || v != 0 && v < 1e-6 {
		return nil, e.wrong("is a share outside 0.000001 to 1000000", `write a share such as "0.42 of chain.width"`)
	}
	other, ok := Lookup(m[2])
	switch {
	case !ok:
		return nil, e.wrong(shorten("is a share of "+m[2])+", which is not a key", unknown(m[2]))
	case other.Kind != Number || other.Unit != k.Unit:
		return nil, e.wrong("is a share of "+other.Name+", which is not "+measure(k.Unit), "name a number key in the same unit")
	}
	p := &portion{digits: plain(v), of: other.Name, entry: e}
	return []option{{value: value{file: e.file, line: e.line}, part: p}}, nil
}

// unfounded tells shares of keys that have no value of their own, and shares that go round in a circle.
func (r *Run) unfounded() (problems Problems) {
	of := map[string][]string{}
	given := map[string]bool{}
	for _, a := range r.axes {
		given[a.key.Name] = true
		for _, o := range a.options {
			if o.part != nil {
				of[a.key.Name] = append(of[a.key.Name], o.part.of)
			}
		}
	}
	for _, a := range r.axes {
		for _, o := range a.options {
			if o.part == nil {
				continue
			}
			if k := known(o.part.of); !given[k.Name] && k.Rule != "" {
				problems = append(problems, *o.part.entry.wrong("is a share of "+k.Name+", which is not given and follows from a rule", "give "+k.Name+", or a share of another key"))
			}
			if reaches(of, o.part.of, a.key.Name, map[string]bool{}) {
				problems = append(problems, *o.part.entry.wrong("is a share that leads back to itself", "give one of the keys as a number"))
			}
		}
	}
	return problems
}

// reaches says whether shares lead from one key to another.
func reaches(of map[string][]string, from, to string, seen map[string]bool) bool {
	if from == to {
		return true
	}
	if seen[from] {
		return false
	}
	seen[from] = true
	for _, next := range of[from] {
		if reaches(of, next, to, seen) {
			return true
		}
	}
	return false
}
