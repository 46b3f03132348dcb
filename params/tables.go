package params

import (
	_ "embed" // the tables are part of the program
	"slices"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
)

// Element is one row of the table of metals.
type Element struct {
	Symbol  string  // "Au"
	Name    string  // "gold"
	Density float64 // g/cm3 near 20 C
	MeltC   float64 // melting point, C
	Atomic  float64 // relative atomic mass
	Source  string
}

// Share is one part of an alloy.
type Share struct {
	Element string  // symbol
	Percent float64 // of the mass
}

// Alloy is one row of the alloy table, or a composition that a job gave.
type Alloy struct {
	ID       string  // "au750-rose", or the composition as it was written
	Metal    string  // the metal it is sold as: gold, silver, platinum or palladium; copper for a trial casting
	Fineness float64 // parts of Metal in a thousand, by mass; 0 for a base metal
	Colour   string  // "yellow", "rose", "white", "" when not known
	Parts    []Share // mass percent
	Density  float64 // measured, g/cm3; 0 when it follows from the parts
	Melting  Melting
	Source   string
}

// Melting is the range over which an alloy melts.
type Melting struct {
	Solidus, Liquidus float64 // C; 0 when not known
	Kind              string  // "published" or "memory", "" when not known
}

// Base says that the alloy holds no precious metal: it serves for a trial casting and has neither fineness nor mark.
func (a Alloy) Base() bool { return a.Fineness == 0 }

// Holds is the share of an element in the alloy, mass percent; 0 for an element that it does not hold.
func (a Alloy) Holds(symbol string) float64 {
	for _, p := range a.Parts {
		if p.Element == symbol {
			return p.Percent
		}
	}
	return 0
}

// Atoms is the share of an element in the alloy by number of atoms, percent: each share of the mass over the relative atomic mass of its
// element, against the sum of all.
func (a Alloy) Atoms(symbol string) float64 {
	its, all := 0.0, 0.0
	for _, p := range a.Parts {
		e, ok := element(p.Element)
		if !ok {
			continue
		}
		n := p.Percent / e.Atomic
		all += n
		if p.Element == symbol {
			its = n
		}
	}
	if all == 0 {
		return 0
	}
	return 100 * its / all
}

var (
	//go:embed metals.toml
	metalsTOML string
	//go:embed alloys.toml
	alloysTOML string
)

// Elements is the table of metals.
func Elements() []Element { return slices.Clone(elements()) }

// Alloys is the alloy table.
func Alloys() []Alloy {
	out := slices.Clone(alloys())
	for i := range out {
		out[i].Parts = slices.Clone(out[i].Parts)
	}
	return out
}

var elements = sync.OnceValue(func() []Element {
	var t struct {
		Element []struct {
			Symbol, Name  string
			Density, Melt float64
			Atomic        float64
			Source        string
		}
	}
	decode(metalsTOML, &t)
	out := make([]Element, len(t.Element))
	for i, e := range t.Element {
		out[i] = Element{Symbol: e.Symbol, Name: e.Name, Density: e.Density, MeltC: e.Melt, Atomic: e.Atomic, Source: e.Source}
	}
	return out
})

var alloys = sync.OnceValue(func() []Alloy {
	var t struct {
		Alloy []struct {
			ID, Metal, Colour string
			Fineness, Density float64
			Melting           [2]float64
			MeltingKind       string `toml:"melting_kind"`
			Parts, Source     string
		}
	}
	decode(alloysTOML, &t)
	out := make([]Alloy, len(t.Alloy))
	for i, a := range t.Alloy {
		parts, f := composition(a.Parts)
		if f != nil {
			panic("params: alloy table: " + a.ID + " " + f.say)
		}
		out[i] = Alloy{ID: a.ID, Metal: a.Metal, Fineness: a.Fineness, Colour: a.Colour, Parts: parts, Density: a.Density,
			Melting: Melting{a.Melting[0], a.Melting[1], a.MeltingKind}, Source: a.Source}
	}
	return out
})

// decode reads a table that is part of the program; one that cannot be read is a mistake in the program.
func decode(text string, into any) {
	if err := toml.NewDecoder(strings.NewReader(text)).DisallowUnknownFields().Decode(into); err != nil {
		panic("params: " + err.Error())
	}
}

func element(symbol string) (Element, bool) {
	for _, e := range elements() {
		if strings.EqualFold(e.Symbol, symbol) {
			return e, true
		}
	}
	return Element{}, false
}
