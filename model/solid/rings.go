package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// ring is the corners of facets on one circle round the axis, or one corner on the axis (phi is nil).
type ring struct {
	at  r2.Vec
	phi []float64
	no  []int32 // numbers of the points
}

// rings facets a convex solid of revolution: one ring of corners at each corner of the profile, all with the same
// directions; on balls as many rings as are needed, each with as many corners as are needed. ok is false when the solid
// is not convex.
func (v *Revolve) rings(within Chord, at contacts) (f Faceted, ok bool) {
	if len(v.rim) == 0 || v.rim[0].A.X != 0 || v.rim[len(v.rim)-1].B.X != 0 || len(v.rim) != len(v.chain)-1 {
		return f, false
	}
	rough, _ := v.chain.polygon(within.Single, nil)
	whole := make([]int, len(rough))
	for i := range whole {
		whole[i] = i
	}
	if !convex(rough, whole) {
		return f, false
	}
	phi := turns(v.mainStep(within), at)
	last := f.ring(v.rim[0].A, phi)
	for i, s := range v.rim {
		for _, part := range s.collared(at[v.face[i]]) {
			for _, next := range part.rings(within, phi) {
				r := f.ring(next.at, next.phi)
				f.join(v.face[i], last, r)
				last = r
			}
		}
	}
	if !f.locallyConvex() {
		return f, false
	}
	f.oneCell()
	return f, true
}

// mainStep is the angle between corners of the rings at corners of the profile.
func (v *Revolve) mainStep(within Chord) float64 {
	least := 2 * math.Pi / 3
	for _, s := range v.rim {
		far := math.Min(math.Max(s.A.X, s.B.X), v.reach)
		switch {
		case s.ball():
			if wide := math.Max(s.A.X, s.B.X); wide > 0 { // all of a ball is within the chord, out of reach too
				least = math.Min(least, side(within.Double, s.R)*s.R/wide)
			}
		case s.R > 0:
			least = math.Min(least, step(within.Double/2, s.C.X+s.R))
		case s.A.Y != s.B.Y: // not a flat end
			least = math.Min(least, step(within.Single, far))
		}
	}
	return least
}

// collared cuts an arc that becomes part of a ball where contacts ask for a ring.
func (s Seg) collared(at []r3.Vec) []Seg {
	if !s.ball() || len(at) == 0 {
		return []Seg{s}
	}
	var parts []Seg
	start, angle := s.sweep()
	last := s
	for _, t := range s.stops(start, angle, []r3.Vec{{X: math.Sqrt(math.Max(1-at[0].Z*at[0].Z, 0)), Y: at[0].Z}}, angle) {
		p := last
		p.B = s.on(start + t)
		last.A = p.B
		parts = append(parts, p)
	}
	return append(parts, last)
}

// ball says whether the piece becomes part of a ball when it is turned.
func (s Seg) ball() bool { return s.R > 0 && s.C.X == 0 }

// side is the angle that the side of an equilateral triangle spans which leaves a ball of radius r by as much as chord:
// its corners lie acos(1 - chord/r) from its middle. A little is left for rings that do not match.
func side(chord, r float64) float64 { return 0.97 * math.Sqrt(3) * math.Acos(1-math.Min(chord/r, 0.5)) }

// ring adds the corners of a ring.
func (f *Faceted) ring(at r2.Vec, phi []float64) ring {
	r := ring{at: at, phi: phi}
	if at.X == 0 {
		r.phi, r.no = nil, []int32{f.point(r3.Vec{Z: at.Y})}
		return r
	}
	for _, a := range phi {
		r.no = append(r.no, f.point(turnTo(a, at)))
	}
	return r
}

// rings lists the rings that a piece of the profile adds, the one at its start left out.
func (s Seg) rings(within Chord, phi []float64) []ring {
	switch {
	case s.R == 0:
		return []ring{{at: s.B, phi: phi}}
	case s.ball():
		return s.ballRings(within.Double, phi)
	}
	var out []ring
	start, angle := s.sweep()
	for _, t := range evenly(0, angle, nil, step(within.Double/2, s.R))[1:] {
		out = append(out, ring{at: s.on(start + t), phi: phi})
	}
	return append(out, ring{at: s.B, phi: phi})
}

// on is the arc's point at an angle.
func (s Seg) on(angle float64) r2.Vec {
	sin, cos := math.Sincos(angle)
	return r2.Vec{X: s.C.X + s.R*cos, Y: s.C.Y + s.R*sin}
}

// ballRings finds rings with about the fewest facets that keep within the chord: bands about as high as the equilateral
// triangles that it allows, 1.5 rho, and corners as far apart as they may be then, or a little nearer.
func (s Seg) ballRings(chord float64, phi []float64) []ring {
	start, angle := s.sweep()
	rho := math.Acos(1 - math.Min(chord/s.R, 0.5)) // how far corners may lie from the middle of their facet
	least := int(math.Ceil(angle / (1.5 * rho)))
	if s.A.X == 0 && s.B.X == 0 {
		least = max(2, least) // from pole to pole one band has no corners between
	}
	for _, shrinks := range [][2]float64{{1, 0.75}, {0.75, 0.4}} {
		for bands := least; bands <= least+least/2+2; bands += 1 + least/12 {
			h := angle / float64(bands)
			widest := 2 * math.Sqrt(math.Max(2*rho*h-h*h, 0))
			for shrink := shrinks[0]; shrink > shrinks[1]; shrink *= 0.95 {
				if rs := s.bands(start, h, bands, widest*shrink, phi); s.keeps(rs, phi, chord) {
					return rs
				}
			}
		}
	}
	bands := int(2*angle/rho) + 2 // as fine as is ever needed
	return s.bands(start, angle/float64(bands), bands, rho/2, phi)
}

// bands are rings h apart with corners about width (an angle on the ball) apart.
func (s Seg) bands(start, h float64, bands int, width float64, phi []float64) []ring {
	var out []ring
	for k := 1; k < bands; k++ {
		at := s.on(start + h*float64(k))
		n := math.Max(3, math.Ceil(2*math.Pi*at.X/s.R/width))
		r := ring{at: at}
		for i := range int(n) {
			r.phi = append(r.phi, 2*math.Pi*(float64(i)+0.5*float64(k%2))/n)
		}
		out = append(out, r)
	}
	return append(out, ring{at: s.B, phi: phi})
}

// keeps says whether the facets between the rings leave the ball by no more than the chord and stand out.
func (s Seg) keeps(rs []ring, phi []float64, chord float64) bool {
	var f Faceted
	last := f.ring(s.A, phi)
	for _, r := range rs {
		next, from := f.ring(r.at, r.phi), len(f.Facets)
		f.join(0, last, next)
		last = next
		for _, g := range f.Facets[from:] {
			if g.Plane.Above(r3.Vec{Z: s.C.Y}) > chord-s.R {
				return false
			}
		}
	}
	return f.locallyConvex()
}

// join adds the facets between two rings, the second above the first or further in.
func (f *Faceted) join(face int, a, b ring) {
	n, m := len(a.no), len(b.no)
	switch {
	case n == 1 && m == 1:
	case a.at.Y == b.at.Y && n == 1: // a flat end looking down
		f.add(face, backwards(b.no)...)
	case a.at.Y == b.at.Y && m == 1:
		f.add(face, a.no...)
	case n == 1:
		for i := range m {
			f.add(face, a.no[0], b.no[(i+1)%m], b.no[i])
		}
	case m == 1:
		for i := range n {
			f.add(face, a.no[i], a.no[(i+1)%n], b.no[0])
		}
	case n == m && a.phi[0] == b.phi[0] && a.phi[n-1] == b.phi[n-1]:
		for i := range n {
			j := (i + 1) % n
			f.add(face, a.no[i], a.no[j], b.no[j], b.no[i])
		}
	default:
		f.zip(face, a, b)
	}
}

func backwards(v []int32) []int32 {
	out := make([]int32, len(v))
	for i, x := range v {
		out[len(v)-1-i] = x
	}
	return out
}

// zip joins two rings of different corners by triangles: of the two that could come next it takes the one that has the
// other's corner below it, so that the strip stands out everywhere.
func (f *Faceted) zip(face int, a, b ring) {
	n, m := len(a.no), len(b.no)
	i, j := 0, nearest(b.phi, a.phi[0])
	for first, done := j, 0; done < n+m; done++ {
		p, q := a.no[i%n], b.no[j%m]
		nextP, nextQ := a.no[(i+1)%n], b.no[(j+1)%m]
		e := planeThrough(f.Pts[p], f.Pts[nextP], f.Pts[q])
		if i < n && (j-first >= m || e.Above(f.Pts[nextQ]) <= 0) {
			f.add(face, p, nextP, q)
			i++
		} else {
			f.add(face, p, nextQ, q)
			j++
		}
	}
}

// nearest is the place of the direction that is nearest to a.
func nearest(phi []float64, a float64) int {
	best, off := 0, math.Inf(1)
	for i, p := range phi {
		if d := math.Abs(math.Remainder(p-a, 2*math.Pi)); d < off {
			best, off = i, d
		}
	}
	return best
}

// locallyConvex says whether at every edge the neighbour's corners lie below the facet.
func (f *Faceted) locallyConvex() bool {
	of := map[[2]int32]int{}
	for i, g := range f.Facets {
		for k, v := range g.V {
			of[[2]int32{v, g.V[(k+1)%len(g.V)]}] = i
		}
	}
	for e, i := range of {
		j, ok := of[[2]int32{e[1], e[0]}]
		if !ok {
			continue
		}
		for _, v := range f.Facets[j].V {
			if v != e[0] && v != e[1] && f.Facets[i].Plane.Above(f.Pts[v]) > 1e-12 {
				return false
			}
		}
	}
	return true
}
