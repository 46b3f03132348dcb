package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	testscript.Main(m, map[string]func(){"claspwright": main})
}

// The scripts hold every message to the letter, and every exit code.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata",
		Setup:         casters,
		Cmds:          map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
		UpdateScripts: os.Getenv("CLASPWRIGHT_UPDATE") != "",
	})
}

// exits runs a command and holds its exit code to the first argument.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits code command...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var failed *exec.ExitError
		if !errors.As(err, &failed) {
			ts.Fatalf("%v", err)
		}
		got = failed.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

func TestUpdateIsNoPass(t *testing.T) {
	if os.Getenv("CLASPWRIGHT_UPDATE") != "" {
		t.Error("the scripts were rewritten: read what changed, then run again without CLASPWRIGHT_UPDATE")
	}
}

func TestNearest(t *testing.T) {
	words := []string{"width", "thickness", "alloy", "crown", "set", "json", "output", "anyway"}
	for typed, want := range map[string]string{
		"widht": "width", "tickness": "thickness", "alloys": "alloy", "jsno": "json", "colour": "", "x": "", "crwn": "crown",
	} {
		if got := nearest(typed, words); got != want {
			t.Errorf("%q: got %q, want %q", typed, got, want)
		}
	}
}

func TestEdits(t *testing.T) {
	// The first two pairs are the usual textbook examples of Levenshtein's distance.
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"", "abc", 3}, {"abc", "", 3}, {"same", "same", 0}} {
		if got := edits(c.a, c.b); got != c.want {
			t.Errorf("%q, %q: got %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

// casters tells the scripts where the casters' profiles are.
func casters(env *testscript.Env) error {
	dir, err := filepath.Abs("../../testdata/casters")
	env.Setenv("CASTERS", dir)
	return err
}
