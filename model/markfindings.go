package model

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/finding"
	"claspwright/params"
)

// marks are remarks on the alloys of box and tongue: which fineness can be marked, nickel on the skin. They have
// no limit to measure against, so their numbers stand in the sentence.
func (c *Commission) marks() ([]finding.Finding, error) {
	own, err := c.ownAlloys()
	if err != nil {
		return nil, err
	}
	at := r3.Vec{X: -c.Lock.Block / 2, Z: c.Lock.Thickness}
	leaf, err := c.stripAlloy()
	if err != nil {
		return nil, err
	}
	out := markOf(own[0], lesser(own[0], own[1], leaf))
	all := append(own[:], leaf)
	out = append(out, skin(all)...)
	for i := range out {
		out[i].At = at
	}
	return out, nil
}

// lesser is the alloy of tongue and strip that hinders the box's mark more: base metal, another metal, the lower fineness.
func lesser(box, tongue, strip params.Alloy) params.Alloy {
	hinders := func(a params.Alloy) (base, other bool) { return a.Base(), a.Metal != box.Metal }
	tb, to := hinders(tongue)
	sb, so := hinders(strip)
	if sb && !tb || sb == tb && (so && !to || so == to && strip.Fineness < tongue.Fineness) {
		return strip
	}
	return tongue
}

// office is said wherever a mark is spoken of.
const office = "the assay office of the country of sale decides"

// markOf is what can be marked on a lock of these alloys. An article is marked only if all its parts reach the standard
// (Hallmarking Act 1973, section 4, United Kingdom); one metal of two finenesses is marked with the lower.
func markOf(box, tongue params.Alloy) []finding.Finding {
	switch {
	case box.Base() && tongue.Base():
		return remark("mark", finding.Note, "trial casting of base metal: it has no fineness and takes no mark; use it to try fit and action, never sell it as gold or silver")
	case box.Base() || tongue.Base():
		return remark("mark", finding.Caution, "one half is of base metal: the lock cannot be marked, since all parts must reach the fineness (Hallmarking Act 1973, s. 4, United Kingdom); "+office)
	case box.Metal != tongue.Metal:
		return twoMetals(box, tongue)
	}
	return oneMetal(box, tongue)
}

func oneMetal(box, tongue params.Alloy) []finding.Finding {
	low := min(box.Fineness, tongue.Fineness)
	marked := params.Marked(box.Metal, low)
	says := ""
	if box.Fineness != tongue.Fineness {
		says = fmt.Sprintf("box %.4g, tongue %.4g: the lower fineness governs, %.4g; ", box.Fineness, tongue.Fineness, low)
	}
	switch {
	case marked == 0:
		return remark("mark", finding.Caution, fmt.Sprintf("%s%.4g %s is below the least standard of the United Kingdom, %g, and cannot be marked there; %s",
			says, low, box.Metal, params.LeastStandard(box.Metal), office))
	case marked == low && box.ID == tongue.ID:
		return nil
	}
	return remark("mark", finding.Note, fmt.Sprintf("%sin the United Kingdom the lock can be marked %g; %s", says, marked, office))
}

// twoMetals follows SI 2007/872 of the United Kingdom: each metal at least of its least standard, the metals told apart by
// their colour, the mark on the least precious.
func twoMetals(box, tongue params.Alloy) []finding.Finding {
	short := ""
	for _, a := range []params.Alloy{box, tongue} {
		if least := params.LeastStandard(a.Metal); a.Fineness < least {
			short += fmt.Sprintf("%.4g %s is below the least standard, %g; ", a.Fineness, a.Metal, least)
		}
	}
	return remark("mark", finding.Caution, fmt.Sprintf("box of %.4g %s, tongue of %.4g %s; %sUnited Kingdom (SI 2007/872): each must reach its least standard, "+
		"be told apart by colour, and the mark is that of the least precious; %s", box.Fineness, box.Metal, tongue.Fineness, tongue.Metal, short, office))
}

// skin warns of nickel.
func skin(own []params.Alloy) []finding.Finding {
	for _, a := range own {
		if ni := a.Holds("Ni"); ni > 0 {
			return remark("nickel", finding.Caution, fmt.Sprintf("%s holds %g %% nickel: at most 0.5 ug/cm2 a week may come off on the skin "+
				"(REACH Annex XVII entry 27), tested by EN 1811", a.ID, ni))
		}
	}
	return nil
}

func remark(check string, grade finding.Grade, say string) []finding.Finding {
	return []finding.Finding{{Check: check, Grade: grade, Say: say}}
}
