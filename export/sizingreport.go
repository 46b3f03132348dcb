package export

import "claspwright/model"

// sizingReport is how the leaf came by the sizes that the job left open.
type sizingReport struct {
	Found   []string       `json:"found"` // key=value
	Passes  bool           `json:"passes"`
	Way     string         `json:"in_the_way,omitempty"` // the check that no leaf passes
	Yield   figure         `json:"yield_needed_mpa"`
	Ratio   figure         `json:"stress_ratio"` // of that to the yield, or to one assumed
	Assumed bool           `json:"yield_assumed"`
	Force   figure         `json:"release_n"`
	Short   bool           `json:"within_twice_the_width"`
	Tried   int            `json:"leaves_computed"`
	Nearest []nearbyReport `json:"would_pass,omitempty"`
}

type nearbyReport struct {
	Set []string `json:"set"` // key=value
	Say string   `json:"say"`
}

func sizingOf(z *model.Sizing) *sizingReport {
	if z == nil {
		return nil
	}
	r := &sizingReport{Found: z.Sets, Passes: z.Passes, Way: z.Way, Yield: figure(z.Yield), Ratio: figure(z.Ratio), Assumed: z.Assumed,
		Force: figure(z.Force), Short: z.Short, Tried: z.Tried}
	for _, n := range z.Nearest {
		r.Nearest = append(r.Nearest, nearbyReport{n.Sets, n.Say})
	}
	return r
}
