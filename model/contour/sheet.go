package contour

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// mergeRadius joins points that a file could not tell apart, mm: rounding to float32 moves each by up to half a step of
// 3.8e-6 along each axis, between 32 and 64 mm.
const mergeRadius = 7e-6

// sheet is the surface as loops round pieces of facets, on its way to becoming a mesh.
type sheet struct {
	groups    []*group
	pts       []r3.Vec
	carriers  []solid.Carrier
	alike     []int32 // of each face: the first one whose carrier is the same, to the bit
	tolerance float64
	faces     rows   // of each point: the faces that it lies on, flat ones first, each carrier once
	back      []bool // of each point: whether its slide was taken back
}

// finish takes out corners that nothing needs, brings the others onto the true surfaces, and rounds to float32.
func (sh *sheet) finish() error {
	straighten(sh.groups, sh.pts)
	sh.lookUp()
	before := slices.Clone(sh.pts)
	sh.slide()
	sh.collapse(before)
	sh.unspike()
	sh.undo(before)
	if err := sh.bend(); err != nil {
		return err
	}
	if err := sh.strays(); err != nil {
		return err
	}
	sh.merge()
	for i, p := range sh.pts {
		sh.pts[i] = Single(p)
	}
	return nil
}

// strays fails where a point is further than the tolerance from a face that it should lie on, as one may be that could not
// be slid to where its faces meet.
func (sh *sheet) strays() error {
	off := make([]float64, len(sh.faces.n))
	inParallel(len(off), func(v int) {
		faces := sh.faces.of(int32(v))
		for _, f := range faces {
			off[v] = max(off[v], math.Abs(sh.carriers[f].Gap(sh.pts[v])))
		}
		if sh.back[v] { // it may be near to each face, and yet far from where they meet
			if q, ok := solid.Settle(sh.pts[v], sh.carriersOf(faces)); ok {
				off[v] = max(off[v], r3.Norm(r3.Sub(q, sh.pts[v])))
			}
		}
	})
	for v, d := range off {
		if d > sh.tolerance {
			p := sh.pts[v]
			return fmt.Errorf("contour: a corner near (%.3f, %.3f, %.3f) is %.2g mm off a face that it belongs to", p.X, p.Y, p.Z, d)
		}
	}
	return nil
}

// Single rounds coordinates to what a float32 holds, and makes -0 into 0.
func Single(p r3.Vec) r3.Vec {
	f := func(x float64) float64 { return float64(float32(x)) + 0 }
	return r3.Vec{X: f(p.X), Y: f(p.Y), Z: f(p.Z)}
}

// rows is a list for each point, all in one piece.
type rows struct {
	start []int32
	n     []int32 // how long each list is; it may be shorter than its room
	all   []int32
}

// rowsOf makes room for as many values as each point is passed by loops.
func (sh *sheet) rowsOf() rows {
	r := rows{start: make([]int32, len(sh.pts)+1), n: make([]int32, len(sh.pts))}
	for _, g := range sh.groups {
		for _, l := range g.loops {
			for _, v := range l {
				r.start[v+1]++
			}
		}
	}
	for v := range sh.pts {
		r.start[v+1] += r.start[v]
	}
	r.all = make([]int32, r.start[len(sh.pts)])
	return r
}

func (r *rows) of(v int32) []int32 { return r.all[r.start[v] : r.start[v]+r.n[v]] }

func (r *rows) put(v, x int32) {
	r.all[r.start[v]+r.n[v]] = x
	r.n[v]++
}

// lookUp finds the faces at every point, one of each carrier, flats first: what is flat must stay so exactly.
func (sh *sheet) lookUp() {
	first := make(map[solid.Carrier]int32, len(sh.carriers))
	sh.alike = make([]int32, len(sh.carriers))
	for f, c := range sh.carriers {
		if _, ok := first[c]; !ok {
			first[c] = int32(f)
		}
		sh.alike[f] = first[c]
	}
	sh.faces = sh.rowsOf()
	for _, flats := range []bool{true, false} {
		for _, g := range sh.groups {
			f := sh.alike[g.face]
			if g.curved == flats {
				continue
			}
			for _, l := range g.loops {
				for _, v := range l {
					if !slices.Contains(sh.faces.of(v), f) {
						sh.faces.put(v, f)
					}
				}
			}
		}
	}
}

// curved says whether one of the faces, flats first, is.
func (sh *sheet) curved(faces []int32) bool {
	return len(faces) > 0 && sh.carriers[faces[len(faces)-1]].Curved()
}

func (sh *sheet) carriersOf(faces []int32) []solid.Carrier {
	out := make([]solid.Carrier, len(faces))
	for i, f := range faces {
		out[i] = sh.carriers[f]
	}
	return out
}

// slide moves each point that lies off a true face to where the carriers of all faces at it meet. Flat faces stay flat,
// since theirs is one of the carriers. A point that does not settle, as at a tangency, stays, and Verify judges it.
func (sh *sheet) slide() {
	inParallel(len(sh.pts), func(i int) {
		faces := sh.faces.of(int32(i))
		if !sh.curved(faces) || !sh.offAny(sh.pts[i], faces) {
			return
		}
		if q, ok := solid.Settle(sh.pts[i], sh.carriersOf(faces)); ok && r3.Norm(r3.Sub(q, sh.pts[i])) < farthest*sh.tolerance {
			sh.pts[i] = q
		}
	})
}

// farthest is how far, in tolerances, a point may be slid: facets are within one of the faces, and those that meet at 6
// degrees bring it to ten.
const farthest = 10

// offAny says whether p is off one of the faces' carriers by more than float64 rounding.
func (sh *sheet) offAny(p r3.Vec, faces []int32) bool {
	for _, f := range faces {
		if d, _ := sh.carriers[f].Off(p); math.Abs(d) > 1e-9 {
			return true
		}
	}
	return false
}

// merge makes points that a file could not tell apart one.
func (sh *sheet) merge() {
	w := newWelder(mergeRadius, len(sh.pts))
	to := make([]int32, len(sh.pts))
	for i := range to {
		to[i] = -1
	}
	for _, g := range sh.groups {
		for _, l := range g.loops {
			for _, v := range l {
				if to[v] < 0 {
					to[v] = w.add(sh.pts[v])
				}
			}
		}
	}
	sh.pts = w.pts
	sh.rename(func(v int32) int32 { return to[v] })
}

// rename gives points new numbers and takes out what that leaves without area.
func (sh *sheet) rename(to func(int32) int32) {
	inParallel(len(sh.groups), func(i int) {
		g := sh.groups[i]
		loops := g.loops[:0]
		for _, l := range g.loops {
			for i, v := range l {
				l[i] = to(v)
			}
			if l = withoutSpikes(l); len(l) >= 3 {
				loops = append(loops, l)
			}
		}
		g.loops = loops
	})
}

// withoutSpikes takes out points that stand twice in a row, and ways that go out and come straight back.
func withoutSpikes(l []int32) []int32 {
	for again := true; again && len(l) > 1; {
		again = false
		for i := 0; i < len(l) && len(l) > 1; i++ {
			n := len(l)
			a, b, c := l[i], l[(i+1)%n], l[(i+2)%n]
			if a == b {
				l = slices.Delete(l, i, i+1)
				again = true
			} else if a == c && n > 2 {
				j := (i + 1) % n
				l = slices.Delete(l, j, j+1) // then a stands twice in a row
				again = true
			}
		}
	}
	return l
}
