package life

// Gravity is the standard acceleration of free fall, m/s2.
const Gravity = 9.80665

// Blow is the work that presses the shoulders down by drop, mJ: that of a spring which takes force at travel (N, mm), half of stiffness times way
// squared. A blow that gives this much to the tab and to nothing else frees the shoulders.
func Blow(force, travel, drop float64) float64 {
	if travel <= 0 || drop <= 0 {
		return 0
	}
	return force / travel * drop * drop / 2
}

// Fall is from how high a mass in g falls to bring so many mJ, mm: work over weight.
func Fall(work, mass float64) float64 { return over(1000*work, mass*Gravity) }
