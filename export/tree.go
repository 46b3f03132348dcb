package export

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"claspwright/model"
)

// WriteGrove tells how the castings of many locks go into flasks, and what is melted for them.
func WriteGrove(w io.Writer, g *model.Grove) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%d locks in flasks of %g x %g mm; each alloy is cast apart\n\n", g.Locks, g.Flask.Diameter, g.Flask.Height)
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "alloy\tcastings\ta flask holds\tflasks\tcastings, g\tgates\ttrunks\tbuttons\tloss\tsafety\tto melt, g\tfine, g\t")
	for _, a := range g.Trees {
		fmt.Fprintf(t, "%s\t%d\t%d\t%d\t%.2f\t%.2f\t%.2f\t%.2f\t%.2f\t%.2f\t%.2f\t%.2f\t\n", a.Alloy.ID, a.Castings, a.Tree.Places, a.Flasks, a.CastingG, a.GatesG, a.TrunksG, a.ButtonsG, a.LossG, a.SafetyG, a.MeltG, a.FineG)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, a := range g.Trees {
		fmt.Fprintf(&b, "\n%s: %d rows of %d round a trunk of 8 mm, %.0f mm long; rows as high and wide as the largest part", a.Alloy.ID, a.Tree.Rows, a.Tree.InARow, a.Tree.TrunkLength)
	}
	b.WriteString("\n\nAn estimate: the caster plants the tree. An eighth over what is poured is melted so that no flask runs short; it comes back.\n" +
		"Molten metal and hot flasks burn, a damp flask explodes: face shield, gloves, dry tools; local codes and the caster's practice go before this.\n")
	_, err := io.WriteString(w, b.String())
	return err
}

type groveReport struct {
	SchemaVersion int          `json:"schema_version"`
	Tool          string       `json:"tool"`
	Locks         int          `json:"locks"`
	Flask         [2]figure    `json:"flask_mm"` // diameter, height
	Trees         []treeReport `json:"trees"`
}

type treeReport struct {
	Alloy    string `json:"alloy"`
	Castings int    `json:"castings"`
	Rows     int    `json:"rows"`
	InARow   int    `json:"in_a_row"`
	Flasks   int    `json:"flasks"`
	CastingG figure `json:"castings_g"`
	GatesG   figure `json:"gates_g"`
	TrunksG  figure `json:"trunks_g"`
	ButtonsG figure `json:"buttons_g"`
	LossG    figure `json:"loss_g"`
	SafetyG  figure `json:"safety_g"`
	MeltG    figure `json:"melt_g"`
	FineG    figure `json:"fine_g"`
}

// WriteGroveJSON is the same as one JSON document.
func WriteGroveJSON(w io.Writer, g *model.Grove) error {
	r := groveReport{schemaVersion, signature(), g.Locks, [2]figure{mm(g.Flask.Diameter), mm(g.Flask.Height)}, []treeReport{}}
	for _, a := range g.Trees {
		r.Trees = append(r.Trees, treeReport{a.Alloy.ID, a.Castings, a.Tree.Rows, a.Tree.InARow, a.Flasks, gram(a.CastingG), gram(a.GatesG), gram(a.TrunksG),
			gram(a.ButtonsG), gram(a.LossG), gram(a.SafetyG), gram(a.MeltG), gram(a.FineG)})
	}
	data, err := pretty(r)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
