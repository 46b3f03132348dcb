package contour

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// spike is a corner a of a loop whose two edges lie on each other, or crossed when points were slid: the shorter one
// ends in q, the longer one in x.
type spike struct {
	group, loop int
	q, a, x     int32
	first       bool // q comes before a, x after it
	place       int  // of a in the loop
}

// unspike takes spikes out: the facet ends at q, and the facet beyond the longer edge, which lies on the same face,
// takes q into that edge.
func (sh *sheet) unspike() {
	for range 4 {
		spikes := sh.spikes()
		if len(spikes) == 0 {
			return
		}
		owner := map[[2]int32][2]int{}
		for g, grp := range sh.groups {
			for k, l := range grp.loops {
				for i, u := range l {
					owner[[2]int32{u, l[(i+1)%len(l)]}] = [2]int{g, k}
				}
			}
		}
		touched := map[[2]int]bool{}
		for _, s := range spikes {
			back := [2]int32{s.x, s.a}
			if !s.first {
				back = [2]int32{s.a, s.x}
			}
			own := [2]int{s.group, s.loop}
			other, ok := owner[back]
			if !ok || other == own || touched[own] || touched[other] ||
				sh.alike[sh.groups[other[0]].face] != sh.alike[sh.groups[s.group].face] {
				continue
			}
			touched[own], touched[other] = true, true
			sh.cutSpike(s, other, back)
		}
		sh.rename(func(v int32) int32 { return v })
	}
}

func (sh *sheet) cutSpike(s spike, other [2]int, back [2]int32) {
	g := sh.groups[s.group]
	l := g.loops[s.loop]
	g.loops[s.loop] = slices.Delete(slices.Clone(l), s.place, s.place+1)
	o := sh.groups[other[0]]
	l = slices.Clone(o.loops[other[1]])
	for i, u := range l {
		if u == back[0] && l[(i+1)%len(l)] == back[1] {
			o.loops[other[1]] = slices.Insert(l, i+1, s.q)
			return
		}
	}
}

// spikes finds the spikes of facets of curved faces.
func (sh *sheet) spikes() []spike {
	found := make([][]spike, len(sh.groups))
	inParallel(len(sh.groups), func(i int) {
		if g := sh.groups[i]; g.curved && !g.whole {
			flat := flatten(g.plane.N)
			for k, l := range g.loops {
				if len(l) > 3 {
					found[i] = append(found[i], sh.spikesOf(i, k, l, flat)...)
				}
			}
		}
	})
	return slices.Concat(found...)
}

func (sh *sheet) spikesOf(g, loop int, l []int32, flat func(r3.Vec) r2.Vec) (out []spike) {
	n := len(l)
	for i, a := range l {
		p, q := l[(i+n-1)%n], l[(i+1)%n]
		u, v := r3.Sub(sh.pts[p], sh.pts[a]), r3.Sub(sh.pts[q], sh.pts[a])
		dot := r3.Dot(u, v)
		if dot <= 0 {
			continue
		}
		short, long, s := u, v, spike{g, loop, p, a, q, true, i}
		if r3.Norm2(u) > r3.Norm2(v) {
			short, long, s = v, u, spike{g, loop, q, a, p, false, i}
		}
		off := r3.Norm(r3.Sub(short, r3.Scale(dot/r3.Norm2(long), long)))
		over := cross3(flat(sh.pts[p]), flat(sh.pts[a]), flat(sh.pts[q])) <= 0
		if off < shortest*sh.tolerance/4 || over && off < sh.tolerance {
			out = append(out, s)
		}
	}
	return out
}
