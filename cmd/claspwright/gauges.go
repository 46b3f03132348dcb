package main

import (
	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/model"
)

func (s *session) gaugesCommand() *cobra.Command {
	var dir string
	cmd := &cobra.Command{
		Use:   "gauges [JOB.toml] -o DIR",
		Short: "Make the gauges for one lock: crown gauge to print, fit coupon to cast",
		Long: `Gauges writes a folder with a go and no-go gauge for the filed crown, printed true
to size, and a fit coupon: a small casting with bars along each axis, slots in
steps around the lock's own clearance, and two tongues. Its named dimensions are
read by caliper when it comes back, and learn takes them.

The folder appears whole or not at all; one that holds an order is left alone.`,
		Example: `  claspwright gauges --width 12.4 --thickness 5.2 --alloy au585-yellow -o gauges
  claspwright gauges order/job.toml --set gauge.step=0.02 -o gauges`,
	}
	s.jobFlags(cmd)
	cmd.Flags().StringVarP(&dir, "output", "o", "", "folder to write")
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return s.gauges(cmd, args, dir) }
	return cmd
}

func (s *session) gauges(cmd *cobra.Command, args []string, dir string) error {
	if dir == "" {
		return &usageError{say: "gauges needs a folder to write", hint: "name it with -o, as in -o gauges"}
	}
	job, err := s.load(cmd.Flags(), args)
	if err != nil {
		return err
	}
	if err := export.UsableForGauges(dir); err != nil {
		return err
	}
	show := newProgress(s.talk)
	defer show.clear()
	show.line("building and proving the gauges")
	g, err := model.NewGauges(cmd.Context(), job)
	if err != nil {
		return err
	}
	if err := export.WriteGauges(cmd.Context(), dir, g); err != nil {
		return err
	}
	show.clear()
	if s.json {
		return export.WriteGaugesJSON(s.out, g)
	}
	return export.GaugesSummary(s.out, g, dir)
}
