package chain

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Link is a curb link before it is filed: round wire, two straight legs and two plane bows. The bows are turned out of the
// flat by Angle, one to each side, and the legs make up the turn between them: so all links of a chain lie alike, and
// the chain is the same again when it is turned by 180 degrees about z, but not when it is mirrored.
type Link struct {
	Wire   float64 // diameter, mm
	Width  float64 // inside, across, mm
	Length float64 // inside, along, mm
	Angle  float64 // of each bow, degrees
}

// bow is the radius of the centre line of a bow.
func (k Link) bow() float64 { return (k.Width + k.Wire) / 2 }

// legs is the length of a leg between the bows.
func (k Link) legs() float64 { return math.Max(0, k.Length-k.Width) }

// places is how many points a half of the centre line is sampled at; with bows of a few mm they are 0.1 mm apart.
const places = 120

// CentreLine samples the centre line of a link whose near bow's centre is at the origin, x running along the chain. From
// and to bound the part of the link that is there, along x: a halved link begins at its cut.
func (k Link) CentreLine(from, to float64) []r3.Vec {
	r, legs := k.bow(), k.legs()
	turn := func(x float64) float64 { // the link's turn about x, radians
		share := 1.0
		if legs > 0 {
			share = math.Min(math.Max(x/legs, 0), 1)
		}
		return k.Angle * math.Pi / 180 * (2*share - 1)
	}
	var out []r3.Vec
	add := func(x, v float64) {
		if x >= from && x <= to {
			sin, cos := math.Sincos(turn(x))
			out = append(out, r3.Vec{X: x, Y: v * cos, Z: v * sin})
		}
	}
	for i := 0; i <= places; i++ {
		sin, cos := math.Sincos(math.Pi * (0.5 + float64(i)/places)) // near bow, from +v round to -v
		add(r*cos, r*sin)
	}
	for i := 0; i <= places; i++ {
		x := legs * float64(i) / places
		add(x, r)
		add(x, -r)
	}
	for i := 0; i <= places; i++ {
		sin, cos := math.Sincos(math.Pi * (float64(i)/places - 0.5))
		add(legs+r*cos, r*sin)
	}
	return out
}

// Hung is a link hung in another or in a hole: it turns about an axis along y through Pivot, in the frame of the lock's end.
type Hung struct {
	Link  Link
	Pivot r3.Vec  // where it hangs, mm
	Near  float64 // of the link's near bow's inner side, along x from Pivot when it is straight, mm (negative: towards the lock)
}

// at is the link's centre line when it has swung down by a, radians (up when negative), in the model's frame.
func (h Hung) at(end solid.Pose, a float64) []r3.Vec {
	centre := h.Near + h.Link.Width/2 // of the near bow, along x from the pivot
	sin, cos := math.Sincos(a)
	line := h.Link.CentreLine(math.Inf(-1), math.Inf(1))
	for i, p := range line {
		x, z := p.X+centre, p.Z
		line[i] = end.World(r3.Vec{X: h.Pivot.X + x*cos + z*sin, Y: h.Pivot.Y + p.Y, Z: h.Pivot.Z - x*sin + z*cos})
	}
	return line
}

// Room is the distance from a point to the lock, mm, negative inside it; near must not exceed it, and is asked first when
// it is cheaper.
type Room struct{ Near, True func(r3.Vec) float64 }

// gap is the least distance from the link's wire to the lock, mm, at the samples of its centre line. Both distances have slope
// at most 1, so a sample that is too near the last one looked at to be nearer to the lock is passed over.
func (h Hung) gap(lock Room, end solid.Pose, a float64) float64 {
	least := math.Inf(1)
	var seen r3.Vec
	far := math.Inf(-1) // near at seen
	for _, p := range h.at(end, a) {
		if far-r3.Norm(r3.Sub(p, seen)) >= least {
			continue
		}
		seen, far = p, lock.Near(p)
		if far < least {
			least = math.Min(least, lock.True(p))
		}
	}
	return least - h.Link.Wire/2
}

// arm is how far the farthest sample of the link is from the axis that it swings about, mm.
func (h Hung) arm() float64 {
	most := 0.0
	centre := h.Near + h.Link.Width/2
	for _, p := range h.Link.CentreLine(math.Inf(-1), math.Inf(1)) {
		most = math.Max(most, math.Hypot(p.X+centre, p.Z))
	}
	return most
}

// Swing is how far a hung link swings before it meets the lock.
type Swing struct {
	Down, Up float64 // degrees, at most Most
	Rest     float64 // least distance to the lock when straight, mm
}

// Most is where the search for the end of a swing stops, degrees.
const Most = 180

// SwingOf measures the swing: the link is turned in steps of half a degree until its wire meets the lock, and the last
// step is halved to 0.01 degrees. Links among themselves are not looked at: how far a chain bends is the chain's own.
func SwingOf(h Hung, lock Room, end solid.Pose) Swing {
	return Swing{Down: h.reach(lock, end, 1), Up: h.reach(lock, end, -1), Rest: h.gap(lock, end, 0)}
}

// reach is how far the link turns one way, degrees.
func (h Hung) reach(lock Room, end solid.Pose, way float64) float64 {
	const step, fine = 0.5, 0.01
	gap := func(deg float64) float64 { return h.gap(lock, end, way*deg*math.Pi/180) }
	room := gap(0)
	if room <= 0 {
		return 0
	}
	speed := h.arm() * step * math.Pi / 180 // no sample moves farther in a step
	steps := 0.0                            // clear
	for steps < Most/step && room > 0 {
		if steps += math.Floor(room / speed * (1 - 1e-9)); steps >= Most/step { // these meet nothing for sure
			break
		}
		if room = gap((steps + 1) * step); room > 0 {
			steps++
		}
	}
	if steps >= Most/step {
		return Most
	}
	lo, hi := steps*step, (steps+1)*step
	for hi-lo > fine {
		if mid := (lo + hi) / 2; gap(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
