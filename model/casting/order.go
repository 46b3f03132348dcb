// Package casting is the arithmetic of a pour: gates, button, loss, metal to order, growth of the pattern, and how long
// a section takes to freeze. It knows numbers only: lengths in mm, masses in g unless a function says otherwise.
//
// Molten metal burns and spatters, investment dust harms the lungs: the work itself belongs to a caster with the
// licences and the protection that local codes ask for.
package casting

import "math"

// Order is what one pour takes, g.
type Order struct {
	CastingG float64 // the castings, gates off
	GatesG   float64 // gates
	ButtonG  float64 // sprue and button
	LossG    float64 // what melting and pouring lose
	OrderG   float64 // all of it: what to supply
	FineG    float64 // fine metal in OrderG
}

// The second gate, on top of the thumb tab, mm: 1.2 to 1.5 round. The tab is a hot spot that the thin leaf cannot feed.
// Common practice, no source.
const (
	tabGate       = 1.3
	tabGateLength = 6
)

// TabGate is the second gate, on top of the thumb tab.
func TabGate() Gate { return Gate{Diameter: tabGate, Length: tabGateLength} }

// least button, g, and the button as a part of castings and gates. Casters name 5 g and more, and from a tenth of the
// wax to half of the metal; common practice, no source.
const (
	leastButton = 5
	buttonPart  = 1.0 / 3
)

// Arrange finds the metal for one pour of parts that weigh castingG each, in g. Every part has one round gate, of
// diameter gate and length gateLength in mm; each of so many thumb tabs (0 or more) has a second one, 1.3 x 6 mm: a pour
// that holds no tongue has none. densityGcm3 is in g/cm3, fine the share of precious metal, 0 to 1. button is in g, NaN for the rule: the
// greater of 5 g and a third of castings and gates. lossPct is lost of all that is poured, 0 to 15 %:
// order = (castings + gates + button)/(1 - loss).
func Arrange(castingG []float64, tabs int, densityGcm3, fine, gate, gateLength, button, lossPct float64) Order {
	gates := make([]Gate, len(castingG))
	for i := range gates {
		gates[i] = Gate{Diameter: gate, Length: gateLength}
	}
	return ArrangeGates(castingG, gates, tabs, densityGcm3, fine, button, lossPct)
}

// ArrangeGates is Arrange with a gate for each part.
func ArrangeGates(castingG []float64, gates []Gate, tabs int, densityGcm3, fine, button, lossPct float64) Order {
	var o Order
	for _, g := range castingG {
		o.CastingG += g
	}
	volume := float64(tabs) * TabGate().Volume()
	for _, g := range gates {
		volume += g.Volume()
	}
	o.GatesG = volume * densityGcm3 / 1000 // 1 cm3 is 1000 mm3
	o.ButtonG = button
	if math.IsNaN(button) {
		o.ButtonG = math.Max(leastButton, buttonPart*(o.CastingG+o.GatesG))
	}
	poured := o.CastingG + o.GatesG + o.ButtonG
	o.OrderG = poured / (1 - lossPct/100)
	o.LossG = o.OrderG - poured
	o.FineG = o.OrderG * fine
	return o
}

// cylinder is a volume, pi d^2 l/4.
func cylinder(diameter, length float64) float64 { return math.Pi / 4 * diameter * diameter * length }

// MetalForWax is the mass of metal that fills the place of a pattern of waxG grams: waxG rhoMetal/rhoWax, densities in
// one unit. With "gates on" the pattern's mass includes the gates.
func MetalForWax(waxG, rhoMetal, rhoWax float64) float64 { return waxG * rhoMetal / rhoWax }

// InOtherMetal is the mass of the same solid in another metal: mass rhoTo/rhoFrom, mass and densities in any one unit.
func InOtherMetal(mass, rhoFrom, rhoTo float64) float64 { return mass * rhoTo / rhoFrom }
