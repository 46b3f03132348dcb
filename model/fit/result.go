package fit

import "math"

// Share is a share of the castings, 0 to 1.
type Share struct {
	Value  float64
	StdErr float64 // sqrt(p(1-p)/n), the standard error of a share that was counted
}

func share(count, of int) Share {
	if of == 0 {
		return Share{}
	}
	p := float64(count) / float64(of)
	return Share{p, math.Sqrt(p * (1 - p) / float64(of))}
}

// Result is what Run found.
type Result struct {
	Samples     int
	HeldSamples int // of them were looked at again for Dimensions
	Seed        uint64

	AsCast   Share // every clearance between its limits, nothing filed
	Fileable Share // as cast, or can be filed to fit
	Kept     Share // fits after filing, though the file missed by its spread; where it left too much, it was filed again
	Lost     Share // cannot be filed to fit: TooLoose, TooTight and Conflict together, each casting counted once, gravest reason first
	TooLoose Share // some clearance is already too loose
	TooTight Share // some clearance is too tight and not enough metal may go
	Conflict Share // what mends one clearance spoils another

	Clearances []ClearanceResult
	Surfaces   []SurfaceResult
	Dimensions []DimensionResult
	Dearest    string // the dimension that costs most castings; where none is lost, the one with the greatest share of variance
}

// ClearanceResult is one clearance over all samples. Quantiles are right to 1/2048 of their range: the worst case as cast, and
// what filing can add to it.
type ClearanceResult struct {
	Stackup                     // the closed form
	Least, Most         float64 // limits, mm
	Mean, SampleSD      float64 // as cast, mm; beside Cast and SD of the closed form
	Low95, High95       float64 // between these, mm, lie 95 % of the castings
	Good                Share   // between its limits as cast
	TooLoose, TooTight  Share   // cannot be mended, alone
	Conflict            Share   // stands in another's way, or another in its
	FiledMean           float64 // after filing once with the file's spread, of those that can be filed, mm; 0 where none can
	FiledLow, FiledHigh float64 // between these lie 95 % of them
}

// SurfaceResult is what is filed off one surface, over the castings that can be filed to fit, those that need none included.
type SurfaceResult struct {
	Name       string
	Stock, May float64 // mm
	Filed      Share   // castings where this surface is filed
	Mean       float64 // mm
	P95        float64 // 95 % of the castings lose at most this, mm
}

// DimensionResult is what one dimension costs.
type DimensionResult struct {
	Name     string
	Half     float64 // casting and print together, mm each way
	SD       float64 // mm
	Variance float64 // its greatest share of a clearance's variance, 0 to 1
	Of       string  // that clearance
	LostHeld Share   // castings lost if this dimension alone always came out at its nominal, of HeldSamples
	Saves    float64 // the share of the same castings that is lost as they are, less LostHeld; errors that cancel can make it negative
}

// dearest is the dimension to look at first.
func (r *Result) dearest() string {
	best := -1
	for i, d := range r.Dimensions {
		if best < 0 || d.Saves > r.Dimensions[best].Saves || d.Saves == r.Dimensions[best].Saves && d.Variance > r.Dimensions[best].Variance {
			best = i
		}
	}
	if best < 0 {
		return ""
	}
	return r.Dimensions[best].Name
}
