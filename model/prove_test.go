package model

import (
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
)

// BenchmarkProve proves the meshes of the 12.4 mm lock, finished and casting, both halves.
func BenchmarkProve(b *testing.B) {
	c := commission(b, Want{Stages: []clasp.Stage{clasp.Casting}}, trial...)
	for i := range c.Parts {
		p := &c.Parts[i]
		b.Run(p.Name+" "+string(p.Stage), func(b *testing.B) {
			for b.Loop() {
				if _, err := contour.Verify(p.Mesh, p.Solid, 0.005); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(p.Mesh.T)), "facets")
		})
	}
}
