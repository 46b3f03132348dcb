//go:build outside

package model_test

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"claspwright/export"
	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
	"claspwright/testdata/peers/outside"
)

// 200 random locks, box and tongue, finished and casting, as written: none of the three programs finds a fault.
func TestOutsideRandomLocks(t *testing.T) {
	programs := outside.Start(t)
	how := model.Want{Stages: []clasp.Stage{clasp.Casting}, Prove: true}
	path, files, facets := filepath.Join(t.TempDir(), "part.stl"), 0, 0
	model.EachLock(t, 20261126, int(math.Round(200*model.Share())), how, func(sets []string, c *model.Commission) {
		for _, p := range c.Parts {
			writeSTL(t, path, p.Mesh)
			if faults := programs.Faults(t, path, len(p.Mesh.T), len(p.Mesh.V), p.VolumeMM3); faults != nil {
				t.Errorf("%s %s of %v: %v", p.Name, p.Stage, sets, faults)
			}
			files, facets = files+1, facets+len(p.Mesh.T)
		}
	})
	t.Logf("%d files, %d facets", files, facets)
}

func writeSTL(t *testing.T, path string, m *contour.Mesh) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := export.WriteSTL(f, m, "part", clasp.Finished); err != nil {
		t.Fatal(err)
	}
}

// Each of the three programs sees what it is asked to find, in a file spoilt on purpose.
func TestOutsideProgramsSeeFaults(t *testing.T) {
	programs, sound, path := outside.Start(t), finishedBox(t), filepath.Join(t.TempDir(), "spoilt.stl")
	for _, c := range []struct {
		name  string
		spoil func(m *contour.Mesh)
		seen  string // by which programs at least
	}{
		{"sound", func(*contour.Mesh) {}, ""},
		{"facet missing", func(m *contour.Mesh) { m.T = m.T[1:] }, "CGAL admesh manifold-3d"},
		{"facet turned", func(m *contour.Mesh) { turn(m.T[:1]) }, "CGAL admesh manifold-3d"},
		{"inside out", func(m *contour.Mesh) { turn(m.T) }, "CGAL admesh manifold-3d"},
		{"corner through the far side", func(m *contour.Mesh) { m.V[0].X += 100 }, "CGAL manifold-3d"},
		{"a second part across the first", func(m *contour.Mesh) { double(m, 0.5) }, "CGAL admesh manifold-3d"},
		{"a second part apart", func(m *contour.Mesh) { double(m, 100) }, "CGAL admesh manifold-3d"},
	} {
		m := &contour.Mesh{V: slices.Clone(sound.V), T: slices.Clone(sound.T)}
		c.spoil(m)
		writeSTL(t, path, m)
		faults := programs.Faults(t, path, len(m.T), len(m.V), contour.Volume(sound))
		t.Logf("%s: %q", c.name, faults)
		if c.seen == "" && faults != nil {
			t.Errorf("%s: refused", c.name)
		}
		for _, program := range strings.Fields(c.seen) {
			if !strings.Contains(strings.Join(faults, "\n"), program+":") {
				t.Errorf("%s: not seen by %s", c.name, program)
			}
		}
	}
}

func turn(facets [][3]int32) {
	for i := range facets {
		facets[i][0], facets[i][1] = facets[i][1], facets[i][0]
	}
}

// double adds a copy of the mesh, moved along x.
func double(m *contour.Mesh, dx float64) {
	n := int32(len(m.V))
	for _, v := range m.V[:n] {
		v.X += dx
		m.V = append(m.V, v)
	}
	for _, t := range m.T[:len(m.T):len(m.T)] {
		m.T = append(m.T, [3]int32{t[0] + n, t[1] + n, t[2] + n})
	}
}

func finishedBox(t *testing.T) *contour.Mesh {
	t.Helper()
	job, err := params.Parse("test", nil, []string{"chain.width=12", "chain.thickness=5", "metal.alloy=au585-yellow"})
	if err != nil {
		t.Fatal(err)
	}
	c, err := model.Make(t.Context(), job, model.Want{})
	if err != nil {
		t.Fatal(err)
	}
	return c.Parts[0].Mesh
}
