package params

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
)

// Alloy finds an alloy by an id of the table, or reads a composition in mass percent such as "Au 75, Ag 12.5, Cu 12.5".
// It fails with Problems.
func (j *Job) Alloy(id string) (Alloy, error) {
	a, f := alloy(strings.TrimSpace(id))
	if f != nil {
		return Alloy{}, Problems{{Key: "alloy", Value: shorten(id), Say: f.say, Hint: f.hint}}
	}
	return a, nil
}

func alloy(id string) (Alloy, *fault) {
	for _, a := range Alloys() {
		if a.ID == id {
			return a, nil
		}
	}
	if !looksComposed.MatchString(id) {
		return Alloy{}, &fault{say: "is not an alloy of the table", hint: alloyHint(id)}
	}
	parts, f := composition(id)
	if f != nil {
		return Alloy{}, f
	}
	return named(id, parts)
}

// looksComposed tells a composition from a misspelt id: it has a comma, or a symbol and then a space.
var looksComposed = regexp.MustCompile(`^[A-Za-z]{1,2}\s|,`)

func alloyHint(id string) string {
	ids := make([]string, len(alloys()))
	for i, a := range alloys() {
		ids[i] = a.ID
	}
	if near := nearest(id, ids); near != "" {
		return "the nearest is " + near
	}
	return `"claspwright alloys" lists them; or write a composition such as "Au 75, Ag 12.5, Cu 12.5"`
}

// trialAlloys are the ids of the base metals: they are offered by id only, since mixing does not give their density.
func trialAlloys() (ids []string) {
	for _, a := range alloys() {
		if a.Base() {
			ids = append(ids, a.ID)
		}
	}
	return ids
}

// preciousMetals are what an alloy can be sold as.
var preciousMetals = []string{"Au", "Ag", "Pt", "Pd"}

// named makes an alloy of a composition. It is sold as the precious metal of which it holds most; its fineness is that
// metal's share.
func named(id string, parts []Share) (Alloy, *fault) {
	a := Alloy{ID: id, Parts: parts, Source: "composition given in the job"}
	most := 0.0
	for _, p := range parts {
		if slices.Contains(preciousMetals, p.Element) && p.Percent > most {
			e, _ := element(p.Element)
			most, a.Metal = p.Percent, e.Name
		}
	}
	if most == 0 {
		return Alloy{}, &fault{say: "holds no gold, silver, platinum or palladium", hint: "a composition names at least one of Au, Ag, Pt and Pd; for a trial casting take " + strings.Join(trialAlloys(), " or ")}
	}
	a.Fineness = min(10*most, 1000)
	return a, nil
}

// largest difference of a composition's sum from 100, in percent: what rounding to one decimal leaves.
const sumTolerance = 0.05

var part = regexp.MustCompile(`^([A-Za-z]+)\s*(\d+\.?\d*|\.\d+)\s*%?$`)

// composition reads "Au 75, Ag 12.5, Cu 12.5": symbols and mass percent, summing to 100 within 0.05.
func composition(text string) ([]Share, *fault) {
	var parts []Share
	sum := 0.0
	for _, s := range strings.Split(text, ",") {
		p, f := share(strings.TrimSpace(s), parts)
		if f != nil {
			return nil, f
		}
		parts, sum = append(parts, p), sum+p.Percent
	}
	if math.Abs(sum-100) > sumTolerance+1e-9 {
		return nil, &fault{say: fmt.Sprintf("sums to %.5g %%, not to 100 %%", sum), hint: "mass percent of all parts must make 100, within 0.05"}
	}
	return parts, nil
}

// share reads one part; before are the parts read so far.
func share(text string, before []Share) (Share, *fault) {
	m := part.FindStringSubmatch(text)
	switch {
	case m == nil && text != "" && strings.Trim(text, "0123456789 %") == "":
		return Share{}, &fault{say: "has a decimal comma", hint: "write shares with a decimal point: Au 58.5, Ag 20, Cu 21.5"}
	case m == nil:
		return Share{}, &fault{say: fmt.Sprintf("has a part that cannot be read, %q", shorten(text)), hint: "write symbols and mass percent, such as Au 75, Ag 12.5, Cu 12.5"}
	}
	e, ok := element(m[1])
	if !ok {
		return Share{}, strange(m[1])
	}
	if slices.ContainsFunc(before, func(s Share) bool { return s.Element == e.Symbol }) {
		return Share{}, &fault{say: "names " + e.Symbol + " twice", hint: "add the two shares up"}
	}
	percent := float(m[2])
	if percent == 0 || percent > 100 {
		return Share{}, &fault{say: fmt.Sprintf("gives %s %s %%, outside 0 to 100 %%", e.Symbol, m[2]), hint: "leave out what the alloy does not hold"}
	}
	return Share{Element: e.Symbol, Percent: percent}, nil
}

// strange is an element that the table does not have.
func strange(symbol string) *fault {
	f := &fault{say: fmt.Sprintf("names %q, which is not in the table of metals", shorten(symbol))}
	switch strings.ToLower(symbol) {
	case "cd", "pb", "be", "as":
		f.hint = "its fume or dust is poisonous and it is not offered: choose an alloy without it"
		return f
	}
	symbols := make([]string, len(elements()))
	for i, e := range elements() {
		symbols[i] = e.Symbol
		if strings.EqualFold(e.Name, symbol) {
			f.hint = "write its symbol, " + e.Symbol
			return f
		}
	}
	f.hint = "the table has " + all(symbols)
	return f
}
