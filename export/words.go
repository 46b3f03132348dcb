package export

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
	"claspwright/params"
)

// resolved finds a key among the values that the job came to.
func resolved(c *model.Commission, key string) (params.Resolved, bool) {
	for _, r := range c.Resolved {
		if r.Key == key {
			return r, true
		}
	}
	return params.Resolved{}, false
}

// text is the value of a key that holds words, "" if there is none.
func text(c *model.Commission, key string) string {
	r, _ := resolved(c, key)
	return r.Text
}

// number is the value of a key that holds a number, NaN if there is none.
func number(c *model.Commission, key string) float64 {
	if r, ok := resolved(c, key); ok && !r.IsText {
		return r.Number
	}
	return math.NaN()
}

// short writes a number with at most so many decimals, without trailing zeros.
func short(v float64, decimals int) string {
	if math.IsNaN(v) {
		return "not given"
	}
	return strconv.FormatFloat(float64(round(v, decimals)), 'f', -1, 64)
}

// chain names the chain that the lock is made for: "12.4 x 5.2 mm, flat".
func chain(c *model.Commission) string {
	size := short(number(c, "chain.width"), 3) + " x " + short(number(c, "chain.thickness"), 3) + " mm"
	if crown := number(c, "chain.crown"); crown > 0 {
		return size + ", crown radius " + short(crown, 3) + " mm"
	}
	return size + ", flat"
}

// metals names what box and tongue are made of.
func metals(c *model.Commission) string {
	box, tongue := text(c, "metal.alloy"), text(c, "tongue.alloy")
	if tongue == "" || tongue == box {
		return box
	}
	return box + ", tongue of " + tongue
}

// growth says by how much the pattern is larger than the casting.
func growth(c *model.Commission) string {
	all := number(c, "casting.growth")
	axis := [3]float64{number(c, "casting.growth_x"), number(c, "casting.growth_y"), number(c, "casting.growth_z")}
	for i, v := range axis {
		if math.IsNaN(v) {
			axis[i] = all
		}
	}
	if axis[0] == axis[1] && axis[1] == axis[2] {
		return short(axis[0], 4)
	}
	return fmt.Sprintf("%s along x, %s along y, %s along z", short(axis[0], 4), short(axis[1], 4), short(axis[2], 4))
}

// size is the box round a part, "20.1 x 12.4 x 5.2 mm".
func size(m *contour.Mesh) string {
	lo, hi := contour.Bounds(m)
	return fmt.Sprintf("%.2f x %.2f x %.2f mm", hi.X-lo.X, hi.Y-lo.Y, hi.Z-lo.Z)
}

// at gives the parts of one stage that have a mesh.
func at(c *model.Commission, stage clasp.Stage) []model.Part {
	var parts []model.Part
	for _, p := range c.Parts {
		if p.Stage == stage && p.Mesh != nil {
			parts = append(parts, p)
		}
	}
	return parts
}

// tally counts findings by grade, the harmless first: "12 ok, 1 caution".
func tally(fs []finding.Finding) string {
	var words []string
	for _, g := range []finding.Grade{finding.OK, finding.Note, finding.Caution, finding.Stop} {
		n := 0
		for _, f := range fs {
			if f.Grade == g {
				n++
			}
		}
		if n > 0 {
			words = append(words, fmt.Sprintf("%d %s", n, g))
		}
	}
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ", ")
}

// held writes what was measured against its limit: "0.5 mm, at least 0.4 mm". The margin's sign tells which side is safe.
func held(f finding.Finding) string {
	if numberless(f) {
		return ""
	}
	side, over := "at least", f.Measured-f.Limit
	switch {
	case f.Margin == 0:
		side = "limit"
	case math.Abs(f.Margin+over) < math.Abs(f.Margin-over):
		side = "at most"
	}
	n := decimalsOf(f.Unit)
	if f.Limit == 0 && f.Margin == 0 {
		return fmt.Sprintf("%s %s", short(f.Measured, n), f.Unit)
	}
	return fmt.Sprintf("%s %s, %s %s %s", short(f.Measured, n), f.Unit, side, short(f.Limit, n), f.Unit)
}

// decimalsOf is how many decimals mean something at the bench.
func decimalsOf(unit string) int {
	switch unit {
	case "MPa":
		return 0
	case "N", "%", "mJ":
		return 1
	}
	return 3
}

// stated is a finding in one line. One that measured nothing has no numbers to show.
func stated(f finding.Finding) string {
	if numberless(f) {
		return f.Check + ": " + f.Say
	}
	return f.Check + ", " + held(f) + ": " + f.Say
}

func numberless(f finding.Finding) bool { return f.Measured == 0 && f.Limit == 0 && f.Margin == 0 }

// wrap breaks text into lines of at most so many letters.
func wrap(s string, width int) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(s) {
		switch {
		case line == "":
			line = w
		case len(line)+1+len(w) > width:
			lines, line = append(lines, line), w
		default:
			line += " " + w
		}
	}
	return append(lines, line)
}
