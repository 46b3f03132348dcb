package params

import (
	_ "embed" // the table is part of the program
	"sync"
)

//go:embed finenesses.toml
var finenessesTOML string

var finenesses = sync.OnceValue(func() map[string][]float64 {
	var t struct {
		Source                            string
		Gold, Silver, Platinum, Palladium []float64
	}
	decode(finenessesTOML, &t)
	return map[string][]float64{"gold": t.Gold, "silver": t.Silver, "platinum": t.Platinum, "palladium": t.Palladium}
})

// Marked is the greatest standard of fineness of the United Kingdom that a fineness reaches, in parts per thousand, for
// gold, silver, platinum or palladium. A fineness is a minimum, so it is never rounded up. It is 0 when no standard is
// reached, and for a base metal. Source: Hallmarking Convention, country profile United Kingdom.
func Marked(metal string, fineness float64) float64 {
	marked := 0.0
	for _, f := range finenesses()[metal] {
		if f <= fineness+1e-9 {
			marked = f
		}
	}
	return marked
}

// LeastStandard is the least standard of fineness of a metal in the United Kingdom, 0 for a base metal.
func LeastStandard(metal string) float64 {
	if all := finenesses()[metal]; len(all) > 0 {
		return all[0]
	}
	return 0
}
