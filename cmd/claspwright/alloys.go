package main

import (
	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/params"
)

func (s *session) alloysCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "alloys",
		Short: "List every alloy: composition, density, fineness, melting range, strength by condition",
		Args:  noArguments,
	}
	cmd.Flags().BoolVar(&s.json, "json", false, "print one JSON document instead of text")
	cmd.RunE = func(*cobra.Command, []string) error {
		if s.json {
			return export.WriteAlloysJSON(s.out, params.Alloys())
		}
		return export.WriteAlloys(s.out, params.Alloys())
	}
	return cmd
}
