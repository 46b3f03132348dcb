package params

import (
	"fmt"
	"math"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// Unit is one row of the unit table.
type Unit struct {
	Name   string // as it is written behind a number
	Of     string // what it measures: "length", "mass", "angle", "percentage"
	Base   string // the unit that lengths, masses and so on have inside
	Exact  string // how many Base one Unit is, an exact decimal
	Source string
}

const (
	handbook = "NIST Handbook 44, appendix C"
	si       = "SI Brochure, 9th edition"
)

var units = []Unit{
	{"mm", "length", "mm", "1", si},
	{"um", "length", "mm", "0.001", si},
	{"in", "length", "mm", "25.4", handbook},
	{"g", "mass", "g", "1", si},
	{"gr", "mass", "g", "0.06479891", handbook},
	{"dwt", "mass", "g", "1.55517384", handbook},
	{"ozt", "mass", "g", "31.1034768", handbook},
	{"ct", "mass", "g", "0.2", handbook},
	{"deg", "angle", "deg", "1", si},
	{"%", "percentage", "%", "1", si},
	{"N", "force", "N", "1", si},
	{"MPa", "stress", "MPa", "1", si},
	{"kgf", "force", "N", "9.80665", "NIST Special Publication 811, appendix B"},
}

// Units is the unit table.
func Units() []Unit { return append([]Unit(nil), units...) }

func unitNamed(name string) (Unit, bool) {
	if name == "µm" || name == "μm" { // micro sign and Greek letter
		name = "um"
	}
	for _, u := range units {
		if u.Name == name {
			return u, true
		}
	}
	return Unit{}, false
}

// measure names what a key's unit measures, with its article.
func measure(unit string) string {
	switch u, _ := unitNamed(unit); u.Of {
	case "":
		return "a plain number"
	case "angle":
		return "an angle"
	default:
		return "a " + u.Of
	}
}

// unitsFor lists the units that a key with the given unit may be written in: "mm, um or in".
func unitsFor(unit string) string {
	own, _ := unitNamed(unit)
	var names []string
	for _, u := range units {
		if u.Of == own.Of {
			names = append(names, u.Name)
		}
	}
	return either(names)
}

var (
	decimal      = regexp.MustCompile(`^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?`)
	comma        = regexp.MustCompile(`^[+-]?\d*,\d`)
	unmeasurable = regexp.MustCompile(`(?i)^[+-]?(nan|inf(inity)?)\b`)
)

// longest number that is read; a caliper has five digits.
const maxDigits = 60

// quantity reads a number with or without a unit, such as "12.4", "0.5 in" or "12dwt", and gives it in the wanted unit:
// the double nearest to the exact product. A number without a unit has the wanted one. Units are those of the unit
// table; unit "" takes no unit at all.
func quantity(text, unit string) (float64, *fault) {
	s := strings.TrimSpace(text)
	if s == "" {
		return 0, &fault{say: "is empty", hint: "write a number" + unitHint(unit)}
	}
	if unmeasurable.MatchString(s) {
		return 0, &fault{say: "is not a number that can be measured"}
	}
	if comma.MatchString(s) {
		return 0, &fault{say: "has a decimal comma", hint: "write " + shorten(strings.Replace(s, ",", ".", 1)) + ", with a decimal point"}
	}
	digits := decimal.FindString(s)
	if digits == "" || len(digits) > maxDigits {
		return 0, &fault{say: "is not a number", hint: "write a number" + unitHint(unit)}
	}
	return convert(digits, strings.TrimSpace(s[len(digits):]), unit)
}

func unitHint(unit string) string {
	if unit == "" {
		return " without a unit"
	}
	return fmt.Sprintf(" in %s, or one with its unit (%s)", unit, unitsFor(unit))
}

// convert gives digits, written in the unit from, in the unit to.
func convert(digits, from, to string) (float64, *fault) {
	if from == "" {
		return float(digits), nil
	}
	u, ok := unitNamed(from)
	if !ok {
		return 0, &fault{say: fmt.Sprintf("has a unit that is not known here, %q", from), hint: "write a number" + unitHint(to)}
	}
	if to == "" {
		return 0, &fault{say: fmt.Sprintf("is a %s; a plain number is expected", u.Of), hint: "write it without a unit"}
	}
	if u.Base != to {
		return 0, &fault{say: fmt.Sprintf("is %s; %s is expected (%s)", measure(u.Name), measure(to), unitsFor(to))}
	}
	return exactly(digits, u.Exact), nil
}

// float is the nearest double; what is too large is infinite, and out of every range.
func float(digits string) float64 {
	v, _ := strconv.ParseFloat(digits, 64) // the only error is one of range, and then v is infinite
	return v
}

// exactly multiplies two decimals without rounding before the end.
func exactly(digits, factor string) float64 {
	if v := math.Abs(float(digits)); v < 1e-30 || v > 1e30 {
		return float(digits) * float(factor) // out of every range anyway, and the exact product could be huge
	}
	x, ok := new(big.Rat).SetString(digits)
	f, ok2 := new(big.Rat).SetString(factor)
	if !ok || !ok2 {
		return float(digits) * float(factor)
	}
	v, _ := x.Mul(x, f).Float64()
	return v
}
