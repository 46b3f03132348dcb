package main

import (
	"io"
	"strings"

	"github.com/spf13/cobra"

	"claspwright/export"
)

// session is what all subcommands share: where to write, and what the flags say.
type session struct {
	out, talk io.Writer
	job       jobFlags
	json      bool
}

const long = `Claspwright makes a box lock for a filed curb chain.

Give the chain's width and thickness by caliper and the alloy; every other
measure follows from a rule, and each can be overridden. Lengths are
millimetres; a value may carry a unit ("0.5 in", "12 dwt").

Exit codes: 0 all is well; 1 a file cannot be read or written, or the program
failed; 2 wrong usage, wrong values, a lock that cannot exist, or a folder that
holds something else; 3 a finding says that the lock would not work, or locks of a
size run were not made; 130 interrupted.`

func (s *session) root() *cobra.Command {
	root := &cobra.Command{
		Use:           export.Tool,
		Short:         "A box lock for a filed curb chain, from caliper readings to files for the caster",
		Long:          long,
		Version:       export.Version(),
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          knownCommand,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.SetVersionTemplate("{{.Name}} {{.Version}}\n")
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(s.makeCommand(), s.weighCommand(), s.checkCommand(), s.runCommand(), s.treeCommand(), s.quoteCommand(), s.learnCommand(), s.gaugesCommand(), s.keysCommand(), s.alloysCommand())
	return root
}

// knownCommand refuses a word that is no subcommand, and names the nearest that is.
func knownCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	hint := "the commands are " + strings.Join(names, ", ")
	if near := nearest(args[0], names); near != "" {
		hint = "did you mean " + near + "?"
	}
	return &usageError{say: "there is no command " + quote(args[0]), hint: hint}
}

// oneJob allows at most one job file.
func oneJob(cmd *cobra.Command, args []string) error {
	if len(args) > 1 {
		return &usageError{
			say:  cmd.Name() + " takes one job file, not " + strings.Join(args, " and "),
			hint: "give one after the other, or put a value that holds blanks in quotes",
		}
	}
	return nil
}
