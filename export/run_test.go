package export

import (
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/params"
)

// runText has two locks whose keys contradict each other and two that can be made.
const runText = `chain.width = [4, 12.4]
chain.thickness = [4.2, 5.2]
metal.alloy = "au585-yellow"
mesh.tolerance = 0.02
`

// wholeLock makes every file; proving the meshes again would take most of the time here, and is the model's to test.
var wholeLock = model.Want{Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Weights: true, Checks: true}

func readRun(t *testing.T, text string, sets ...string) *params.Run {
	t.Helper()
	r, err := params.ParseRun("run.toml", []byte(text), sets)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestRunRows(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	dir := filepath.Join(t.TempDir(), "sizes")
	r, err := WriteRun(context.Background(), dir, readRun(t, "chain.width = [4, 8, 12.4]\nchain.thickness = '0.42 of chain.width'\nmetal.alloy = 'au585-yellow'\n"+
		"mesh.tolerance = 0.02\ntongue.end_play = [0.05, 0.2]\n"), RunOptions{Want: wholeLock})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, row := range r.Rows {
		got = append(got, row.Name+" "+row.Status)
		if (row.Reason == "") != (row.Status == RowMade) || row.Folder != (row.Status == RowMade) {
			t.Errorf("%s: %s, folder %v, reason %q", row.Name, row.Status, row.Folder, row.Reason)
		}
	}
	want := "4x1.68-au585-yellow-tongue-end-play-0.05 refused\n4x1.68-au585-yellow-tongue-end-play-0.2 refused\n" +
		"8x3.36-au585-yellow-tongue-end-play-0.05 refused\n8x3.36-au585-yellow-tongue-end-play-0.2 refused\n" +
		"12.4x5.208-au585-yellow-tongue-end-play-0.05 stopped\n12.4x5.208-au585-yellow-tongue-end-play-0.2 made"
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("got\n%s\nwant\n%s", s, want)
	}
	checkRunFolder(t, r, tree(t, dir))
}

// checkRunFolder holds tables and manifest of a run against its files.
func checkRunFolder(t *testing.T, r *RunResult, files map[string]string) {
	t.Helper()
	var m struct{ Files []manifestFile }
	if err := json.Unmarshal([]byte(files[manifestName]), &m); err != nil || len(m.Files) != len(files)-1 {
		t.Errorf("manifest lists %d of %d files, %v", len(m.Files), len(files)-1, err)
	}
	for _, f := range m.Files {
		if sum := sha256.Sum256([]byte(files[f.Name])); hex.EncodeToString(sum[:]) != f.SHA256 || len(files[f.Name]) != f.Size {
			t.Errorf("%s: size or digest is wrong", f.Name)
		}
	}
	rows, err := csv.NewReader(strings.NewReader(files["run.csv"])).ReadAll()
	if err != nil || len(rows) != len(r.Rows)+1 || strings.Join(rows[0][:5], ",") != "lock,status,chain.width (mm),chain.thickness (mm),metal.alloy" {
		t.Fatalf("run.csv: %v, %v", rows, err)
	}
	var doc struct {
		Rows []struct {
			Lock, Folder, Reason string
			Order                float64 `json:"order_g"`
		}
		Totals []struct {
			Pieces int
			Order  float64 `json:"order_g"`
		}
	}
	if err := json.Unmarshal([]byte(files["run.json"]), &doc); err != nil {
		t.Fatal(err)
	}
	sum, pieces := 0.0, 0
	for i, row := range doc.Rows {
		if row.Lock != rows[i+1][0] || row.Reason != rows[i+1][len(rows[0])-1] {
			t.Errorf("row %d differs between run.csv and run.json", i)
		}
		if row.Folder == "" {
			continue
		}
		// What the lock's own report says to order is what the run adds up.
		var own struct {
			Casting struct {
				Order float64 `json:"order_g"`
			}
		}
		if err := json.Unmarshal([]byte(files[row.Folder+"/report.json"]), &own); err != nil || own.Casting.Order != row.Order || row.Order == 0 {
			t.Errorf("%s: order %v, its report %v, %v", row.Lock, row.Order, own.Casting.Order, err)
		}
		sum, pieces = sum+own.Casting.Order, pieces+1
	}
	if len(doc.Totals) != 1 || doc.Totals[0].Pieces != pieces || abs(doc.Totals[0].Order-sum) > 1e-3 {
		t.Errorf("totals %v, want %d pieces and %.4f g", doc.Totals, pieces, sum)
	}
}

func abs(v float64) float64 { return max(v, -v) }

// A run gives the same bytes on one core and on two, and in it each lock the same as alone.
func TestRunSameBytes(t *testing.T) {
	one, two, alone := filepath.Join(t.TempDir(), "a"), filepath.Join(t.TempDir(), "b"), filepath.Join(t.TempDir(), "c")
	run := readRun(t, runText)
	procs := runtime.GOMAXPROCS(1)
	_, err := WriteRun(context.Background(), one, run, RunOptions{Want: wholeLock})
	runtime.GOMAXPROCS(2)
	_, err2 := WriteRun(context.Background(), two, run, RunOptions{Want: wholeLock})
	runtime.GOMAXPROCS(procs)
	if err := errors.Join(err, err2); err != nil {
		t.Fatal(err)
	}
	want := tree(t, one)
	same(t, "two cores", tree(t, two), want)
	c, err := model.Make(context.Background(), run.Jobs()[3].Job, wholeLock)
	if err == nil {
		err = Write(context.Background(), alone, c, Options{})
	}
	if err != nil {
		t.Fatal(err)
	}
	same(t, "a lock alone", tree(t, alone), tree(t, filepath.Join(one, "12.4x5.2-au585-yellow")))
}

// Nothing is left of a run that cannot be written or is interrupted; an earlier run is there as it was.
func TestRunWholeOrNotAtAll(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	place := t.TempDir()
	dir := filepath.Join(place, "sizes")
	refused := readRun(t, "chain.width = [4, 5]\nchain.thickness = 2\nmetal.alloy = 'ag925'\n") // quick: nothing is built
	if _, err := WriteRun(context.Background(), dir, refused, RunOptions{Want: wholeLock}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "letter.txt"), []byte("Dear caster"), 0o644); err != nil {
		t.Fatal(err)
	}
	before := tree(t, dir)
	check := func(what string, err, want error) {
		t.Helper()
		if !errors.Is(err, want) {
			t.Errorf("%s: got %v, want %v", what, err, want)
		}
		same(t, what, tree(t, dir), before)
		if held, _ := os.ReadDir(place); len(held) != 1 {
			t.Errorf("%s: %d things beside the run", what, len(held)-1)
		}
	}
	full := errors.New("the disk is full")
	_, err := writeRun(context.Background(), dir, readRun(t, runText), RunOptions{Want: wholeLock}, func(path string) (fileHandle, error) {
		if strings.HasSuffix(path, "sheet.txt") {
			return nil, full
		}
		return create(path)
	})
	check("a full disk", err, full)
	ctx, cancel := context.WithCancel(context.Background())
	_, err = WriteRun(ctx, dir, readRun(t, runText), RunOptions{Want: wholeLock, Progress: func(int, int) { cancel() }})
	check("an interrupt", err, context.Canceled)

	// The next run replaces the folder and keeps what is not of this program.
	if _, err := WriteRun(context.Background(), dir, readRun(t, "chain.width = 4\nchain.thickness = 2\nmetal.alloy = 'ag925'\n"), RunOptions{Want: wholeLock}); err != nil {
		t.Fatal(err)
	}
	if after := tree(t, dir); after["letter.txt"] != "Dear caster" || after["run.csv"] == before["run.csv"] {
		t.Error("the folder was not replaced, or a letter was lost")
	}
}
