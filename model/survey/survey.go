// Package survey measures what a solid really is, from its field and its faces alone: the least wall and the least gap,
// hollows and their throats, how slender the core of a hollow is, what a printer finds hanging in the air, the thickest
// place, sections, sharp edges, and what a file reaches.
//
// Lengths are mm, areas mm2, angles degrees. Every length that is reported lies between two points that are truly on
// the surface, or is the diameter of a ball that the field proves free; what is proven beyond that, and what is only
// sampled, is said at each function. Results do not depend on the number of cores.
//
// The field of a Boolean may be smaller than the distance, in the metal where parts overlap and in the air where
// hollows do. So the sign of the field and its zeros are trusted, and its size only as a lower bound.
package survey

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

const (
	touching = 1e-7 // mm; a point counts as on the surface where |Eval| is below: rounding through poses and feet
	beside   = 1e-6 // mm beside a face, to ask on which side the metal is
	margin   = 0.5  // mm for which covers are made quick
	radian   = 180 / math.Pi
)

// spread runs f for 0 to n-1 on all cores, each with a cover of its own. Results must go by index.
func spread(s *solid.Solid, n int, f func(c *solid.Cover, i int)) {
	cores := max(1, min(runtime.GOMAXPROCS(0), n))
	var next atomic.Int64
	var wait sync.WaitGroup
	for range cores {
		wait.Add(1)
		go func() {
			defer wait.Done()
			c := solid.NewCover(s, margin)
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(c, i)
			}
		}()
	}
	wait.Wait()
}

// along is the point at t on the line from p in direction d.
func along(p, d r3.Vec, t float64) r3.Vec {
	return r3.Vec{X: p.X + t*d.X, Y: p.Y + t*d.Y, Z: p.Z + t*d.Z}
}

func apart(p, q r3.Vec) float64 { return math.Sqrt(r3.Norm2(r3.Sub(p, q))) }

func unit(v r3.Vec) r3.Vec { return r3.Scale(1/math.Sqrt(r3.Norm2(v)), v) }

// across gives two unit vectors square to n and to each other. The first lies nearest to an axis of the frame, so that
// it is the same for faces that look the same way.
func across(n r3.Vec) (a, b r3.Vec) {
	x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)
	axis := r3.Vec{X: 1}
	switch {
	case y < x && y <= z:
		axis = r3.Vec{Y: 1}
	case z < x && z < y:
		axis = r3.Vec{Z: 1}
	}
	a = unit(r3.Sub(axis, r3.Scale(r3.Dot(axis, n), n)))
	return a, r3.Cross(n, a)
}

// angleOf is the angle between unit vectors, degrees.
func angleOf(a, b r3.Vec) float64 {
	return math.Atan2(math.Sqrt(r3.Norm2(r3.Cross(a, b))), r3.Dot(a, b)) * radian
}

// or is v, or the default where v is 0.
func or(v, byDefault float64) float64 {
	if v == 0 {
		return byDefault
	}
	return v
}
