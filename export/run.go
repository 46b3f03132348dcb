package export

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"

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
	Jobs     int                   // locks that are made side by side; 0 for as many as there are cores
	Shard    Shard                 // the part of the run to make; the zero value is all of it
	Progress func(done, locks int) // called after each lock, one call at a time; may be nil
}

// Shard is one of several parts of a run, so that several machines can share it.
type Shard struct{ Part, Of int } // Part from 1 to Of; Of 0 is the whole run

func (s Shard) has(i int) bool { return s.Of == 0 || i%s.Of == s.Part-1 }

func (s Shard) String() string { return fmt.Sprintf("%d/%d", s.Part, s.Of) }

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
	Finished float64 // g, all parts, a leaf of strip too
	Fine     float64 // g of fine metal in the finished lock
	Pours    []RunPour
	at       int // place in the run
}

// RunPour is what one lock takes of one alloy, g.
type RunPour struct {
	Alloy    string  `json:"alloy"` // id, or the composition as the user wrote it
	Finished float64 `json:"finished"`
	Casting  float64 `json:"casting"`
	Gates    float64 `json:"gates"`
	Button   float64 `json:"button"`
	Loss     float64 `json:"loss"`
	Order    float64 `json:"order"` // all but the finished weight
}

// inAll is what a lock takes of all alloys.
func (row RunRow) inAll() (p RunPour) {
	for _, q := range row.Pours {
		p.add(q)
	}
	return p
}

func (p *RunPour) add(q RunPour) {
	p.Finished += q.Finished
	p.Casting += q.Casting
	p.Gates += q.Gates
	p.Button += q.Button
	p.Loss += q.Loss
	p.Order += q.Order
}

// RunResult is a size run, or one part of it, its rows in the order of the run.
type RunResult struct {
	Run   *params.Run
	Shard Shard
	Rows  []RunRow
	Kept  int      // locks that an earlier, interrupted run had finished
	Left  []string // folders of locks of another run that stay, since something in them is not of this program
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

// UnfinishedError says how far a run came.
type UnfinishedError struct {
	Done, Locks int
	Err         error
}

func (e *UnfinishedError) Error() string {
	why := e.Err.Error()
	if errors.Is(e.Err, context.Canceled) {
		why = "interrupted"
	}
	return fmt.Sprintf("%s; %d of %d locks are finished", why, e.Done, e.Locks)
}

// Unwrap is what ended the run.
func (e *UnfinishedError) Unwrap() error { return e.Err }

// Hint is the remedy.
func (*UnfinishedError) Hint() string { return "the same command goes on from there" }

// WriteRun makes every lock of a size run, several side by side, and writes one folder for each that can be made, with the
// table of all as run.csv and run.json, a sheet of all as run.pdf, their patterns on one plate or several as 3MF, the run as run.toml, and a manifest over everything. A
// lock that is refused, stopped or fails is a row with its reason and does not stop the others.
//
// The folder of a lock appears whole or not at all. The run's folder holds finished locks at any time; until tables and
// manifest are written it also holds unfinished.json. Begun again in the same folder, a run keeps each lock whose
// folder is as its manifest says and whose job and tool are the same. A folder that was changed, or is not of this program, is a *FolderError before anything is
// made; an end before the end is an *UnfinishedError. A part of a run writes locks only; the whole run, begun when all
// parts are in one folder, writes the tables. No byte depends on cores, parts, or interruptions.
func WriteRun(ctx context.Context, dir string, run *params.Run, o RunOptions) (*RunResult, error) {
	return writeRun(ctx, dir, run, o, create)
}

func writeRun(ctx context.Context, dir string, run *params.Run, o RunOptions, open creator) (*RunResult, error) {
	if o.Jobs < 1 {
		o.Jobs = runtime.GOMAXPROCS(0)
	}
	f := &runFolder{asGiven: dir, run: run, names: run.Names(), o: o, open: open}
	if err := f.enter(); err != nil {
		return nil, err
	}
	defer f.leave()
	r := &RunResult{Run: run, Shard: o.Shard}
	todo, err := f.takeUp(ctx, r)
	if err != nil {
		return nil, f.unfinished(r, todo, err)
	}
	if len(todo) == 0 && f.complete() {
		return r, nil
	}
	if err := f.begin(); err != nil {
		return nil, err
	}
	if err := f.makeAll(ctx, r, todo); err != nil {
		return nil, f.unfinished(r, todo, err)
	}
	if o.Shard.Of > 0 {
		return r, nil
	}
	if err := f.finish(ctx, r); err != nil {
		return nil, f.unfinished(r, nil, err)
	}
	return r, nil
}

// unfinished says how far the run came. A folder that cannot be used is told as it is.
func (f *runFolder) unfinished(r *RunResult, todo []int, err error) error {
	var refused *FolderError
	if errors.As(err, &refused) {
		return err
	}
	done := len(r.Rows) - len(todo)
	for _, i := range todo {
		if r.Rows[i].Status != "" {
			done++
		}
	}
	return &UnfinishedError{Done: max(done, 0), Locks: len(r.Rows), Err: err}
}

// makeAll makes the rows that are still to do.
func (f *runFolder) makeAll(ctx context.Context, r *RunResult, todo []int) error {
	var one sync.Mutex
	done := len(r.Rows) - len(todo)
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(f.o.Jobs)
	for _, i := range todo {
		g.Go(func() error {
			if err := gctx.Err(); err != nil {
				return err
			}
			row, err := f.oneLock(gctx, r.Rows[i].at)
			if err != nil {
				return err
			}
			one.Lock()
			defer one.Unlock()
			r.Rows[i] = row
			if done++; f.o.Progress != nil {
				f.o.Progress(done, len(r.Rows))
			}
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	return ctx.Err()
}

// oneLock makes one lock and its folder. The commission is let go at the end, so that a run holds no more meshes than
// there are workers. An error is one that ends the whole run.
func (f *runFolder) oneLock(ctx context.Context, at int) (RunRow, error) {
	job := f.run.Job(at)
	row := RunRow{Name: f.names[at], at: at}
	c, err := lockOf(ctx, job, f.o.Want)
	if ctx.Err() != nil {
		return row, ctx.Err()
	}
	if err != nil {
		row.refuse(err)
		return row, f.keepRow(job, row, "")
	}
	row.judge(c)
	if row.Status == RowStopped && !f.o.Anyway {
		return row, f.keepRow(job, row, "")
	}
	row.Folder = true
	if err := f.writeLock(ctx, job, row, c); err != nil {
		return row, fmt.Errorf("%s: %w", row.Name, err)
	}
	return row, nil
}

// writeLock puts a lock's folder into place, its row first: a row without its folder is made again, a folder without its
// row would be too.
func (f *runFolder) writeLock(ctx context.Context, job params.RunJob, row RunRow, c *model.Commission) error {
	p, err := prepare(filepath.Join(f.dir, row.Name))
	if err != nil {
		return err
	}
	defer p.discard()
	files, err := fill(ctx, p.temp, c, Options{}, f.open)
	if err != nil {
		return err
	}
	if err := f.keepRow(job, row, files[len(files)-1].SHA256); err != nil {
		return err
	}
	if _, err := os.Lstat(p.dir); err == nil && !p.exists {
		return nil // another part of the run, cut otherwise, has made the same lock meanwhile
	}
	return p.commit()
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
	r.Status, r.Worst = RowMade, finding.OK
	for _, f := range c.Findings {
		if gravity(f.Grade) > gravity(r.Worst) {
			r.Worst = f.Grade
		}
	}
	if len(c.Weights) > 0 {
		r.Finished, r.Fine = c.Weights[0].Finished, c.Weights[0].Fine
	}
	for _, p := range c.Pours {
		o := p.Order
		r.Pours = append(r.Pours, RunPour{Alloy: p.Alloy.ID, Finished: c.FinishedOf(p), Casting: o.CastingG, Gates: o.GatesG, Button: o.ButtonG, Loss: o.LossG, Order: o.OrderG})
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
