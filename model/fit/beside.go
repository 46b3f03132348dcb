package fit

import (
	"math"
	"slices"
)

// What fits across. One leaf in one chamber has a width in a width. Two leaves beside each other in two chambers are measured as calipers
// do: over both, where the outer sides meet, and between them, where the wall between the chambers, or the metal between the notches, stands
// in the slot between leaves or tabs. So an error of the distance between the leaves, or between the chambers, takes its share of the play.

// across is a solid in a hollow.
type across struct {
	name           string
	hollow, solid  string // surfaces: both sides of each
	in, of         string // the dimensions
	wide, narrow   float64
	least, most    float64
	over, among    string // dimensions of two hollows: over both, and what stands between them
	overOf, slotOf string // dimensions of two solids: over both, and the slot between them
}

const (
	overChambers = "over both chambers"
	partition    = "wall between the chambers"
)

func (l Lock) double() bool { return l.Pitch > 0 }

// beside lists what fits across.
func beside(l Lock) []across {
	inf := math.Inf(1)
	return []across{
		{"side play", walls, lowEdges, chamberWidth, lowerWidth, l.Chamber, l.LowerWidth, leastSide, inf,
			overChambers, partition, "over both lower leaves", "slot between the lower leaves"},
		{"upper leaf to wall", walls, upEdges, chamberWidth, upperWidth, l.Chamber, l.UpperWidth, leastSide, inf,
			overChambers, partition, "over both upper leaves", "slot between the upper leaves"},
		{"tab to notch", notch, tabSides, notchWidth, tabWidth, l.NotchWidth, l.TabWidth, leastTab, inf,
			"over both notches", "metal between the notches", "over both tabs", "slot between the tabs"},
	}
}

// inner is the side of a surface that is turned to mid-width, in a lock with two leaves; the surface's own name is then the outer side's.
func inner(surface string) string { return surface + ", inner" }

func named(all []Surface, name string) Surface {
	return all[slices.IndexFunc(all, func(s Surface) bool { return s.Name == name })]
}

func hasSurface(all []Surface, name string) bool {
	return slices.ContainsFunc(all, func(s Surface) bool { return s.Name == name })
}

// widths are the dimensions across, each once.
func (l Lock) widths() (out []length) {
	add := func(name string, nominal float64, surface string, grow float64) {
		if !slices.ContainsFunc(out, func(d length) bool { return d.name == name }) {
			out = append(out, length{name: name, nominal: nominal, faces: []Face{{surface, grow}}})
		}
	}
	for _, w := range beside(l) {
		if !l.double() {
			add(w.in, w.wide, w.hollow, -2)
			add(w.of, w.narrow, w.solid, 2)
			continue
		}
		add(w.over, l.Pitch+w.wide, w.hollow, -2)
		add(w.among, l.Pitch-w.wide, inner(w.hollow), 2)
		add(w.overOf, l.Pitch+w.narrow, w.solid, 2)
		add(w.slotOf, l.Pitch-w.narrow, inner(w.solid), -2)
	}
	return out
}

// sideways are the clearances across. The greatest side play, which limits the free turn, is asked of the outer sides alone: the tongue
// turns no further than the narrower of both lets it.
func (l Lock) sideways(most float64) (out []Clearance) {
	for i, w := range beside(l) {
		if i == 0 {
			w.most = most
		}
		if !l.double() {
			out = append(out, Clearance{Name: w.name, Terms: difference(0.5, w.in, w.of), Least: w.least, Most: w.most})
			continue
		}
		out = append(out, Clearance{Name: w.name + ", outer", Terms: difference(0.5, w.over, w.overOf), Least: w.least, Most: w.most},
			Clearance{Name: w.name + ", inner", Terms: difference(0.5, w.slotOf, w.among), Least: w.least, Most: math.Inf(1)})
	}
	return out
}
