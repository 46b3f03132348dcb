package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"syscall"

	"claspwright/export"
	"claspwright/model/clasp"
	"claspwright/params"
)

// The exit codes.
const (
	exitOK          = 0
	exitFailure     = 1 // a file, or the program itself
	exitUsage       = 2 // usage, values, a lock that cannot exist, a folder that holds something else
	exitFinding     = 3 // a finding of grade stop
	exitInterrupted = 130
)

// usageError is a command line that cannot be followed.
type usageError struct{ say, hint string }

func (e *usageError) Error() string { return e.say }
func (e *usageError) Hint() string  { return e.hint }

// findingError says that the lock would not work, when files were written all the same or none were asked for.
type findingError struct{}

func (*findingError) Error() string {
	return "a finding of grade stop says that the lock would not work"
}
func (*findingError) Hint() string { return "change the job as the finding says" }

// finish tells what went wrong, if anything did, and gives the exit code. It is the one way out.
func (s *session) finish(ctx context.Context, err error) int {
	if err == nil {
		return exitOK
	}
	code := exitCode(ctx, err)
	list := troubles(code, err)
	if s.json {
		// What cannot be told on stderr cannot be told at all; the exit code still says that it failed.
		_ = export.WriteTroubles(s.talk, code, list)
		return code
	}
	for _, t := range list {
		fmt.Fprintf(s.talk, "%s: error: %s\n", export.Tool, t.Say)
		if t.Hint != "" {
			fmt.Fprintf(s.talk, "%s: hint: %s\n", export.Tool, t.Hint)
		}
	}
	return code
}

func exitCode(ctx context.Context, err error) int {
	var (
		usage    *usageError
		problems params.Problems
		refusal  *clasp.Refusal
		folder   *export.FolderError
		stopped  *export.StopError
		finding  *findingError
		lacking  *runError
	)
	switch {
	case ctx.Err() != nil && errors.Is(err, ctx.Err()):
		return exitInterrupted
	case errors.As(err, &usage), errors.As(err, &problems), errors.As(err, &refusal), errors.As(err, &folder):
		return exitUsage
	case errors.As(err, &stopped), errors.As(err, &finding), errors.As(err, &lacking):
		return exitFinding
	}
	return exitFailure
}

// troubles takes an error apart into what is told of it.
func troubles(code int, err error) []export.Trouble {
	var problems params.Problems
	if errors.As(err, &problems) {
		var list []export.Trouble
		for _, p := range problems {
			list = append(list, export.TroubleOf(p))
		}
		return list
	}
	var unfinished *export.UnfinishedError
	if code == exitInterrupted && !errors.As(err, &unfinished) {
		return []export.Trouble{{Say: "interrupted, nothing was written"}}
	}
	t := export.Trouble{Say: err.Error(), Hint: fileHint(err)}
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) {
		t.Hint = hinted.Hint()
	}
	var refusal *clasp.Refusal
	if errors.As(err, &refusal) {
		t.Key = refusal.Key
	}
	return []export.Trouble{t}
}

// fileHint is the remedy for what the operating system refuses.
func fileHint(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "check the name and the folder it should be in"
	case errors.Is(err, syscall.ENOTDIR):
		return "a file stands where a folder should be: name another folder"
	case errors.Is(err, syscall.EISDIR):
		return "name the job file itself, not the folder it is in"
	case errors.Is(err, fs.ErrPermission):
		return "check who may read and write there"
	}
	return ""
}

func quote(s string) string { return strconv.Quote(s) }
