package export

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
)

// runHead is what a run's manifest and its mark say of it.
type runHead struct {
	SchemaVersion int    `json:"schema_version"`
	Tool          string `json:"tool"`
	Given         string `json:"run_given"` // the run as it was given, in the table's order
}

// plateName are the names of plates.
var plateName = regexp.MustCompile(`^plate(-\d+)?\.3mf$`)

// finish writes the plates, the tables, the sheet and the manifest of the whole run. The locks are read back from the
// disk, one after the other, so that a long run takes no more memory than a short one.
func (f *runFolder) finish(ctx context.Context, r *RunResult) error {
	if err := f.retire(r); err != nil {
		return err
	}
	plates, err := r.plates(f.dir)
	if err != nil {
		return err
	}
	if err := f.oldPlates(plates); err != nil {
		return err
	}
	var done []manifestFile
	for _, it := range append(plates,
		item{"run.csv", r.WriteCSV},
		item{"run.json", r.WriteJSON},
		item{"run.pdf", func(w io.Writer) error { return r.WriteSheets(w, f.dir) }},
		item{"run.toml", func(w io.Writer) error { _, err := w.Write(r.Run.TOML()); return err }},
	) {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := f.put(it, &done); err != nil {
			return err
		}
	}
	if err := syncFolder(f.dir); err != nil {
		return err
	}
	if err := f.put(item{manifestName, func(w io.Writer) error { return f.manifest(w, r, done) }}, nil); err != nil {
		return err
	}
	if err := syncFolder(f.dir); err != nil {
		return err
	}
	if err := os.Remove(filepath.Join(f.dir, unfinishedName)); err != nil {
		return err
	}
	return syncFolder(f.dir)
}

// oldPlates removes plates of an earlier, longer run.
func (f *runFolder) oldPlates(now []item) error {
	held, err := os.ReadDir(f.dir)
	if err != nil {
		return err
	}
	wanted := map[string]bool{}
	for _, it := range now {
		wanted[it.name] = true
	}
	for _, d := range held {
		if plateName.MatchString(d.Name()) && !wanted[d.Name()] {
			if err := os.Remove(filepath.Join(f.dir, d.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}

// manifest lists the files of all locks, their rows, and the run's own.
func (f *runFolder) manifest(w io.Writer, r *RunResult, own []manifestFile) error {
	return writeListed(w, runHead{schemaVersion, signature(), string(r.Run.TOML())}, "files", func(yield func(any) error) error {
		for _, row := range r.Rows {
			all, err := f.filesOf(row)
			if err != nil {
				return err
			}
			for _, m := range all {
				if err := yield(m); err != nil {
					return err
				}
			}
		}
		for _, m := range own {
			if err := yield(m); err != nil {
				return err
			}
		}
		return nil
	})
}

// filesOf are the files of one lock, from the run's folder.
func (f *runFolder) filesOf(row RunRow) (all []manifestFile, err error) {
	if row.Folder {
		if all, err = lockFiles(f.dir, row.Name); err != nil {
			return nil, err
		}
	}
	data, err := os.ReadFile(f.rowFile(row.Name))
	if errors.Is(err, os.ErrNotExist) {
		return all, nil // refused by its job
	}
	m := newMeter()
	_, werr := m.Write(data)
	return append(all, m.entry(rowsName+"/"+row.Name+".json")), errors.Join(err, werr)
}

// lockFiles are the files of a lock's folder by its manifest, that included, from the run's folder.
func lockFiles(dir, name string) ([]manifestFile, error) {
	files, own, err := readManifest(filepath.Join(dir, name))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	files = append(files, own)
	for i := range files {
		files[i].Name = path.Join(name, files[i].Name)
	}
	return files, nil
}

// writeListed writes a JSON document whose last member is a list that need not be in memory at one time.
func writeListed(w io.Writer, head any, name string, each func(yield func(any) error) error) error {
	top, err := pretty(head)
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintf(w, "%s,\n  %q: [", bytes.TrimSuffix(top, []byte("\n}\n")), name); err != nil {
		return err
	}
	between := ""
	err = each(func(v any) error {
		text, err := pretty(v)
		if err != nil {
			return err
		}
		text = bytes.ReplaceAll(bytes.TrimSpace(text), []byte("\n"), []byte("\n    "))
		_, err = fmt.Fprintf(w, "%s\n    %s", between, text)
		between = ","
		return err
	})
	if err != nil {
		return err
	}
	end := "\n  ]\n}\n"
	if between == "" {
		end = "]\n}\n"
	}
	_, err = io.WriteString(w, end)
	return err
}
