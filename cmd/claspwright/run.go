package main

import (
	"fmt"
	"regexp"
	"runtime"
	"strconv"

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
	var dir, shard string
	var sets []string
	var anyway bool
	jobs := runtime.GOMAXPROCS(0)
	cmd := &cobra.Command{
		Use:   "run RUN.toml|LIST.csv -o DIR",
		Short: "Make a size run or a list of locks: one folder a lock, one table of all",
		Long: `Run makes every lock of a run file: a job file in which any key may have several
values, as a list ([7, 7.5, 8]), a range ("7 to 20 by 0.5") or a share of
another number key ("0.42 of chain.width"). The run is every combination, keys in
the order that the command keys lists them, the last one turning fastest.

Or it makes a list: a table (.csv, .tsv) headed by keys, a row a lock, an empty
cell for a rule or default, a column "name" for the folders' names; or a run file
with tables [[row]]. At most 10000 locks.

A lock that cannot be made is a row of the table with the reason and does not stop
the others. Each lock's folder appears whole or not at all. After an interruption
the same command in the same folder goes on and keeps what is finished; tables,
run.pdf, plates and manifest are written at the end. With --shard 2/3 it makes the second of
three parts only, so that several machines can share a run; when all parts are in one
folder, the same command without --shard writes the tables.`,
		Example: `  claspwright run sizes.toml -o sizes
  claspwright run orders.csv --set metal.alloy=ag925 -o orders
  claspwright run orders.csv --shard 1/2 -o orders`,
	}
	f := cmd.Flags()
	f.StringArrayVar(&sets, "set", nil, "override a key in all locks, as in `key=value`; may be repeated, the last counts")
	f.BoolVar(&s.json, "json", false, "print one JSON document instead of the table, errors too")
	f.StringVarP(&dir, "output", "o", "", "folder to write")
	f.BoolVar(&anyway, "anyway", false, "write a lock's files although a finding says that it would not work")
	f.IntVar(&jobs, "jobs", jobs, "locks made side by side; each takes a core, and about 70 MB beside 100 for all")
	f.Lookup("jobs").DefValue = "as many as there are cores"
	f.StringVar(&shard, "shard", "", "make one part only, as in `1/3`")
	f.SortFlags = false
	cmd.Args = func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return &usageError{say: fmt.Sprintf("run takes one run file, not %d", len(args)), hint: "write claspwright run sizes.toml -o sizes"}
		}
		return nil
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		part, err := shardOf(shard, cmd.Flags().Changed("shard"))
		if err != nil {
			return err
		}
		if jobs < 1 || jobs > mostJobs {
			return &usageError{say: fmt.Sprintf("--jobs %d is not 1 to %d", jobs, mostJobs), hint: "leave it out for as many as there are cores"}
		}
		return s.run(cmd, args[0], sets, dir, export.RunOptions{Want: all, Anyway: anyway, Jobs: jobs, Shard: part})
	}
	return cmd
}

// More locks side by side, or more parts of a run, are a slip of the keyboard.
const mostJobs, mostShards = 256, 10000

var shardForm = regexp.MustCompile(`^(\d{1,5})/(\d{1,5})$`)

// shardOf reads a part of a run.
func shardOf(text string, given bool) (export.Shard, error) {
	if !given {
		return export.Shard{}, nil
	}
	hint := "write --shard 1/3 for the first of three parts"
	m := shardForm.FindStringSubmatch(text)
	if m == nil {
		return export.Shard{}, &usageError{say: "--shard " + quote(text) + " is not a part of several", hint: hint}
	}
	part, _ := strconv.Atoi(m[1]) // digits, few enough
	of, _ := strconv.Atoi(m[2])
	switch {
	case of < 1 || of > mostShards:
		return export.Shard{}, &usageError{say: fmt.Sprintf("--shard %s has %d parts, not 1 to %d", text, of, mostShards), hint: hint}
	case part < 1 || part > of:
		return export.Shard{}, &usageError{say: fmt.Sprintf("--shard %s asks for part %d, not 1 to %d", text, part, of), hint: hint}
	}
	return export.Shard{Part: part, Of: of}, nil
}

func (s *session) run(cmd *cobra.Command, path string, sets []string, dir string, o export.RunOptions) error {
	if dir == "" {
		return &usageError{say: "run needs a folder to write", hint: "name it with -o, as in -o sizes"}
	}
	run, err := params.LoadRun(path, sets)
	if err != nil {
		return err
	}
	if err := export.RunUsable(dir); err != nil {
		return err
	}
	show := newProgress(s.talk)
	defer show.clear()
	o.Progress = func(done, locks int) { show.line(fmt.Sprintf("%d of %d locks done", done, locks)) }
	r, err := export.WriteRun(cmd.Context(), dir, run, o)
	show.clear()
	if err != nil {
		return err
	}
	for _, name := range r.Left {
		fmt.Fprintf(s.talk, "%s: %s of an earlier run stays: not all in it is as this program wrote it\n", export.Tool, name)
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
