package spring

import "gonum.org/v1/gonum/mat"

// A strip that is bent along wants to bend the other way across, by Poisson's ratio; root and fold forbid it, so a wide strip is stiffer than a
// narrow one: neither E nor E/(1-nu2) holds. The deflection is taken as w(s) + f(s) psi(y), psi = y2 - b2/12, in the
// strain energy of Kirchhoff's plate, and the energy made least (L. V. Kantorovich, V. I. Krylov, Approximate Methods of
// Higher Analysis; plate energy and the hoop strain w/R of a cylinder: S. Timoshenko, S. Woinowsky-Krieger, Theory of Plates
// and Shells). With M the moment along:
//
//	w'' = M/(D b) - 2 nu f
//	D b5/180 f'''' - 2/3 (1-nu) D b3 f'' + (4 (1-nu2) D b + E t b5 k2/180) f = -2 nu M + load across
//
// The last term of the bracket is the hoop strain of a curved strip whose edges leave its cylinder; it keeps folds flat
// across. f and f' are 0 where the strip is held, free at the tip. Good for strips thin against their width, and
// still right in the limit of narrow ones.
type across struct {
	f    *Frame
	chol mat.BandCholesky
	nu2  float64 // 2 nu
}

// newAcross factors the system: two unknowns a node (f and its slope), cubic Hermite elements.
func newAcross(f *Frame) *across {
	a := &across{f: f, nu2: 2 * f.metal.Poisson}
	n := 2 * len(f.segs)
	k := mat.NewSymBandDense(n, min(3, n-1), nil)
	for i := range f.segs {
		m := f.segs[i].acrossStiffness(f.metal)
		for r := range 4 {
			for c := r; c < 4; c++ {
				if p, q := 2*i-2+r, 2*i-2+c; p >= 0 {
					k.SetSymBand(p, q, k.At(p, q)+m[r][c])
				}
			}
		}
	}
	a.chol.Factorize(k)
	return a
}

// acrossStiffness is the stiffness of a segment in its four unknowns: the usual matrices of a cubic element for bending,
// tension and bedding.
func (g *segment) acrossStiffness(m Metal) [4][4]float64 {
	nu, h, b := m.Poisson, g.h, g.b
	d := g.c.plate / b // per mm of width
	b3, b5 := b*b*b, b*b*b*b*b
	bend := d * b5 / 180 / (h * h * h)
	pull := 2.0 / 3 * (1 - nu) * d * b3 / (30 * h)
	bed := (4*(1-nu*nu)*d*b + m.E*g.t(0.5)*b5*g.k*g.k/180) * h / 420
	mix := func(x, y, z float64) float64 { return bend*x + pull*y + bed*z }
	k := [4][4]float64{
		{mix(12, 36, 156), mix(6*h, 3*h, 22*h), mix(-12, -36, 54), mix(6*h, 3*h, -13*h)},
		{0, mix(4*h*h, 4*h*h, 4*h*h), mix(-6*h, -3*h, 13*h), mix(2*h*h, -h*h, -3*h*h)},
		{0, 0, mix(12, 36, 156), mix(-6*h, -3*h, -22*h)},
		{0, 0, 0, mix(4*h*h, 4*h*h, 4*h*h)},
	}
	return k
}

// solve gives f and its slope at every node after the held one, of the moments along and loads across at places.
func (a *across) solve(moment []float64, ls []load) []float64 {
	rhs := make([]float64, 2*len(a.f.segs))
	add := func(node int, v, slope float64) {
		if node > 0 {
			rhs[2*node-2] += v
			rhs[2*node-1] += slope
		}
	}
	for i := range a.f.segs {
		h, q := a.f.segs[i].h, -a.nu2*moment[i]
		add(i, q*h/2, q*h*h/12)
		add(i+1, q*h/2, -q*h*h/12)
	}
	for _, l := range ls {
		if l.across == 0 {
			continue
		}
		n := hermite(l.at.u, a.f.segs[l.at.seg].h)
		add(l.at.seg, l.across*n[0], l.across*n[1])
		add(l.at.seg+1, l.across*n[2], l.across*n[3])
	}
	out := mat.NewVecDense(len(rhs), nil)
	if err := a.chol.SolveVecTo(out, mat.NewVecDense(len(rhs), rhs)); err != nil {
		return rhs[:0]
	}
	return out.RawVector().Data
}

// hermite are the cubic shape functions of a segment of length h at u from 0 to 1.
func hermite(u, h float64) [4]float64 {
	return [4]float64{1 - 3*u*u + 2*u*u*u, h * u * (1 - u) * (1 - u), u * u * (3 - 2*u), h * u * u * (u - 1)}
}

// node gives f and its slope there, 0 where the frame is held.
func node(f []float64, i int) (v, slope float64) {
	if i == 0 || len(f) == 0 {
		return 0, 0
	}
	return f[2*i-2], f[2*i-1]
}

// acrossAt is f at a place.
func acrossAt(f []float64, seg int, u, h float64) float64 {
	a, da := node(f, seg)
	b, db := node(f, seg+1)
	n := hermite(u, h)
	return n[0]*a + n[1]*da + n[2]*b + n[3]*db
}

// mean is the mean of f over a segment.
func acrossMean(f []float64, seg int, h float64) float64 {
	a, da := node(f, seg)
	b, db := node(f, seg+1)
	return (a+b)/2 + h*(da-db)/12
}
