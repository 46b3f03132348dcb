package export

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"claspwright/model"
)

var alongAxis = [3]string{"along the chain", "across the chain", "through the thickness"}

// WriteNames lists what can be read of a job's castings, with the sizes of pattern and casting, mm, and weights, g.
func WriteNames(w io.Writer, c *model.Caliper) error {
	var b strings.Builder
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "dimension\tpattern\tas cast\tfinished\taxis\twhere")
	for _, m := range c.Measure {
		fmt.Fprintf(t, "%s\t%.3f\t%.3f\t%.3f\t%s\t%s\n", m.Name, m.Pattern, m.Casting, m.Finished(), "xyz"[m.Axis:m.Axis+1], m.Say)
	}
	for _, g := range c.Weight {
		fmt.Fprintf(t, "%s\t\t%.3f g\t\t\tgates cut off\n", g.Name, g.Gram)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// WriteTemplate writes a file of readings to be filled in, for so many pieces.
func WriteTemplate(w io.Writer, c *model.Caliper, pieces int) error {
	var b strings.Builder
	b.WriteString("# The day goes on a line of its own, such as: # date: 2026-03-01\n# Readings of castings as they came back, gates cut off, nothing filed: mm, weights in g. Leave empty what was not read.\n")
	b.WriteString("piece,dimension,reading\n")
	for n := 1; n <= pieces; n++ {
		for _, name := range c.Names() {
			fmt.Fprintf(&b, "%d,%s,\n", n, name)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// WriteLearned says what was found, in words and numbers for people. wrote is the file of the new profile, "" for none.
func WriteLearned(w io.Writer, l *model.Learned, wrote string) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%d readings of %d castings, %d used; scatter of a reading %.3f mm (%.3f to %.3f)\n\n", len(l.Fit.Residuals), l.Pieces, l.Fit.Used, l.Fit.Scatter, l.Fit.ScatterLow, l.Fit.ScatterTop)
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "value\treadings\tprofile has\tfound\t95 % interval\tchance if unchanged\tprofile should have")
	for i, g := range l.Growth {
		fmt.Fprintf(t, "growth %s\t%d\t%.4f\t%.4f\t%.4f to %.4f\t%s\t%s\n", alongAxis[l.Fit.Growth[i].Axis], g.Readings, g.Was, g.Found, g.Low, g.High, chance(g.Chance), should(g, 4, l.House))
	}
	for _, s := range l.Stock {
		fmt.Fprintf(t, "%s, mm more than drawn\t%d\t%.3f drawn\t%+.3f\t%+.3f to %+.3f\t%s\t%s\n", s.Key, s.Readings, s.Was, s.Found, s.Low, s.High, chance(s.Chance), should(s, 3, false))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	b.WriteByte('\n')
	for _, line := range learnedLines(l) {
		fmt.Fprintln(&b, line)
	}
	switch {
	case wrote != "":
		fmt.Fprintf(&b, "%s is written: the values it had before are kept in it with their day\n", wrote)
	case len(l.Settings) > 0:
		b.WriteString("nothing is written: -o FILE writes the profile anew\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func chance(p float64) string {
	if p < 0.0001 {
		return "below 0.0001"
	}
	return fmt.Sprintf("%.4f", p)
}

// should is what the profile should have.
func should(c model.Change, decimals int, house bool) string {
	switch {
	case !c.Significant:
		return "stays"
	case house:
		return "ask the house"
	case c.Cut:
		return fmt.Sprintf("%.*f, the nearest allowed", decimals, c.New)
	}
	return fmt.Sprintf("%.*f", decimals, c.New)
}

// lighter is by what share a casting must weigh less before it is told: densities of alloys are known no better than to 1 %.
const lighter = 0.02

// learnedLines are what there is to say beside the table.
func learnedLines(l *model.Learned) (out []string) {
	if l.Chance > 0.05 {
		out = append(out, fmt.Sprintf("the readings agree with the profile: F-test of all values together, chance %.2f; growth and stock stay", l.Chance))
	} else {
		out = append(out, fmt.Sprintf("the readings do not agree with the profile: F-test of all values together, chance %s; what must change is found with the rest held", chance(l.Chance)))
	}
	if len(l.Fit.Held) > 0 {
		out = append(out, "not to be told apart by these readings, and taken as drawn: stock of "+strings.Join(l.Fit.Held, ", ")+"; read more dimensions or pieces")
	}
	if l.House {
		out = append(out, "the house scales: growth is what its own scaling leaves; tell it to scale by so much more or less")
	}
	for _, o := range l.Odd {
		out = append(out, fmt.Sprintf("outlier, left out: line %d, piece %s, %s: read %.3f mm, the others let expect %.3f; chance %s; read it again", o.Line, o.Piece, o.Name, o.Value, o.Expected, chance(o.Chance)))
	}
	switch {
	case l.Grade == 0:
		out = append(out, "the scatter is coarser than DCTG 10 of ISO 8062-3, or there are too few readings to say less: look for a slip of the caliper, or another caster")
	case l.Grade != l.WasGrade:
		s := fmt.Sprintf("casting.grade: DCTG %d of ISO 8062-3 holds 95 %% of readings at the greatest scatter that is likely; the profile has %d", l.Grade, l.WasGrade)
		if l.Grade < l.WasGrade {
			s += ", which stays: a few castings do not show what another pour does"
		}
		out = append(out, s)
	}
	for _, g := range l.Weights {
		s := fmt.Sprintf("%s: %.3f g, %+.1f %% of %.3f g", g.Name, g.Mean, 100*(g.Mean/g.Expected-1), g.Expected)
		if !math.IsNaN(g.Low) {
			s += fmt.Sprintf(" (95 %%: %.3f to %.3f g, %d castings)", g.Low, g.High, g.Pieces)
		}
		if g.High < (1-lighter)*g.Expected {
			s += "; lighter than its volume: pores, or less metal than drawn"
		}
		out = append(out, s)
	}
	return append(out, "the caliper's own error is in the scatter, a zero that is off in the stock: check it on a gauge block")
}

type learnedReport struct {
	SchemaVersion int              `json:"schema_version"`
	Tool          string           `json:"tool"`
	Readings      int              `json:"readings"`
	Castings      int              `json:"castings"`
	Used          int              `json:"used"`
	Scatter       [3]figure        `json:"scatter_mm"` // found, and the ends of its interval
	Chance        figure           `json:"chance_if_unchanged"`
	Values        []changeReport   `json:"values"`
	Held          []string         `json:"held"`
	Outliers      []outlierReport  `json:"outliers"`
	Grade         int              `json:"grade"`
	Weights       []weighingReport `json:"weights"`
	HouseScales   bool             `json:"house_scales"`
	Profile       object           `json:"profile_changes"`
}

type changeReport struct {
	Key         string `json:"key"`
	Readings    int    `json:"readings"`
	Was         figure `json:"was"`
	Found       figure `json:"found"`
	Low         figure `json:"low"`
	High        figure `json:"high"`
	Chance      figure `json:"chance_if_unchanged"`
	Significant bool   `json:"significant"`
	New         figure `json:"new"`
}

type outlierReport struct {
	Line      int    `json:"line"`
	Piece     string `json:"piece"`
	Dimension string `json:"dimension"`
	Read      figure `json:"read_mm"`
	Expected  figure `json:"expected_mm"`
	Chance    figure `json:"chance"`
}

type weighingReport struct {
	Name     string `json:"name"`
	Castings int    `json:"castings"`
	Expected figure `json:"expected_g"`
	Mean     figure `json:"mean_g"`
	Low      figure `json:"low_g"`
	High     figure `json:"high_g"`
}

// WriteLearnedJSON is the same as one JSON document.
func WriteLearnedJSON(w io.Writer, l *model.Learned) error {
	r := learnedReport{SchemaVersion: schemaVersion, Tool: signature(), Readings: len(l.Fit.Residuals), Castings: l.Pieces, Used: l.Fit.Used,
		Scatter: [3]figure{mm(l.Fit.Scatter), mm(l.Fit.ScatterLow), mm(l.Fit.ScatterTop)}, Chance: mm(l.Chance), Held: append([]string{}, l.Fit.Held...),
		Outliers: []outlierReport{}, Grade: l.Grade, Weights: []weighingReport{}, HouseScales: l.House}
	for _, c := range append(append([]model.Change{}, l.Growth...), l.Stock...) {
		r.Values = append(r.Values, changeReport{c.Key, c.Readings, mm(c.Was), mm(c.Found), mm(c.Low), mm(c.High), mm(c.Chance), c.Significant, mm(c.New)})
	}
	for _, o := range l.Odd {
		r.Outliers = append(r.Outliers, outlierReport{o.Line, o.Piece, o.Name, mm(o.Value), mm(o.Expected), mm(o.Chance)})
	}
	for _, g := range l.Weights {
		r.Weights = append(r.Weights, weighingReport{g.Name, g.Pieces, gram(g.Expected), gram(g.Mean), gram(g.Low), gram(g.High)})
	}
	r.Profile = object{}
	for _, s := range l.Settings {
		r.Profile = append(r.Profile, entry{s.Key, mm(s.Number)})
	}
	data, err := pretty(r)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
