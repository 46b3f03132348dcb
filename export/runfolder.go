package export

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"syscall"

	"golang.org/x/sync/errgroup"

	"claspwright/params"
)

// unfinishedName is the file that stands in a run's folder from its beginning to its end.
const unfinishedName = "unfinished.json"

// runFolder is the folder of a size run while it is written.
type runFolder struct {
	asGiven string
	dir     string // absolute, links followed
	run     *params.Run
	names   []string // of the locks' folders
	o       RunOptions
	open    creator
	lock    *os.File // the folder, held against other runs
	before  []string // locks of an earlier run that are not of this one
}

// RunUsable says whether WriteRun could use a folder, with the error that it would give, but without looking into the
// locks that are there.
func RunUsable(dir string) error {
	_, err := runPlace(dir)
	return err
}

// runPlace judges a run's folder: missing, empty, or an earlier run. Nothing is touched.
func runPlace(dir string) (*place, error) {
	abs, err := truePath(dir)
	if err != nil {
		return nil, err
	}
	p := &place{dir: abs}
	if begun(abs) {
		p.exists = true
		return p, nil
	}
	if err := p.judge(dir); err != nil {
		return nil, err
	}
	if p.ours != nil && givenIn(filepath.Join(abs, manifestName)) == "" {
		return nil, &FolderError{dir, "holds a single lock, so it was left as it is", "name an empty or a new folder with -o"}
	}
	return p, nil
}

// begun says of a folder that a run has begun in it, even if it came no further than its first file.
func begun(dir string) bool {
	if givenIn(filepath.Join(dir, unfinishedName)) != "" {
		return true
	}
	held, err := os.ReadDir(dir)
	for _, d := range held {
		if !temporary.MatchString(d.Name()) {
			return false
		}
	}
	return err == nil && len(held) > 0
}

// givenIn is the run that a mark or a run's manifest names; "" when it is not of this program.
func givenIn(file string) string {
	data, err := os.ReadFile(file)
	if err != nil {
		return ""
	}
	var m struct {
		Tool  string
		Given string `json:"run_given"`
	}
	if json.Unmarshal(data, &m) != nil || !strings.HasPrefix(m.Tool, Tool+" ") || m.Given == "" {
		return ""
	}
	return m.Tool + "\n" + m.Given
}

// enter makes the folder if it is missing and holds it: a whole run alone, the parts of a run together.
func (f *runFolder) enter() error {
	p, err := runPlace(f.asGiven)
	if err != nil {
		return err
	}
	f.dir = p.dir
	if !p.exists {
		if err := os.MkdirAll(f.dir, 0o755); err != nil {
			return err
		}
	}
	if f.lock, err = os.Open(f.dir); err != nil {
		return err
	}
	held, err := f.hold()
	if err == nil && !held {
		err = &FolderError{f.asGiven, "is being written by another run", "wait until that has ended, or let each make its part with --shard"}
	}
	if err != nil {
		f.leave()
	}
	return err
}

// hold takes the folder for this run alone, or together with other parts of a run. Whoever has it alone clears away what
// an interrupted run left.
func (f *runFolder) hold() (held bool, err error) {
	part := f.o.Shard.Of > 0
	switch err := flock(f.lock, true); {
	case err == nil:
		for _, d := range []string{f.dir, filepath.Join(f.dir, rowsName)} {
			if err := clearTemporary(d); err != nil {
				return true, err
			}
		}
		if !part {
			return true, nil
		}
	case !part || !errors.Is(err, syscall.EWOULDBLOCK):
		return false, notBusy(err)
	}
	err = flock(f.lock, false)
	return err == nil, notBusy(err)
}

func notBusy(err error) error {
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return nil
	}
	return err
}

func (f *runFolder) leave() { _ = f.lock.Close() } // which also lets it go; nothing was written through it

// sameRun says whether the folder holds this very run; other, that it holds another one.
func (f *runFolder) sameRun() (same, other bool) {
	mine := signature() + "\n" + string(f.run.TOML())
	for _, name := range []string{unfinishedName, manifestName} {
		if given := givenIn(filepath.Join(f.dir, name)); given != "" {
			return given == mine, given != mine
		}
	}
	return false, false
}

// takeUp sorts the rows of the run, or of its part: those that are finished are read back, the places of the others are
// given back. A folder of a lock that was changed or is not of this program is an error.
func (f *runFolder) takeUp(ctx context.Context, r *RunResult) (todo []int, err error) {
	if _, other := f.sameRun(); other && f.o.Shard.Of > 0 {
		return nil, &FolderError{f.asGiven, "holds another run", "name a new folder with -o for the parts of this one"}
	}
	for at, name := range f.names {
		if f.o.Shard.has(at) {
			r.Rows = append(r.Rows, RunRow{Name: name, at: at})
		}
	}
	f.before = f.earlier()
	changed := make([]string, len(r.Rows))
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(f.o.Jobs)
	for i := range r.Rows {
		g.Go(func() (err error) {
			if err := gctx.Err(); err != nil {
				return err
			}
			r.Rows[i], changed[i], err = f.lookAt(r.Rows[i])
			return err
		})
	}
	err = g.Wait()
	for i, row := range r.Rows {
		switch {
		case row.Status == "":
			todo = append(todo, i)
		case f.run.Job(row.at).Err == nil: // the others cost nothing
			r.Kept++
		}
	}
	if err != nil {
		return todo, err
	}
	return todo, f.told(changed)
}

// told is the error for folders that are not as a run wrote them.
func (f *runFolder) told(changed []string) error {
	first, more := "", -1
	for _, c := range changed {
		if c == "" {
			continue
		}
		if more++; first == "" {
			first = c
		}
	}
	if first == "" {
		return nil
	}
	if more > 0 {
		first += fmt.Sprintf(", and %d more like it", more)
	}
	return &FolderError{f.asGiven, "holds " + first + "; nothing was made", "take such folders away or give them other names, or name a new folder with -o"}
}

// lookAt reads a finished row back. The row stays without status when its lock is still to be made; changed tells what
// stands in the way.
func (f *runFolder) lookAt(row RunRow) (out RunRow, changed string, err error) {
	folder := filepath.Join(f.dir, row.Name)
	info, err := os.Lstat(folder)
	there := err == nil
	switch {
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return row, "", err
	case there && !info.IsDir():
		return row, row.Name + ", which is no folder", nil
	}
	digest := ""
	if there {
		var wrong string
		if digest, wrong, err = verified(folder); err != nil || wrong != "" {
			return row, row.Name + ", " + wrong, err
		}
	}
	if job := f.run.Job(row.at); job.Err != nil {
		row.refuse(job.Err)
		return row, "", nil
	}
	row, _ = f.keptRow(row, digest)
	return row, "", nil
}

// complete says whether this very run has been finished before, all its tables as they were.
func (f *runFolder) complete() bool {
	if same, _ := f.sameRun(); !same || f.o.Shard.Of > 0 {
		return same && f.o.Shard.Of > 0
	}
	if _, err := os.Lstat(filepath.Join(f.dir, unfinishedName)); err == nil {
		return false
	}
	files, _, err := readManifest(f.dir)
	for _, m := range files {
		if err == nil && path.Dir(m.Name) == "." && !m.matches(f.dir) {
			return false
		}
	}
	return err == nil
}

// begin marks the folder as unfinished.
func (f *runFolder) begin() error {
	m := runHead{SchemaVersion: schemaVersion, Tool: signature(), Given: string(f.run.TOML())}
	if givenIn(filepath.Join(f.dir, unfinishedName)) != m.Tool+"\n"+m.Given {
		if err := f.put(item{unfinishedName, func(w io.Writer) error { return writeJSON(w, m) }}, nil); err != nil {
			return err
		}
	}
	if err := ignoreMissing(os.Remove(filepath.Join(f.dir, manifestName))); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Join(f.dir, rowsName), 0o755); err != nil { // after the mark, by which the folder is known
		return err
	}
	return syncFolder(f.dir)
}

// put writes one of the run's own files under another name first, and then moves it over what was there.
func (f *runFolder) put(it item, done *[]manifestFile) error {
	temp := fmt.Sprintf(".%s-unfinished-%d", it.name, rand.Uint32())
	entry, err := putAs(f.dir, temp, it, f.open)
	if err != nil {
		return errors.Join(err, ignoreMissing(os.Remove(filepath.Join(f.dir, temp))))
	}
	if done != nil {
		*done = append(*done, entry)
	}
	return os.Rename(filepath.Join(f.dir, temp), filepath.Join(f.dir, it.name))
}

func ignoreMissing(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// temporary are the names of what is not finished, and of earlier folders on their way out.
var temporary = regexp.MustCompile(`^\.(.+)-unfinished-\d+(-old)?$`)

// clearTemporary removes what is not finished. An earlier folder that was just being replaced comes back, or gives what is
// not of this program to the one that has taken its place.
func clearTemporary(dir string) error {
	held, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	for _, d := range held {
		m := temporary.FindStringSubmatch(d.Name())
		if m == nil {
			continue
		}
		from, to := filepath.Join(dir, d.Name()), filepath.Join(dir, m[1])
		if m[2] != "" {
			if _, err := os.Lstat(to); errors.Is(err, fs.ErrNotExist) {
				if err := os.Rename(from, to); err != nil {
					return err
				}
				continue
			}
			ours, _ := oldManifest(from)
			if err := carry(from, to, ours); err != nil {
				return fmt.Errorf("%s cannot give its other files to %s: %w", from, m[1], err)
			}
		}
		if err := os.RemoveAll(from); err != nil {
			return err
		}
	}
	return err
}

// earlier are the locks that an earlier run has in the folder and this one does not.
func (f *runFolder) earlier() (names []string) {
	mine, seen := map[string]bool{}, map[string]bool{}
	for _, n := range f.names {
		mine[n] = true
	}
	note := func(n string) {
		if !mine[n] && !seen[n] && n != rowsName && filepath.IsLocal(n) {
			names = append(names, n)
		}
		seen[n] = true
	}
	held, _ := os.ReadDir(filepath.Join(f.dir, rowsName)) // none where there is no such folder
	for _, d := range held {
		if n, ok := strings.CutSuffix(d.Name(), ".json"); ok {
			note(n)
		}
	}
	files, _, _ := readManifest(f.dir)
	for _, m := range files {
		if head, _, below := strings.Cut(m.Name, "/"); below {
			note(head)
		}
	}
	return names
}

// retire removes the folders of locks that this run does not have, if they are as they were written; others are named.
func (f *runFolder) retire(r *RunResult) error {
	names := slices.Clone(f.before)
	for _, row := range r.Rows {
		if !row.Folder {
			names = append(names, row.Name)
		}
	}
	for _, n := range names {
		folder := filepath.Join(f.dir, n)
		if info, err := os.Lstat(folder); err != nil || !info.IsDir() {
			continue
		}
		if _, wrong, err := verified(folder); err != nil || wrong != "" || !onlyOurs(folder) {
			r.Left = append(r.Left, n)
			continue
		}
		if err := os.RemoveAll(folder); err != nil {
			return err
		}
	}
	for _, n := range f.before {
		if err := ignoreMissing(os.Remove(f.rowFile(n))); err != nil {
			return err
		}
	}
	return nil
}

// syncing keeps the rows' folder from being brought to the disk by several workers at a time.
var syncing sync.Mutex
