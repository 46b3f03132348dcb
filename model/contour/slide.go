package contour

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// slide moves each point that lies on facets of curved faces, but off the true faces, to where the carriers of all
// faces at it meet. Flat faces stay flat, since theirs is one of the carriers. The move is at most a few chord errors;
// a point that does not settle, as at a tangency, stays, and Verify judges it. Then every point is rounded to float32.
func slide(groups []*group, pts []r3.Vec, carriers []solid.Carrier) {
	faces := make([][]int, len(pts))
	for _, g := range groups {
		for _, l := range g.loops {
			for _, v := range l {
				faces[v] = append(faces[v], g.face)
			}
		}
	}
	for v, fs := range faces {
		cs := unlike(fs, carriers)
		if offAny(pts[v], cs) {
			if q, ok := solid.Settle(pts[v], cs); ok {
				pts[v] = q
			}
		}
		pts[v] = Single(pts[v])
	}
}

// unlike lists the carriers of faces, each once, flats first: what is flat must stay so exactly.
func unlike(faces []int, carriers []solid.Carrier) []solid.Carrier {
	var flats, curved []solid.Carrier
	seen := map[solid.Carrier]bool{}
	for _, f := range faces {
		c := carriers[f]
		if seen[c] {
			continue
		}
		seen[c] = true
		if c.Curved() {
			curved = append(curved, c)
		} else {
			flats = append(flats, c)
		}
	}
	if len(curved) == 0 {
		return nil
	}
	return append(flats, curved...)
}

// offAny says whether p is off one of the carriers by more than float64 rounding.
func offAny(p r3.Vec, cs []solid.Carrier) bool {
	for _, c := range cs {
		if d, _ := c.Off(p); math.Abs(d) > 1e-9 {
			return true
		}
	}
	return false
}
