//go:build long

package export

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"

	"claspwright/params"
)

// What the child of a test is told.
const (
	childDir  = "CLASPWRIGHT_TEST_RUN_DIR"
	childList = "CLASPWRIGHT_TEST_RUN_LIST"
)

// TestRunInAProcess is what the tests below start: a run in a process of its own, which can be killed and whose memory can be measured.
func TestRunInAProcess(t *testing.T) {
	dir := os.Getenv(childDir)
	if dir == "" {
		t.Skip("started by the long tests")
	}
	debug.SetGCPercent(400) // as the program does
	run, err := params.LoadRun(os.Getenv(childList), nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := WriteRun(context.Background(), dir, run, RunOptions{Want: quickWant})
	if err != nil {
		t.Fatal(err)
	}
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Fatal(err)
	}
	fmt.Printf("made %d kept %d\n%s", r.Made(), r.Kept, status)
}

// listOf is a file with so many different small locks, all of which can be made.
func listOf(t *testing.T, locks int) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("name,chain.width,chain.thickness,metal.alloy,mesh.tolerance,tongue.sizes\n")
	alloys := []string{"ag925", "au585-yellow", "au750-rose"}
	for i := range locks {
		fmt.Fprintf(&b, "lock %d,%.3f,%.3f,%s,0.02,rule\n", i+1, 9+0.002*float64(i), 4.2+0.0005*float64(i), alloys[i%3])
	}
	name := filepath.Join(t.TempDir(), "list.csv")
	if err := os.WriteFile(name, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// start begins a run in a process of its own.
func start(t *testing.T, list, dir string, out *strings.Builder) *exec.Cmd {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestRunInAProcess$", "-test.timeout=0")
	cmd.Env = append(os.Environ(), childDir+"="+dir, childList+"="+list)
	cmd.Stdout, cmd.Stderr = out, out
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd
}

// whole lets a run end, and gives what it said and how long it took.
func whole(t *testing.T, list, dir string) (string, time.Duration) {
	t.Helper()
	var out strings.Builder
	began := time.Now()
	if err := start(t, list, dir, &out).Wait(); err != nil {
		t.Fatalf("%v: %s", err, out.String())
	}
	return out.String(), time.Since(began)
}

var highWater = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)

// peak is the greatest resident memory of a process, MiB, by its own status.
func peak(t *testing.T, said string) float64 {
	t.Helper()
	m := highWater.FindStringSubmatch(said)
	if m == nil {
		t.Fatalf("no VmHWM in %q", said)
	}
	kb, _ := strconv.Atoi(m[1])
	return float64(kb) / 1024
}

// A run of 1,000 locks takes at most half as much memory again as one of 50. A share of the campaign takes its square of the long run.
func TestLongRunMemory(t *testing.T) {
	few, many := int(math.Max(5, 50**share)), int(math.Max(10, 1000**share**share))
	var at [2]float64
	for i, n := range []int{few, many} {
		said, took := whole(t, listOf(t, n), filepath.Join(t.TempDir(), "run"))
		if !strings.Contains(said, fmt.Sprintf("made %d kept 0\n", n)) {
			t.Fatalf("%d locks: %s", n, said)
		}
		at[i] = peak(t, said)
		t.Logf("%d locks: %.1f s, peak %.0f MiB", n, took.Seconds(), at[i])
	}
	if at[1] > 1.5*at[0] {
		t.Errorf("%d locks take %.0f MiB, %d locks %.0f MiB", many, at[1], few, at[0])
	}
}

// Runs are killed 20 times at random moments (seed 20261204). After each, every lock's folder verifies against its manifest and all else has the name of
// something unfinished; what was finished is never made again; in the end the bytes are those of an undisturbed run. A share has fewer kills and shorter runs.
func TestLongRunKilled(t *testing.T) {
	kills, locks := int(math.Max(2, 20**share)), 8
	if *share < 1 {
		locks = 4
	}
	list, place := listOf(t, locks), t.TempDir()
	undisturbed := filepath.Join(place, "undisturbed")
	_, took := whole(t, list, undisturbed)
	want := tree(t, undisturbed)
	r := rand.New(rand.NewPCG(20261204, 1))
	killed, runs, kept := 0, 0, 0
	for killed < kills {
		runs++
		dir := filepath.Join(place, fmt.Sprint("killed-", runs))
		finished := map[string]time.Time{}
		for {
			var out strings.Builder
			cmd := start(t, list, dir, &out)
			if killed < kills {
				after := time.Duration((0.1 + 0.8*r.Float64()) * float64(took))
				timer := time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
				err := cmd.Wait()
				if !timer.Stop() && err != nil {
					killed++
					n := checkKilled(t, dir, want, finished)
					t.Logf("run %d, kill %d after %.2f s: %d of %d locks finished", runs, killed, after.Seconds(), n, locks)
					continue
				}
				if err != nil {
					t.Fatalf("%v: %s", err, out.String())
				}
			} else if err := cmd.Wait(); err != nil {
				t.Fatalf("%v: %s", err, out.String())
			}
			kept += len(finished)
			checkKilled(t, dir, want, finished)
			same(t, "in the end", tree(t, dir), want)
			break
		}
		if t.Failed() {
			return
		}
	}
	if kept == 0 {
		t.Error("no kill came after a finished lock: nothing was shown")
	}
	t.Logf("%d kills in %d runs of %d locks; %d locks were finished before a kill and kept; undisturbed %.1f s", killed, runs, locks, kept, took.Seconds())
}

// checkKilled looks at a folder whose run was killed. finished has when each lock was finished, and gets the new ones.
func checkKilled(t *testing.T, dir string, want map[string]string, finished map[string]time.Time) int {
	t.Helper()
	held, err := os.ReadDir(dir)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, d := range held {
		name := d.Name()
		switch {
		case temporary.MatchString(name) || name == rowsName || name == unfinishedName:
		case !d.IsDir():
			if text, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(text) != want[name] {
				t.Errorf("%s is not as in an undisturbed run, %v", name, err)
			}
		default:
			there[name] = true
			if _, wrong, err := verified(filepath.Join(dir, name)); err != nil || wrong != "" {
				t.Errorf("%s %s, %v", name, wrong, err)
			}
			info, err := os.Stat(filepath.Join(dir, name, manifestName))
			if err != nil {
				t.Fatal(err)
			}
			if before, ok := finished[name]; ok && !before.Equal(info.ModTime()) {
				t.Errorf("%s was made again", name)
			}
			finished[name] = info.ModTime()
		}
	}
	for name := range finished {
		if !there[name] {
			t.Errorf("%s was lost", name)
		}
	}
	return len(there)
}
