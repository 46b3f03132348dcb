package main

import (
	"fmt"
	"sync"

	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/params"
)

// runError says that some locks of a run were not made, or would not work.
type runError struct{ lacking, locks int }

func (e *runError) Error() string {
	if e.lacking == 1 {
		return fmt.Sprintf("1 of %d locks was not made or would not work", e.locks)
	}
	return fmt.Sprintf("%d of %d locks were not made or would not work", e.lacking, e.locks)
}

func (*runError) Hint() string { return "the table says which and why; the others are there" }

func (s *session) runCommand() *cobra.Command {
	var dir string
	var sets []string
	var anyway bool
	cmd := &cobra.Command{
		Use:   "run RUN.toml -o DIR",
		Short: "Make a size run: one folder a lock, one table of all",
		Long: `Run makes every lock of a run file: a job file in which any key may have several
values, as a list ([7, 7.5, 8]), a range ("7 to 20 by 0.5") or a share of
another number key ("0.42 of chain.width").

The run is every combination, keys in the order that the command keys lists them,
the last one turning fastest. A lock that cannot be made is a row of the table
with the reason and does not stop the others. The folder appears whole or not at
all. At most 10000 locks.`,
		Example: `  claspwright run sizes.toml -o sizes
  claspwright run sizes.toml --set metal.alloy=ag925 -o sizes`,
	}
	f := cmd.Flags()
	f.StringArrayVar(&sets, "set", nil, "override a key in all locks, as in `key=value`; may be repeated, the last counts")
	f.BoolVar(&s.json, "json", false, "print one JSON document instead of the table, errors too")
	f.StringVarP(&dir, "output", "o", "", "folder to write")
	f.BoolVar(&anyway, "anyway", false, "write a lock's files although a finding says that it would not work")
	f.SortFlags = false
	cmd.Args = func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return &usageError{say: fmt.Sprintf("run takes one run file, not %d", len(args)), hint: "write claspwright run sizes.toml -o sizes"}
		}
		return nil
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return s.run(cmd, args[0], sets, dir, anyway) }
	return cmd
}

func (s *session) run(cmd *cobra.Command, path string, sets []string, dir string, anyway bool) error {
	if dir == "" {
		return &usageError{say: "run needs a folder to write", hint: "name it with -o, as in -o sizes"}
	}
	run, err := params.LoadRun(path, sets)
	if err != nil {
		return err
	}
	if err := export.Usable(dir); err != nil {
		return err
	}
	show := newProgress(s.talk)
	defer show.clear()
	var one sync.Mutex
	r, err := export.WriteRun(cmd.Context(), dir, run, export.RunOptions{Want: all, Anyway: anyway, Progress: func(done, locks int) {
		one.Lock()
		defer one.Unlock()
		show.line(fmt.Sprintf("%d of %d locks done", done, locks))
	}})
	show.clear()
	if err != nil {
		return err
	}
	if s.json {
		err = r.WriteJSON(s.out)
	} else {
		err = r.WriteTable(s.out, dir)
	}
	if lacking := len(r.Rows) - r.Made(); err == nil && lacking > 0 {
		return &runError{lacking, len(r.Rows)}
	}
	return err
}
