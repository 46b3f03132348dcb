package export

import (
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
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
	var err error
	if !testing.Short() { // the race detector has nothing to see on one core
		_, err = WriteRun(context.Background(), one, run, RunOptions{Want: wholeLock})
	}
	runtime.GOMAXPROCS(2)
	_, err2 := WriteRun(context.Background(), two, run, RunOptions{Want: wholeLock})
	runtime.GOMAXPROCS(procs)
	if err := errors.Join(err, err2); err != nil {
		t.Fatal(err)
	}
	if testing.Short() {
		return
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

// A run that cannot be written or is interrupted leaves finished locks, a mark, and nothing else; begun again it goes on to the bytes of
// an undisturbed run, and makes no finished lock twice. What is not of this program stays.
func TestRunGoesOn(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	place := t.TempDir()
	dir, whole := filepath.Join(place, "sizes"), filepath.Join(t.TempDir(), "whole")
	run := readRun(t, runText)
	if _, err := WriteRun(context.Background(), whole, run, RunOptions{Want: quickWant}); err != nil {
		t.Fatal(err)
	}
	want := tree(t, whole)
	full := errors.New("the disk is full")
	made := map[string]int{}
	var one sync.Mutex
	// A disk that fills up when the second lock is half written.
	_, err := writeRun(context.Background(), dir, run, RunOptions{Want: quickWant, Jobs: 1}, func(path string) (fileHandle, error) {
		one.Lock()
		defer one.Unlock()
		if strings.HasSuffix(path, "sheet.txt") {
			if made["sheets"]++; made["sheets"] == 2 {
				return nil, full
			}
		}
		return create(path)
	})
	var unfinished *UnfinishedError
	if !errors.Is(err, full) || !errors.As(err, &unfinished) || unfinished.Done != 3 || unfinished.Locks != 4 {
		t.Errorf("a full disk: %v", err)
	}
	checkUnfinished(t, dir, want, 1)
	if err := os.WriteFile(filepath.Join(dir, "letter.txt"), []byte("Dear caster"), 0o644); err != nil {
		t.Fatal(err)
	}
	// An interrupt as soon as it has begun.
	ctx, cancel := context.WithCancel(context.Background())
	_, err = writeRun(ctx, dir, run, RunOptions{Want: quickWant}, func(path string) (fileHandle, error) {
		cancel()
		return create(path)
	})
	if !errors.Is(err, context.Canceled) || err.Error() != "interrupted; 3 of 4 locks are finished" {
		t.Errorf("an interrupt: %v", err)
	}
	checkUnfinished(t, dir, want, 1)
	r, err := writeRun(context.Background(), dir, run, RunOptions{Want: quickWant}, func(path string) (fileHandle, error) {
		if strings.HasSuffix(path, "report.json") {
			one.Lock()
			made["reports"]++
			one.Unlock()
		}
		return create(path)
	})
	if err != nil || made["reports"] != 1 || r.Kept != 1 {
		t.Fatalf("%d locks made again, %d kept, %v", made["reports"], r.Kept, err)
	}
	want["letter.txt"] = "Dear caster"
	same(t, "gone on", tree(t, dir), want)
	// Once more: all is there.
	r, err = writeRun(context.Background(), dir, run, RunOptions{Want: quickWant}, func(path string) (fileHandle, error) {
		t.Errorf("%s was written once more", path)
		return create(path)
	})
	if err != nil || r.Made() != 2 || len(r.Rows) != 4 {
		t.Errorf("once more: %+v, %v", r, err)
	}
}

// checkUnfinished holds a run's folder after an end before the end: a mark, no manifest, only locks that are as they should be in the end.
func checkUnfinished(t *testing.T, dir string, want map[string]string, locks int) {
	t.Helper()
	files := tree(t, dir)
	if files[unfinishedName] == "" || files[manifestName] != "" || files["run.csv"] != "" {
		t.Errorf("mark %q, manifest %q", files[unfinishedName], files[manifestName])
	}
	n := 0
	for name, text := range files {
		switch {
		case name == unfinishedName || name == "letter.txt":
		case temporary.MatchString(strings.Split(name, "/")[0]) || temporary.MatchString(filepath.Base(name)):
			t.Errorf("%s was left", name)
		case text != want[name]:
			t.Errorf("%s is not as in an undisturbed run", name)
		case strings.Count(name, "/") == 1 && strings.HasSuffix(name, "/"+manifestName):
			n++
		}
	}
	if n != locks {
		t.Errorf("%d finished locks, want %d", n, locks)
	}
}

// quickWant is less of a lock, which is quicker to make.
var quickWant = model.Want{Stages: []clasp.Stage{clasp.Pattern}, Weights: true}

// Folders that were changed, or are of others, are told before anything is made, and left as they are.
func TestRunTellsForeignFolders(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	const text = "chain.width = [12.4, 13]\nchain.thickness = 5.2\nmetal.alloy = 'ag925'\nmesh.tolerance = 0.02\n"
	dir := filepath.Join(t.TempDir(), "sizes")
	run := readRun(t, text)
	if _, err := WriteRun(context.Background(), dir, run, RunOptions{Want: quickWant}); err != nil {
		t.Fatal(err)
	}
	want := tree(t, dir)
	lock := filepath.Join(dir, "13x5.2-ag925")
	for what, spoil := range map[string]func() error{
		"in which box.stl is not as it was written":    func() error { return os.WriteFile(filepath.Join(lock, "box.stl"), []byte("mine"), 0o644) },
		"in which tongue.stl is not as it was written": func() error { return os.Remove(filepath.Join(lock, "tongue.stl")) },
		"which has no manifest.json of this program":   func() error { return os.Remove(filepath.Join(lock, manifestName)) },
		"which is no folder":                           func() error { return errors.Join(os.RemoveAll(lock), os.WriteFile(lock, []byte("x"), 0o644)) },
		"in which ../letter.txt is not as it was written": func() error {
			return os.WriteFile(filepath.Join(lock, manifestName), []byte(`{"tool": "claspwright 1", "files": [{"name": "../letter.txt"}]}`), 0o644)
		},
	} {
		if err := spoil(); err != nil {
			t.Fatal(err)
		}
		before := tree(t, dir)
		for _, o := range []RunOptions{{Want: quickWant}, {Want: quickWant, Shard: Shard{2, 2}}} {
			_, err := WriteRun(context.Background(), dir, run, o)
			var refused *FolderError
			if !errors.As(err, &refused) || err.Error() != dir+" holds 13x5.2-ag925, "+what+"; nothing was made" {
				t.Errorf("%s: got %v", what, err)
			}
			same(t, what, tree(t, dir), before)
		}
		// The part that the folder is not of does not mind.
		if r, err := WriteRun(context.Background(), dir, run, RunOptions{Want: quickWant, Shard: Shard{1, 2}}); err != nil || r.Kept != 1 {
			t.Errorf("%s, the other part: %v", what, err)
		}
		if err := os.RemoveAll(lock); err != nil {
			t.Fatal(err)
		}
		plantTree(t, dir, want)
	}
	if err := os.RemoveAll(lock); err != nil {
		t.Fatal(err)
	}
	if r, err := WriteRun(context.Background(), dir, run, RunOptions{Want: quickWant}); err != nil || r.Kept != 1 {
		t.Fatalf("one lock taken away: %+v, %v", r, err)
	}
	same(t, "taken away", tree(t, dir), want)
	// A single lock's folder and one of others are not for a run.
	for _, other := range []string{lock, filepath.Dir(dir)} {
		var refused *FolderError
		if _, err := WriteRun(context.Background(), other, run, RunOptions{Want: quickWant}); !errors.As(err, &refused) {
			t.Errorf("%s: got %v", other, err)
		}
	}
	// Another run over it: locks that are as they were written go, one with a letter in it stays and is named, what is the same is kept.
	letter := filepath.Join(dir, "12.4x5.2-ag925", "letter.txt")
	if err := os.WriteFile(letter, []byte("Dear caster"), 0o644); err != nil {
		t.Fatal(err)
	}
	other := readRun(t, strings.Replace(text, "12.4, 13", "13, 14", 1))
	if _, err := WriteRun(context.Background(), dir, other, RunOptions{Want: quickWant, Shard: Shard{1, 2}}); err == nil || err.Error() != dir+" holds another run" {
		t.Errorf("a part of another run: %v", err)
	}
	r, err := WriteRun(context.Background(), dir, other, RunOptions{Want: quickWant})
	if err != nil || r.Kept != 1 || strings.Join(r.Left, " ") != "12.4x5.2-ag925" {
		t.Fatalf("another run: %+v, %v", r, err)
	}
	clean := filepath.Join(t.TempDir(), "clean")
	if _, err := WriteRun(context.Background(), clean, other, RunOptions{Want: quickWant}); err != nil {
		t.Fatal(err)
	}
	want = tree(t, clean)
	for name, text := range tree(t, dir) {
		if strings.HasPrefix(name, "12.4x5.2-ag925/") {
			want[name] = text
		}
	}
	same(t, "another run", tree(t, dir), want)
}

// plantTree writes files.
func plantTree(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		to := filepath.Join(dir, name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(to), 0o755), os.WriteFile(to, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
}

// Whatever the parts, their order and the workers: the same bytes; a folder that a run works on takes no other.
func TestRunPartsSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	const text = "chain.width = [4, 12.4, 13, 14]\nchain.thickness = 5.2\nmetal.alloy = 'ag925'\nmesh.tolerance = 0.02\n"
	run := readRun(t, text)
	write := func(dir string, o RunOptions) *RunResult {
		t.Helper()
		o.Want = quickWant
		r, err := WriteRun(context.Background(), dir, run, o)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	whole := filepath.Join(t.TempDir(), "whole")
	write(whole, RunOptions{Jobs: 1})
	want := tree(t, whole)
	for _, parts := range [][]Shard{{{1, 2}, {2, 2}}, {{3, 3}, {1, 3}, {2, 3}}, {{9, 20}, {3, 4}}} {
		dir := filepath.Join(t.TempDir(), "parts")
		locks := 0
		for i, p := range parts {
			r := write(dir, RunOptions{Jobs: 1 + i, Shard: p})
			locks += len(r.Rows)
			if tree(t, dir)["run.csv"] != "" {
				t.Errorf("%v wrote a table", p)
			}
		}
		if parts[0].Of < 20 && locks != run.Len() {
			t.Errorf("%v: %d locks", parts, locks)
		}
		write(dir, RunOptions{Jobs: 3})
		same(t, "parts", tree(t, dir), want)
	}
	// Parts from folders of their own, put together.
	dir := t.TempDir()
	for i := range 2 {
		part := filepath.Join(t.TempDir(), "part")
		write(part, RunOptions{Shard: Shard{i + 1, 2}})
		if err := os.CopyFS(filepath.Join(dir, fmt.Sprint(i)), os.DirFS(part)); err != nil {
			t.Fatal(err)
		}
	}
	merged := filepath.Join(dir, "merged")
	for name, text := range tree(t, dir) {
		plantTree(t, merged, map[string]string{name[2:]: text})
	}
	if r := write(merged, RunOptions{}); r.Kept != 3 { // that of 4 mm, 5.2 mm thick, contradicts itself and is never kept
		t.Errorf("%d locks kept of parts put together", r.Kept)
	}
	same(t, "put together", tree(t, merged), want)

	f := &runFolder{asGiven: merged, run: run, names: run.Names()}
	if err := f.enter(); err != nil {
		t.Fatal(err)
	}
	for _, s := range []Shard{{}, {1, 2}} {
		_, err := WriteRun(context.Background(), merged, run, RunOptions{Want: quickWant, Shard: s})
		if err == nil || err.Error() != merged+" is being written by another run" {
			t.Errorf("a second run: %v", err)
		}
	}
	f.leave()
	f.o.Shard = Shard{1, 2}
	if err := f.enter(); err != nil {
		t.Fatal(err)
	}
	write(merged, RunOptions{Shard: Shard{2, 2}})
	f.leave()
	same(t, "two parts at a time", tree(t, merged), want)
}

// What an interrupted replacement left behind comes back, or its foreign files do.
func TestRunClearsTemporary(t *testing.T) {
	dir := t.TempDir()
	ours := `{"tool": "claspwright (devel)", "files": [{"name": "box.stl"}]}`
	plantTree(t, dir, map[string]string{
		".a-unfinished-12/box.stl": "half", ".b-unfinished-1-old/box.stl": "whole", ".b-unfinished-1-old/" + manifestName: ours,
		"c/box.stl": "new", ".c-unfinished-7-old/box.stl": "old", ".c-unfinished-7-old/" + manifestName: ours, ".c-unfinished-7-old/letter.txt": "Dear caster",
		".run.csv-unfinished-99": "half", "letter-unfinished-1": "mine", ".run-unfinished-x": "mine",
	})
	if err := clearTemporary(dir); err != nil {
		t.Fatal(err)
	}
	same(t, "cleared", tree(t, dir), map[string]string{"b/box.stl": "whole", "b/" + manifestName: ours, "c/box.stl": "new", "c/letter.txt": "Dear caster",
		"letter-unfinished-1": "mine", ".run-unfinished-x": "mine"})
}

// What a run takes of each alloy is what its locks' pours say: here two locks, one of which has a tongue of another alloy.
func TestRunTotals(t *testing.T) {
	one, two := commission(t, "chain.width=14", "chain.thickness=6", "metal.alloy=au585-yellow", "tongue.alloy=au750-yellow"), commission(t, plainJob...)
	r := &RunResult{}
	for _, c := range []*model.Commission{one, two} {
		row := RunRow{Folder: true}
		row.judge(c)
		sum := row.inAll()
		if w := c.Weights[0]; abs(sum.Finished-w.Finished) > 1e-9 || abs(sum.Casting-w.Casting) > 1e-9 || abs(sum.Order-w.Order) > 1e-9 || row.Fine != w.Fine || row.Finished != w.Finished {
			t.Errorf("%+v in all, its weights %+v", sum, w)
		}
		if o := c.Casting; abs(sum.Gates-o.GatesG) > 1e-9 || abs(sum.Button-o.ButtonG) > 1e-9 || abs(sum.Loss-o.LossG) > 1e-9 || abs(sum.Casting+sum.Gates+sum.Button+sum.Loss-sum.Order) > 1e-9 {
			t.Errorf("%+v in all, to pour %+v", sum, o)
		}
		r.Rows = append(r.Rows, row)
	}
	want := map[string]RunPour{}
	for _, c := range []*model.Commission{one, two} {
		for _, p := range c.Pours {
			w := want[p.Alloy.ID]
			w.add(RunPour{Casting: p.Order.CastingG, Order: p.Order.OrderG})
			want[p.Alloy.ID] = w
		}
	}
	got := r.totals()
	if len(got) != len(want) || len(want) != 2 {
		t.Fatalf("%d alloys, want %d", len(got), len(want))
	}
	for _, a := range got {
		if w := want[a.Alloy]; a.Casting != gram(w.Casting) || a.Order != gram(w.Order) || w.Casting == 0 {
			t.Errorf("%s: %+v, want %+v", a.Alloy, a, w)
		}
	}
	r.Rows[0].Folder = false // a lock that was not written is not counted
	if got := r.totals(); len(got) != 1 || got[0].Pieces != 1 {
		t.Errorf("without the first: %+v", got)
	}
}

// What is killed before its mark is written, or between mark and rows, is taken up again.
func TestRunBegun(t *testing.T) {
	for _, held := range []map[string]string{{".unfinished.json-unfinished-5": "{"}, {unfinishedName: `{"tool": "claspwright (devel)", "run_given": "x"}`}} {
		dir := t.TempDir()
		plantTree(t, dir, held)
		r, err := WriteRun(context.Background(), dir, readRun(t, "chain.width = 4\nchain.thickness = 2\nmetal.alloy = 'ag925'\n"), RunOptions{Want: quickWant})
		if err != nil || len(r.Rows) != 1 {
			t.Errorf("%v: %v", held, err)
		}
		if files := tree(t, dir); files[manifestName] == "" || files[unfinishedName] != "" || len(files) != 6 {
			t.Errorf("%v: %d files", held, len(files))
		}
	}
	dir := t.TempDir()
	plantTree(t, dir, map[string]string{unfinishedName: `{"tool": "something else", "run_given": "x"}`})
	var refused *FolderError
	if err := RunUsable(dir); !errors.As(err, &refused) {
		t.Errorf("a mark of another program: %v", err)
	}
}
