package main

import (
	"errors"

	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/model"
	"claspwright/model/clasp"
)

// all is how far make goes.
var all = model.Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true, Weights: true, Checks: true}

func (s *session) makeCommand() *cobra.Command {
	var dir string
	var anyway bool
	cmd := &cobra.Command{
		Use:   "make [JOB.toml] -o DIR",
		Short: "Make the whole order for one lock: meshes, weights, findings, pictures, sheet",
		Long: `Make writes a folder from which the lock can be ordered: box and tongue for the
printer, for the caster and as finished, report, pictures and bench sheet.

The folder appears whole or not at all. A folder that an earlier make wrote is
replaced; any other folder that is not empty is left alone.`,
		Example: `  claspwright make --width 12.4 --thickness 5.2 --alloy au585-yellow -o order
  claspwright make job.toml --set lock.wall=0.9 -o order`,
	}
	s.jobFlags(cmd)
	cmd.Flags().StringVarP(&dir, "output", "o", "", "folder to write")
	cmd.Flags().BoolVar(&anyway, "anyway", false, "write the files although a finding says that the lock would not work")
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return s.make(cmd, args, dir, anyway) }
	return cmd
}

func (s *session) make(cmd *cobra.Command, args []string, dir string, anyway bool) error {
	if dir == "" {
		return &usageError{say: "make needs a folder to write", hint: "name it with -o, as in -o order"}
	}
	job, err := s.load(cmd.Flags(), args)
	if err != nil {
		return err
	}
	if err := export.Usable(dir); err != nil {
		return err
	}
	show := newProgress(s.talk)
	defer show.clear()
	show.line("building and proving the lock")
	c, err := model.Make(cmd.Context(), job, all)
	if err != nil {
		return err
	}
	err = export.Write(cmd.Context(), dir, c, export.Options{Anyway: anyway, Progress: show.line})
	show.clear()
	files := export.FileNames(c)
	var stopped *export.StopError
	switch {
	case errors.As(err, &stopped):
		files = nil
	case err != nil:
		return err
	}
	if werr := s.print(c, func() error { return export.Summary(s.out, c, dir, files) }); werr != nil {
		return werr
	}
	if err == nil {
		err = stops(c)
	}
	return err
}

// stops is the error of a lock that would not work, nil if it would.
func stops(c *model.Commission) error {
	if grave := export.Stops(c.Findings); len(grave) > 0 {
		return &findingError{}
	}
	return nil
}

// print writes the report with --json, else what text does.
func (s *session) print(c *model.Commission, text func() error) error {
	if !s.json {
		return text()
	}
	data, err := export.Report(c)
	if err != nil {
		return err
	}
	_, err = s.out.Write(data)
	return err
}
