package fit

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Stackup is one clearance as cast, in closed form.
type Stackup struct {
	Name     string
	Finished float64 // every dimension at its nominal, mm
	Cast     float64 // the same with all stock on, mm: the mean as cast
	Low      float64 // worst case as cast, mm: no casting is below
	High     float64 // nor above
	SD       float64 // root of the sum of squares, mm
	InLimits float64 // share of castings between the limits without filing, 0 to 1; see Exact
	Exact    bool    // InLimits is exact; else it takes the sum for a normal, which is good near the middle and poor in the tails
	Shares   []Sensitivity
}

// Sensitivity is what one source of error does to one clearance.
type Sensitivity struct {
	Source   string  // a dimension, or "stock: " and a surface
	Effect   float64 // clearance per mm of the source
	SD       float64 // of the source, mm
	Variance float64 // its share of the clearance's variance, 0 to 1
}

// Linear is the stack-up of every clearance in closed form, by two rules that every textbook of tolerancing has
// (B. R. Fischer, Mechanical Tolerance Stackup and Analysis; P. Drake, Dimensioning and Tolerancing Handbook, chapter 9;
// from memory):
//
//	worst case: sum of |effect| times half width
//	root sum of squares: variance = sum of effect squared times variance, exact for independent errors
func Linear(s Stack) ([]Stackup, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	return newSystem(s).linear(), nil
}

func (sys *system) linear() []Stackup {
	out := make([]Stackup, len(sys.cast))
	for i, c := range sys.stack.Clearances {
		terms := sys.errors(i)
		u := Stackup{Name: c.Name, Finished: sys.finished[i], Cast: sys.cast[i]}
		var worst, variance float64
		for _, t := range terms {
			worst += t.half()
			variance += t.variance()
		}
		u.Low, u.High, u.SD = u.Cast-worst, u.Cast+worst, math.Sqrt(variance)
		u.InLimits, u.Exact = shareBetween(terms, c.Least-u.Cast, c.Most-u.Cast, u.SD)
		u.Shares = shares(terms, variance)
		out[i] = u
	}
	return out
}

// errorTerm is an independent source of error of one clearance.
type errorTerm struct {
	source  string
	effect  float64
	spreads []Spread
}

func (t errorTerm) half() float64 {
	h := 0.0
	for _, s := range t.spreads {
		h += s.Half
	}
	return math.Abs(t.effect) * h
}

func (t errorTerm) sd() float64 {
	v := 0.0
	for _, s := range t.spreads {
		v += s.SD() * s.SD()
	}
	return math.Sqrt(v)
}

func (t errorTerm) variance() float64 { return t.effect * t.effect * t.sd() * t.sd() }

// errors lists the sources of error of clearance i.
func (sys *system) errors(i int) []errorTerm {
	var out []errorTerm
	for j, d := range sys.stack.Dimensions {
		if a := sys.byDim[i][j]; a != 0 {
			out = append(out, errorTerm{d.Name, a, []Spread{d.Casting, d.Print}})
		}
	}
	for k, f := range sys.stack.Surfaces {
		if b := sys.byFile[i][k]; b != 0 && f.Left.Half > 0 {
			out = append(out, errorTerm{"stock: " + f.Name, -b, []Spread{f.Left}})
		}
	}
	return out
}

// shares is what each source has of the variance, greatest first.
func shares(terms []errorTerm, variance float64) []Sensitivity {
	var out []Sensitivity
	for _, t := range terms {
		s := Sensitivity{Source: t.source, Effect: t.effect, SD: t.sd()}
		if variance > 0 {
			s.Variance = t.variance() / variance
		}
		out = append(out, s)
	}
	slices.SortStableFunc(out, func(a, b Sensitivity) int { return cmp.Compare(b.Variance, a.Variance) })
	return out
}

// mostUniforms is how many uniforms the alternating sum still adds without losing the digits that matter; a test holds ten of them
// against a convolution on a grid.
const mostUniforms = 10

// asNormal is from how many standard deviations a cut-off normal counts as whole: it lacks 2e-9 of its castings.
const asNormal = 6

// shareBetween is the chance that the sum of the terms lies between low and high. It is exact where all errors are
// uniform and few, or all normal and hardly cut off; else the sum is taken for a normal of the same standard deviation.
func shareBetween(terms []errorTerm, low, high, sd float64) (share float64, exact bool) {
	var halves []float64
	normals, uniforms := true, true
	for _, t := range terms {
		for _, s := range t.spreads {
			if s.Half == 0 || t.effect == 0 {
				continue
			}
			halves = append(halves, math.Abs(t.effect)*s.Half)
			uniforms = uniforms && s.Kind == Uniform
			normals = normals && s.Kind == Normal && s.sigmas() >= asNormal
		}
	}
	switch {
	case len(halves) == 0:
		if low <= slack && high >= -slack {
			return 1, true
		}
		return 0, true
	case uniforms && len(halves) <= mostUniforms:
		return UniformSum(halves, high) - UniformSum(halves, low), true
	}
	n := distuv.Normal{Sigma: sd}
	return n.CDF(high) - n.CDF(low), normals
}

// UniformSum is the chance that a sum of independent errors, each uniform within plus and minus its half width, is at most
// x. With halves h and n of them:
//
//	F(x) = 1/(n! prod 2h) sum over all signs e of prod(e) max(0, x + sum e h)^n
//
// which for equal halves is the Irwin-Hall distribution (J. O. Irwin and P. Hall, Biometrika 19, 1927; for unequal ones
// W. Feller, An Introduction to Probability Theory and Its Applications, volume 2, chapter I.9; from memory). Halves are above 0,
// ten of them at most; rounding leaves an error below 1e-6 where the widest is at most ten
// times the narrowest.
func UniformSum(halves []float64, x float64) float64 {
	total, scale := 0.0, 1.0
	for i, h := range halves {
		total += h
		scale *= 2 * h * float64(i+1)
	}
	switch {
	case x <= -total:
		return 0
	case x >= total:
		return 1
	case x > 0: // the sum loses fewer digits below the middle
		return 1 - UniformSum(halves, -x)
	}
	sum := 0.0
	for signs := range 1 << len(halves) {
		at, sign := x, 1.0
		for i, h := range halves {
			if signs>>i&1 == 1 {
				at -= h
				sign = -sign
			} else {
				at += h
			}
		}
		if at > 0 {
			sum += sign * math.Pow(at, float64(len(halves)))
		}
	}
	return min(max(sum/scale, 0), 1)
}
