package spring

import "gonum.org/v1/gonum/mat"

// A strip that is bent along wants to bend the other way across, by Poisson's ratio; root and fold forbid it, so a wide strip
// is stiffer than a narrow one: neither E nor E/(1-nu2) holds. The deflection is taken as w(s) + sum fi(s) Pi(2y/b), with Legendre's
// polynomials of even degree 2, 4, 6, in the strain energy of Kirchhoff's plate, and the energy made least (L. V. Kantorovich, V. I.
// Krylov, Approximate Methods of Higher Analysis; plate energy and the hoop strain w/R of a cylinder: S. Timoshenko,
// S. Woinowsky-Krieger, Theory of Plates and Shells). With M the moment along, and A, B, C, G, c the integrals from -1 to 1 of PiPj, Pi'Pj',
// Pi"Pj", PiPj" and Pi":
//
//	w" = M/(D b) - 2 nu/b2 c.f
//	the energy of f: D b/2 A f"f" + 4 (1-nu) D/b B f'f' + (8 D/b3 C - 4 nu2 D/b3 cc + E t k2 b/2 A) ff + 4 nu D/b G f"f, halved, less 2 nu/b2 M c.f
//
// The term with the curvature k of the strip is the hoop strain of a curved strip whose edges leave its cylinder; it keeps folds
// flat across. f and f' are 0 where the strip is held, free at the tip. Good for strips thin against their width, and still right in
// the limit of narrow ones.
type across struct {
	f    *Frame
	chol mat.BandCholesky
}

// terms is how many polynomials describe the bending across.
const terms = 3

// block is the number of unknowns a node: each fi and its slope.
const block = 2 * terms

// shapesAcross are P2, P4 and P6 at h from -1 to 1, with their first and second derivatives.
func shapesAcross(h float64) (p, d, dd [terms]float64) {
	q := h * h
	p = [terms]float64{(3*q - 1) / 2, (35*q*q - 30*q + 3) / 8, (231*q*q*q - 315*q*q + 105*q - 5) / 16}
	d = [terms]float64{3 * h, h * (35*q - 15) / 2, h * (693*q*q - 630*q + 105) / 8}
	dd = [terms]float64{3, (105*q - 15) / 2, (3465*q*q - 1890*q + 105) / 8}
	return p, d, dd
}

// table holds the integrals over the width.
type table struct {
	a, b, c, g [terms][terms]float64
	sum        [terms]float64
}

// acrossTable integrates by Simpson's rule on so many parts that polynomials of degree 12 are right to rounding.
var acrossTable = func() (t table) {
	const n = 2000
	for k := 0; k <= n; k++ {
		w := []float64{2, 4}[k%2] / (3 * n) * 2
		if k == 0 || k == n {
			w /= 2
		}
		p, d, dd := shapesAcross(-1 + 2*float64(k)/n)
		for i := range terms {
			t.sum[i] += w * dd[i]
			for j := range terms {
				t.a[i][j] += w * p[i] * p[j]
				t.b[i][j] += w * d[i] * d[j]
				t.c[i][j] += w * dd[i] * dd[j]
				t.g[i][j] += w * p[i] * dd[j]
			}
		}
	}
	return t
}()

// newAcross factors the system: cubic Hermite elements along the strip.
func newAcross(f *Frame) *across {
	a := &across{f: f}
	n := block * len(f.segs)
	k := mat.NewSymBandDense(n, min(2*block-1, n-1), nil)
	for s := range f.segs {
		f.segs[s].acrossStiffness(f.metal, func(node1, i, node2, j int, v float64) {
			p, q := (s+node1-1)*block+i, (s+node2-1)*block+j
			if p >= 0 && q >= p {
				k.SetSymBand(p, q, k.At(p, q)+v)
			}
		})
	}
	a.chol.Factorize(k)
	return a
}

// acrossStiffness adds a segment's stiffness between its unknowns, each named by its end (0, 1) and its number there.
func (g *segment) acrossStiffness(m Metal, add func(node1, i, node2, j int, v float64)) {
	nu, h, b := m.Poisson, g.h, g.b
	d := g.c.plate / b // per mm of width
	bend, pull, bed, mixed := hermiteMatrices(h)
	t := &acrossTable
	for i := range terms {
		for j := range terms {
			kb := d * b / 2 * t.a[i][j]
			kp := 4 * (1 - nu) * d / b * t.b[i][j]
			kw := 8*d/(b*b*b)*t.c[i][j] - 4*nu*nu*d/(b*b*b)*t.sum[i]*t.sum[j] + m.E*g.t(0.5)*g.k*g.k*b/2*t.a[i][j]
			kx := 2 * nu * d / b
			for r := range 4 {
				for c := range 4 {
					v := kb*bend[r][c] + kp*pull[r][c] + kw*bed[r][c] + kx*(t.g[i][j]*mixed[r][c]+t.g[j][i]*mixed[c][r])
					add(r/2, 2*i+r%2, c/2, 2*j+c%2, v)
				}
			}
		}
	}
}

// hermiteMatrices are the integrals over a segment of N"N", N'N', NN and N"N of its cubic shape functions.
func hermiteMatrices(h float64) (bend, pull, bed, mixed [4][4]float64) {
	q := h * h
	bend = scaled(1/(h*q), [4][4]float64{{12, 6 * h, -12, 6 * h}, {6 * h, 4 * q, -6 * h, 2 * q}, {-12, -6 * h, 12, -6 * h}, {6 * h, 2 * q, -6 * h, 4 * q}})
	pull = scaled(1/(30*h), [4][4]float64{{36, 3 * h, -36, 3 * h}, {3 * h, 4 * q, -3 * h, -q}, {-36, -3 * h, 36, -3 * h}, {3 * h, -q, -3 * h, 4 * q}})
	bed = scaled(h/420, [4][4]float64{{156, 22 * h, 54, -13 * h}, {22 * h, 4 * q, 13 * h, -3 * q}, {54, 13 * h, 156, -22 * h}, {-13 * h, -3 * q, -22 * h, 4 * q}})
	mixed = scaled(-1, pull) // by parts
	mixed[1][0]--
	mixed[3][2]++
	return bend, pull, bed, mixed
}

func scaled(k float64, m [4][4]float64) [4][4]float64 {
	for r := range m {
		for c := range m[r] {
			m[r][c] *= k
		}
	}
	return m
}

// solve gives every unknown at every node after the held one, of the moments along and loads across at places.
func (a *across) solve(moment []float64, ls []load) []float64 {
	rhs := make([]float64, block*len(a.f.segs))
	add := func(node, i int, v, slope float64) {
		if node > 0 {
			rhs[(node-1)*block+2*i] += v
			rhs[(node-1)*block+2*i+1] += slope
		}
	}
	for s := range a.f.segs {
		h, b := a.f.segs[s].h, a.f.segs[s].b
		for i := range terms {
			q := -2 * a.f.metal.Poisson / (b * b) * acrossTable.sum[i] * moment[s]
			add(s, i, q*h/2, q*h*h/12)
			add(s+1, i, q*h/2, -q*h*h/12)
		}
	}
	for _, l := range ls {
		if l.across == 0 {
			continue
		}
		n := hermite(l.at.u, a.f.segs[l.at.seg].h)
		for i := range terms {
			q := l.across * l.at.psi[i]
			add(l.at.seg, i, q*n[0], q*n[1])
			add(l.at.seg+1, i, q*n[2], q*n[3])
		}
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

// node gives fi and its slope there, 0 where the frame is held.
func node(f []float64, n, i int) (v, slope float64) {
	if n == 0 || len(f) == 0 {
		return 0, 0
	}
	return f[(n-1)*block+2*i], f[(n-1)*block+2*i+1]
}

// acrossAt is the deflection across at a place, mm to the left of the middle line.
func acrossAt(f []float64, q place, h float64) (w float64) {
	n := hermite(q.u, h)
	for i := range terms {
		a, da := node(f, q.seg, i)
		b, db := node(f, q.seg+1, i)
		w += q.psi[i] * (n[0]*a + n[1]*da + n[2]*b + n[3]*db)
	}
	return w
}

// gives is the mean curvature along a segment that its bending across gives.
func (a *across) gives(f []float64, seg int) (k float64) {
	g := &a.f.segs[seg]
	for i := range terms {
		v, dv := node(f, seg, i)
		w, dw := node(f, seg+1, i)
		k += acrossTable.sum[i] * ((v+w)/2 + g.h*(dv-dw)/12)
	}
	return -2 * a.f.metal.Poisson / (g.b * g.b) * k
}

// uneven is how much the moment per mm of width, at y from the middle, differs from its mean over a segment, N.
func (a *across) uneven(f []float64, seg int, y float64) (m float64) {
	g := &a.f.segs[seg]
	nu, b2 := a.f.metal.Poisson, g.b*g.b
	p, _, dd := shapesAcross(2 * y / g.b)
	for i := range terms {
		v, dv := node(f, seg, i)
		w, dw := node(f, seg+1, i)
		m += p[i]*(dw-dv)/g.h + nu/b2*(4*dd[i]-2*acrossTable.sum[i])*((v+w)/2+g.h*(dv-dw)/12)
	}
	return g.c.plate / g.b * m
}

// meanAcross are the means of the polynomials over the strip from y0 to y1 on both sides of the middle, for a strip as wide as b.
func meanAcross(y0, y1, b float64) (m [terms]float64) {
	const n = 200
	for k := range n {
		p, _, _ := shapesAcross(2 / b * (y0 + (y1-y0)*(float64(k)+0.5)/n))
		for i := range terms {
			m[i] += p[i] / n
		}
	}
	return m
}
