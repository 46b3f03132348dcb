package spring

import (
	"math"
	"testing"
)

// soft has no Poisson's ratio, so that the closed forms of narrow bars hold at any width.
var soft = Metal{E: 90000}

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if math.Abs(got-want) > share*math.Abs(want) {
		t.Errorf("%s: %.6g, want %.6g within %.2g %%: off by %.3f %%", what, got, want, 100*share, 100*(got/want-1))
	}
}

func ends(t *testing.T, f *Frame, ls ...load) *equilibrium {
	t.Helper()
	e, err := f.settle(ls, func(*shape) []hold { return nil }, nil)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func (e *equilibrium) tip() point { return e.on(len(e.f.segs)-1, 1) }

func inertia(b, h float64) float64 { return b * h * h * h / 12 }

// Small loads, so that the closed forms of small deflection hold; 0.5 % as asked, most are nearer.
const within = 0.005

func TestCantileverEndLoad(t *testing.T) { // R. J. Roark, Formulas for Stress and Strain, beams, case 1a
	f := NewFrame(soft, 0, 0, 0, Piece{Length: 20, T0: 0.5, T1: 0.5, Width: 4})
	e := ends(t, f, load{at: f.where(20, 0), force: point{Y: 0.1}})
	near(t, "deflection", e.tip().Y, 0.1*20*20*20/(3*90000*inertia(4, 0.5)), within)
	near(t, "end slope", e.angle(len(f.segs)-1, 1), 0.1*20*20/(2*90000*inertia(4, 0.5)), within)
}

func TestCantileverEndMomentMakesACircle(t *testing.T) { // curvature M/EI, exact at any size
	f := NewFrame(soft, 0, 0, 0, Piece{Length: 20, T0: 0.5, T1: 0.5, Width: 4})
	m := 90000 * inertia(4, 0.5) * math.Pi / 20
	e := ends(t, f, load{at: f.where(20, 0), moment: m})
	near(t, "across the half circle", e.tip().Y, 2*20/math.Pi, 1e-6)
	near(t, "stress", 6*m/(4*0.25), 90000*0.25*math.Pi/20, 1e-9)
}

// K. E. Bisshopp, D. C. Drucker, Large deflection of cantilever beams, Quarterly of Applied Mathematics 3 (1945): their curve; the figures here
// are those of the elliptic integrals in P. M. Bisshopp's notation, tabulated in S. Timoshenko, J. M. Gere, Mechanics of Materials, 2nd ed., table of
// large deflections (from memory): PL2/EI 1: 0.30172 down, 0.05643 in; 3: 0.60325 and 0.25442.
func TestCantileverLargeDeflection(t *testing.T) {
	for _, c := range []struct{ load, down, in float64 }{{1, 0.30172, 0.05643}, {3, 0.60325, 0.25442}} {
		f := NewFrame(soft, 0, 0, 0, Piece{Length: 20, T0: 0.2, T1: 0.2, Width: 4, Parts: 200})
		e := ends(t, f, load{at: f.where(20, 0), force: point{Y: c.load * 90000 * inertia(4, 0.2) / 400}})
		near(t, "down", e.tip().Y/20, c.down, within)
		near(t, "in", 1-e.tip().X/20, c.in, within)
	}
}

// The tapered cantilever by the unit load method: integral of x2/EI(x), thickness from t at the root to ct at the tip.
func TestCantileverTapered(t *testing.T) {
	const l, b, t0, c, p = 12.0, 4.0, 0.5, 0.6, 0.05
	f := NewFrame(soft, 0, 0, 0, Piece{Length: l, T0: t0, T1: c * t0, Width: b})
	e := ends(t, f, load{at: f.where(l, 0), force: point{Y: p}})
	sum, n := 0.0, 200000
	for i := range n {
		x := (float64(i) + 0.5) / float64(n) // from the root
		h := t0 * (1 - x*(1-c))
		sum += (1 - x) * (1 - x) * l * l / (90000 * inertia(b, h)) * l / float64(n)
	}
	near(t, "deflection", e.tip().Y, p*sum, within)
}

// J. E. Shigley, Mechanical Engineering Design, curved beams in bending, the crane hook (from memory): section 0.75 x 4 in, ri 2
// in, 5000 lbf: rn 3.641 in, e 0.359 in, 16.9 kpsi inside and -5.63 kpsi outside.
func TestCurvedBarHook(t *testing.T) {
	rn, e := neutral(4, 4)
	near(t, "rn", rn, 3.641, 0.0005)
	near(t, "e", e, 0.359, 0.003)
	in, out := fibres(1.0/4, 4, 0.75, 5, -5*4) // 5 klbf opens the hook
	near(t, "inside", in, 16.9, within)
	near(t, "outside", out, -5.63, within)
}

// Winkler's factor of a rectangle against the table of curved beams in A. M. Wahl's and Roark's form, R/c 2 and 4: 1.52 and 1.20 (Roark,
// Formulas for Stress and Strain, curved beams, solid rectangular section, from memory).
func TestCurvedBarFactors(t *testing.T) {
	for _, c := range []struct{ ratio, k float64 }{{2, 1.52}, {4, 1.20}} { // R over half the depth
		near(t, "factor", Factor(c.ratio/2-0.5, 1), c.k, within)
	}
}

// A quarter ring held at one end (S. Timoshenko, Strength of Materials, Part II, Castigliano's theorem): a load square to the end's
// radius moves it by pi P R3/(4 E I) its own way and P R3/(2 E I) across.
func TestCurvedBarQuarterRing(t *testing.T) {
	const r, b, h, p = 20.0, 3.0, 0.4, 0.01
	f := NewFrame(soft, 0, 0, 0, Piece{Length: math.Pi / 2 * r, Curve: 1 / r, T0: h, T1: h, Width: b})
	before := f.relaxed().on(len(f.segs)-1, 1)
	e := ends(t, f, load{at: f.where(f.Length(), 0), force: point{X: p}})
	// The moment of the load is p times the height below the end, p R cos(phi); the ring starts level.
	ei := 90000 * inertia(b, h)
	near(t, "along the load", e.tip().X-before.X, math.Pi/4*p*r*r*r/ei, within)
	near(t, "across", e.tip().Y-before.Y, -p*r*r*r/(2*ei), within)
}

// hairpin is two legs and a half circle of mid-line radius r.
func hairpin(m Metal, leg, r, t, b float64) *Frame {
	return NewFrame(m, 0, 0, 0, Piece{Length: leg, T0: t, T1: t, Width: b},
		Piece{Length: math.Pi * r, Curve: 1 / r, T0: t, T1: t, Width: b, Parts: 48}, Piece{Length: leg, T0: t, T1: t, Width: b})
}

// The hairpin by Castigliano: P/(E I) (2 L3/3 + pi R L2 + 4 L R2 + pi R3/2), as in the handbooks of flat and wire springs (A. M. Wahl, Mechanical
// Springs; from memory); thin, so that the straight-bar energy holds.
func TestHairpinThin(t *testing.T) {
	for _, c := range []struct{ leg, r, h float64 }{{10, 2, 0.1}, {8, 4, 0.15}} {
		const b, p = 3.0, 0.001
		f := hairpin(soft, c.leg, c.r, c.h, b)
		e := ends(t, f, load{at: f.where(f.Length(), 0), force: point{Y: -p}})
		l, r := c.leg, c.r
		want := p / (90000 * inertia(b, c.h)) * (2*l*l*l/3 + math.Pi*r*l*l + 4*l*r*r + math.Pi*r*r*r/2)
		near(t, "closing", 2*r-e.tip().Y, want, within)
	}
}

// The same with Winkler's energy in a thick fold and no shear: legs P L3/3EI each; in the half circle, with M = P(L + R sin) and N = P
// sin (towards compression), the energy M2/(2AEe) + N2R/(2AE) - MN/AE per radian, integrated by hand:
// P/(AEe) (pi L2 + 4 L R + pi R2/2) - P/(AE) (4 L + pi R) ... + P R pi/(2 A E).
func TestHairpinThick(t *testing.T) {
	for _, c := range []struct{ leg, r, h float64 }{{10, 0.6, 0.55}, {8, 0.5, 0.35}} {
		const b, p = 3.0, 0.01
		f := hairpin(soft, c.leg, c.r, c.h, b)
		for i := range f.segs {
			f.segs[i].c.vv = 0
		}
		e := ends(t, f, load{at: f.where(f.Length(), 0), force: point{Y: -p}})
		l, r, a := c.leg, c.r, b*c.h
		_, ecc := neutral(r, c.h)
		i := 90000 * inertia(b, c.h)
		fold := (math.Pi*l*l+4*l*r+math.Pi*r*r/2)/(90000*a*ecc) - 2*(2*l+math.Pi*r/2)/(90000*a) + math.Pi*r/2/(90000*a)
		near(t, "closing", 2*r-e.tip().Y, p*(2*l*l*l/(3*i)+fold), within)
	}
}

// portal is a frame fixed at both feet: up, across, down.
func portal(height, span, hc, hb float64) (*Frame, func(*shape) []hold) {
	const b = 3.0
	f := NewFrame(soft, 0, 0, math.Pi/2, Piece{Length: height, T0: hc, T1: hc, Width: b, Parts: 80},
		Piece{Length: span, T0: hb, T1: hb, Width: b, Kink: -math.Pi / 2, Parts: 80},
		Piece{Length: height, T0: hc, T1: hc, Width: b, Kink: -math.Pi / 2, Parts: 80})
	foot := f.where(f.Length(), 0)
	return f, func(s *shape) []hold {
		p := s.at(foot)
		return []hold{
			{id: 1, both: true, gap: p.X - span, by: []pull{{at: foot, dir: point{X: 1}, force: point{X: 1}}}},
			{id: 2, both: true, gap: p.Y, by: []pull{{at: foot, dir: point{Y: 1}, force: point{Y: 1}}}},
			{id: 3, both: true, gap: s.angle(foot.seg, foot.u) + math.Pi/2, by: []pull{{at: foot, turn: 1}}},
		}
	}
}

// A. Kleinlogel, Rigid Frame Formulas, rectangular frame with fixed feet (from memory), k = Ib h/(Ic l).
func TestPortalFrame(t *testing.T) {
	const h, l, hc, hb, p = 30.0, 40.0, 0.5, 0.6, 0.01
	k := inertia(3, hb) * h / (inertia(3, hc) * l)
	f, feet := portal(h, l, hc, hb)
	solve := func(q load) *equilibrium {
		e, err := f.settle([]load{q}, feet, nil)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	// A load along the beam at its start: feet P h (3k+1)/(2(6k+1)), corners P h 3k/(2(6k+1)).
	e := solve(load{at: f.where(h, 0), force: point{X: p}})
	near(t, "foot, from the side", math.Abs(e.of(3)), p*h/2*(3*k+1)/(6*k+1), within)
	corner := e.of(3)*1 + e.of(1)*h // moment at the far corner from the reactions
	near(t, "corner, from the side", math.Abs(corner), p*h/2*3*k/(6*k+1), within)
	near(t, "push at the feet", math.Abs(e.of(1)), p/2, within)
	// A load at the middle of the beam: feet P l/(8(k+2)), corners P l/(4(k+2)).
	e = solve(load{at: f.where(h+l/2, 0), force: point{Y: -p}})
	near(t, "foot, from above", math.Abs(e.of(3)), p*l/8/(k+2), within)
	near(t, "push at the feet, from above", math.Abs(e.of(1)), 3*p*l/8/(h*(k+2)), within)
	near(t, "weight on a foot", e.of(2), p/2, within)
}

// Wide and narrow strips: a strip much wider than long is flat across (E/(1-nu2)), a narrow one free (E).
func TestStripsWideAndNarrow(t *testing.T) {
	m := Metal{E: 90000, Poisson: 0.4}
	stiff := func(b float64) float64 {
		f := NewFrame(m, 0, 0, 0, Piece{Length: 10, T0: 0.1, T1: 0.1, Width: b, Parts: 100})
		e := ends(t, f, load{at: f.where(10, 0), force: point{Y: 1e-5 * b}})
		return 1e-5 * b * 1000 / (3 * inertia(b, 0.1) * e.tip().Y)
	}
	near(t, "narrow", stiff(0.1), 90000, within)
	near(t, "wide", stiff(400), 90000/(1-0.16), within)
	last := stiff(0.3)
	for _, b := range []float64{1, 3, 10, 30, 100} {
		v := stiff(b)
		t.Logf("width %g of 10 long: %.0f MPa", b, v)
		if v < last {
			t.Errorf("a strip %g wide is softer than a narrower one", b)
		}
		last = v
	}
}
