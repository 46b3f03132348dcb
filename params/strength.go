package params

import (
	_ "embed" // the tables are part of the program
	"slices"
	"sync"
)

// Kinds of a value's source.
const (
	Published = "published" // read in print
	Memory    = "memory"    // recalled from the source named, not seen again
	Practice  = "practice"  // common practice, no source
)

// Figure is one value of a table with where it comes from. The zero value is a figure that is not known.
type Figure struct {
	Value  float64
	Kind   string // Published, Memory or Practice; "" when not known
	Source string
}

// Known says whether there is a value.
func (f Figure) Known() bool { return f.Kind != "" }

// Strengths are what is known of an alloy in one condition.
type Strengths struct {
	Condition string // as in tongue.condition
	Yield     Figure // Rp0.2, MPa
	Tensile   Figure // UTS, MPa
	Hardness  Figure // HV
	Modulus   Figure // Young's modulus, GPa; the same in every condition
	Poisson   Figure // Poisson's ratio; the same in every condition
}

// Conditions are the states of a leaf that the key tongue.condition knows.
func Conditions() []string { return slices.Clone(keys[index["tongue.condition"]].Choices) }

// Strength is what is known of an alloy in a condition (one of Conditions). A value of the alloy goes before one of its
// metal. ok is false when neither yield, tensile strength nor hardness is known; the modulus may be known even then.
func Strength(a Alloy, condition string) (s Strengths, ok bool) {
	s.Condition = condition
	for _, name := range []string{a.ID, a.Metal} {
		for _, r := range strengths() {
			if r.Alloy != name || r.Condition != condition && r.Condition != "any" {
				continue
			}
			r.fill(&s.Yield, r.Rp02)
			r.fill(&s.Tensile, r.UTS)
			r.fill(&s.Hardness, r.HV)
			r.fill(&s.Modulus, r.E)
			r.fill(&s.Poisson, r.Nu)
		}
	}
	return s, s.Yield.Known() || s.Tensile.Known() || s.Hardness.Known()
}

// strengthRow is one row of the table; a value of 0 is not given.
type strengthRow struct {
	Alloy, Condition string
	Rp02, UTS, HV, E float64
	Nu               float64
	Kind, Source     string
}

// fill sets a figure that no earlier row has set.
func (r strengthRow) fill(f *Figure, v float64) {
	if v > 0 && !f.Known() {
		*f = Figure{v, r.Kind, r.Source}
	}
}

//go:embed strength.toml
var strengthTOML string

var strengths = sync.OnceValue(func() []strengthRow {
	var t struct{ Strength []strengthRow }
	decode(strengthTOML, &t)
	return t.Strength
})
