package casting

import "math"

// Modulus of a section is its volume over its cooling area, a length in the unit that both are in. Sections freeze in
// the order of their moduli. M. P. Groover, Fundamentals of Modern Manufacturing, heading Chvorinov's rule.
func Modulus(volume, area float64) float64 { return volume / area }

// Chvorinov is the time in which a section freezes: constant times modulus squared (Chvorinov's rule with the usual
// exponent 2; Groover as above). The unit of the constant, such as min/cm2, sets those of time and modulus.
func Chvorinov(constant, modulus float64) float64 { return constant * modulus * modulus }

// MouldConstant is the constant of Chvorinov's rule from a section of which the time is known.
func MouldConstant(time, modulus float64) float64 { return time / (modulus * modulus) }

// ButtonDiameter is the diameter, which is also the height, of a cylinder that freezes in the given time: its modulus is
// a sixth of its diameter, ends included, so D = 6 sqrt(time/constant).
func ButtonDiameter(time, constant float64) float64 { return 6 * math.Sqrt(time/constant) }
