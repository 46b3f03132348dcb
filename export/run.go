package export

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/params"
)

// RunOptions are what a size run can be told beyond the run file.
type RunOptions struct {
	Want     model.Want
	Anyway   bool                  // write a lock's folder although a finding says that it would not work
	Progress func(done, locks int) // called after each lock, from several goroutines; may be nil
}

// The fates of a lock in a run.
const (
	RowMade    = "made"
	RowRefused = "refused" // it cannot exist as asked for
	RowStopped = "stopped" // a finding says that it would not work
	RowFailed  = "failed"  // the program could not keep a promise
)

// RunRow is one lock of a size run.
type RunRow struct {
	Name     string
	Status   string // made, refused, stopped or failed
	Folder   bool   // its folder was written
	Reason   string // why it was not made, "" when it was
	Remedy   string // what to do about that, "" when there is nothing to add
	Worst    finding.Grade
	Length   float64 // of the closed lock along the chain, mm
	Weight   model.Weight
	job      params.RunJob
	findings []finding.Finding
}

// RunResult is a whole size run, its rows in the order of the run.
type RunResult struct {
	Run  *params.Run
	Rows []RunRow
}

// Made is how many locks were made and would work.
func (r *RunResult) Made() (n int) {
	for _, row := range r.Rows {
		if row.Status == RowMade {
			n++
		}
	}
	return n
}

// WriteRun makes every lock of a size run, on all cores, and writes one folder for each that can be made, with the
// table of all as run.csv and run.json, their patterns on one plate or several as 3MF, the run as run.toml, and a manifest over everything. A lock that is refused,
// stopped or fails is a row with its reason and does not stop the others. The run's folder appears whole or not at all,
// by the rules of Write; when ctx ends, or a file cannot be written, what was there before is there again. A lock's
// folder holds what make would have written, and no byte depends on the number of cores.
func WriteRun(ctx context.Context, dir string, run *params.Run, o RunOptions) (*RunResult, error) {
	return writeRun(ctx, dir, run, o, create)
}

func writeRun(ctx context.Context, dir string, run *params.Run, o RunOptions, open creator) (*RunResult, error) {
	place, err := prepare(dir)
	if err != nil {
		return nil, err
	}
	defer place.discard()
	jobs := run.Jobs()
	rows, files := make([]RunRow, len(jobs)), make([][]manifestFile, len(jobs))
	var done atomic.Int64
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range jobs {
		g.Go(func() (err error) {
			if err := gctx.Err(); err != nil {
				return err
			}
			rows[i], files[i], err = oneLock(gctx, place.temp, jobs[i], o, open)
			if n := done.Add(1); o.Progress != nil {
				o.Progress(int(n), len(jobs))
			}
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	r := &RunResult{Run: run, Rows: rows}
	if err := r.finish(ctx, place.temp, files, open); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return r, place.commit()
}

// oneLock makes one lock and its folder. The commission is let go at the end, so that a run holds no more meshes than
// there are workers. An error is one that ends the whole run.
func oneLock(ctx context.Context, dir string, job params.RunJob, o RunOptions, open creator) (RunRow, []manifestFile, error) {
	row := RunRow{Name: job.Name, job: job}
	c, err := lockOf(ctx, job, o.Want)
	if ctx.Err() != nil {
		return row, nil, ctx.Err()
	}
	if err != nil {
		row.refuse(err)
		return row, nil, nil
	}
	row.judge(c)
	if row.Status == RowStopped && !o.Anyway {
		return row, nil, nil
	}
	folder := filepath.Join(dir, job.Name)
	if err := os.Mkdir(folder, 0o755); err != nil {
		return row, nil, err
	}
	files, err := fill(ctx, folder, c, Options{}, open)
	if err != nil {
		return row, nil, fmt.Errorf("%s: %w", job.Name, err)
	}
	for i := range files {
		files[i].Name = job.Name + "/" + files[i].Name
	}
	row.Folder = true
	return row, files, nil
}

func lockOf(ctx context.Context, job params.RunJob, want model.Want) (*model.Commission, error) {
	if job.Err != nil {
		return nil, job.Err
	}
	return model.Make(ctx, job.Job, want)
}

// refuse says why there is no lock.
func (r *RunRow) refuse(err error) {
	var problems params.Problems
	var refusal *clasp.Refusal
	r.Status, r.Reason = RowFailed, err.Error()
	switch {
	case errors.As(err, &problems):
		r.Status, r.Reason, r.Remedy = RowRefused, "", problems[0].Hint
		for i, p := range problems {
			if i > 0 {
				r.Reason += "; "
			}
			r.Reason += p.Key + ": " + p.Value + " " + p.Say
		}
	case errors.As(err, &refusal):
		r.Status, r.Remedy = RowRefused, refusal.Hint()
	}
}

// judge takes from a commission what its row shows.
func (r *RunRow) judge(c *model.Commission) {
	r.Status, r.Worst, r.findings = RowMade, finding.OK, c.Findings
	for _, f := range c.Findings {
		if gravity(f.Grade) > gravity(r.Worst) {
			r.Worst = f.Grade
		}
	}
	if len(c.Weights) > 0 {
		r.Weight = c.Weights[0]
	}
	r.Length = closedLength(c)
	if stops := Stops(c.Findings); len(stops) > 0 {
		r.Status = RowStopped
		r.Reason, r.Remedy = stated(stops[0]), "change the run as the finding says, or write the files with --anyway"
	}
}

// gravity orders grades, the harmless first.
func gravity(g finding.Grade) int {
	return map[finding.Grade]int{finding.OK: 0, finding.Note: 1, finding.Caution: 2, finding.Stop: 3}[g]
}

// finish writes the plates, the tables and the manifest of the whole run.
func (r *RunResult) finish(ctx context.Context, dir string, files [][]manifestFile, open creator) error {
	var all []manifestFile
	for _, f := range files {
		all = append(all, f...)
	}
	for _, it := range append(r.plates(dir, files),
		item{"run.csv", r.WriteCSV},
		item{"run.json", r.WriteJSON},
		item{"run.toml", func(w io.Writer) error { _, err := w.Write(r.Run.TOML()); return err }},
	) {
		if err := ctx.Err(); err != nil {
			return err
		}
		f, err := put(dir, it, open)
		if err != nil {
			return err
		}
		all = append(all, f)
	}
	m := runManifest{SchemaVersion: schemaVersion, Tool: signature(), Given: string(r.Run.TOML()), Files: all}
	if _, err := put(dir, item{manifestName, func(w io.Writer) error { return writeJSON(w, m) }}, open); err != nil {
		return err
	}
	return syncFolder(dir)
}

type runManifest struct {
	SchemaVersion int            `json:"schema_version"`
	Tool          string         `json:"tool"`
	Given         string         `json:"run_given"` // the run as it was given, in the table's order
	Files         []manifestFile `json:"files"`
}
