package export

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"claspwright/model"
	"claspwright/model/finding"
)

// Options are what a job folder can be told beyond the commission.
type Options struct {
	Anyway   bool              // write although a finding says that the lock would not work
	Progress func(file string) // called before each file is made; may be nil
}

// StopError says that nothing was written because the lock would not work.
type StopError struct {
	Findings []finding.Finding // those of grade stop
}

func (e *StopError) Error() string {
	if len(e.Findings) == 1 {
		return "1 finding says that the lock would not work, nothing was written"
	}
	return fmt.Sprintf("%d findings say that the lock would not work, nothing was written", len(e.Findings))
}

// Hint is the remedy.
func (e *StopError) Hint() string {
	return "change the job as the findings say, or write the files with --anyway"
}

// Stops are the findings of grade stop.
func Stops(fs []finding.Finding) []finding.Finding {
	var stops []finding.Finding
	for _, f := range fs {
		if f.Grade == finding.Stop {
			stops = append(stops, f)
		}
	}
	return stops
}

// item is one file of a job folder.
type item struct {
	name  string // with slashes, from the folder
	write func(io.Writer) error
}

// creator opens a new file for writing; tests put one that fails in its place.
type creator func(path string) (fileHandle, error)

type fileHandle interface {
	io.Writer
	Sync() error
	Close() error
}

// Write makes the job folder of a commission: meshes of all three stages, report, job, manifest, pictures and sheet.
// The folder appears whole or not at all. It may be missing or empty, or hold an earlier job of this program, which is
// then replaced; files in there that are not of this program are kept. Any other folder is left alone and is an error,
// a *FolderError. A finding of grade stop is a *StopError unless o.Anyway. When ctx ends, or anything fails, what was
// there before is there again.
func Write(ctx context.Context, dir string, c *model.Commission, o Options) error {
	return write(ctx, dir, c, o, create)
}

func write(ctx context.Context, dir string, c *model.Commission, o Options, open creator) error {
	if c == nil {
		return errNothing
	}
	if stops := Stops(c.Findings); len(stops) > 0 && !o.Anyway {
		return &StopError{Findings: stops}
	}
	place, err := prepare(dir)
	if err != nil {
		return err
	}
	defer place.discard()
	if _, err := fill(ctx, place.temp, c, o, open); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return place.commit()
}

// fill makes all files in a folder, the manifest last, and says what went into them.
func fill(ctx context.Context, dir string, c *model.Commission, o Options, open creator) ([]manifestFile, error) {
	items, err := contents(c)
	if err != nil {
		return nil, err
	}
	var done []manifestFile
	for _, it := range items {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if o.Progress != nil {
			o.Progress(it.name)
		}
		f, err := put(dir, it, open)
		if err != nil {
			return nil, err
		}
		done = append(done, f)
	}
	last := item{manifestName, func(w io.Writer) error { return writeJSON(w, manifestOf(c, done)) }}
	f, err := put(dir, last, open)
	if err != nil {
		return nil, err
	}
	return append(done, f), syncFolders(dir)
}

// put makes one file, to the disk, and says what went into it.
func put(dir string, it item, open creator) (manifestFile, error) {
	return putAs(dir, it.name, it, open)
}

// putAs is put under another name on the disk.
func putAs(dir, name string, it item, open creator) (entry manifestFile, err error) {
	path := filepath.Join(dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return entry, err
	}
	f, err := open(path)
	if err != nil {
		return entry, err
	}
	defer func() {
		if cerr := f.Close(); err == nil && cerr != nil {
			err = fmt.Errorf("%s: %w", it.name, cerr)
		}
	}()
	m := newMeter()
	w := bufio.NewWriterSize(f, 1<<16)
	if err := it.write(io.MultiWriter(w, m)); err != nil {
		return entry, fmt.Errorf("%s: %w", it.name, err)
	}
	if err := w.Flush(); err != nil {
		return entry, fmt.Errorf("%s: %w", it.name, err)
	}
	if err := f.Sync(); err != nil {
		return entry, fmt.Errorf("%s: %w", it.name, err)
	}
	return m.entry(it.name), nil
}

func create(path string) (fileHandle, error) {
	return os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
}

func writeJSON(w io.Writer, v any) error {
	data, err := pretty(v)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
