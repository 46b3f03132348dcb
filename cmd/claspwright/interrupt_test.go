package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"claspwright/export"
	"claspwright/model/clasp"
	"claspwright/params"
)

// asProgram makes the test binary behave as the program.
const asProgram = "CLASPWRIGHT_AS_PROGRAM"

// An interrupt while the folder is being made ends with 130 and leaves nothing.
func TestInterrupt(t *testing.T) {
	for range 5 { // the program may be done before the signal comes; then try again
		place := t.TempDir()
		code, said := interrupted(t, place)
		if code == exitOK {
			continue
		}
		if code != exitInterrupted || said != "claspwright: error: interrupted, nothing was written\n" {
			t.Errorf("exit code %d, said %q", code, said)
		}
		if held, _ := os.ReadDir(place); len(held) > 0 {
			t.Errorf("%s was left", held[0].Name())
		}
		return
	}
	t.Error("the program was always done before the interrupt")
}

// interrupted starts make and interrupts it as soon as its temporary folder appears.
func interrupted(t *testing.T, place string) (code int, said string) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "make", "--width", "12.4", "--thickness", "5.2", "--alloy", "au585-yellow", "-o", filepath.Join(place, "order"))
	cmd.Env = append(os.Environ(), asProgram+"=1")
	var talk strings.Builder
	cmd.Stderr = &talk
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	for start := time.Now(); time.Since(start) < 30*time.Second; time.Sleep(time.Millisecond) {
		if held, _ := os.ReadDir(place); len(held) > 0 {
			break
		}
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil && !errors.Is(err, os.ErrProcessDone) {
		t.Fatal(err)
	}
	_ = cmd.Wait() // its exit code is looked at next
	return cmd.ProcessState.ExitCode(), talk.String()
}

func TestExitCodes(t *testing.T) {
	ctx := context.Background()
	stopped, cancel := context.WithCancel(ctx)
	cancel()
	for _, c := range []struct {
		ctx  context.Context
		err  error
		want int
	}{
		{ctx, &usageError{}, 2}, {ctx, params.Problems{{Say: "bad"}}, 2}, {ctx, fmt.Errorf("box: %w", &clasp.Refusal{}), 2},
		{ctx, &export.FolderError{}, 2}, {ctx, &export.StopError{}, 3}, {ctx, &findingError{}, 3}, {ctx, fs.ErrNotExist, 1},
		{ctx, errors.New("a promise not kept"), 1}, {stopped, fmt.Errorf("box: %w", context.Canceled), 130},
		{stopped, fs.ErrPermission, 1},
	} {
		if got := exitCode(c.ctx, c.err); got != c.want {
			t.Errorf("%T: got %d, want %d", c.err, got, c.want)
		}
	}
}
