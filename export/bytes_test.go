package export

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"testing"
)

// files reads a whole job folder.
func files(t *testing.T, dir string) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, _ := filepath.Rel(dir, path)
		out[name], err = os.ReadFile(path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Same job, same bytes: in another folder, on one core and on two, and with the collector running ten times as often.
func TestSameJobSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	sets := append([]string{"chain.crown=18.6"}, trial...)
	_, dir := order(t, sets...)
	want := files(t, dir)
	if len(want) < 10 {
		t.Fatalf("only %d files", len(want))
	}
	for _, c := range []struct {
		name       string
		procs, gcp int
	}{{"one core", 1, 100}, {"two cores", 2, 100}, {"GOGC=10", runtime.GOMAXPROCS(0), 10}} {
		procs, gc := runtime.GOMAXPROCS(c.procs), debug.SetGCPercent(c.gcp)
		_, dir := order(t, sets...)
		got := files(t, dir)
		runtime.GOMAXPROCS(procs)
		debug.SetGCPercent(gc)
		if len(got) != len(want) {
			t.Errorf("%s: %d files, before %d", c.name, len(got), len(want))
		}
		for name := range want {
			if !bytes.Equal(got[name], want[name]) {
				t.Errorf("%s: %s differs", c.name, name)
			}
		}
	}
}
