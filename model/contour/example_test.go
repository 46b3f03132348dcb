package contour_test

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
)

// corner is the solid x, y, z >= 0, x + y + z <= 4, by the distances from its four planes. Near one facet that is enough.
type corner struct{}

func (corner) Eval(p r3.Vec) float64 {
	return max(-p.X, -p.Y, -p.Z, (p.X+p.Y+p.Z-4)*0.5773502691896258)
}

func (c corner) Witness(p r3.Vec) (q r3.Vec, face int, ok bool) {
	d := c.Eval(p)
	for i, n := range []r3.Vec{{X: -1}, {Y: -1}, {Z: -1}, r3.Unit(r3.Vec{X: 1, Y: 1, Z: 1})} {
		if q = r3.Sub(p, r3.Scale(d, n)); c.Eval(q) < 1e-12 && c.Eval(q) > -1e-12 {
			return q, i, true
		}
	}
	return p, 0, false
}

func cornerMesh() *contour.Mesh {
	return &contour.Mesh{
		V:    []r3.Vec{{}, {X: 4}, {Y: 4}, {Z: 4}},
		T:    [][3]int32{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}},
		Face: []int32{2, 1, 0, 3},
		Tags: []string{"back", "side", "underside", "face"},
	}
}

func ExampleVerify() {
	m := cornerMesh()
	proof, err := contour.Verify(m, corner{}, 0.005)
	fmt.Println(proof.Facets, proof.Shells, err)

	m.T, m.Face = m.T[:3], m.Face[:3]
	_, err = contour.Verify(m, corner{}, 0.005)
	fmt.Println(err)
	// Output:
	// 4 1 <nil>
	// mesh: closed: the edge between vertices 1 and 2 has a facet on one side only, at (2, 2, 0)
}

func ExampleQuadrature() {
	volume, bound := contour.Quadrature(corner{}, r3.Vec{}, r3.Vec{X: 4, Y: 4, Z: 4}, 1)
	exact := 64.0 / 6
	fmt.Println(volume > exact-bound && volume < exact+bound, bound < 0.001*exact)
	// Output: true true
}

func ExampleTree_Nearest() {
	tree := contour.NewTree(cornerMesh())
	q, facet, d := tree.Nearest(r3.Vec{X: 1, Y: 1, Z: -2})
	fmt.Println(q, facet, d)
	// Output: {1 1 0} 0 2
}

func ExampleOverlap() {
	a, b := cornerMesh(), cornerMesh()
	for i := range b.V {
		b.V[i].X += 4.5
	}
	_, yes := contour.Overlap(a, b)
	d, _, _ := contour.Distance(contour.NewTree(a), contour.NewTree(b))
	fmt.Println(yes, d)
	// Output: false 0.5
}
