package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/model"
	"claspwright/params"
)

// learning is what the flags of learn say.
type learning struct {
	job, date, output string
	names, growthOnly bool
	template          int
}

func (s *session) learnCommand() *cobra.Command {
	var l learning
	cmd := &cobra.Command{
		Use:   "learn READINGS.csv --job JOB.toml",
		Short: "Learn from castings that came back: growth, stock and scatter of a caster",
		Long: `Learn takes caliper readings of castings that came back, and finds by least squares
how much each axis shrank, how much more or less metal stands on each kind of
surface than was drawn, and how far castings scatter, all with their uncertainty.
Readings that do not belong to the others are named and left out. What differs
significantly from the caster's profile is written into it with -o; the values it
had before are kept in it with their day.

The job must be the one by which these castings were made: job.toml of its folder.
READINGS.csv holds lines of piece, dimension and reading; --names lists the
dimensions, --template writes a file to fill in. Castings must be read as they came
back, gates cut off, nothing filed.`,
		Example: `  claspwright learn --names order/job.toml
  claspwright learn --template 3 order/job.toml > readings.csv
  claspwright learn readings.csv --job order/job.toml --caster caster.toml --date 2026-06-01 -o caster.toml`,
	}
	s.jobFlags(cmd)
	f := cmd.Flags()
	f.StringVar(&l.job, "job", "", "job `file` of the castings")
	f.StringVar(&l.date, "date", "", "`day` of the readings, year-month-day; else a line \"# date: 2026-06-01\" of the readings")
	f.StringVarP(&l.output, "output", "o", "", "`file` for the profile anew; may be the old one")
	f.BoolVar(&l.names, "names", false, "list what can be read of a job's castings")
	f.IntVar(&l.template, "template", 0, "write a file of readings to fill in, for `n` castings")
	f.BoolVar(&l.growthOnly, "growth-only", false, "take stock as drawn and find growth alone")
	cmd.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 1 || len(args) == 0 && !l.names && l.template == 0 {
			return &usageError{say: fmt.Sprintf("learn takes one file of readings, not %d", len(args)), hint: "write claspwright learn readings.csv --job order/job.toml"}
		}
		return nil
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if l.names || l.template != 0 {
			return s.learnNames(cmd, args, l)
		}
		return s.learn(cmd, args[0], l)
	}
	return cmd
}

// mostPieces of a template.
const mostPieces = 1000

// learnNames lists what can be read, or writes a file to fill in.
func (s *session) learnNames(cmd *cobra.Command, args []string, l learning) error {
	if l.template < 0 || l.template > mostPieces {
		return &usageError{say: fmt.Sprintf("--template %d is not 1 to %d castings", l.template, mostPieces), hint: "write --template 3"}
	}
	if len(args) == 0 && l.job != "" {
		args = []string{l.job}
	}
	job, err := s.load(cmd.Flags(), args)
	if err != nil {
		return err
	}
	c, err := model.NewCaliper(cmd.Context(), job)
	if err != nil {
		return err
	}
	if l.template > 0 {
		return export.WriteTemplate(s.out, c, l.template)
	}
	return export.WriteNames(s.out, c)
}

func (s *session) learn(cmd *cobra.Command, path string, l learning) error {
	var args []string
	if l.job != "" {
		args = []string{l.job}
	}
	job, err := s.load(cmd.Flags(), args)
	if err != nil {
		return err
	}
	profile := job.Caster()
	if profile == nil {
		if profile, err = params.ParseCaster("caster.toml", nil); err != nil {
			return err
		}
	}
	c, err := model.NewCaliper(cmd.Context(), job)
	if err != nil {
		return err
	}
	readings, err := params.LoadReadings(path, c.Names())
	if err != nil {
		return err
	}
	found, err := c.Learn(readings, profile, l.growthOnly)
	if err != nil {
		return err
	}
	wrote, err := l.write(found, profile, readings.Date)
	if err != nil {
		return err
	}
	if s.json {
		return export.WriteLearnedJSON(s.out, found)
	}
	return export.WriteLearned(s.out, found, wrote)
}

// write writes the profile anew, if it is wanted and anything changed. The day comes from flag or file, never from the clock:
// readings are often worked out days later.
func (l learning) write(found *model.Learned, profile *params.Caster, day string) (string, error) {
	if l.date != "" {
		day = l.date
	}
	switch {
	case l.date != "" && !params.IsDay(l.date):
		return "", &usageError{say: "--date " + quote(l.date) + " is not a day", hint: "write year, month and day, such as --date 2026-06-01"}
	case l.output == "":
		return "", nil
	case day == "":
		return "", &usageError{say: "the day of the readings is not given", hint: "write --date 2026-06-01, or a line \"# date: 2026-06-01\" in the file of readings"}
	}
	anew, err := found.Anew(profile, day)
	if err != nil || anew == nil {
		return "", err
	}
	return l.output, replace(l.output, anew.TOML())
}

// replace writes a profile whole or not at all. A file that is there must be a profile.
func replace(path string, data []byte) (err error) {
	if _, err := os.Stat(path); err == nil {
		if _, err := params.LoadCaster(path); err != nil {
			return &usageError{say: path + " is there and is no caster's profile", hint: "name another file with -o"}
		}
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".profile-*")
	if err != nil {
		return fmt.Errorf("the profile cannot be written: %w", err)
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		_ = os.Remove(f.Name()) // the error that is told is the first
		return fmt.Errorf("the profile cannot be written: %w", err)
	}
	return nil
}
