package fit

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Kind is the shape of a distribution. All are symmetric about 0 and never leave their half width.
type Kind string

// The shapes.
const (
	Uniform    Kind = "uniform"
	Triangular Kind = "triangular"
	Normal     Kind = "normal" // cut off at the half width
)

// Spread is how an error is distributed. The zero value is no error at all.
type Spread struct {
	Kind   Kind
	Half   float64 // the error lies within plus and minus this, mm, 0 or more
	Sigmas float64 // of a Normal: standard deviations in Half before it is cut off, 0.1 or more; 0 stands for 3
}

// usualSigmas is the habit of statistical stack-ups: the tolerance is three standard deviations each way (K. W. Chase and
// A. R. Parkinson, A survey of research in the application of tolerance analysis, Research in Engineering Design 3, 1991;
// from memory).
const usualSigmas = 3

// leastSigmas is where a normal is so flat that it is a uniform, and drawing it by rejection slow.
const leastSigmas = 0.1

func (s Spread) sigmas() float64 {
	if s.Sigmas == 0 {
		return usualSigmas
	}
	return s.Sigmas
}

// SD is the standard deviation, mm: half/sqrt 3 for a uniform, half/sqrt 6 for a triangle, and for a normal of standard
// deviation s cut off at k s each way s sqrt(1 - 2 k phi(k)/(2 Phi(k) - 1)) (N. L. Johnson, S. Kotz and N. Balakrishnan,
// Continuous Univariate Distributions, volume 1, chapter 13; from memory).
func (s Spread) SD() float64 {
	switch {
	case s.Half == 0:
		return 0
	case s.Kind == Uniform:
		return s.Half / math.Sqrt(3)
	case s.Kind == Triangular:
		return s.Half / math.Sqrt(6)
	}
	k := s.sigmas()
	n := distuv.UnitNormal
	return s.Half / k * math.Sqrt(1-2*k*n.Prob(k)/(2*n.CDF(k)-1))
}

// problem says what is wrong with the spread, "" when nothing is.
func (s Spread) problem() string {
	switch {
	case !(s.Half >= 0) || math.IsInf(s.Half, 0):
		return fmt.Sprintf("half width %g mm: must be 0 or more", s.Half)
	case s.Half == 0:
		return ""
	case s.Kind != Uniform && s.Kind != Triangular && s.Kind != Normal:
		return fmt.Sprintf("unknown distribution %q: uniform, triangular or normal", s.Kind)
	case s.Kind == Normal && (!(s.sigmas() >= leastSigmas) || math.IsInf(s.Sigmas, 0)):
		return fmt.Sprintf("%g standard deviations in the half width: must be %g or more", s.Sigmas, leastSigmas)
	}
	return ""
}

// sampler draws from a spread; it is a spread made ready, since castings are drawn by the million.
type sampler struct {
	shape byte    // 'u', 't', 'n' or 0 for none
	half  float64 // mm
	k, sd float64 // of a normal: where it is cut off, in standard deviations of the whole normal, and these, mm
}

func (s Spread) sampler() sampler {
	switch {
	case s.Half == 0:
		return sampler{}
	case s.Kind == Uniform:
		return sampler{shape: 'u', half: s.Half}
	case s.Kind == Triangular:
		return sampler{shape: 't', half: s.Half}
	}
	return sampler{shape: 'n', half: s.Half, k: s.sigmas(), sd: s.Half / s.sigmas()}
}

// draw is one error, mm. How many numbers it takes from the stream does not depend on the half width, as long as that is not 0,
// so that runs with the same seed and other tolerances see the same castings, only more or less wrong.
func (s *sampler) draw(r *rand.Rand) float64 {
	switch s.shape {
	case 'u':
		return s.half * (2*r.Float64() - 1)
	case 't':
		return s.half * (r.Float64() - r.Float64())
	case 'n':
		for {
			if z := r.NormFloat64(); -s.k <= z && z <= s.k {
				return s.sd * z
			}
		}
	}
	return 0
}
