package blank

import (
	"math"
	"testing"
)

// A right angle in hard sheet: Machinery's Handbook's rule L = 0.71 T + 1.57 R (from memory) and its soft and half-hard sisters, worked by
// hand for T 0.5, R 0.5 mm.
func TestAllowanceOfTheHandbook(t *testing.T) {
	for temper, want := range map[Temper]float64{Soft: 0.55*0.5 + 1.57*0.5, HalfHard: 0.64*0.5 + 1.57*0.5, Hard: 0.71*0.5 + 1.57*0.5} {
		s := Strip{Thickness: 0.5, Share: Neutral(temper)}
		if got := s.Allowance(Bend{math.Pi / 2, 0.5}); math.Abs(got-want) > 0.0008 { // 1.57 stands for half of pi
			t.Errorf("temper %d: %.4f mm, the handbook has %.4f", temper, got, want)
		}
	}
}

// DIN 6935: k 0.5 at r/t = 0.5, 0.65 at 1, 0.8 at 2, 1 from 5.01 on (the table of its formula, from memory).
func TestNeutralOfDIN(t *testing.T) {
	for _, c := range []struct{ ratio, k float64 }{{0.5, 0.4995}, {1, 0.65}, {2, 0.8005}, {5.02, 1}, {10, 1}} {
		if got := NeutralDIN(c.ratio, 1); math.Abs(got-c.k/2) > 1e-3 {
			t.Errorf("r/t %g: k %.4f, want %.4f", c.ratio, 2*got, c.k)
		}
	}
}

// A strip folded back on itself: each face comes to lie on its circle, the neutral fibre keeps its length, the leg after the fold runs back.
func TestFoldKeepsTheNeutralFibre(t *testing.T) {
	s := Strip{Thickness: 0.4, Share: 0.4, X: 1, Z: 2, Legs: []Leg{{5, Bend{math.Pi, 0.3}}, {4, Bend{}}}}
	if want := 5 + math.Pi*(0.3+0.16) + 4; math.Abs(s.Flat()-want) > 1e-12 {
		t.Errorf("flat %.6f mm, want %.6f", s.Flat(), want)
	}
	const steps = 4000
	for _, n := range []float64{0, 0.24, 0.4} {
		length, px, pz := 0.0, 0.0, 0.0
		for i := range steps + 1 {
			x, z := s.Fold(s.Flat()*float64(i)/steps, n)
			if i > 0 {
				length += math.Hypot(x-px, z-pz)
			}
			px, pz = x, z
			if x > 6 && math.Abs(math.Hypot(x-6, z-2.7)-(0.7-n)) > 1e-9 {
				t.Fatalf("at %d, n %g: (%.4f, %.4f) is off its circle", i, n, x, z)
			}
		}
		if n == 0.24 && math.Abs(length-s.Flat()) > 1e-4 { // 0.16 from the inner face
			t.Errorf("the neutral fibre is %.5f mm, the blank %.5f", length, s.Flat())
		}
		if math.Abs(px-2) > 1e-9 || math.Abs(pz-(3.4-n)) > 1e-9 {
			t.Errorf("n %g ends at (%.4f, %.4f)", n, px, pz)
		}
	}
}

// A bend to the right turns about an axis beyond the face n = 0: a quarter turn of inner radius 0.2.
func TestFoldToTheRight(t *testing.T) {
	s := Strip{Thickness: 0.5, Share: 0.3, Legs: []Leg{{3, Bend{-math.Pi / 2, 0.2}}, {2, Bend{}}}}
	x, z := s.Fold(s.Flat(), 0)
	if math.Abs(x-3.2) > 1e-12 || math.Abs(z+2.2) > 1e-12 {
		t.Errorf("face 0 ends at (%.4f, %.4f), want (3.2, -2.2)", x, z)
	}
	if x, z = s.Fold(s.Flat(), 0.5); math.Abs(x-3.7) > 1e-12 || math.Abs(z+2.2) > 1e-12 {
		t.Errorf("face 0.5 ends at (%.4f, %.4f), want (3.7, -2.2)", x, z)
	}
}

// Outer fibre of a fold: a third at r = t, a half at r = t/2.
func TestStrain(t *testing.T) {
	if a, b := Strain(0.4, 0.4), Strain(0.4, 0.2); math.Abs(a-1./3) > 1e-12 || math.Abs(b-0.5) > 1e-12 {
		t.Errorf("%g and %g", a, b)
	}
}
