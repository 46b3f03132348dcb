package export

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"claspwright/model/finding"
	"claspwright/params"
)

// rowsName is the folder of the rows, one file a lock: what a run must know of a lock that it does not make again.
const rowsName = "rows"

// keptRow is a row as it is kept. Figures are not rounded, so that a table has the same bytes whether a lock was made now
// or before.
type keptRow struct {
	Tool     string    `json:"tool"`
	Asked    string    `json:"asked"` // digest of the job, its caster's profile and what was wanted
	Status   string    `json:"status"`
	Manifest string    `json:"manifest_sha256,omitempty"` // of the lock's folder; none without a folder
	Reason   string    `json:"reason,omitempty"`
	Remedy   string    `json:"remedy,omitempty"`
	Worst    string    `json:"worst_grade,omitempty"`
	Length   float64   `json:"length"`
	Finished float64   `json:"finished"`
	Fine     float64   `json:"fine"`
	Pours    []RunPour `json:"pours,omitempty"`
}

func (f *runFolder) rowFile(name string) string {
	return filepath.Join(f.dir, rowsName, name+".json")
}

// asked is a digest of everything that a lock's folder follows from, but the tool.
func (f *runFolder) asked(job params.RunJob) string {
	h := sha256.New()
	h.Write(job.Job.TOML())
	if c := job.Job.Caster(); c != nil {
		h.Write([]byte{0})
		h.Write(c.TOML())
	}
	fmt.Fprintf(h, "\x00%v", f.o.Want)
	return hex.EncodeToString(h.Sum(nil))
}

// keepRow keeps the row of a lock. One that the job itself contradicts costs nothing to find again.
func (f *runFolder) keepRow(job params.RunJob, row RunRow, manifest string) error {
	if job.Err != nil || row.Status == RowFailed {
		return ignoreMissing(os.Remove(f.rowFile(row.Name)))
	}
	data, err := pretty(keptRow{signature(), f.asked(job), row.Status, manifest, row.Reason, row.Remedy, string(row.Worst), row.Length, row.Finished, row.Fine, row.Pours})
	if err != nil {
		return err
	}
	name := f.rowFile(row.Name)
	t, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+"-unfinished-*")
	if err != nil {
		return err
	}
	_, err = t.Write(data)
	err = errors.Join(err, t.Chmod(0o644), t.Sync(), t.Close())
	if err == nil {
		err = os.Rename(t.Name(), name)
	}
	if err != nil {
		return errors.Join(err, ignoreMissing(os.Remove(t.Name())))
	}
	syncing.Lock()
	defer syncing.Unlock()
	return syncFolder(filepath.Dir(name))
}

// keptRow reads the row of a lock back. digest is that of the manifest of its folder, "" without a folder. It is not ok
// when the lock has to be made.
func (f *runFolder) keptRow(row RunRow, digest string) (RunRow, bool) {
	job := f.run.Job(row.at)
	data, err := os.ReadFile(f.rowFile(row.Name))
	if err != nil || job.Err != nil {
		return row, false
	}
	var k keptRow
	if json.Unmarshal(data, &k) != nil || k.Tool != signature() || k.Asked != f.asked(job) || k.Manifest != digest {
		return row, false
	}
	folder := k.Status == RowMade || k.Status == RowStopped && f.o.Anyway
	if folder != (k.Manifest != "") {
		return row, false
	}
	row.Status, row.Folder, row.Reason, row.Remedy = k.Status, folder, k.Reason, k.Remedy
	row.Worst, row.Length, row.Finished, row.Fine, row.Pours = finding.Grade(k.Worst), k.Length, k.Finished, k.Fine, k.Pours
	return row, true
}

// readManifest is the list of a folder's files, and the digest of the manifest itself.
func readManifest(dir string) (files []manifestFile, own manifestFile, err error) {
	data, err := os.ReadFile(filepath.Join(dir, manifestName))
	if err != nil {
		return nil, own, err
	}
	var m struct {
		Tool  string
		Files []manifestFile
	}
	if err := json.Unmarshal(data, &m); err != nil {
		return nil, own, err
	}
	if !strings.HasPrefix(m.Tool, Tool+" ") {
		return nil, own, fmt.Errorf("%s is of another program", manifestName)
	}
	meter := newMeter()
	_, err = meter.Write(data)
	return m.Files, meter.entry(manifestName), err
}

// verified holds a lock's folder against its manifest, whose digest it gives. wrong tells what is not as it was written.
func verified(dir string) (digest, wrong string, err error) {
	files, own, err := readManifest(dir)
	if errors.Is(err, fs.ErrPermission) {
		return "", "", err
	}
	if err != nil || len(files) == 0 {
		return "", "which has no " + manifestName + " of this program", nil
	}
	for _, m := range files {
		if !m.matches(dir) {
			return "", "in which " + m.Name + " is not as it was written", nil
		}
	}
	return own.SHA256, "", nil
}

// matches says whether a file is as the manifest has it.
func (m manifestFile) matches(dir string) bool {
	name := filepath.FromSlash(m.Name)
	if !filepath.IsLocal(name) {
		return false
	}
	f, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		return false
	}
	defer f.Close()
	meter := newMeter()
	n, err := io.Copy(meter, io.LimitReader(f, int64(m.Size)+1))
	return err == nil && n == int64(m.Size) && meter.entry(m.Name) == m
}

// onlyOurs says whether a folder holds nothing but what its manifest lists.
func onlyOurs(dir string) bool {
	ours, ok := oldManifest(dir)
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err == nil && !ours[filepath.ToSlash(name)] {
			err = fs.ErrExist
		}
		return err
	})
	return ok && err == nil
}
