package casting

import "math"

// Growth is by how much a printed pattern is made larger than the casting, as a ratio, when the caster names no other:
// 1.015 for gold and silver, 1.020 for platinum and palladium. Common practice, no source; casters name 1.010 to 1.025.
// Metal names as in the alloy table;
// any other has 1.015, which for trial castings lies between the pattern maker's allowances for bronze, 5/32 inch in a
// foot, and brass, 3/16 (W. H. Dooley, Applied Science for Metal Workers, section 426).
func Growth(metal string) float64 {
	switch metal {
	case "platinum", "palladium":
		return 1.020
	}
	return 1.015
}

// Linear is the shrinkage of a length when the volume shrinks by the given part, 0 to 1, the same in all directions:
// 1 - (1 - v)^(1/3). Geometry.
func Linear(volume float64) float64 { return 1 - math.Cbrt(1-volume) }
