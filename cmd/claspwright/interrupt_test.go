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

// A run that is interrupted after its first lock says how far it came; one that is killed says nothing; the same command goes on from there.
func TestRunIsInterrupted(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	place := t.TempDir()
	dir := filepath.Join(place, "sizes")
	list := filepath.Join(place, "list.csv")
	text := "name,chain.width,chain.thickness,metal.alloy,mesh.tolerance,tongue.sizes\na,9,4.2,au585-yellow,0.02,rule\nb,9.5,4.4,au585-yellow,0.02,rule\nc,10,4.6,au585-yellow,0.02,rule\n"
	if err := os.WriteFile(list, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	run := func(until string, end os.Signal) (int, string, string) {
		cmd := exec.Command(os.Args[0], "run", list, "--jobs", "1", "-o", dir)
		cmd.Env = append(os.Environ(), asProgram+"=1")
		var out, talk strings.Builder
		cmd.Stdout, cmd.Stderr = &out, &talk
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		for there := until == ""; !there && len(ended) == 0; time.Sleep(time.Millisecond) {
			_, err := os.Stat(filepath.Join(dir, until))
			there = err == nil
		}
		if end != nil {
			if err := cmd.Process.Signal(end); err != nil && !errors.Is(err, os.ErrProcessDone) {
				t.Fatal(err)
			}
		}
		<-ended // the exit code is looked at next
		return cmd.ProcessState.ExitCode(), out.String(), talk.String()
	}
	code, _, said := run("a", os.Interrupt)
	if code != exitInterrupted || said != "claspwright: error: interrupted; 1 of 3 locks are finished\nclaspwright: hint: the same command goes on from there\n" {
		t.Errorf("interrupted: exit code %d, said %q", code, said)
	}
	for _, p := range []string{"manifest.json", "run.csv", "b"} {
		if _, err := os.Stat(filepath.Join(dir, p)); err == nil {
			t.Errorf("%s is there after an interrupt", p)
		}
	}
	if code, _, said = run("b", os.Kill); code != -1 || said != "" {
		t.Errorf("killed: exit code %d, said %q", code, said)
	}
	code, out, said := run("", nil)
	if code != exitOK || !strings.Contains(out, "\n3 of 3 locks made, rows kept from before: 2, in ") || said != "" {
		t.Errorf("gone on: exit code %d, %s%s", code, out, said)
	}
	held, err := os.ReadDir(dir)
	var names []string
	for _, d := range held {
		names = append(names, d.Name())
	}
	if got := strings.Join(names, " "); err != nil || got != "a b c manifest.json plate.3mf rows run.csv run.json run.pdf run.toml" {
		t.Errorf("in the end %s, %v", got, err)
	}
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
		{stopped, &export.UnfinishedError{Err: context.Canceled}, 130}, {ctx, &export.UnfinishedError{Err: fs.ErrPermission}, 1},
		{ctx, errors.New("a promise not kept"), 1}, {stopped, fmt.Errorf("box: %w", context.Canceled), 130},
		{stopped, fs.ErrPermission, 1},
	} {
		if got := exitCode(c.ctx, c.err); got != c.want {
			t.Errorf("%T: got %d, want %d", c.err, got, c.want)
		}
	}
}
