package spring

import "math"

// Hairpin is a folded leaf reduced to what its size depends on, mm and MPa: a first estimate to search with, which the frame then judges.
type Hairpin struct {
	Leaf, Taper, Fold, Length float64 // thickness at the fold, of the tip over that, inside radius, tip to the fold's centre
	Level                     float64 // part of the length behind the knee, where the upper leaf is level
	Root                      float64 // how far behind the tip the lower leaf is held
	Upper, Lower              float64 // widths
	E                         float64
}

// Pressed is the force at the tip that presses it down by travel, N, and the stress on the fold's inner side then, MPa: Castigliano's theorem with
// bending alone, the moment being force times distance from the tip, small displacement, no floor; Winkler's factor at the fold. The frame differs by up to
// a third in force, chiefly by the widths' stiffening, the floor and the place of the thumb; that share hardly changes between leaves that are alike.
func (h Hairpin) Pressed(travel float64) (force, inner float64) {
	r := h.Fold + h.Leaf/2
	bend := func(width float64) float64 { return 12 / (h.E * width * h.Leaf * h.Leaf * h.Leaf) } // 1/EI
	knee := h.Length * (1 - h.Level)
	give := bend(h.Upper) * (tapered(knee, h.Taper) + (cube(h.Length)-cube(knee))/3)
	give += bend(h.Upper) * r * (math.Pi*h.Length*h.Length + 4*h.Length*r + math.Pi/2*r*r)
	give += bend(h.Lower) * (cube(h.Length) - cube(h.Root)) / 3
	force = travel / give
	return force, Factor(h.Fold, h.Leaf) * 6 * force * (h.Length + r) / (h.Upper * h.Leaf * h.Leaf)
}

// tapered is the integral of s2/(t(s)/t)3 from the tip, where the thickness is a part of t, to run, where it is t.
func tapered(run, part float64) float64 {
	const n = 16 // Simpson's rule; 1e-5 for a taper of a half
	f := func(k float64) float64 { return k * k / cube(part+(1-part)*k) }
	sum := f(0) + f(1)
	for i := 1; i < n; i++ {
		sum += float64(2+2*(i%2)) * f(float64(i)/n)
	}
	return cube(run) * sum / (3 * n)
}

func cube(v float64) float64 { return v * v * v }
