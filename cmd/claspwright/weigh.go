package main

import (
	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/model"
)

func (s *session) weighCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "weigh [JOB.toml]",
		Short:   "Weigh the lock in every alloy; nothing is written",
		Example: "  claspwright weigh --width 12.4 --thickness 5.2 --alloy au585-yellow",
	}
	s.jobFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		job, err := s.load(cmd.Flags(), args)
		if err != nil {
			return err
		}
		c, err := model.Make(cmd.Context(), job, model.Want{Weights: true})
		if err != nil {
			return err
		}
		return s.print(c, func() error { return export.Weights(s.out, c) })
	}
	return cmd
}
