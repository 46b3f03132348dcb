//go:build outside

package model_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"claspwright/export"
	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
	"claspwright/testdata/peers/outside"
)

// written is one STL file of a lock with what the program knows of it.
type written struct {
	path string
	part model.Part
	sets []string
}

// 200 random locks, box and tongue, finished and casting, as written: CGAL finds a closed outward surface in one part
// without crossing or flat facets, admesh nothing to repair, manifold-3d a solid of the volume that the program states.
func TestOutsideRandomLocks(t *testing.T) {
	cgal, manifold := outside.BuildCGAL(t), outside.StartManifold(t)
	how := model.Want{Stages: []clasp.Stage{clasp.Casting}, Prove: true}
	dir, files, facets, worst := t.TempDir(), 0, 0, 0.0
	model.EachLock(t, 20261126, int(math.Round(200*model.Share())), how, func(sets []string, c *model.Commission) {
		all := writeAll(t, dir, sets, c)
		for i, found := range cgal.Look(t, paths(all)...) {
			files, facets = files+1, facets+found.Facets
			worst = math.Max(worst, all[i].check(t, found, manifold))
		}
	})
	t.Logf("%d files of %d facets; volumes differ by %.1e at most, in parts", files, facets, worst)
}

func writeAll(t *testing.T, dir string, sets []string, c *model.Commission) (out []written) {
	t.Helper()
	for _, p := range c.Parts {
		path := filepath.Join(dir, fmt.Sprintf("%s-%s.stl", p.Name, p.Stage))
		writeSTL(t, path, p.Mesh)
		out = append(out, written{path, p, sets})
	}
	return out
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

func paths(all []written) (out []string) {
	for _, w := range all {
		out = append(out, w.path)
	}
	return out
}

// sameVolume is how far two sums of the same tetrahedra in float64 may differ, in parts: some 1e4 terms, each up to a
// hundred times the whole, rounded at 1e-16.
const sameVolume = 1e-9

// check holds what the three programs say of a file against a sound part; it returns by how much the volumes differ.
func (w written) check(t *testing.T, found outside.Crossed, manifold *outside.Manifold) float64 {
	t.Helper()
	name := fmt.Sprintf("%s %s of %v", w.part.Name, w.part.Stage, w.sets)
	if !found.Sound() || found.Facets != len(w.part.Mesh.T) || found.Vertices != len(w.part.Mesh.V) {
		t.Errorf("%s: CGAL finds %+v", name, found)
	}
	if faults := outside.Admesh(t, w.path); faults != nil {
		t.Errorf("%s: admesh: %v", name, faults)
	}
	read := manifold.Read(t, w.path)
	if read.Error != "" || read.Status != "NoError" || read.Parts != 1 {
		t.Errorf("%s: manifold-3d: %+v", name, read)
	}
	off := math.Abs(read.Volume-w.part.VolumeMM3) / w.part.VolumeMM3
	if !(off <= sameVolume) {
		t.Errorf("%s: %.9f mm3, manifold-3d %.9f", name, w.part.VolumeMM3, read.Volume)
	}
	return off
}

// Each of the three programs refuses what it is asked to find: a file spoilt on purpose.
func TestOutsideProgramsSeeFaults(t *testing.T) {
	cgal, manifold := outside.BuildCGAL(t), outside.StartManifold(t)
	sound := finishedBox(t)
	cases := []struct {
		name                   string
		spoil                  func(m *contour.Mesh)
		cgal, admesh, manifold bool // which of them must see it
	}{
		{"sound", func(*contour.Mesh) {}, false, false, false},
		{"facet missing", func(m *contour.Mesh) { m.T = m.T[1:] }, true, true, true},
		{"facet turned", func(m *contour.Mesh) { m.T[0][0], m.T[0][1] = m.T[0][1], m.T[0][0] }, true, true, true},
		{"inside out", func(m *contour.Mesh) {
			for i := range m.T {
				m.T[i][0], m.T[i][1] = m.T[i][1], m.T[i][0]
			}
		}, true, true, false},
		{"corner through the far side", func(m *contour.Mesh) { m.V[0].X += 100 }, true, false, false},
		{"a second part across the first", func(m *contour.Mesh) { double(m, 0.5) }, true, true, false},
		{"a second part apart", func(m *contour.Mesh) { double(m, 100) }, true, true, true},
	}
	for i, c := range cases {
		m := &contour.Mesh{V: append(sound.V[:0:0], sound.V...), T: append(sound.T[:0:0], sound.T...)}
		c.spoil(m)
		path := filepath.Join(t.TempDir(), fmt.Sprintf("%d.stl", i))
		writeSTL(t, path, m)
		found, faults, read := cgal.Look(t, path)[0], outside.Admesh(t, path), manifold.Read(t, path)
		t.Logf("%s: CGAL %+v; admesh %v; manifold-3d %s %s, %d parts", c.name, found, faults, read.Status, read.Error, read.Parts)
		if i == 0 && (!found.Sound() || faults != nil || read.Status != "NoError" || read.Parts != 1) {
			t.Error("a sound part is refused")
		}
		if c.cgal && found.Sound() || c.admesh && faults == nil || c.manifold && read.Error == "" && read.Status == "NoError" && read.Parts == 1 {
			t.Errorf("%s: not seen", c.name)
		}
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
