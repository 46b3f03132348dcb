package motion

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// limit is the half-space off + n.x >= 0 of three unknowns.
type limit struct {
	n   r3.Vec
	off float64
}

func (l limit) at(x r3.Vec) float64 { return l.off + r3.Dot(l.n, x) }

// furthest finds the x within all limits and within box of 0 on each axis that goes furthest along c (linear programming in three unknowns).
// A few limits are solved by trying every three of them; the one that the answer breaks most joins them, until none is broken. active are the
// numbers of the limits that hold the answer. ok is false when no x is within all.
func furthest(c r3.Vec, limits []limit, box r3.Vec) (x r3.Vec, active []int, ok bool) {
	work := []limit{}
	from := []int{}
	for _, n := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		b := math.Abs(r3.Dot(n, box))
		work = append(work, limit{n, b}, limit{r3.Scale(-1, n), b})
		from = append(from, -1, -1)
	}
	for range 200 {
		if x, ok = corner(c, work); !ok {
			return r3.Vec{}, nil, false
		}
		worst, at := -1e-10, -1
		for i, l := range limits {
			if v := l.at(x); v < worst {
				worst, at = v, i
			}
		}
		if at < 0 {
			break
		}
		work, from = append(work, limits[at]), append(from, at)
		work, from = slackOut(work, from, x)
	}
	for i, l := range work {
		if from[i] >= 0 && l.at(x) < 1e-7 {
			active = append(active, from[i])
		}
	}
	return x, active, true
}

// most is how many limits are tried three by three.
const most = 40

// slackOut drops those limits that the answer so far leaves furthest behind, when there are too many.
func slackOut(work []limit, from []int, x r3.Vec) ([]limit, []int) {
	for len(work) > most {
		far, at := 0.0, -1
		for i := 6; i < len(work)-1; i++ {
			if v := work[i].at(x); v > far {
				far, at = v, i
			}
		}
		if at < 0 {
			break
		}
		work, from = append(work[:at:at], work[at+1:]...), append(from[:at:at], from[at+1:]...)
	}
	return work, from
}

// corner is the best of the points in which three of the limits meet and which break none.
func corner(c r3.Vec, work []limit) (best r3.Vec, ok bool) {
	value := math.Inf(-1)
	for i := range work {
		for j := range i {
			cross := r3.Cross(work[i].n, work[j].n)
			for k := range j {
				det := r3.Dot(cross, work[k].n)
				if math.Abs(det) < 1e-12 {
					continue
				}
				x := r3.Scale(-work[k].off, cross)
				x = r3.Add(x, r3.Scale(-work[i].off, r3.Cross(work[j].n, work[k].n)))
				x = r3.Add(x, r3.Scale(-work[j].off, r3.Cross(work[k].n, work[i].n)))
				x = r3.Scale(1/det, x)
				if v := r3.Dot(c, x); v > value && within(work, x) {
					best, value, ok = x, v, true
				}
			}
		}
	}
	return best, ok
}

func within(work []limit, x r3.Vec) bool {
	for _, l := range work {
		if l.at(x) < -1e-9 {
			return false
		}
	}
	return true
}
