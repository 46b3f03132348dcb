package export

import "claspwright/model/fit"

// benchReport is what the bench has to expect of the castings. Shares are of all castings, 0 to 1.
type benchReport struct {
	Castings   int               `json:"castings"`
	Seed       uint64            `json:"seed"`
	AsCast     figure            `json:"fit_as_cast"`
	Fileable   figure            `json:"can_be_filed_to_fit"`
	Kept       figure            `json:"fit_after_filing"` // though the file misses
	TooLoose   figure            `json:"already_too_loose"`
	TooTight   figure            `json:"too_tight"`
	Conflict   figure            `json:"what_mends_one_spoils_another"`
	Dearest    string            `json:"dearest_dimension"`
	Clearances []clearanceReport `json:"clearances"`
	Surfaces   []surfaceReport   `json:"filing"`
	Dimensions []dimensionReport `json:"dimensions"`
}

type clearanceReport struct {
	Name       string `json:"name"`
	Drawn      figure `json:"drawn_mm"`
	Least      figure `json:"least_mm"`
	Most       figure `json:"most_mm"` // null without
	Cast       figure `json:"cast_mm"`
	WorstLow   figure `json:"worst_low_mm"`
	WorstHigh  figure `json:"worst_high_mm"`
	SD         figure `json:"sd_mm"`
	FiledLow95 figure `json:"filed_low_95_mm"`
	FiledHigh  figure `json:"filed_high_95_mm"`
}

type surfaceReport struct {
	Name  string `json:"name"`
	Stock figure `json:"stock_mm"`
	May   figure `json:"may_go_mm"`
	Filed figure `json:"filed_share"`
	Mean  figure `json:"mean_mm"`
	P95   figure `json:"most_in_95_of_100_mm"`
}

type dimensionReport struct {
	Name     string `json:"name"`
	Half     figure `json:"tolerance_half_mm"`
	Variance figure `json:"greatest_share_of_variance"`
	Of       string `json:"of"`
	Saves    figure `json:"saves_share"`
}

func benchOf(r *fit.Result) *benchReport {
	if r == nil {
		return nil
	}
	return &benchReport{
		Castings: r.Samples, Seed: r.Seed, AsCast: gram(r.AsCast.Value), Fileable: gram(r.Fileable.Value), Kept: gram(r.Kept.Value),
		TooLoose: gram(r.TooLoose.Value), TooTight: gram(r.TooTight.Value), Conflict: gram(r.Conflict.Value), Dearest: r.Dearest,
		Clearances: each(r.Clearances, func(c fit.ClearanceResult) clearanceReport {
			return clearanceReport{c.Name, mm(c.Finished), mm(c.Least), mm(c.Most), mm(c.Cast), mm(c.Low), mm(c.High), mm(c.SD), mm(c.FiledLow), mm(c.FiledHigh)}
		}),
		Surfaces: each(r.Surfaces, func(s fit.SurfaceResult) surfaceReport {
			return surfaceReport{s.Name, mm(s.Stock), mm(s.May), gram(s.Filed.Value), mm(s.Mean), mm(s.P95)}
		}),
		Dimensions: each(r.Dimensions, func(d fit.DimensionResult) dimensionReport {
			return dimensionReport{d.Name, mm(d.Half), gram(d.Variance), d.Of, gram(d.Saves)}
		}),
	}
}
