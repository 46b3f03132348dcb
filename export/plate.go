package export

import (
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
)

// A plate is full at so many locks, or before the lock that would bring it over so many facets. This bounds the memory of
// a run of any length: the 3MF library holds a whole file, with the picture and the packed text about half a kilobyte a facet (measured).
const (
	plateLocks  = 24
	plateFacets = 200_000
)

// onPlate is one lock of a run: its name, the files of its patterns, from the run's folder, and their facets in all.
type onPlate struct {
	lock   string
	files  []string
	facets int
}

// platesOf shares locks out to plates in their order. A lock is never split; one with more facets than a plate takes has a
// plate of its own.
func platesOf(all []onPlate, locks, facets int) [][]onPlate {
	var out [][]onPlate
	sum := 0
	for _, l := range all {
		if k := len(out) - 1; k < 0 || len(out[k]) == locks || sum+l.facets > facets {
			out, sum = append(out, nil), 0
		}
		k := len(out) - 1
		out[k], sum = append(out[k], l), sum+l.facets
	}
	return out
}

// plates are the 3MF files of a whole run: plate.3mf, or plate-1.3mf and so on when one does not take all locks. They are
// made from the patterns as they were written, one plate after the other.
func (r *RunResult) plates(dir string) ([]item, error) {
	var all []onPlate
	for _, row := range r.Rows {
		if row.Folder {
			files, err := lockFiles(dir, row.Name)
			if err != nil {
				return nil, err
			}
			all = append(all, patternsOf(row.Name, files))
		}
	}
	return plateItems(dir, all), nil
}

func plateItems(dir string, all []onPlate) []item {
	shared := platesOf(all, plateLocks, plateFacets)
	var items []item
	for k, locks := range shared {
		name, title := "plate.3mf", "patterns of "+pieces(len(all))
		if len(shared) > 1 {
			name = fmt.Sprintf("plate-%d.3mf", k+1)
			title = fmt.Sprintf("patterns of %s, plate %d of %d with %d", pieces(len(all)), k+1, len(shared), len(locks))
		}
		items = append(items, item{name, func(w io.Writer) error { return writePlate(w, dir, locks, title) }})
	}
	return items
}

// patternsOf finds a lock's patterns among its files: STL at the top of its folder. A binary STL file has 84 bytes and 50 a
// facet.
func patternsOf(lock string, files []manifestFile) onPlate {
	out := onPlate{lock: lock}
	for _, f := range files {
		if path.Dir(f.Name) == lock && path.Ext(f.Name) == ".stl" {
			out.files = append(out.files, f.Name)
			out.facets += (f.Size - stlHeader - 4) / 50
		}
	}
	return out
}

func writePlate(w io.Writer, dir string, locks []onPlate, title string) error {
	var objects []body
	for _, l := range locks {
		poses, err := posesIn(filepath.Join(dir, l.lock))
		if err != nil {
			return fmt.Errorf("%s: %w", l.lock, err)
		}
		for _, name := range l.files {
			m, err := readSTL(filepath.Join(dir, filepath.FromSlash(name)))
			if err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			part := trimmed(name)
			objects = append(objects, body{l.lock + " " + part, l.lock + "/" + part, part, m, poses[part]})
		}
	}
	return write3MF(w, objects, title, fmt.Sprintf("Pattern stage, millimetres, as in each lock's own folder: see there whether growth is in, and how high each part stands. Each turned into its pose, in rows, %g mm apart.", plateGap))
}

// trimmed is the part that a file is named for.
func trimmed(name string) string {
	base := path.Base(name)
	return base[:len(base)-len(path.Ext(base))]
}

// readSTL reads a mesh that WriteSTL wrote: facets in their order, equal corners one vertex.
func readSTL(name string) (*contour.Mesh, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	s, err := stl.ReadAll(f)
	if err != nil {
		return nil, err
	}
	m := &contour.Mesh{T: make([][3]int32, len(s.Triangles))}
	number := make(map[stl.Vec3]int32, len(s.Triangles)/2+2)
	for i, t := range s.Triangles {
		for k, v := range t.Vertices {
			id, ok := number[v]
			if !ok {
				id = int32(len(m.V))
				number[v] = id
				m.V = append(m.V, r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])})
			}
			m.T[i][k] = id
		}
	}
	return m, nil
}
