package export

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
)

// order makes a whole order into a folder and returns both.
func order(t testing.TB, sets ...string) (*model.Commission, string) {
	t.Helper()
	job, err := params.Parse("test", nil, sets)
	if err != nil {
		t.Fatal(err)
	}
	c, err := model.Make(context.Background(), job, model.Want{
		Stages: []clasp.Stage{clasp.Finished, clasp.Casting, clasp.Pattern}, Prove: true, Weights: true, Checks: true})
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "order")
	if err := Write(context.Background(), dir, c, Options{}); err != nil {
		t.Fatal(err)
	}
	return c, dir
}

// readMesh reads a written STL back; corners that are equal become one vertex, facets keep their order.
func readMesh(t testing.TB, path string) *contour.Mesh {
	t.Helper()
	s, err := stl.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	m := &contour.Mesh{}
	number := map[stl.Vec3]int32{}
	for _, f := range s.Triangles {
		var tri [3]int32
		for k, v := range f.Vertices {
			id, ok := number[v]
			if !ok {
				id = int32(len(m.V))
				number[v] = id
				m.V = append(m.V, r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])})
			}
			tri[k] = id
		}
		m.T = append(m.T, tri)
	}
	return m
}

// stagePath is where a part of a stage lies in the folder.
func stagePath(dir, part string, stage clasp.Stage) string {
	if stage == clasp.Pattern {
		return filepath.Join(dir, part+".stl")
	}
	return filepath.Join(dir, string(stage), part+".stl")
}
