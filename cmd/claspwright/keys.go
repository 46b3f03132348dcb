package main

import (
	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/params"
)

func (s *session) keysCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "keys",
		Short: "List every key of the job: range, unit, default or rule, meaning",
		Args:  noArguments,
	}
	cmd.Flags().BoolVar(&s.json, "json", false, "print one JSON document instead of text")
	cmd.RunE = func(*cobra.Command, []string) error {
		if s.json {
			return export.WriteKeysJSON(s.out, params.Keys())
		}
		return export.WriteKeys(s.out, params.Keys())
	}
	return cmd
}

func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return &usageError{say: cmd.Name() + " takes no argument, but was given " + quote(args[0]), hint: "leave it out"}
	}
	return nil
}
