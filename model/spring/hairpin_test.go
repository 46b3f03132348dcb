package spring

import (
	"math"
	"testing"
)

// The estimate's give is the work of a unit load done along the leaf, here summed in small steps along the path (Castigliano's second theorem; S. Timoshenko,
// Strength of Materials, Part I), and its stress Winkler's at the fold's crown.
func TestHairpinByUnitLoad(t *testing.T) {
	for _, h := range []Hairpin{
		{Leaf: 0.55, Taper: 0.75, Fold: 0.33, Length: 12, Level: 0.45, Root: 2.5, Upper: 10.8, Lower: 10.9, E: 90000},
		{Leaf: 0.7, Taper: 1, Fold: 0.7, Length: 15, Level: 0.45, Root: 3, Upper: 13.8, Lower: 13.9, E: 168000},
		{Leaf: 0.4, Taper: 0.5, Fold: 0.2, Length: 8, Level: 0, Root: 0, Upper: 6, Lower: 6, E: 110000},
	} {
		const n = 20000
		r, give := h.Fold+h.Leaf/2, 0.0
		add := func(arm, ds, t, w float64) { give += arm * arm * ds / (h.E * w * t * t * t / 12) }
		for i := range n {
			k := (float64(i) + 0.5) / n
			x := k * h.Length // upper leaf, from the tip
			add(x, h.Length/n, h.Leaf*math.Min(1, h.Taper+(1-h.Taper)*x/(h.Length*(1-h.Level))), h.Upper)
			a := k * math.Pi
			add(h.Length+r*math.Sin(a), math.Pi*r/n, h.Leaf, h.Upper)
			add(h.Root+k*(h.Length-h.Root), (h.Length-h.Root)/n, h.Leaf, h.Lower)
		}
		force, inner := h.Pressed(0.6)
		if want := 0.6 / give; math.Abs(force/want-1) > 1e-4 {
			t.Errorf("%+v: %.5g N, %.5g by unit load", h, force, want)
		}
		if want := Factor(h.Fold, h.Leaf) * force * (h.Length + r) / (h.Upper * h.Leaf * h.Leaf / 6); math.Abs(inner/want-1) > 1e-9 {
			t.Errorf("%+v: %.5g MPa, %.5g", h, inner, want)
		}
	}
}
