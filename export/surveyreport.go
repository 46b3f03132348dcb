package export

import (
	"claspwright/model"
	"claspwright/model/survey"
)

// surveyReport is what a finished part measures.
type surveyReport struct {
	Part       string        `json:"part"`
	Thinnest   *spotReport   `json:"thinnest"`    // of the metal; null when nothing is thinner than 5 mm
	Gap        *spotReport   `json:"narrowest"`   // between two faces of the part
	Hollows    []holeReport  `json:"hollows"`     // that neither drain nor fill
	Core       coreReport    `json:"core"`        // the most slender
	Thickest   thickReport   `json:"thickest"`    // the greatest ball of metal
	SharpEdges int           `json:"sharp_edges"` // with less than 60 degrees of metal
	Reach      []reachReport `json:"file_reach"`  // of the faces with stock, by a 1.2 mm file
	Layers     *layerReport  `json:"layers"`      // printed in its pose, or as drawn, face up, where none was looked for; null where nothing is printed
}

type layerReport struct {
	Overhang figure `json:"overhang_mm2"`
	Islands  int    `json:"islands"`
}

type spotReport struct {
	Size  figure    `json:"mm"`
	Floor figure    `json:"proven_floor_mm"` // proven for the share of the surface that follows
	Share figure    `json:"proven_share"`
	From  [3]figure `json:"from"`
	To    [3]figure `json:"to"`
	Faces [2]string `json:"faces"`
}

type holeReport struct {
	Volume figure    `json:"volume_mm3"`
	Throat figure    `json:"throat_mm"`
	Closed bool      `json:"closed"`
	At     [3]figure `json:"at"`
}

type coreReport struct {
	Slender figure    `json:"depth_over_bore"`
	Depth   figure    `json:"depth_mm"`
	Bore    figure    `json:"bore_mm"`
	At      [3]figure `json:"at"`
}

type thickReport struct {
	Ball    figure    `json:"ball_mm"`
	Most    figure    `json:"proven_at_most_mm"`
	At      [3]figure `json:"at"`
	Area    figure    `json:"section_area_mm2"`
	Modulus figure    `json:"section_modulus_mm"` // area over perimeter
}

type reachReport struct {
	Face  string     `json:"face"`
	Share figure     `json:"share"`
	At    *[3]figure `json:"first_not_reached"` // null where all is
}

func surveyOf(v model.Survey) surveyReport {
	return surveyReport{
		Part: v.Part, Thinnest: spotOf(v.Thinnest), Gap: spotOf(v.Gap),
		Hollows: each(v.Hollows, func(h survey.Hollow) holeReport {
			return holeReport{gram(h.Volume), mm(h.Throat), h.Closed, point(h.At)}
		}),
		Core:       coreReport{gram(v.Core.Slender), mm(v.Core.Depth), mm(v.Core.Bore), point(v.Core.At)},
		Thickest:   thickReport{mm(v.Thickest.Ball), mm(v.Thickest.Bound), point(v.Thickest.At), gram(v.Block.Area), gram(v.Block.Modulus)},
		SharpEdges: len(v.Sharp), Layers: layersOf(v.Layers),
		Reach: each(v.Reach, func(r survey.Reach) reachReport {
			out := reachReport{Face: r.Tag, Share: gram(r.Share)}
			if r.Missed {
				at := point(r.At)
				out.At = &at
			}
			return out
		}),
	}
}

func spotOf(s survey.Spot) *spotReport {
	if !s.Found {
		return nil
	}
	return &spotReport{mm(s.Size), mm(s.Floor), gram(s.Proven), point(s.P), point(s.Q), s.Tags}
}

func layersOf(l *survey.Layers) *layerReport {
	if l == nil {
		return nil
	}
	return &layerReport{gram(l.Overhang), l.Islands}
}
