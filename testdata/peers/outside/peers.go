// Package outside runs the programs that the tests with the tag outside hold this project against: manifold-3d, CGAL and admesh for
// meshes, tetgen and CalculiX for the spring. A program that is missing fails the test; nothing is skipped. What .ci/run installs is what they need.
package outside

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// home is the folder testdata/peers, found upwards from the folder of the test that runs.
func home(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return filepath.Join(dir, "testdata", "peers")
		}
		if filepath.Dir(dir) == dir {
			t.Fatal("outside: no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
}

// program finds an outside program or fails the test.
func program(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%s is not installed; this check must not be left out", name)
	}
	return path
}

// run runs a command and returns what it printed; what it complained of is part of the test's failure.
func run(t testing.TB, name string, args ...string) []byte {
	t.Helper()
	out, err := exec.Command(program(t, name), args...).Output()
	if err != nil {
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			t.Fatalf("%s: %v\n%s%s", filepath.Base(name), err, out, exit.Stderr)
		}
		t.Fatalf("%s: %v", filepath.Base(name), err)
	}
	return out
}
