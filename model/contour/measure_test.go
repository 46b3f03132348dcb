package contour

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Closed forms: Euclid for the solids; for the torus Pappus and Guldin (volume 2 pi^2 R r^2, area 4 pi^2 R r), here with
// the regular polygons that the facets really are.

func TestMeasuresOfTheBox(t *testing.T) {
	for _, far := range []r3.Vec{{}, vec(1000, -2000, 500)} {
		m := moved(boxMesh(vec(0, 0, 0), vec(12, 8, 5)), far)
		near(t, "volume", Volume(m), 480, 1e-10)
		near(t, "area", Area(m), 2*(96+60+40), 1e-10)
		near(t, "centroid", r3.Norm(r3.Sub(Centroid(m), r3.Add(far, vec(6, 4, 2.5)))), 0, 1e-10)
		lo, hi := Bounds(m)
		if lo != far || hi != r3.Add(far, vec(12, 8, 5)) {
			t.Errorf("bounds %v %v", lo, hi)
		}
	}
}

func TestMeasuresOfTheTetrahedron(t *testing.T) {
	m := tetraMesh(4)
	near(t, "volume", Volume(m), 64.0/6, 1e-12)
	near(t, "area", Area(m), 24+8*math.Sqrt(3), 1e-12)
	near(t, "centroid", r3.Norm(r3.Sub(Centroid(m), vec(1, 1, 1))), 0, 1e-12)
}

func TestMeasuresOfAHollow(t *testing.T) {
	m := joinMeshes(boxMesh(vec(0, 0, 0), vec(4, 4, 4)), turnedOver(boxMesh(vec(2, 1, 1), vec(3, 3, 3))))
	near(t, "volume", Volume(m), 60, 1e-12)
	near(t, "area", Area(m), 96+16, 1e-12)
	near(t, "centroid x", Centroid(m).X, (64*2-4*2.5)/60, 1e-12)
	near(t, "inside out", Volume(turnedOver(m)), -60, 1e-12)
}

// Facets whose corners lie on the ball lose a share of volume and area that falls by four with each halving; two steps
// of Richardson's extrapolation must come to the ball itself.
func TestMeasuresOfTheBallConverge(t *testing.T) {
	c := vec(3, -2, 1)
	a, b := sphereMesh(c, 3, 4), sphereMesh(c, 3, 5)
	near(t, "volume", (4*Volume(b)-Volume(a))/3, 36*math.Pi, 0.002)
	near(t, "area", (4*Area(b)-Area(a))/3, 36*math.Pi, 0.002)
	near(t, "centroid", r3.Norm(r3.Sub(Centroid(b), c)), 0, 1e-6)
}

func TestMeasuresOfTheTorusConverge(t *testing.T) {
	a, b := torusMesh(6, 2, 64, 32), torusMesh(6, 2, 128, 64)
	near(t, "volume", (4*Volume(b)-Volume(a))/3, 2*math.Pi*math.Pi*6*4, 0.01)
	near(t, "area", (4*Area(b)-Area(a))/3, 4*math.Pi*math.Pi*6*2, 0.02)
}

func TestMeasuresOfNothing(t *testing.T) {
	m := &Mesh{}
	if lo, hi := Bounds(m); lo != hi || Volume(m) != 0 || Area(m) != 0 || Centroid(m) != (r3.Vec{}) {
		t.Error("an empty mesh measures something")
	}
}
