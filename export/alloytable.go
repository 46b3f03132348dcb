package export

import (
	"fmt"
	"io"
	"strings"

	"claspwright/model/metal"
	"claspwright/params"
)

// marksOfKinds stand behind a value and tell where it comes from.
var marksOfKinds = map[string]string{params.Published: "", params.Memory: "~", params.Practice: "*"}

// WriteAlloys writes the alloy table: composition, density and whether it was measured, fineness, melting range and
// strength by condition, as far as each is known.
func WriteAlloys(w io.Writer, alloys []params.Alloy) error {
	var b strings.Builder
	b.WriteString("values without a sign were read in print, ~ from memory of the source, * common practice, no source; what is not listed is not known\n")
	for _, a := range alloys {
		fmt.Fprintf(&b, "%-15s %s; %s; %.2f g/cm3, %s%s\n", a.ID, called(a), composed(a), metal.Density(a), densityKind(a), melting(a))
		for _, c := range params.Conditions() {
			if s, ok := params.Strength(a, c); ok {
				fmt.Fprintf(&b, "%-15s   %s: %s\n", "", c, strengthText(s))
			}
		}
		if s, _ := params.Strength(a, ""); s.Modulus.Known() {
			fmt.Fprintf(&b, "%-15s   any condition: E %g GPa%s\n", "", s.Modulus.Value, marksOfKinds[s.Modulus.Kind])
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func called(a params.Alloy) string {
	if a.Base() {
		return "base metal for a trial casting, no fineness"
	}
	return fmt.Sprintf("%s %g, %s", a.Metal, a.Fineness, a.Colour)
}

// composed writes the parts as a job may give them.
func composed(a params.Alloy) string {
	parts := make([]string, len(a.Parts))
	for i, p := range a.Parts {
		parts[i] = fmt.Sprintf("%s %g", p.Element, p.Percent)
	}
	return strings.Join(parts, ", ")
}

func densityKind(a params.Alloy) string {
	if a.Density > 0 {
		return "measured"
	}
	return "mixed"
}

func melting(a params.Alloy) string {
	m := a.Melting
	switch {
	case m.Kind == "":
		return ""
	case m.Solidus == m.Liquidus:
		return fmt.Sprintf("; melts at %g C%s", m.Solidus, marksOfKinds[m.Kind])
	}
	return fmt.Sprintf("; melts %g to %g C%s", m.Solidus, m.Liquidus, marksOfKinds[m.Kind])
}

func strengthText(s params.Strengths) string {
	var known []string
	for _, v := range []struct {
		name, unit string
		f          params.Figure
	}{{"Rp0.2", " MPa", s.Yield}, {"UTS", " MPa", s.Tensile}, {"HV", "", s.Hardness}} {
		if v.f.Known() {
			known = append(known, fmt.Sprintf("%s %g%s%s", v.name, v.f.Value, v.unit, marksOfKinds[v.f.Kind]))
		}
	}
	return strings.Join(known, ", ")
}

// WriteAlloysJSON writes the alloy table for programs, each value with its source.
func WriteAlloysJSON(w io.Writer, alloys []params.Alloy) error {
	return writeJSON(w, object{{"schema_version", schemaVersion}, {"tool", signature()}, {"alloys", each(alloys, alloyRow)}})
}

func alloyRow(a params.Alloy) object {
	row := object{{"alloy", a.ID}, {"metal", a.Metal}, {"trial_casting", a.Base()}, {"fineness_ppt", figure(a.Fineness)}, {"colour", a.Colour},
		{"composition", composed(a)}, {"density_g_cm3", gram(metal.Density(a))}, {"density_kind", densityKind(a)}}
	if m := a.Melting; m.Kind != "" {
		row = append(row, entry{"melting", object{{"solidus_c", figure(m.Solidus)}, {"liquidus_c", figure(m.Liquidus)}, {"kind", m.Kind}}})
	}
	strengths := []object{}
	for _, c := range params.Conditions() {
		if s, ok := params.Strength(a, c); ok {
			strengths = append(strengths, strengthRow(s))
		}
	}
	row = append(row, entry{"strength", strengths})
	if s, _ := params.Strength(a, ""); s.Modulus.Known() {
		row = append(row, entry{"youngs_gpa", sourced(s.Modulus)})
	}
	return append(row, entry{"source", a.Source})
}

func strengthRow(s params.Strengths) object {
	row := object{{"condition", s.Condition}}
	for _, v := range []struct {
		name string
		f    params.Figure
	}{{"yield_mpa", s.Yield}, {"tensile_mpa", s.Tensile}, {"hardness_hv", s.Hardness}} {
		if v.f.Known() {
			row = append(row, entry{v.name, sourced(v.f)})
		}
	}
	return row
}

func sourced(f params.Figure) object {
	return object{{"value", figure(f.Value)}, {"kind", f.Kind}, {"source", f.Source}}
}
