package contour

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	quadGoal  = 8e-4    // stop when the bound is below this share of the volume
	quadCap   = 2000000 // no more evaluations than this
	quadStart = 12      // cubes along the longest side at first
	// quadSigmas is the bound in units of half the root of the summed squares of what each sample can be off by.
	quadSigmas = 6
)

// Quadrature is the volume, mm3, of the part of a field's solid inside the box from lo to hi, found from Eval alone, and a
// bound on its error, mm3.
//
// The box is cut into cubes. A cube whose middle has |Eval| above half its diagonal is wholly in or out, because no
// point of the surface is nearer; the others are cut in eight until the bound is below 0.08 % of the volume or about
// 2 million evaluations are spent. In each cube still undecided the ball of radius |Eval| about its middle is known
// too; in the rest of it, of volume w, one point is drawn at random and the rest counted in or out by it.
//
// The draws are independent, each without bias, and each changes the sum by at most w. With bound = 3 x root of the sum
// of w squared (six standard errors, were every draw an even chance), Hoeffding's inequality (W. Hoeffding, Probability
// Inequalities for Sums of Bounded Random Variables, J. Amer. Statist. Assoc. 58 (1963), theorem 2) gives
// P(error > bound) <= 2 exp(-18) = 3.1e-8, whatever the solid, if the field keeps its promise. The same seed gives the
// same figure on any number of cores. A box that is not one gives NaN and an infinite bound.
func Quadrature(f Field, lo, hi r3.Vec, seed uint64) (volume, bound float64) {
	size := r3.Sub(hi, lo)
	if !finite(size) || size.X < 0 || size.Y < 0 || size.Z < 0 {
		return math.NaN(), math.Inf(1)
	}
	longest := max(size.X, size.Y, size.Z)
	if longest == 0 {
		return 0, 0
	}
	q := quad{field: f, lo: lo, hi: hi, edge: longest / quadStart}
	q.start(size)
	for {
		q.judge()
		volume, bound = q.tally()
		children := 8 * len(q.cells)
		// The children must be judged, and those of them that stay undecided (half of them, or so) drawn from.
		if len(q.cells) == 0 || bound <= quadGoal*volume || q.spent+children+children/2 > quadCap {
			break
		}
		q.refine()
	}
	return q.sure + q.draw(seed), bound
}

// quad is the state of the search: the undecided cubes of one size, and what is decided.
type quad struct {
	field  Field
	lo, hi r3.Vec
	edge   float64
	cells  []quadCell
	sure   float64 // volume known to be in, mm3
	spent  int     // evaluations
}

// quadCell is a cube: its place counted in edges from lo, and Eval at its middle.
type quadCell struct {
	x, y, z int32
	eval    float64
}

func (q *quad) start(size r3.Vec) {
	count := func(s float64) int32 { return max(1, int32(math.Ceil(s/q.edge-1e-9))) }
	nx, ny, nz := count(size.X), count(size.Y), count(size.Z)
	for z := range nz {
		for y := range ny {
			for x := range nx {
				q.cells = append(q.cells, quadCell{x: x, y: y, z: z})
			}
		}
	}
}

// middle of a cube.
func (q *quad) middle(c quadCell) r3.Vec {
	return r3.Vec{
		X: q.lo.X + float64((float64(c.x)+0.5)*q.edge),
		Y: q.lo.Y + float64((float64(c.y)+0.5)*q.edge),
		Z: q.lo.Z + float64((float64(c.z)+0.5)*q.edge),
	}
}

// eval is the field cut off at the box: still 1-Lipschitz and no more than the distance. NaN says nothing, as 0 does.
func (q *quad) eval(p r3.Vec) float64 {
	over := vecMax(r3.Sub(q.lo, p), r3.Sub(p, q.hi))
	if f := max(q.field.Eval(p), over.X, over.Y, over.Z); !math.IsNaN(f) {
		return f
	}
	return 0
}

// judge evaluates every cube and keeps those that are neither in nor out.
func (q *quad) judge() {
	parallel(len(q.cells), func(i int) { q.cells[i].eval = q.eval(q.middle(q.cells[i])) })
	q.spent += len(q.cells)
	half := 0.5 * math.Sqrt(3) * q.edge
	kept, in := q.cells[:0], 0
	for _, c := range q.cells {
		switch {
		case c.eval < -half:
			in++
		case c.eval <= half:
			kept = append(kept, c)
		}
	}
	q.cells = kept
	q.sure += float64(float64(in) * q.edge * q.edge * q.edge)
}

// tally is what is known before drawing: the volume with all that is unknown counted half, and the bound.
func (q *quad) tally() (volume, bound float64) {
	known, squares := 0.0, 0.0
	for _, c := range q.cells {
		ball := ballShare(q.radius(c) / q.edge)
		rest := 1 - ball
		squares += float64(rest * rest)
		if c.eval < 0 {
			known += ball
		}
		known += 0.5 * rest
	}
	cube := q.edge * q.edge * q.edge
	return q.sure + float64(known*cube), quadSigmas * 0.5 * math.Sqrt(squares) * cube
}

// radius of the ball about the middle of a cube in which the field keeps its sign. It is cut short where balls reach the
// edges of the cube: the share has a plain form up to there, and enough is left to draw from.
func (q *quad) radius(c quadCell) float64 {
	return min(math.Abs(c.eval), q.edge*math.Sqrt2/2)
}

// ballShare is the volume a ball of radius r has in common with the unit cube about the same middle, for r up to half
// the diagonal of a face: the ball less six caps of height r - 1/2.
func ballShare(r float64) float64 {
	share := 4.0 / 3 * math.Pi * r * r * r
	if h := r - 0.5; h > 0 {
		share -= 6 * math.Pi / 3 * h * h * (3*r - h)
	}
	return share
}

func (q *quad) refine() {
	next := make([]quadCell, 0, 8*len(q.cells))
	for _, c := range q.cells {
		for k := range int32(8) {
			next = append(next, quadCell{x: 2*c.x + k&1, y: 2*c.y + k>>1&1, z: 2*c.z + k>>2})
		}
	}
	q.cells, q.edge = next, q.edge/2
}

// draw settles the undecided cubes by one random point each. A run of cubes shares one generator, numbered by the run.
func (q *quad) draw(seed uint64) float64 {
	const run = 1024
	sums := make([]float64, (len(q.cells)+run-1)/run)
	parallel(len(sums), func(i int) {
		random := rand.New(rand.NewPCG(seed, uint64(i)))
		for _, c := range q.cells[i*run : min((i+1)*run, len(q.cells))] {
			sums[i] += q.drawOne(c, random)
		}
	})
	total := 0.0
	for _, s := range sums {
		total += s
	}
	return float64(total * q.edge * q.edge * q.edge)
}

// drawOne is the share of a cube counted in.
func (q *quad) drawOne(c quadCell, random *rand.Rand) float64 {
	r := q.radius(c)
	ball := ballShare(r / q.edge)
	share := 0.0
	if c.eval < 0 {
		share = ball
	}
	var off r3.Vec
	for { // at least 3 % of the cube lies outside the ball
		off = r3.Vec{X: random.Float64() - 0.5, Y: random.Float64() - 0.5, Z: random.Float64() - 0.5}
		if off = r3.Scale(q.edge, off); r3.Norm2(off) >= r*r {
			break
		}
	}
	if q.eval(r3.Add(q.middle(c), off)) < 0 {
		share += 1 - ball
	}
	return share
}
