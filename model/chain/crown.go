package chain

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Reading is one thickness taken across the width.
type Reading struct {
	Place     float64 // mm from mid-width, either side
	Thickness float64 // mm there, over the flat that the chain lies on
}

// Crown is the top of a chain as its readings give it: one arc, symmetric about mid-width, or a middle arc with a
// flank arc tangent to it at Join on either side. Curvatures are used and not radii, since a flat top is then no
// singularity; they are positive where the top is domed.
type Crown struct {
	Thickness      Estimate // mm, at mid-width
	Curvature      Estimate // 1/mm, of the arc or of the middle arc
	Join           float64  // mm from mid-width to where the arcs meet; 0 for one arc
	FlankCurvature float64  // 1/mm; 0 for one arc
	Residuals      []float64
	RMS, Greatest  float64 // mm, root mean square and greatest absolute residual
	Better         float64 // F test: chance that one arc alone would fit so much worse; 1 where it was not asked
}

// Estimate is a fitted value with the ends of its 95 % interval.
type Estimate struct{ Value, Low, High float64 }

// caliper is the residual that reading a caliper explains, mm. Common practice, no source.
const caliper = 0.03

// better is the chance below which tangent arcs are taken in place of one arc. Common practice, no source.
const better = 0.01

// Radius is the radius of the middle arc with its 95 % interval, mm: the reciprocals of the curvature's. It is
// infinite where the curvature is zero or less, as a top that may be flat has no greatest radius.
func (c Crown) Radius() Estimate {
	return Estimate{radius(c.Curvature.Value), radius(c.Curvature.High), radius(c.Curvature.Low)}
}

func radius(k float64) float64 {
	if k <= 0 {
		return math.Inf(1)
	}
	return 1 / k
}

// Fall is how far the top at the place y lies below mid-width, mm. Outside the arcs it is not a number.
func (c Crown) Fall(y float64) float64 {
	return fall(math.Abs(y), c.Curvature.Value, c.FlankCurvature, c.Join)
}

// fall in closed form: an arc of curvature k that starts level falls (1 - cos a)/k where sin a = k y. It is written
// without the division, so that k = 0 is a straight line. A flank starts at the angle at which the middle arc ends.
func fall(y, k, flank, join float64) float64 {
	if join == 0 || y <= join {
		return arcFall(0, y, k)
	}
	return arcFall(0, join, k) + arcFall(k*join, y-join, flank)
}

// arcFall is the fall over the way d of an arc of curvature k that starts at an angle of sine u: (u+v)d/(cos + cos).
func arcFall(u, d, k float64) float64 {
	v := u + k*d
	return (u + v) * d / (math.Sqrt(1-u*u) + math.Sqrt(1-v*v))
}

// FitCrown fits one arc to at least three readings at two or more distances from mid-width by least squares of the
// thickness (Gauss-Newton steps solved by QR). Intervals are those of the linearised model, from the residuals'
// variance over n-2 and Student's t (N. R. Draper and H. Smith, Applied Regression Analysis, chapter on nonlinear
// estimation, from memory). With six readings or more, where one arc leaves more than 0.03 mm, tangent arcs are tried
// and taken if they are convex and an F test with 2 and n-4 degrees of freedom puts the gain below 0.01; the place of
// the join makes that test approximate. It fails when readings are too few, alike in distance, not finite, or lie on no
// arc.
func FitCrown(rs []Reading) (Crown, error) {
	if err := enough(rs); err != nil {
		return Crown{}, err
	}
	one, err := fitArcs(rs, 0)
	if err != nil || len(rs) < 6 || one.Greatest <= caliper {
		return one, err
	}
	two, ok := fitJoin(rs)
	if !ok {
		return one, nil
	}
	rest := max(square(two.Residuals), math.SmallestNonzeroFloat64)
	free := float64(len(rs) - 4)
	f := (square(one.Residuals) - square(two.Residuals)) / 2 / (rest / free)
	two.Better = distuv.F{D1: 2, D2: free}.Survival(max(f, 0))
	if math.IsInf(f, 1) {
		two.Better = 0
	}
	if two.Better < better {
		return two, nil
	}
	one.Better = two.Better
	return one, nil
}

// enough says why readings do not make a crown.
func enough(rs []Reading) error {
	if len(rs) < 3 {
		return fmt.Errorf("%d readings, at least 3 are needed: a crown has a thickness and a radius, and one more reading tests them", len(rs))
	}
	apart := false
	for _, r := range rs {
		if s := r.Place + r.Thickness; math.IsNaN(s) || math.IsInf(s, 0) {
			return fmt.Errorf("a reading of %v mm at %v mm is not finite", r.Thickness, r.Place)
		}
		apart = apart || math.Abs(math.Abs(r.Place)-math.Abs(rs[0].Place)) > 1e-6
	}
	if !apart {
		return fmt.Errorf("all readings are %.4g mm from mid-width, at least 2 different distances are needed: one distance says nothing of the radius", math.Abs(rs[0].Place))
	}
	return nil
}

// fitJoin looks for the join: over a grid of places first, then by halving the way about the best. Two distances at
// least must lie on either side, else an arc there would be free.
func fitJoin(rs []Reading) (best Crown, ok bool) {
	least := math.Inf(1)
	try := func(join float64) {
		c, err := fitArcs(rs, join)
		if err != nil || c.Curvature.Value < 0 || c.FlankCurvature < 0 {
			return
		}
		if s := square(c.Residuals); s < least {
			best, least, ok = c, s, true
		}
	}
	widest := 0.0
	for _, r := range rs {
		widest = max(widest, math.Abs(r.Place))
	}
	const steps = 60
	for i := 1; i < steps; i++ {
		if y := widest * float64(i) / steps; split(rs, y) {
			try(y)
		}
	}
	for way := widest / steps; ok && way > 1e-9; way /= 2 {
		for _, y := range []float64{best.Join - way, best.Join + way} {
			if y > 0 && split(rs, y) {
				try(y)
			}
		}
	}
	return best, ok
}

// split says whether two different distances at least lie within the join, and two beyond it.
func split(rs []Reading, join float64) bool {
	in, out := map[float64]bool{}, map[float64]bool{}
	for _, r := range rs {
		if y := math.Abs(r.Place); y <= join {
			in[y] = true
		} else {
			out[y] = true
		}
	}
	return len(in) >= 2 && len(out) >= 2
}

// fitArcs is the least-squares fit for a given join, 0 for one arc.
func fitArcs(rs []Reading, join float64) (Crown, error) {
	n, free := len(rs), 2
	if join > 0 {
		free = 3
	}
	left := func(dst, p []float64) {
		flank := 0.0
		if join > 0 {
			flank = p[2]
		}
		for i, r := range rs {
			dst[i] = r.Thickness - p[0] + fall(math.Abs(r.Place), p[1], flank, join)
		}
	}
	p := make([]float64, free)
	p[0] = rs[0].Thickness
	res, qr, err := gaussNewton(left, p, n)
	if err != nil {
		return Crown{}, err
	}
	c := Crown{Residuals: res, Join: join, Better: 1}
	if join > 0 {
		c.FlankCurvature = p[2]
	}
	for _, r := range res {
		c.Greatest = max(c.Greatest, math.Abs(r))
	}
	c.RMS = math.Sqrt(square(res) / float64(n))
	used := free
	if join > 0 {
		used++ // the join itself is fitted too
	}
	half, err := halves(qr, res, free, n-used)
	c.Thickness = Estimate{p[0], p[0] - half[0], p[0] + half[0]}
	c.Curvature = Estimate{p[1], p[1] - half[1], p[1] + half[1]}
	return c, err
}

// gaussNewton brings the residuals to their least sum of squares, in place. A step that does not lessen the sum is
// halved; a fit has converged when no step does, or when steps are at the rounding of the numbers.
func gaussNewton(left func(dst, p []float64), p []float64, n int) (res []float64, qr *mat.QR, err error) {
	res, next := make([]float64, n), make([]float64, n)
	left(res, p)
	for range 100 {
		j := mat.NewDense(n, len(p), nil)
		fd.Jacobian(j, left, p, &fd.JacobianSettings{Formula: fd.Central})
		qr = new(mat.QR)
		qr.Factorize(j)
		var step mat.VecDense
		if err := qr.SolveVecTo(&step, false, mat.NewVecDense(n, res)); err != nil {
			return nil, nil, fmt.Errorf("no crown fits these readings: %w", err)
		}
		q, moved := make([]float64, len(p)), false
		for k := 1.0; k > 1e-6 && !moved; k /= 2 {
			for i := range q {
				q[i] = p[i] - k*step.AtVec(i)
			}
			left(next, q)
			moved = square(next) < square(res) // not a number, where a place is off the arc, is not less
		}
		if !moved {
			break
		}
		copy(p, q)
		copy(res, next)
	}
	if math.IsNaN(square(res)) {
		return nil, nil, fmt.Errorf("no crown fits these readings")
	}
	return res, qr, nil
}

// halves is half the 95 % interval of each fitted value: t s sqrt of the diagonal of inverse(J'J), where J'J = R'R.
func halves(qr *mat.QR, res []float64, free, dof int) ([]float64, error) {
	half := make([]float64, free)
	if dof < 1 {
		return half, fmt.Errorf("%d readings are too few for this crown", len(res))
	}
	var r mat.Dense
	qr.RTo(&r)
	var inv mat.Dense
	if err := inv.Inverse(r.Slice(0, free, 0, free)); err != nil {
		return half, fmt.Errorf("no crown fits these readings: %w", err)
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(dof)}.Quantile(0.975)
	s := math.Sqrt(square(res) / float64(dof))
	for i := range half {
		half[i] = t * s * mat.Norm(inv.RowView(i), 2)
	}
	return half, nil
}

func square(v []float64) (s float64) {
	for _, x := range v {
		s += x * x
	}
	return s
}
