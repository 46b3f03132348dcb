package contour

import (
	"runtime"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"
)

// reading is what the samples of one facet, or one vertex, gave.
type reading struct {
	dev     float64 // greatest distance to a witness, mm
	at, on  r3.Vec  // that sample and its witness
	gap     float64 // area times distance, mm3
	samples int
	lost    bool // no witness was found for the sample at
}

// onSurface measures every vertex and every facet against the surface and fills the proof.
func onSurface(m *Mesh, s Surface, tolerance float64, proof *Proof) *Fault {
	corners := make([]reading, len(m.V))
	parallel(len(m.V), func(i int) { corners[i].probe(s, m.V[i], 0) })
	for i := range corners {
		r := &corners[i]
		proof.take(r)
		proof.VertexMM = proof.DeviationMM
		if fault := r.fault(ClauseVertex, VertexLimit, "vertex", i); fault != nil {
			return fault
		}
	}
	facets := make([]reading, len(m.T))
	parallel(len(m.T), func(f int) { facets[f].facet(m, s, int32(f)) })
	for f := range facets {
		r := &facets[f]
		proof.take(r)
		if fault := r.fault(ClauseFacet, tolerance, "facet", f); fault != nil {
			return fault
		}
	}
	return nil
}

func (p *Proof) take(r *reading) {
	p.Samples += r.samples
	p.GapMM3 += r.gap
	if r.dev > p.DeviationMM {
		p.DeviationMM, p.At, p.On = r.dev, r.at, r.on
	}
}

func (r *reading) fault(clause string, limit float64, what string, number int) *Fault {
	if r.lost {
		return faultAt(clause, r.at, "no point of the surface was found near %s %d", what, number)
	}
	if r.dev > limit {
		return faultAt(clause, r.at, "%s %d may lie %.3g mm off the surface, %g mm are allowed", what, number, r.dev, limit)
	}
	return nil
}

// probe compares one point that stands for an area (mm2) with the surface.
func (r *reading) probe(s Surface, p r3.Vec, area float64) {
	if r.lost {
		return
	}
	r.samples++
	q, d, ok := nearWitness(s, p)
	if !ok {
		r.lost, r.at = true, p
		return
	}
	r.gap += area * d
	if d > r.dev {
		r.dev, r.at, r.on = d, p, q
	}
}

// nearWitness is a point of the surface near p and its distance. A witness need not be the nearest point: beside an edge
// between faces at a shallow angle it may lie several times as far. So where it is further off than rounding but no
// further than that can explain, others are asked for from places round p, and the nearest is kept; each of them proves
// an upper bound.
func nearWitness(s Surface, p r3.Vec) (q r3.Vec, d float64, ok bool) {
	q, _, ok = s.Witness(p)
	if !ok || !finite(q) {
		return q, 0, false
	}
	d = r3.Norm(r3.Sub(p, q))
	if d <= VertexLimit/2 || d > 8*VertexLimit {
		return q, d, true
	}
	const h = VertexLimit / 2
	for _, v := range []r3.Vec{{X: h}, {X: -h}, {Y: h}, {Y: -h}, {Z: h}, {Z: -h}} {
		if w, _, found := s.Witness(r3.Add(p, v)); found && finite(w) && r3.Norm(r3.Sub(p, w)) < d {
			q, d = w, r3.Norm(r3.Sub(p, w))
		}
	}
	return q, d, true
}

// facet samples one facet. An edge is sampled by that of its two facets which runs it upwards: both would take the same
// points, for whether an edge is halved depends on its length alone.
func (r *reading) facet(m *Mesh, s Surface, f int32) {
	c, t := m.T[f], m.triangle(f)
	var own [3]bool
	for i := range 3 {
		a, b := t[i], t[(i+1)%3]
		own[i] = c[i] < c[(i+1)%3]
		if own[i] && r3.Norm(r3.Sub(b, a)) <= SampleSpacing { // longer ones are sampled where they are halved
			r.probe(s, lerp(a, b, 0.5), 0)
		}
	}
	r.halve(s, t, own)
}

// halve cuts a triangle through its longest edge until none is longer than the spacing, samples where it cuts, and the
// middle of each last piece. Where the surface bulges one way over a piece, the distance is concave along it and its
// middle is no less than its mean (Jensen), so that area times middle does not fall short of the gap.
func (r *reading) halve(s Surface, t triangle, own [3]bool) {
	long, length := 0, 0.0
	for i := range 3 {
		if d := r3.Norm(r3.Sub(t[(i+1)%3], t[i])); d > length {
			long, length = i, d
		}
	}
	if length <= SampleSpacing {
		mid := r3.Scale(1.0/3, r3.Add(t[0], r3.Add(t[1], t[2])))
		r.probe(s, mid, t.area())
		return
	}
	a, b, c := t[long], t[(long+1)%3], t[(long+2)%3]
	mid := lerp(a, b, 0.5)
	if own[long] {
		r.probe(s, mid, 0)
	}
	r.halve(s, triangle{a, mid, c}, [3]bool{own[long], true, own[(long+2)%3]})
	r.halve(s, triangle{mid, b, c}, [3]bool{own[long], own[(long+1)%3], false})
}

// parallel does each of n pieces of work once, on all cores. What a piece finds must be kept by its number, so that the
// outcome does not depend on which core was quicker.
func parallel(n int, work func(i int)) {
	parallelWith(n, 32, func() (func(i int), func()) { return work, func() {} })
}

// parallelWith is parallel for work that needs means of its own on each core: start gives them, done takes them back.
// Pieces are handed out so many at a time as a chunk.
func parallelWith(n, chunk int, start func() (work func(i int), done func())) {
	workers := min(runtime.GOMAXPROCS(0), (n+chunk-1)/chunk)
	var next atomic.Int64
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			work, done := start()
			defer done()
			for {
				end := int(next.Add(int64(chunk)))
				if end-chunk >= n {
					return
				}
				for i := end - chunk; i < min(end, n); i++ {
					work(i)
				}
			}
		})
	}
	group.Wait()
}
