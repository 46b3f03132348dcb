package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pose is a rigid placement: an origin and three orthonormal, right-handed axes, given in the frame of the model.
type Pose struct{ O, X, Y, Z r3.Vec }

// Upright is the pose that changes nothing.
var Upright = Pose{X: r3.Vec{X: 1}, Y: r3.Vec{Y: 1}, Z: r3.Vec{Z: 1}}

// AlongX stands a profile drawn in (y, z) so that it is extruded along x.
var AlongX = Pose{X: r3.Vec{Y: 1}, Y: r3.Vec{Z: 1}, Z: r3.Vec{X: 1}}

// AcrossY stands a profile drawn in (x, z) so that it is extruded along -y.
var AcrossY = Pose{X: r3.Vec{X: 1}, Y: r3.Vec{Z: 1}, Z: r3.Vec{Y: -1}}

// At is the pose moved by v.
func (m Pose) At(v r3.Vec) Pose { m.O = r3.Add(m.O, v); return m }

// World takes a local point to the model's frame.
func (m Pose) World(p r3.Vec) r3.Vec { return r3.Add(m.O, m.Turn(p)) }

// Turn takes a local direction to the model's frame.
func (m Pose) Turn(v r3.Vec) r3.Vec {
	return r3.Vec{
		X: v.X*m.X.X + v.Y*m.Y.X + v.Z*m.Z.X,
		Y: v.X*m.X.Y + v.Y*m.Y.Y + v.Z*m.Z.Y,
		Z: v.X*m.X.Z + v.Y*m.Y.Z + v.Z*m.Z.Z,
	}
}

// Local takes a point of the model's frame to the local one.
func (m Pose) Local(p r3.Vec) r3.Vec {
	d := r3.Sub(p, m.O)
	return r3.Vec{X: r3.Dot(d, m.X), Y: r3.Dot(d, m.Y), Z: r3.Dot(d, m.Z)}
}

func (m Pose) box(b r3.Box) r3.Box {
	out := r3.Box{Min: r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, Max: r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}}
	for _, c := range b.Vertices() {
		w := m.World(c)
		out = unite(out, r3.Box{Min: w, Max: w})
	}
	return out
}

func unite(a, b r3.Box) r3.Box {
	return r3.Box{Min: each(math.Min, a.Min, b.Min), Max: each(math.Max, a.Max, b.Max)}
}

func overlap(a, b r3.Box) r3.Box {
	return r3.Box{Min: each(math.Max, a.Min, b.Min), Max: each(math.Min, a.Max, b.Max)}
}

func each(f func(a, b float64) float64, a, b r3.Vec) r3.Vec {
	return r3.Vec{X: f(a.X, b.X), Y: f(a.Y, b.Y), Z: f(a.Z, b.Z)}
}

// boxDist is the distance from p to a box, 0 inside.
func boxDist(b r3.Box, p r3.Vec) float64 {
	dx := max(b.Min.X-p.X, 0, p.X-b.Max.X)
	dy := max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y)
	dz := max(b.Min.Z-p.Z, 0, p.Z-b.Max.Z)
	if dy == 0 && dz == 0 {
		return dx
	}
	return math.Sqrt(dx*dx + dy*dy + dz*dz)
}
