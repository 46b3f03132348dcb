package params

import (
	_ "embed" // the table is part of the program
	"sync"
)

// Risks of cracking under stress.
const (
	CracksOften  = "often"
	CracksSeldom = "seldom"
	NeverCracked = "none" // looked for and not seen
)

// Cracking is a class of golds that crack, or do not, where stress stands in them and chlorides or ammonia reach them.
type Cracking struct {
	Class        string
	Risk         string // CracksOften, CracksSeldom or NeverCracked
	Kind, Source string
}

// CrackingOf is the class that an alloy belongs to; ok is false when it belongs to none, as gold of most 18 carat colours, silver and the platinum
// metals do.
func CrackingOf(a Alloy) (c Cracking, ok bool) {
	if a.Metal != "gold" {
		return c, false
	}
	for _, r := range crackings() {
		if r.fits(a) {
			return Cracking{r.Class, r.Risk, r.Kind, r.Source}, true
		}
	}
	return c, false
}

// crackingRow is one row of the table; a limit of 0 asks for nothing.
type crackingRow struct {
	Class              string
	FinenessMost       float64 `toml:"fineness_most"`
	AtomsMost          float64 `toml:"atoms_most"`
	NickelLeast        float64 `toml:"nickel_least"`
	PalladiumLeast     float64 `toml:"palladium_least"`
	Risk, Kind, Source string
}

func (r crackingRow) fits(a Alloy) bool {
	return (r.FinenessMost == 0 || a.Fineness <= r.FinenessMost) && (r.AtomsMost == 0 || a.Atoms("Au") <= r.AtomsMost) &&
		a.Holds("Ni") >= r.NickelLeast && a.Holds("Pd") >= r.PalladiumLeast
}

//go:embed cracking.toml
var crackingTOML string

var crackings = sync.OnceValue(func() []crackingRow {
	var t struct{ Cracking []crackingRow }
	decode(crackingTOML, &t)
	return t.Cracking
})
