// Package finding is what every check returns: what was measured, against which limit, how grave it is, where, and
// what to change.
package finding

import "gonum.org/v1/gonum/spatial/r3"

// Grade says how grave a finding is.
type Grade string

// The grades, from harmless to fatal. A Stop means that the lock would not work.
const (
	OK      Grade = "ok"
	Note    Grade = "note"
	Caution Grade = "caution"
	Stop    Grade = "stop"
)

// Finding is the result of one check.
type Finding struct {
	Check    string  // what was checked, two or three words
	Grade    Grade   // how grave
	Measured float64 // in Unit
	Limit    float64 // in Unit; Measured is held against it
	Margin   float64 // in Unit; positive when the limit is kept
	Unit     string  // "mm", "g", ...
	At       r3.Vec  // where, in the lock's frame, mm
	Say      string  // one sentence a goldsmith understands: what it means and what to change
}

// AtLeast makes a finding of a value that must not fall below a limit. The grade is OK when it does not, else bad.
func AtLeast(check, unit string, measured, limit float64, at r3.Vec, bad Grade, say string) Finding {
	f := Finding{Check: check, Grade: OK, Measured: measured, Limit: limit, Margin: measured - limit, Unit: unit, At: at, Say: say}
	if f.Margin < -Slack {
		f.Grade = bad
	}
	return f
}

// AtMost makes a finding of a value that must not exceed a limit.
func AtMost(check, unit string, measured, limit float64, at r3.Vec, bad Grade, say string) Finding {
	f := AtLeast(check, unit, -measured, -limit, at, bad, say)
	f.Measured, f.Limit = measured, limit
	return f
}

// Slack is how far a measured value may miss its limit by rounding alone, in the unit of the finding: lengths are
// measured by tracing the distance field to 1e-6 mm, and a dimension that sits exactly at its limit is kept.
const Slack = 2e-5

// Worst is the gravest grade among the findings, OK when there is none.
func Worst(fs []Finding) Grade {
	rank := map[Grade]int{OK: 0, Note: 1, Caution: 2, Stop: 3}
	worst := OK
	for _, f := range fs {
		if rank[f.Grade] > rank[worst] {
			worst = f.Grade
		}
	}
	return worst
}
