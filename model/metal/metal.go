// Package metal is the arithmetic of alloys: density, fineness, and what to add to raise or lower a fineness. It knows
// numbers only. Densities are those of sound metal: a real casting is lighter by its pores, 0 to 3 % (common practice,
// no source), and computed fineness is an estimate that only an assay decides.
package metal

import "claspwright/params"

// Density of an alloy in g/cm3 near 20 C: the measured one of its row, else that of ideal mixing, see Mix. Measured
// alloys of gold with silver and copper lie within 1 % of ideal mixing (T. K. Rose, The Metallurgy of Gold); with more
// than 5 % of zinc, or with silicon, the mixture is up to 5 % denser than computed. It is 0 when the alloy has no parts.
func Density(a params.Alloy) float64 {
	if a.Density > 0 {
		return a.Density
	}
	byElement := map[string]float64{}
	for _, e := range params.Elements() {
		byElement[e.Symbol] = e.Density
	}
	shares, densities := make([]float64, len(a.Parts)), make([]float64, len(a.Parts))
	for i, p := range a.Parts {
		shares[i], densities[i] = p.Percent, byElement[p.Element]
	}
	return Mix(shares, densities)
}

// Mix is the density of parts that keep their volumes when they are melted together: 1/rho = sum(w_i/rho_i), where w_i
// are the shares by mass over their sum. Shares may be in any unit, densities in any one unit, all above 0; the two
// lists are of one length. The formula is that of R. Lasky's worked
// example of tin and silver. It is 0 for no parts
// and for a part of no density.
func Mix(shares, densities []float64) float64 {
	mass, volume := 0.0, 0.0
	for i, w := range shares {
		if !(densities[i] > 0) {
			return 0
		}
		mass += w
		volume += w / densities[i]
	}
	if volume == 0 {
		return 0
	}
	return mass / volume
}

// Fine is the share of the precious metal that the alloy is sold as, by mass, 0 to 1.
func Fine(a params.Alloy) float64 { return a.Fineness / 1000 }

// Carat is a fine share in carats, 24 for fine metal: 24 times the share (definition of the gold carat).
func Carat(fine float64) float64 { return 24 * fine }

// OfCarat is the fine share of a number of carats.
func OfCarat(carat float64) float64 { return carat / 24 }

// YieldOfHardness is an estimate of Rp0.2, MPa, from Vickers hardness, for alloys sold as a metal; ok is false where nothing printed allows
// one. Gold: 1.85 HV, the least of three conditions of a dental gold alloy (data sheet to ISO 22674: 285/140, 400/200, 360/195). Silver:
// 1.75 HV, annealed sterling (supplier's data sheet: 124/71). Good to a fifth at best.
func YieldOfHardness(metal string, hv float64) (mpa float64, ok bool) {
	switch metal {
	case "gold":
		return 1.85 * hv, true
	case "silver":
		return 1.75 * hv, true
	}
	return 0, false
}
