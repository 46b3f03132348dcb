package export

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"claspwright/model/finding"
)

// tree reads a folder: names with slashes and what the files hold.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		files[filepath.ToSlash(name)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func same(t *testing.T, what string, got, want map[string]string) {
	t.Helper()
	for name := range want {
		if got[name] != want[name] {
			t.Errorf("%s: %s is missing or differs", what, name)
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			t.Errorf("%s: %s is new", what, name)
		}
	}
}

func TestJobFolder(t *testing.T) {
	c := commission(t, plainJob...)
	dir := filepath.Join(t.TempDir(), "a", "b", "order")
	if err := Write(context.Background(), dir, c, Options{}); err != nil {
		t.Fatal(err)
	}
	files := tree(t, dir)
	for _, name := range strings.Fields("box.stl tongue.stl finished/box.stl finished/tongue.stl casting/box.stl " +
		"casting/tongue.stl closed.png pattern.3mf open.png views.png section.png shoulder.png across.png order.pdf bench.pdf report.json job.toml sheet.txt manifest.json") {
		if files[name] == "" {
			t.Errorf("%s is missing or empty", name)
		}
	}
	if len(files) != len(FileNames(c)) {
		t.Errorf("%d files, %d announced", len(files), len(FileNames(c)))
	}
	report, _ := Report(c)
	if files["report.json"] != string(report) {
		t.Error("report.json is not what Report gives")
	}
	checkManifest(t, files)
}

func checkManifest(t *testing.T, files map[string]string) {
	t.Helper()
	var m struct {
		Tool  string
		Given string `json:"job_given"`
		Job   map[string]any
		Files []struct {
			Name, SHA256 string
			Size         int
		}
	}
	if err := json.Unmarshal([]byte(files[manifestName]), &m); err != nil {
		t.Fatal(err)
	}
	if len(m.Files) != len(files)-1 || !strings.Contains(m.Given, "12.4") || m.Job["chain.width"] != 12.4 {
		t.Errorf("manifest lists %d of %d files, job given %q", len(m.Files), len(files)-1, m.Given)
	}
	for _, f := range m.Files {
		sum := sha256.Sum256([]byte(files[f.Name]))
		if f.SHA256 != hex.EncodeToString(sum[:]) || f.Size != len(files[f.Name]) {
			t.Errorf("%s: size or digest is wrong", f.Name)
		}
	}
}

func TestSameBytes(t *testing.T) {
	c := commission(t, plainJob...)
	a, b := filepath.Join(t.TempDir(), "one"), filepath.Join(t.TempDir(), "two")
	before := runtime.GOMAXPROCS(1)
	err := Write(context.Background(), a, c, Options{})
	runtime.GOMAXPROCS(max(2, before))
	err = errors.Join(err, Write(context.Background(), b, c, Options{}))
	runtime.GOMAXPROCS(before)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "another folder, more cores", tree(t, b), tree(t, a))
}

func TestFolderOfOthersIsLeftAlone(t *testing.T) {
	c := commission(t, plainJob...)
	for name, text := range map[string]string{"letter.txt": "Dear caster", manifestName: `{"tool": "something else"}`} {
		dir := filepath.Join(t.TempDir(), "order")
		put := func(name, text string) {
			if err := errors.Join(os.MkdirAll(dir, 0o755), os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644)); err != nil {
				t.Fatal(err)
			}
		}
		put(name, text)
		var refused *FolderError
		if err := Write(context.Background(), dir, c, Options{}); !errors.As(err, &refused) {
			t.Errorf("%s: got %v", name, err)
		}
		same(t, "the whole place", tree(t, filepath.Dir(dir)), map[string]string{"order/" + name: text})
	}
}

func TestOurFolderIsReplaced(t *testing.T) {
	c, dir := commission(t, plainJob...), filepath.Join(t.TempDir(), "order")
	if err := os.Mkdir(dir, 0o750); err != nil { // an empty one will do
		t.Fatal(err)
	}
	if err := Write(context.Background(), dir, c, Options{}); err != nil {
		t.Fatal(err)
	}
	want := tree(t, dir)
	spoil := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	spoil("sheet.txt", "old")
	spoil("finished/quote from the caster.txt", "do not lose me")
	if err := Write(context.Background(), dir, c, Options{}); err != nil {
		t.Fatal(err)
	}
	want["finished/quote from the caster.txt"] = "do not lose me"
	same(t, "replaced", tree(t, dir), want)
	if left, _ := os.ReadDir(filepath.Dir(dir)); len(left) != 1 {
		t.Errorf("left beside the folder: %v", left)
	}
	if info, _ := os.Stat(dir); info.Mode().Perm() != 0o750 {
		t.Errorf("the folder's mode became %v", info.Mode())
	}
}

// spoiled is a file whose disk fills up.
type spoiled struct{ failing }

func (*spoiled) Sync() error  { return nil }
func (*spoiled) Close() error { return nil }

// A writer that fails half way, at the first file, the last or between, leaves what was there as it was and nothing new.
func TestFailingWriterLeavesNothing(t *testing.T) {
	c := commission(t, plainJob...)
	for _, victim := range []string{"box.stl", "finished/tongue.stl", "closed.png", "manifest.json"} {
		place := t.TempDir()
		dir := filepath.Join(place, "deep", "order")
		earlier := strings.HasPrefix(victim, "box") || strings.HasPrefix(victim, "manifest")
		if earlier {
			plant(t, dir)
		}
		before := tree(t, place)
		err := write(context.Background(), dir, c, Options{}, func(path string) (fileHandle, error) {
			if strings.HasSuffix(filepath.ToSlash(path), "/"+victim) {
				return &spoiled{failing{left: 500}}, nil
			}
			return &spoiled{failing{left: 1 << 30}}, nil
		})
		if !errors.Is(err, errDisk) || !strings.Contains(err.Error(), victim) {
			t.Errorf("%s: got %v, want the disk's error with the file's name", victim, err)
		}
		same(t, victim, tree(t, place), before)
		if held, _ := os.ReadDir(place); !earlier && len(held) > 0 {
			t.Errorf("%s: %v was left", victim, held[0].Name())
		}
	}
}

// plant makes a folder that looks like an earlier job.
func plant(t *testing.T, dir string) {
	t.Helper()
	text := `{"tool": "claspwright (devel)", "files": [{"name": "sheet.txt"}]}`
	err := errors.Join(os.MkdirAll(dir, 0o755), os.WriteFile(filepath.Join(dir, manifestName), []byte(text), 0o644),
		os.WriteFile(filepath.Join(dir, "sheet.txt"), []byte("earlier"), 0o644))
	if err != nil {
		t.Fatal(err)
	}
}

func TestInterruptLeavesNothing(t *testing.T) {
	c, place := commission(t, plainJob...), t.TempDir()
	ctx, cancel := context.WithCancel(context.Background())
	stop := func(file string) {
		if file == "report.json" {
			cancel()
		}
	}
	err := Write(ctx, filepath.Join(place, "order"), c, Options{Progress: stop})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if held, _ := os.ReadDir(place); len(held) > 0 {
		t.Errorf("%s was left", held[0].Name())
	}
}

// If the new folder cannot be moved into place, the old one is back.
func TestFailedMoveRestores(t *testing.T) {
	place := t.TempDir()
	dir := filepath.Join(place, "order")
	plant(t, dir)
	before := tree(t, place)
	p, err := prepare(dir)
	if err != nil {
		t.Fatal(err)
	}
	temp := p.temp
	if err := os.Chmod(temp, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := p.moveAside(); err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(temp); err != nil {
		t.Fatal(err)
	}
	if err := p.moveIn(); err == nil {
		t.Error("a folder that is gone was moved into place")
	}
	p.discard()
	same(t, "after the failure", tree(t, place), before)
}

func TestStopFinding(t *testing.T) {
	c := *commission(t, plainJob...)
	c.Findings = append([]finding.Finding{{Check: "floor", Grade: finding.Stop, Measured: 0.1, Limit: 0.5, Margin: -0.4, Unit: "mm", Say: "too thin"}}, c.Findings...)
	place := t.TempDir()
	var stopped *StopError
	if err := Write(context.Background(), filepath.Join(place, "order"), &c, Options{}); !errors.As(err, &stopped) || len(stopped.Findings) != 1 {
		t.Errorf("got %v", err)
	}
	if held, _ := os.ReadDir(place); len(held) > 0 {
		t.Errorf("%s was written", held[0].Name())
	}
	if err := Write(context.Background(), filepath.Join(place, "order"), &c, Options{Anyway: true}); err != nil {
		t.Errorf("with anyway: %v", err)
	}
}
