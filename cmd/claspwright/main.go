// Command claspwright turns two caliper readings of a curb chain and an alloy into a box lock that can be ordered: the
// meshes for printer and caster, weights, findings, pictures and a bench sheet.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"slices"
	"syscall"
)

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400) // a lock lives in 20 MiB: to collect at every doubling of that costs a fifth of the time
	}
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// run is the whole program but for the exit. Data goes to out, talk to talk.
func run(args []string, out, talk io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	s := &session{out: out, talk: talk}
	root := s.root()
	s.json = slices.Contains(args, "--json") // known even if another flag cannot be read
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(talk)
	err := root.ExecuteContext(ctx)
	return s.finish(ctx, err)
}
