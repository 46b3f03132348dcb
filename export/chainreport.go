package export

import (
	"fmt"
	"math"

	chains "claspwright/model/chain"

	"claspwright/model"
)

// crownReport is the crown as it was fitted to readings.
type crownReport struct {
	Kind        string    `json:"kind"` // "arc" or "tangent arcs"
	Radius      *figure   `json:"radius_mm"`
	RadiusLow   *figure   `json:"radius_low_mm"`  // the ends of the 95 % interval; null where the top may be flat
	RadiusHigh  *figure   `json:"radius_high_mm"` //
	Join        figure    `json:"join_mm"`        // from mid-width to the flank arcs, 0 for one arc
	FlankRadius *figure   `json:"flank_radius_mm,omitempty"`
	Thickness   [3]figure `json:"thickness_mm"` // at mid-width: value and the ends of its 95 % interval
	Residuals   []figure  `json:"residuals_mm"`
	RMS         figure    `json:"rms_mm"`
	Greatest    figure    `json:"greatest_mm"`
}

// swingReport is how far the next link swings at one end before it meets the lock.
type swingReport struct {
	End  string `json:"end"`
	Down figure `json:"down_deg"`
	Up   figure `json:"up_deg"`
	Rest figure `json:"clearance_mm"`
}

func crownOf(c *chains.Crown) *crownReport {
	if c == nil {
		return nil
	}
	r := c.Radius()
	out := &crownReport{Kind: "arc", Radius: finite(r.Value), RadiusLow: finite(r.Low), RadiusHigh: finite(r.High), Join: round(c.Join, 6),
		Thickness: [3]figure{round(c.Thickness.Value, 6), round(c.Thickness.Low, 6), round(c.Thickness.High, 6)},
		RMS:       round(c.RMS, 6), Greatest: round(c.Greatest, 6)}
	if c.Join > 0 {
		out.Kind, out.FlankRadius = "tangent arcs", finite(1/c.FlankCurvature)
	}
	for _, v := range c.Residuals {
		out.Residuals = append(out.Residuals, round(v, 6))
	}
	return out
}

// finite is nil for what JSON cannot hold: the radius of a flat top.
func finite(v float64) *figure {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	f := round(v, 6)
	return &f
}

func swingsOf(c *model.Commission) []swingReport {
	var out []swingReport
	for i, s := range c.Swing {
		if s != (chains.Swing{}) {
			out = append(out, swingReport{[]string{"box", "block"}[i], round(s.Down, 2), round(s.Up, 2), round(s.Rest, 4)})
		}
	}
	return out
}

// crownLine tells the fitted crown and how well the readings lie on it.
func crownLine(c *chains.Crown) string {
	r := c.Radius()
	say := "flat within the readings"
	switch {
	case !math.IsInf(r.High, 1):
		say = fmt.Sprintf("radius %.1f mm (%.1f to %.1f)", r.Value, r.Low, r.High)
	case !math.IsInf(r.Value, 1):
		say = fmt.Sprintf("radius %.1f mm (%.1f or more)", r.Value, r.Low)
	}
	if c.Join > 0 {
		say += fmt.Sprintf(", from %.2f mm off the middle radius %.1f mm", c.Join, 1/c.FlankCurvature)
	}
	return say + fmt.Sprintf("; %d readings lie within %.2f mm of it", len(c.Residuals), c.Greatest)
}
