package params

import (
	_ "embed" // the table is part of the program
	"sync"
)

// Hardening is how an alloy is softened and given its spring by heat, as a starting point; what its maker gives goes first.
type Hardening struct {
	Class                  string
	Soften, Quench, Harden string  // what to do; "" where nothing of the kind is known
	Bake                   float64 // temperature of hardening, C; 0 where heat does not harden
	Kind, Source           string
}

// HardeningOf is what is known of hardening an alloy by heat; ok is false when nothing is.
func HardeningOf(a Alloy) (h Hardening, ok bool) {
	for _, r := range hardenings() {
		if r.fits(a) {
			return r.Hardening, true
		}
	}
	return h, false
}

// hardeningRow is one row of the table; a limit of 0 asks for nothing.
type hardeningRow struct {
	Alloy         string
	FinenessMost  float64 `toml:"fineness_most"`
	FinenessLeast float64 `toml:"fineness_least"`
	NickelLeast   float64 `toml:"nickel_least"`
	CopperLeast   float64 `toml:"copper_least"`
	Hardening
}

func (r hardeningRow) fits(a Alloy) bool {
	return (r.Alloy == a.ID || r.Alloy == a.Metal) && !a.Base() && (r.FinenessMost == 0 || a.Fineness <= r.FinenessMost) &&
		a.Fineness >= r.FinenessLeast && a.Holds("Ni") >= r.NickelLeast && a.Holds("Cu") >= r.CopperLeast
}

//go:embed hardening.toml
var hardeningTOML string

var hardenings = sync.OnceValue(func() []hardeningRow {
	var t struct{ Hardening []hardeningRow }
	decode(hardeningTOML, &t)
	return t.Hardening
})
