package export

import "claspwright/model"

// marksReport is what stands on the underside of the block; coordinates in the lock's frame.
type marksReport struct {
	Letters  *lettersReport  `json:"letters,omitempty"`
	Hallmark *hallmarkReport `json:"hallmark,omitempty"`
}

type lettersReport struct {
	Text   string    `json:"text"`
	Make   string    `json:"make"` // "engraved" or "raised"
	Height figure    `json:"height_mm"`
	Depth  figure    `json:"depth_mm"`
	Thin   figure    `json:"thinnest_mm"` // stroke or gap
	Middle [3]figure `json:"middle"`      // of their ground
}

type hallmarkReport struct {
	Length figure    `json:"length_mm"` // across the chain
	Width  figure    `json:"width_mm"`  // along it
	Middle [3]figure `json:"middle"`
	Cut    bool      `json:"cut_level"`
}

func marksOf(c *model.Commission) *marksReport {
	if c.Lock == nil {
		return nil
	}
	m, h := c.Lock.Mark, c.Lock.Hallmark
	var r marksReport
	if m.Line != nil {
		r.Letters = &lettersReport{m.Text, m.Make, mm(m.Height), mm(m.Depth), mm(m.Thin), [3]figure{mm(m.X), 0, mm(m.Z)}}
	}
	if h.Place == "block" {
		r.Hallmark = &hallmarkReport{mm(h.Length), mm(h.Width), [3]figure{mm(h.X), 0, mm(h.Z)}, h.Cut}
	}
	if r == (marksReport{}) {
		return nil
	}
	return &r
}
