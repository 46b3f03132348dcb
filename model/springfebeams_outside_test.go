//go:build outside

package model

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
	"claspwright/testdata/peers/outside"
)

// bar is a strip that a closed form is known of, pressed down at its free end, mm and MPa. With a fold it is a hairpin: a
// lower leg from x = 0, half a turn upwards, an upper leg back; without, a straight cantilever.
type bar struct {
	name         string
	t, width     float64
	lower, upper float64 // lengths of the legs; a cantilever has a lower one alone
	inner        float64 // radius of the fold, 0 for none
	youngs, nu   float64
	flat         bool // held flat across everywhere (plane strain), else free (plane stress, if narrow)
	press        float64
	within       float64 // %, allowed off the closed form
}

// modulus is what bends the strip: E, or E/(1-nu2) where it is held flat across.
func (b *bar) modulus() float64 {
	if b.flat {
		return b.youngs / (1 - b.nu*b.nu)
	}
	return b.youngs
}

// compliance is the closed form: how far the end goes down by 1 N, mm, and the stress that 1 N leaves, MPa: of a
// cantilever at mid-length on the top, of a hairpin the greatest on the inside of the fold. Straight legs bend and shear (S.
// Timoshenko, Strength of Materials, Part I: V2/(2GA) times 6/5), the fold is E. Winkler's thick curved bar (Part II, bending
// of curved bars), put together by A. Castigliano's second theorem. Formulas from memory.
func (b *bar) compliance() (down, stress float64) {
	e, g, a := b.modulus(), b.youngs/(2*(1+b.nu)), b.t*b.width
	i := a * b.t * b.t / 12
	leg := func(from, to float64) float64 { // arms of the force at the leg's ends
		return (to*to*to-from*from*from)/(3*e*i) + 1.2*math.Abs(to-from)/(g*a)*sign(to-from)
	}
	if b.inner == 0 {
		return leg(0, b.lower), 6 * (b.lower / 2) / (a * b.t)
	}
	r := b.inner + b.t/2
	neutral := b.t / math.Log((r+b.t/2)/(r-b.t/2))
	ecc := r - neutral
	down = leg(0, b.upper) + leg(b.upper-b.lower, b.upper)
	const parts = 2000 // of the half turn, midpoint rule
	for k := range parts {
		th := math.Pi * (float64(k) + 0.5) / parts
		m, n, v := b.upper+r*math.Sin(th), -math.Sin(th), math.Cos(th)
		down += math.Pi / parts * (m*m/(e*a*ecc) + 2*m*n/(e*a) + n*n*r/(e*a) + 1.2*v*v*r/(g*a))
		stress = math.Min(stress, n/a-m*(neutral-b.inner)/(a*ecc*b.inner))
	}
	return down, stress
}

func sign(v float64) float64 { return math.Copysign(1, v) }

// solid is the half of it on one side of y = 0.
func (b *bar) solid(t *testing.T) *solid.Solid {
	t.Helper()
	side := func(x0, z0, x1, z1, round float64, tag string) solid.Side {
		return solid.Side{P: r2.Vec{X: x0, Y: z0}, Q: r2.Vec{X: x1, Y: z1}, Round: round, Tag: tag}
	}
	top, out := b.top(), b.inner+b.t
	sides := []solid.Side{side(0, 0, 1, 0, 0, "under"), side(b.lower, 0, b.lower, 1, 0, "end"), side(1, b.t, 0, b.t, 0, "top"), side(0, 1, 0, 0, 0, "root")}
	if b.inner > 0 {
		end := b.lower - b.upper
		sides = []solid.Side{side(0, 0, 1, 0, out, "under"), side(b.lower+out, 0, b.lower+out, 1, out, "fold"), side(1, top, 0, top, 0, "top"),
			side(end, 1, end, 0, 0, "end"), side(0, top-b.t, 1, top-b.t, b.inner, "in"), side(b.lower+b.inner, 1, b.lower+b.inner, 0, b.inner, "in"),
			side(1, b.t, 0, b.t, 0, "in"), side(0, 1, 0, 0, 0, "root")}
	}
	ch, err := solid.Outline(sides...)
	if err != nil {
		t.Fatal(err)
	}
	return solid.New(solid.NewPrism(ch, 0, b.width/2, "side"), solid.AcrossY)
}

// top is the height of the edge that is pressed; x its place.
func (b *bar) top() float64 {
	if b.inner == 0 {
		return b.t
	}
	return 2*b.t + 2*b.inner
}

func (b *bar) end() float64 {
	if b.inner == 0 {
		return b.lower
	}
	return b.lower - b.upper
}

// bend is force and stress by finite elements whose edges are an inner radius or a thickness over parts.
func (b *bar) bend(t *testing.T, parts float64) (force, stress float64, nodes int) {
	t.Helper()
	centre := r2.Vec{X: b.lower, Y: b.t + b.inner}
	size := func(x, z float64) float64 {
		h := 2 * b.t / parts
		if b.inner > 0 {
			h = min(h, b.inner/parts+0.35*max(0, r2.Norm(r2.Sub(r2.Vec{X: x, Y: z}, centre))-b.inner))
		}
		return h
	}
	chord := max(b.inner, 0.1) / (8 * parts * parts)
	m := fill(t, b.solid(t), chord, outside.Grading{Size: size, Step: 0.1, Across: 1})
	all := r3.Vec{X: 100, Y: 100, Z: 100}
	l := outside.Load{Youngs: b.youngs, Poisson: b.nu, Press: b.press,
		Held:    within(m, r3.Scale(-1, all), r3.Vec{Y: 100, Z: 100}),
		Mirror:  within(m, r3.Vec{X: -100, Z: -100}, r3.Vec{X: 100, Z: 100}),
		Pressed: within(m, r3.Vec{X: b.end(), Y: -100, Z: b.top()}, r3.Vec{X: b.end(), Y: 100, Z: b.top()}),
	}
	if b.flat {
		l.Mirror = append(l.Mirror, within(m, r3.Vec{X: -100, Y: b.width / 2, Z: -100}, all)...)
		l.Mirror = append(l.Mirror, within(m, r3.Scale(-1, all), r3.Vec{X: 100, Y: -b.width / 2, Z: 100})...)
	}
	bent := outside.Bend(t, m, l)
	if math.Abs(bent.Force/bent.Held-1) > 1e-4 {
		t.Errorf("%s: pressed with %g N, held with %g", b.name, bent.Force, bent.Held)
	}
	return 2 * bent.Force, b.read(m, bent), len(m.V)
}

// read is the stress of the closed form, read off the elements: on the top at mid-length, from the nodes within a thickness
// along x, since the moment falls evenly to the end; on the inside of the fold the greatest, as the mean across the strip.
func (b *bar) read(m *outside.Tets, bent outside.Bent) (stress float64) {
	if b.inner > 0 {
		return -greatest(inside(m, bent, r2.Vec{X: b.lower, Y: b.t + b.inner}, b.inner, b.width))
	}
	var sum, n float64
	for _, i := range within(m, r3.Vec{X: b.lower/2 - b.t, Y: -100, Z: b.t}, r3.Vec{X: b.lower/2 + b.t, Y: 100, Z: b.t}) {
		sum, n = sum+bent.S[i][0]*(b.lower/2)/(b.lower-m.V[i].X), n+1
	}
	return sum / n
}

// The road from a solid to force and stress is right where closed forms are known: within 1 % in force and stress, and two sizes
// of elements within 1 % of each other. The tight hairpins are no beams any more: where a thick leg runs into a tight
// fold sections do not stay plane, and the strip is softer than Winkler's bar. They show by how much.
func TestOutsideSpringBeams(t *testing.T) {
	const gold, nu = 90000, 0.4
	for _, b := range []*bar{
		{name: "cantilever", t: 0.5, width: 0.25, lower: 10, youngs: gold, press: 0.3, within: 1},
		{name: "hairpin", t: 0.2, width: 0.1, lower: 9, upper: 8.5, inner: 0.9, youngs: gold, nu: nu, press: 0.6, within: 1},
		{name: "hairpin held flat", t: 0.2, width: 0.1, lower: 9, upper: 8.5, inner: 0.9, youngs: gold, nu: nu, flat: true, press: 0.6, within: 1},
		{name: "tight hairpin", t: 0.35, width: 0.2, lower: 9, upper: 8.5, inner: 0.325, youngs: gold, nu: nu, press: 0.6, within: 3},
		{name: "tight hairpin held flat", t: 0.5, width: 0.3, lower: 9, upper: 8, inner: 0.25, youngs: gold, nu: nu, flat: true, press: 0.6, within: 3},
	} {
		down, stress := b.compliance()
		force, most := b.press/down, stress*b.press/down
		var last [2]float64
		for _, parts := range []float64{4, 6} {
			f, s, nodes := b.bend(t, parts)
			t.Logf("%s, a length over %g: %d nodes, force %.4f N of %.4f (%+.2f %%), stress %.1f MPa of %.1f (%+.2f %%)",
				b.name, parts, nodes, f, force, 100*(f/force-1), s, most, 100*(s/most-1))
			if !(math.Abs(f/force-1) <= b.within/100 && math.Abs(s/most-1) <= b.within/100) {
				t.Errorf("%s is further than %g %% off the closed form", b.name, b.within)
			}
			if last[0] > 0 && !(math.Abs(f/last[0]-1) <= 0.01 && math.Abs(s/last[1]-1) <= 0.01) {
				t.Errorf("%s: two sizes of elements are further than 1 %% apart", b.name)
			}
			last = [2]float64{f, s}
		}
	}
}
