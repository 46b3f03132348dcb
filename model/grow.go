package model

import (
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/casting"
	"claspwright/model/contour"
	"claspwright/params"
)

// growthOf is by how much the pattern is larger than the casting along each axis.
func growthOf(job *params.Job, metal string) r3.Vec {
	if scaledByHouse(job) {
		return r3.Vec{X: 1, Y: 1, Z: 1}
	}
	all, ok := job.Number("casting.growth")
	if !ok {
		all = casting.Growth(metal)
	}
	axis := func(key string) float64 {
		if v, ok := job.Number(key); ok {
			return v
		}
		return all
	}
	return r3.Vec{X: axis("casting.growth_x"), Y: axis("casting.growth_y"), Z: axis("casting.growth_z")}
}

// scaledByHouse says whether the caster allows for shrinkage, so that the pattern must not.
func scaledByHouse(job *params.Job) bool {
	word, _ := job.Text("casting.scales")
	return word == "house"
}

// grow makes a pattern of a casting: its mesh, each coordinate multiplied by the growth and rounded to float32.
func (p *Part) grow(casting *Part, g r3.Vec) {
	m := *casting.Mesh
	m.V = make([]r3.Vec, len(casting.Mesh.V))
	for i, v := range casting.Mesh.V {
		m.V[i] = contour.Single(times(v, g))
	}
	p.Solid, p.Mesh = casting.Solid, &m
}

func times(a, b r3.Vec) r3.Vec { return r3.Vec{X: a.X * b.X, Y: a.Y * b.Y, Z: a.Z * b.Z} }
