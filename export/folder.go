package export

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
)

// FolderError says that a folder holds something else and was left as it is.
type FolderError struct {
	Dir    string // as it was given
	Say    string
	Remedy string
}

func (e *FolderError) Error() string { return e.Dir + " " + e.Say }

// Hint is the remedy.
func (e *FolderError) Hint() string { return e.Remedy }

// place is where a job folder will stand, with the temporary folder beside it in which it grows.
type place struct {
	dir     string          // absolute, links followed
	temp    string          // beside dir, "" once it has moved into place
	aside   string          // where the earlier folder was moved to, "" if it was not
	parents []string        // folders made on the way, the outermost first
	exists  bool            // dir is there: empty, or an earlier job
	ours    map[string]bool // the files of the earlier job
}

// Usable says whether Write could put a job into a folder, with the error that Write would give. It touches nothing,
// and is for asking before the work is done.
func Usable(dir string) error {
	_, err := locate(dir)
	return err
}

// locate judges a folder. Nothing that is there is touched.
func locate(dir string) (*place, error) {
	abs, err := truePath(dir)
	if err != nil {
		return nil, err
	}
	p := &place{dir: abs}
	return p, p.judge(dir)
}

// truePath is where a folder is or would be: absolute, links followed where there is something to follow.
func truePath(dir string) (string, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		return real, nil
	}
	return abs, nil
}

// prepare judges the folder and makes the temporary one beside it.
func prepare(dir string) (*place, error) {
	p, err := locate(dir)
	if err != nil {
		return nil, err
	}
	if err := p.makeParents(); err != nil {
		p.discard()
		return nil, err
	}
	temp, err := os.MkdirTemp(filepath.Dir(p.dir), "."+filepath.Base(p.dir)+"-unfinished-*")
	if err != nil {
		p.discard()
		return nil, err
	}
	p.temp = temp
	return p, nil
}

func (p *place) judge(asGiven string) error {
	info, err := os.Lstat(p.dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil && !info.IsDir() {
		err = syscall.ENOTDIR
	}
	if errors.Is(err, syscall.ENOTDIR) {
		return &fs.PathError{Op: "write folder", Path: asGiven, Err: syscall.ENOTDIR}
	}
	if err != nil {
		return err
	}
	held, err := os.ReadDir(p.dir)
	if err != nil {
		return err
	}
	p.exists = true
	if len(held) == 0 {
		return nil
	}
	names, ours := oldManifest(p.dir)
	if !ours {
		return &FolderError{asGiven, fmt.Sprintf("holds other files (%s) and no %s of this program, so it was left as it is",
			held[0].Name(), manifestName), "name an empty or a new folder with -o"}
	}
	p.ours = names
	return nil
}

// makeParents makes the folders above, and remembers which.
func (p *place) makeParents() error {
	var missing []string
	for d := filepath.Dir(p.dir); ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); err == nil || d == filepath.Dir(d) {
			break
		}
		missing = append([]string{d}, missing...)
	}
	for _, d := range missing {
		if err := os.Mkdir(d, 0o755); err != nil {
			return err
		}
		p.parents = append(p.parents, d)
	}
	return nil
}

// discard removes what commit did not put into place. After commit it does nothing.
func (p *place) discard() {
	if p.temp != "" {
		// An error here leaves a folder whose name says that it is unfinished; the first error is the one to report.
		_ = os.RemoveAll(p.temp)
	}
	for i := len(p.parents) - 1; i >= 0; i-- {
		_ = os.Remove(p.parents[i])
	}
}

// commit moves the finished folder into place. If it fails, what was there before is there again.
func (p *place) commit() error {
	if err := os.Chmod(p.temp, p.mode()); err != nil { // MkdirTemp makes it private
		return err
	}
	if err := p.moveAside(); err != nil {
		return err
	}
	if err := p.moveIn(); err != nil {
		return err
	}
	if err := syncFolder(filepath.Dir(p.dir)); err != nil {
		return err
	}
	return p.clear()
}

// moveAside takes the earlier folder out of the way.
func (p *place) moveAside() error {
	if !p.exists {
		return nil
	}
	old := p.temp + "-old"
	if err := os.Rename(p.dir, old); err != nil {
		return err
	}
	p.aside = old
	return nil
}

// moveIn puts the new folder where the earlier one was, or that one back.
func (p *place) moveIn() error {
	if err := os.Rename(p.temp, p.dir); err != nil {
		if p.aside != "" {
			err = errors.Join(err, os.Rename(p.aside, p.dir))
		}
		return err
	}
	p.temp, p.parents = "", nil
	return nil
}

func (p *place) mode() fs.FileMode {
	if info, err := os.Stat(p.dir); p.exists && err == nil {
		return info.Mode().Perm()
	}
	return 0o755
}

// clear carries files that are not of this program over from the old folder and removes the rest of it.
func (p *place) clear() error {
	if p.aside == "" {
		return nil
	}
	if err := carry(p.aside, p.dir, p.ours); err != nil {
		return fmt.Errorf("the new files are in place; the old ones stay in %s: %w", p.aside, err)
	}
	return os.RemoveAll(p.aside)
}

// carry moves every file under old that is not among ours to the same place under dir.
func carry(old, dir string, ours map[string]bool) error {
	return filepath.WalkDir(old, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(old, path)
		if err != nil || ours[filepath.ToSlash(name)] {
			return err
		}
		to := filepath.Join(dir, name)
		if _, err := os.Lstat(to); err == nil {
			return fmt.Errorf("%s is also the name of a new file", name)
		}
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		return os.Rename(path, to)
	})
}

// syncFolders brings the names in a folder, and in those below, to the disk.
func syncFolders(dir string) error {
	return filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		return syncFolder(path)
	})
}

func syncFolder(dir string) error {
	if runtime.GOOS == "windows" { // which has no such call for folders
		return nil
	}
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
