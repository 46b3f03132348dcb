package export

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"claspwright/params"
)

// WriteJob writes every key with its value and where it came from, as a job file that can be used again and
// then gives the same report. What was given, by the job or its caster's profile, stands as a key; what the table or a rule gave stands as a comment, since a
// derived length that is pinned can contradict a width that is then changed.
func WriteJob(w io.Writer, resolved []params.Resolved) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s: the whole job. Plain numbers are in the unit named behind them.\n", signature())
	fmt.Fprintf(&b, "# Lines that begin with # were not given but follow from the key table; take the # away to fix a value.\n\n")
	section := ""
	for _, r := range resolved {
		if head, _, _ := strings.Cut(r.Key, "."); head != section {
			if section != "" {
				b.WriteByte('\n')
			}
			section = head
		}
		fmt.Fprintf(&b, "%-46s # %s\n", jobLine(r), strings.TrimSpace(r.Unit+"  "+oneLine(r.Origin)))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func jobLine(r params.Resolved) string {
	line := r.Key + " = " + jobValue(r)
	if !asked(r) || r.Key == "casting.profile" { // a profile lies beside the first job file; its values stand here instead
		line = "# " + line
	}
	return line
}

// asked says whether a value was given, by the job or its caster's profile.
func asked(r params.Resolved) bool { return r.Origin == "given" || r.Origin == params.ByCaster }

// jobValue keeps a number that was given to its last digit; a derived one is rounded like every other figure.
func jobValue(r params.Resolved) string {
	switch {
	case r.IsText:
		return quoted(r.Text)
	case asked(r):
		return strconv.FormatFloat(r.Number, 'f', -1, 64)
	}
	return strconv.FormatFloat(float64(mm(r.Number)), 'f', -1, 64)
}

// quoted is a TOML basic string. JSON escapes are all TOML escapes too; Go's are not.
func quoted(s string) string {
	text, err := pretty(s)
	if err != nil { // cannot be: every string has a JSON form
		return `""`
	}
	return strings.ReplaceAll(strings.TrimSpace(string(text)), "\x7f", `\u007f`)
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
