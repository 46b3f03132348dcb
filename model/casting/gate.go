package casting

import "math"

// Feed is by how much greater the modulus of what feeds must be than of what it feeds, so that it stays liquid for longer:
// 1.2, a criterion of Caine's type for risers (page of a riser calculator; common in foundry handbooks).
const Feed = 1.2

// BodyModulus is the modulus of a compact body from the moduli of three sections through its middle, square to each
// other, each area over perimeter: 2/(1/a + 1/b + 1/c). It is exact for a block, a ball, and a cylinder along one of the
// axes, bar and plate included; geometry. A section that is missing, 0, gives 0.
func BodyModulus(a, b, c float64) float64 {
	if a <= 0 || b <= 0 || c <= 0 {
		return 0
	}
	return 2 / (1/a + 1/b + 1/c)
}

// RoundModulus is that of a long round bar, a quarter of its diameter, mm: its ends cool nothing. Geometry.
func RoundModulus(diameter float64) float64 { return diameter / 4 }

// Gates are as thick as casters cut off and as short as keeps them hot, mm: 4 to 10 long and no more than three diameters.
// Common practice, no source.
const (
	leastGate, mostGate     = 1.5, 10
	shortestGate, farthest  = 4, 10
	gateLengthOver, slender = 1.5, 3
)

// Gate is a round bar that feeds a part, mm.
type Gate struct {
	Diameter, Length float64
	Cut              bool // the rule asks for a thicker one than is cut off a lock: the part is thicker than a gate can feed
}

// GateFor is the gate by the modulus rule for a part whose hot spot has the modulus, mm: diameter 4 x Feed x modulus, from
// 1.5 to 10 mm; length one and a half diameters, from 4 to 10 mm and at most three diameters.
func GateFor(modulus float64) Gate {
	d := 4 * Feed * modulus
	g := Gate{Diameter: math.Min(math.Max(d, leastGate), mostGate), Cut: d > mostGate}
	g.Length = math.Min(math.Max(gateLengthOver*g.Diameter, shortestGate), math.Min(farthest, slender*g.Diameter))
	return g
}

// Volume of the gate, mm3.
func (g Gate) Volume() float64 { return cylinder(g.Diameter, g.Length) }

// Section is one stage of the way that metal takes: its modulus in mm.
type Section struct {
	Name    string
	Modulus float64
}

// Freezing is how two neighbours on the metal's way freeze.
type Freezing struct {
	First, Then Section // First should freeze first
	Ratio       float64 // of their moduli, Then over First
	Times       float64 // of their freezing times, by Chvorinov's rule
	Holds       bool    // Ratio is at least the one wanted
}

// FreezingOrder is the order along a chain of sections that should freeze one after the other, each of a modulus at least ratio times
// that of the one before (Chvorinov's rule; M. P. Groover, Fundamentals of Modern Manufacturing).
func FreezingOrder(ratio float64, chain ...Section) (out []Freezing) {
	for i := 1; i < len(chain); i++ {
		f := Freezing{First: chain[i-1], Then: chain[i], Ratio: chain[i].Modulus / chain[i-1].Modulus}
		f.Times = Chvorinov(1, chain[i].Modulus) / Chvorinov(1, chain[i-1].Modulus)
		f.Holds = f.Ratio >= ratio-1e-9
		out = append(out, f)
	}
	return out
}

// ButtonModulus is that of sprue and button together, taken as a cylinder as high as wide: a sixth of its diameter, mm.
// mass in g, density in g/cm3.
func ButtonModulus(mass, density float64) float64 {
	return math.Cbrt(4*1000*mass/density/math.Pi) / 6
}
