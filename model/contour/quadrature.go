package contour

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	quadGoal  = 8e-4    // stop when the bound is below this share of the volume
	quadCap   = 2000000 // about as many evaluations may be spent
	quadStart = 12      // cubes along the longest side at first
	quadOdds  = 20      // each of at most 3 x quadDeep statements is wrong with probability exp(-quadOdds)
	quadDeep  = 20      // halvings at most
)

// Quadrature is the volume, mm3, of the part of a field's solid inside the box from lo to hi, found from Eval alone, and a
// bound on its error, mm3.
//
// The box is cut into cubes. A cube whose middle has |Eval| above half its diagonal is wholly in or out, because no
// point of the surface is nearer. Each other cube is first taken as cut by the plane that Eval at its middle and at its
// seven neighbours suggests; then one point is drawn at random in it, and if that proves to be in where the plane says
// out, the whole cube is added, if the other way round, taken off. This is without bias whatever the plane, and the
// better the planes, the fewer cubes n are so corrected. The undecided cubes are cut in eight until the bound is below
// 0.08 % of the volume, or the next cut would bring the evaluations above about 2 million.
//
// The bound, with L = 20 and cubes of volume c: the number of corrections to be expected is at most
// m = ((root(2 L) + root(2 L + 4 n))/2)^2 by Chernoff's bound on the lower tail of a sum of independent trials; the sum of
// corrections then has variance at most m c^2, and Bernstein's inequality gives c (root(2 m L) + 4 L/3). Both: S.
// Boucheron, G. Lugosi and P. Massart, Concentration Inequalities (2013), chapter 2. Over all rounds the bound fails
// with a probability below 60 exp(-20) = 1.3e-7, whatever the solid, if the field keeps its promise.
//
// The same seed gives the same figure on any number of cores. A box that is not one gives NaN and an infinite bound.
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
	q.judge()
	for deep := range uint64(quadDeep) {
		q.refine()
		q.judge()
		// Each round has its own draws, so that a bound found too wide tells nothing about the next.
		volume, bound = q.draw(seed, deep)
		if bound <= quadGoal*volume || q.spent+10*len(q.cells) > quadCap {
			break
		}
	}
	return volume, bound
}

// quad is the state of the search: the undecided cubes, all of one size, and what is decided.
type quad struct {
	field  Field
	lo, hi r3.Vec
	edge   float64
	cells  []quadCell
	sure   float64 // volume known to be in, mm3
	spent  int     // evaluations
}

// quadCell is a cube: its place counted in edges from lo, Eval at its middle, and the slope suggested by its neighbours.
type quadCell struct {
	x, y, z int32
	eval    float64
	slope   r3.Vec
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
	q.measure()
}

// measure evaluates the middle of every cube.
func (q *quad) measure() {
	parallel(len(q.cells), func(i int) { q.cells[i].eval = q.eval(q.middle(q.cells[i])) })
	q.spent += len(q.cells)
}

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

// refine cuts every cube in eight, measures those and gives all eight the mean slope between them.
func (q *quad) refine() {
	next := make([]quadCell, 0, 8*len(q.cells))
	for _, c := range q.cells {
		for k := range int32(8) {
			next = append(next, quadCell{x: 2*c.x + k&1, y: 2*c.y + k>>1&1, z: 2*c.z + k>>2})
		}
	}
	q.cells, q.edge = next, q.edge/2
	q.measure()
	for i := 0; i < len(next); i += 8 {
		eight := next[i : i+8]
		slope := slopeOf(eight, q.edge)
		for k := range eight {
			eight[k].slope = slope
		}
	}
}

func slopeOf(eight []quadCell, edge float64) r3.Vec {
	var d [3]float64
	for k, c := range eight {
		for axis := range d {
			if k>>axis&1 == 1 {
				d[axis] += c.eval
			} else {
				d[axis] -= c.eval
			}
		}
	}
	return r3.Scale(0.25/edge, r3.Vec{X: d[0], Y: d[1], Z: d[2]})
}

// judge keeps the cubes that are neither in nor out.
func (q *quad) judge() {
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

// drawn is what a run of cubes gave: share is counted in cubes.
type drawn struct {
	share            float64
	corrected, spent int
}

// draw settles every undecided cube and gives the volume and its bound. A run of cubes shares one generator.
func (q *quad) draw(seed, round uint64) (volume, bound float64) {
	const run = 256
	runs := make([]drawn, (len(q.cells)+run-1)/run)
	parallel(len(runs), func(i int) {
		random := rand.New(rand.NewPCG(seed, round<<32+uint64(i)))
		for _, c := range q.cells[i*run : min((i+1)*run, len(q.cells))] {
			q.settle(c, random, &runs[i])
		}
	})
	var all drawn
	for _, r := range runs {
		all.share += r.share
		all.corrected += r.corrected
		q.spent += r.spent
	}
	cube := q.edge * q.edge * q.edge
	if len(q.cells) > 0 {
		bound = cube * correctionBound(all.corrected)
	}
	return q.sure + float64(all.share*cube), bound
}

// correctionBound is the bound of Quadrature for n corrections, in cubes.
func correctionBound(n int) float64 {
	root := (math.Sqrt(2*quadOdds) + math.Sqrt(2*quadOdds+4*float64(n))) / 2
	return math.Sqrt(2*quadOdds)*root + 4.0/3*quadOdds
}

// settle counts one cube: the share that its plane cuts off, corrected by one random point. Within the ball of radius
// |Eval| about the middle, a point is known to be on the middle's side and costs no evaluation.
func (q *quad) settle(c quadCell, random *rand.Rand, out *drawn) {
	plane := newCut(c.eval/q.edge, c.slope)
	out.share += plane.share()
	off := r3.Vec{X: random.Float64() - 0.5, Y: random.Float64() - 0.5, Z: random.Float64() - 0.5}
	in := c.eval < 0
	if r3.Norm(off)*q.edge >= math.Abs(c.eval) {
		in = q.eval(r3.Add(q.middle(c), r3.Scale(q.edge, off))) < 0
		out.spent++
	}
	if guess := plane.holds(off); in != guess {
		out.corrected++
		if in {
			out.share++
		} else {
			out.share--
		}
	}
}

// cut is a plane through the unit cube about the origin; the side where d + n p < 0 is in.
type cut struct {
	d float64
	n r3.Vec
}

// newCut keeps every component of the slope away from 0, where the sum of share would lose its digits. That tilts planes
// along the axes by a thousandth, for holds and share alike.
func newCut(d float64, n r3.Vec) cut {
	least := 1e-3 * max(math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z), 1e-3)
	away := func(x float64) float64 {
		if math.Abs(x) < least {
			return math.Copysign(least, x)
		}
		return x
	}
	return cut{d, r3.Vec{X: away(n.X), Y: away(n.Y), Z: away(n.Z)}}
}

func (c cut) holds(p r3.Vec) bool { return c.d+r3.Dot(c.n, p) < 0 }

// share is the volume of the unit cube on the inner side. Seen from the cube's corner where d + n p is least, it is the
// tetrahedron that the plane cuts off the three edges there, less those beyond the far ends of the edges, and so on:
// the sum over the corners of +-max(0, -value)^3, divided by 6 n.X n.Y n.Z (all taken positive).
func (c cut) share() float64 {
	x, y, z := math.Abs(c.n.X), math.Abs(c.n.Y), math.Abs(c.n.Z)
	sum := 0.0
	for k := range 8 {
		value, sign := c.d-(x+y+z)/2, 1.0
		for axis, step := range [3]float64{x, y, z} {
			if k>>axis&1 == 1 {
				value += step
				sign = -sign
			}
		}
		if value < 0 {
			sum -= float64(sign * value * value * value)
		}
	}
	return min(1, max(0, sum/(6*x*y*z)))
}
