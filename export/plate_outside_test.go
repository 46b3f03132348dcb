//go:build outside

package export

import (
	"bytes"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"claspwright/model/clasp"
	"claspwright/testdata/peers/outside"
)

// prusa-slicer sees every pattern of a run on its plate, by name and volume.
func TestOutsidePlateInSlicer(t *testing.T) {
	dir := t.TempDir()
	var all []onPlate
	var names []string
	var volumes []float64
	for name, sets := range map[string][]string{"one": plainJob, "two": crownedJob} {
		c := commission(t, sets...)
		var of []manifestFile
		for _, p := range at(c, clasp.Pattern) {
			f, err := put(dir, item{name + "/" + p.Name + ".stl", func(w io.Writer) error { return WriteSTL(w, p.Mesh, p.Name, p.Stage) }}, create)
			if err != nil {
				t.Fatal(err)
			}
			of, names, volumes = append(of, f), append(names, name+" "+p.Name), append(volumes, p.VolumeMM3)
		}
		all = append(all, patternsOf(name, of))
	}
	items := plateItems(dir, all)
	var b bytes.Buffer
	if err := items[0].write(&b); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, items[0].name)
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	got := outside.SlicerInfo(t, file)
	if len(items) != 1 || len(got) != len(names) || len(names) != 4 {
		t.Fatalf("%d plates, the slicer sees %d parts of %d", len(items), len(got), len(names))
	}
	for i, g := range got {
		if g.Name != names[i] || !g.Manifold || math.Abs(g.Volume/volumes[i]-1) > 1e-3 {
			t.Errorf("%+v, want %s of %.4f mm3", g, names[i], volumes[i])
		}
	}
}
