package layer

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pose is a way to stand on the plate: the part's directions that come to lie along the plate's x and y and upwards; a right-handed frame of
// unit vectors.
type Pose struct{ X, Y, Up r3.Vec }

// Drawn is the pose in which nothing is turned.
var Drawn = Pose{r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}}

// Place is where a point of the part lies, before it is moved along the plate.
func (p Pose) Place(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(v, p.X), Y: r3.Dot(v, p.Y), Z: r3.Dot(v, p.Up)}
}

// Upwards is the pose for a build direction: the part's x, or what comes nearest to it in the plate, lies along the plate's x; of a part whose x stands up, its y.
func Upwards(up r3.Vec) Pose {
	side := r3.Vec{X: 1}
	if math.Abs(up.X) > 0.9 {
		side = r3.Vec{Y: 1}
	}
	x := r3.Unit(r3.Sub(side, r3.Scale(r3.Dot(side, up), up)))
	return Pose{x, r3.Cross(up, x), up}
}

const (
	spread   = 240  // directions spread evenly over the ball
	faces    = 24   // greatest plane faces, each laid on the plate
	seeds    = 8    // best poses that are refined
	firstTry = 8.0  // degrees of the first step of refining
	lastTry  = 0.25 // degrees below which refining ends
)

// found is a direction with its score.
type found struct {
	up    r3.Vec
	terms Terms
	score float64
}

// Find looks for the pose with the least score: the axes, halfway between them, the greatest faces laid on the plate, and directions spread
// evenly, the best of which are refined by steps to all sides that are halved down to 0.25 degrees. The same body gives the
// same pose. It is the best of those tried, which is no proof that there is none better.
func (b *Body) Find(o Options) (Pose, Terms) {
	h := make([]float64, len(b.V))
	var all []found
	for _, up := range b.directions() {
		t, _ := b.measure(up, o, math.Inf(1), h)
		all = append(all, found{up, t, t.Score()})
	}
	slices.SortStableFunc(all, func(a, c found) int { return cmp.Compare(math.Round(a.score/tie), math.Round(c.score/tie)) })
	best := all[0]
	for _, s := range all[:min(seeds, len(all))] {
		if r := b.refine(s, o, h); r.score < best.score-tie {
			best = r
		}
	}
	return Upwards(best.up), best.terms
}

// tie is within what two scores are the same, mm2: the pose that is tried first then stays.
const tie = 1e-6

// refine goes to the best of eight directions round about, as long as one is better, with ever smaller steps.
func (b *Body) refine(at found, o Options, h []float64) found {
	for step := firstTry; step >= lastTry; {
		p, moved := Upwards(at.up), false
		tan := math.Tan(step * math.Pi / 180)
		for k := range 8 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 4)
			up := r3.Unit(r3.Add(p.Up, r3.Add(r3.Scale(tan*cos, p.X), r3.Scale(tan*sin, p.Y))))
			if t, less := b.measure(up, o, at.score-tie, h); less {
				at, moved = found{up, t, t.Score()}, true
			}
		}
		if !moved {
			step /= 2
		}
	}
	return at
}

// directions are those that are tried first, the simplest in front.
func (b *Body) directions() []r3.Vec {
	var out []r3.Vec
	for size := 1; size <= 3; size++ { // axes, edges, corners of a cube
		for _, z := range []float64{1, -1, 0} {
			for _, y := range []float64{1, -1, 0} {
				for _, x := range []float64{1, -1, 0} {
					if int(math.Abs(x)+math.Abs(y)+math.Abs(z)) == size {
						out = append(out, r3.Unit(r3.Vec{X: x, Y: y, Z: z}))
					}
				}
			}
		}
	}
	out = append(out, b.laid()...)
	golden := math.Pi * (3 - math.Sqrt(5))
	for i := range spread {
		z := 1 - (2*float64(i)+1)/spread
		sin, cos := math.Sincos(golden * float64(i))
		r := math.Sqrt(1 - z*z)
		out = append(out, r3.Vec{X: r * cos, Y: r * sin, Z: z})
	}
	return out
}

// laid are the directions in which the greatest plane faces lie on the plate, looking down.
func (b *Body) laid() []r3.Vec {
	type key [3]int32
	area := map[key]float64{}
	var order []key
	face := map[key]r3.Vec{}
	for i, n := range b.normal {
		k := key{int32(math.Round(n.X * 1e4)), int32(math.Round(n.Y * 1e4)), int32(math.Round(n.Z * 1e4))}
		if _, met := area[k]; !met {
			order, face[k] = append(order, k), n
		}
		area[k] += b.area[i]
	}
	slices.SortStableFunc(order, func(p, q key) int { return cmp.Compare(area[q], area[p]) })
	var out []r3.Vec
	for _, k := range order[:min(faces, len(order))] {
		out = append(out, r3.Scale(-1, face[k]))
	}
	return out
}
