package main

import (
	"errors"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// flagError turns what the flag reader says into our form, with the nearest flag for one that does not exist.
func flagError(cmd *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var bare *pflag.ValueRequiredError
	switch {
	case errors.As(err, &unknown):
		return unknownFlag(cmd, unknown.GetSpecifiedName())
	case errors.As(err, &bare):
		return &usageError{say: dashed(bare.GetSpecifiedName()) + " needs a value", hint: "see " + cmd.CommandPath() + " --help"}
	}
	return &usageError{say: err.Error(), hint: "see " + cmd.CommandPath() + " --help"}
}

func unknownFlag(cmd *cobra.Command, name string) error {
	var known []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
	e := &usageError{say: cmd.Name() + " has no flag " + dashed(name), hint: "see " + cmd.CommandPath() + " --help"}
	if near := nearest(name, known); near != "" {
		e.hint = "did you mean --" + near + "?"
	} else if strings.Contains(name, ".") {
		e.hint = "keys are given with --set, as in --set " + name + "=..."
	}
	return e
}

func dashed(name string) string {
	if len(name) == 1 {
		return "-" + name
	}
	return "--" + name
}

// nearest is the word that takes the fewest edits to reach, "" if that is more than half of what was typed. The first
// of equals counts.
func nearest(typed string, words []string) string {
	best, least := "", len(typed)+1
	for _, w := range words {
		if d := edits(typed, w); d < least && 2*d <= len(typed) {
			best, least = w, d
		}
	}
	return best
}

// edits counts letters to put in, take out or change (Levenshtein).
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
