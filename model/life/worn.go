package life

import "math"

// Catch is what shoulders and lip must be known by.
type Catch struct {
	Engagement, Chamfer float64 // of the shoulders over the lip's edge, and the chamfer at their top, which does not bear
	Width, Thick        float64 // of both shoulders together across the chain, and of the leaf there
	Lip, LipDepth       float64 // thickness of the lip along the chain, and how far it hangs below the roof
	Slope               float64 // of the lip's inner face against square, degrees
	EndPlay             float64
	Travel, Release     float64 // way of the tab that frees the shoulders, and the force it takes there
	Wear                float64 // that lip and shoulders lose, each, on edge and catch face alike
}

// Worn is the catch after its wear.
type Worn struct {
	Bears   float64 // height of the shoulders' corner over the lip's edge
	Flat    float64 // of that, what bears on a flat: the lip's edge is rounded by as much as it wears
	Area    float64 // mm2 that bears, both shoulders
	Slope   float64 // of the lip where the shoulders' corner bears, degrees: more than the face's where that is on the round
	EndPlay float64
	Release float64 // N that the tab takes
}

// Worn is what is left: edge and catch face of lip and shoulders recede by the wear, and the lip's edge is rounded by a radius of the same
// size. The tab needs less way, and force in proportion, the leaf being all but linear.
func (c Catch) Worn() Worn {
	bears := c.Engagement - c.Chamfer - 2*c.Wear
	w := Worn{Bears: bears, Flat: math.Max(0, bears-c.Wear), Slope: c.Slope, EndPlay: c.EndPlay + 2*c.Wear}
	w.Area = c.Width * w.Flat
	if c.Wear > 0 && bears < c.Wear {
		w.Slope = math.Max(c.Slope, roundSlope(bears, c.Wear))
	}
	if c.Travel > 0 {
		w.Release = c.Release * math.Max(0, c.Travel-2*c.Wear) / c.Travel
	}
	return w
}

// roundSlope is how far a round edge of radius r leans at the height h over its lowest line, degrees against square: the radius to that place
// is h below its centre's height r, so that sin = 1 - h/r. 90 at the edge and below, 0 where the round ends.
func roundSlope(h, r float64) float64 {
	return math.Asin(math.Max(0, math.Min(1, 1-h/r))) * 180 / math.Pi
}

// Stresses are those of the worn catch under a pull, MPa; infinite where nothing is left to bear.
type Stresses struct {
	Bearing float64 // mean over the flat
	Shear   float64 // mean through the shoulders
	Lip     float64 // bending at the lip's root
}

// Under is the worn catch under a pull. Bearing F/A and shear F/A are means; the lip is a cantilever, 6 F d/(b t2) (R. J. Roark, Formulas
// for Stress and Strain, beams; safe for lips short against their thickness), its depth less by the wear of its edge, its thickness by that of its
// face, the pull at its edge.
func (c Catch) Under(pull float64) Stresses {
	left := func(v float64) float64 { return math.Max(0, v-c.Wear) }
	t := left(c.Lip)
	return Stresses{
		Bearing: over(pull, c.Worn().Area),
		Shear:   over(pull, c.Width*left(c.Thick)),
		Lip:     over(6*pull*left(c.LipDepth), c.Width*t*t),
	}
}

// over is a/b, infinite where there is nothing to divide by.
func over(a, b float64) float64 {
	if b <= 0 {
		return math.Inf(1)
	}
	return a / b
}

// Yields are those of the two halves as they are worn, MPa.
type Yields struct{ Tongue, Box float64 }

// Held is the pull that the worn catch holds without bending for good, N, and what gives first: "the shoulders are crushed", "the shoulders
// are sheared" or "the lip bends". Crushed at the lesser yield; sheared at the tongue's over the square root of 3 (von Mises).
func (c Catch) Held(y Yields) (pull float64, what string) {
	s := c.Under(1)
	pull = math.Inf(1)
	for _, v := range []struct {
		holds float64
		what  string
	}{
		{math.Min(y.Tongue, y.Box) / s.Bearing, "the shoulders are crushed"},
		{y.Tongue / (math.Sqrt(3) * s.Shear), "the shoulders are sheared"},
		{y.Box / s.Lip, "the lip bends"},
	} {
		if v.holds < pull {
			pull, what = v.holds, v.what
		}
	}
	return pull, what
}

// Needed is the yield that a pull asks of both halves, MPa; infinite where nothing bears.
func (c Catch) Needed(pull float64) float64 {
	s := c.Under(pull)
	return math.Max(math.Max(s.Bearing, math.Sqrt(3)*s.Shear), s.Lip)
}
