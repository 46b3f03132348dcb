package main

import (
	"fmt"
	"regexp"
	"strconv"

	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/model"
	"claspwright/params"
)

var flaskForm = regexp.MustCompile(`^(\d{1,3}(?:\.\d+)?)x(\d{1,3}(?:\.\d+)?)$`)

// Flasks are refused outside of these, mm: a slip of the keyboard.
const leastFlask, mostFlask = 20, 400

func (s *session) treeCommand() *cobra.Command {
	var flask string
	var sets []string
	var pieces int
	cmd := &cobra.Command{
		Use:   "tree RUN.toml",
		Short: "Plan the casting trees of a size run: locks per flask, metal by alloy",
		Long: `Tree finds how many castings of a run go into a flask, how many flasks each alloy
takes, and how much metal is melted for them: castings, gates, trunks, buttons,
loss, and an eighth for safety. Nothing is written.

A run file is a job file whose keys may have several values; a job file is a run of
one lock. --pieces casts each lock so many times.`,
		Example: "  claspwright tree sizes.toml --flask 80x100",
	}
	f := cmd.Flags()
	f.StringVar(&flask, "flask", "80x100", "inside of the flask, diameter x height, `mm`")
	f.IntVar(&pieces, "pieces", 1, "how many of each lock")
	f.StringArrayVar(&sets, "set", nil, "override a key in all locks, as in `key=value`; may be repeated, the last counts")
	f.BoolVar(&s.json, "json", false, "print one JSON document instead of the table, errors too")
	f.SortFlags = false
	cmd.Args = func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return &usageError{say: fmt.Sprintf("tree takes one run file, not %d", len(args)), hint: "write claspwright tree sizes.toml --flask 80x100"}
		}
		return nil
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return s.tree(cmd, args[0], flask, pieces, sets) }
	return cmd
}

func (s *session) tree(cmd *cobra.Command, path, flask string, pieces int, sets []string) error {
	diameter, height, err := flaskOf(flask)
	if err != nil {
		return err
	}
	if pieces < 1 || pieces > 1000 {
		return &usageError{say: fmt.Sprintf("--pieces %d is not 1 to 1000", pieces), hint: "leave it out for one of each"}
	}
	run, err := params.LoadRun(path, sets)
	if err != nil {
		return err
	}
	var jobs []*params.Job
	for _, j := range run.Jobs() {
		if j.Err != nil {
			return j.Err
		}
		jobs = append(jobs, j.Job)
	}
	g, err := model.Plant(cmd.Context(), jobs, pieces, diameter, height)
	if err != nil {
		return err
	}
	if s.json {
		return export.WriteGroveJSON(s.out, g)
	}
	return export.WriteGrove(s.out, g)
}

// flaskOf reads diameter x height.
func flaskOf(text string) (diameter, height float64, err error) {
	m := flaskForm.FindStringSubmatch(text)
	if m == nil {
		return 0, 0, &usageError{say: "--flask " + quote(text) + " is not diameter x height in mm", hint: "write --flask 80x100"}
	}
	diameter, _ = strconv.ParseFloat(m[1], 64) // the pattern takes nothing that does not parse
	height, _ = strconv.ParseFloat(m[2], 64)
	if min(diameter, height) < leastFlask || max(diameter, height) > mostFlask {
		return 0, 0, &usageError{say: fmt.Sprintf("--flask %s is outside %d to %d mm", text, leastFlask, mostFlask), hint: "write the inside of the flask in mm, such as 80x100"}
	}
	return diameter, height, nil
}
