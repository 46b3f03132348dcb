package main

import (
	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/model"
)

func (s *session) checkCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "check [JOB.toml]",
		Short:   "Check whether the lock would work; nothing is written but the picture of --plot",
		Example: "  claspwright check --width 12.4 --thickness 5.2 --alloy au585-yellow",
	}
	s.jobFlags(cmd)
	picture := cmd.Flags().String("plot", "", "draw force, stress and the bent leaf along the way in to this PNG `file`")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		job, err := s.load(cmd.Flags(), args)
		if err != nil {
			return err
		}
		c, err := model.Make(cmd.Context(), job, model.Want{Checks: true})
		if err != nil {
			return err
		}
		if err := s.print(c, func() error { return export.Findings(s.out, c) }); err != nil {
			return err
		}
		if *picture != "" {
			if err := export.SaveWay(*picture, c); err != nil {
				return err
			}
		}
		return stops(c)
	}
	return cmd
}
