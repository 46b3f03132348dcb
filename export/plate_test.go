package export

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
)

func TestPlatesShareOut(t *testing.T) {
	lot := func(facets ...int) (out []onPlate) {
		for i, f := range facets {
			out = append(out, onPlate{lock: fmt.Sprint(i), facets: f})
		}
		return out
	}
	for _, c := range []struct {
		facets []int
		want   string
	}{
		{nil, ""}, {[]int{5}, "0"}, {[]int{5, 5, 5}, "0 1 2"}, {[]int{1, 1, 1, 1}, "0 1 2|3"},
		{[]int{60, 41, 59, 1}, "0|1 2|3"}, {[]int{1, 900, 1}, "0|1|2"}, {[]int{900, 1, 2, 3}, "0|1 2 3"},
	} {
		var plates []string
		for _, p := range platesOf(lot(c.facets...), 3, 100) {
			var names []string
			for _, l := range p {
				names = append(names, l.lock)
			}
			plates = append(plates, strings.Join(names, " "))
		}
		if got := strings.Join(plates, "|"); got != c.want {
			t.Errorf("%v: %s, want %s", c.facets, got, c.want)
		}
	}
}

// A run's plate holds every pattern of every lock that has a folder, by name, with the volume of the STL in that folder,
// all apart.
func TestRunPlate(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "sizes")
	run := readRun(t, "chain.width = [4, 12.4, 13]\nchain.thickness = 5.2\nmetal.alloy = 'au585-yellow'\nmesh.tolerance = 0.02\nlock.floor = 'loose'\n")
	r, err := WriteRun(context.Background(), dir, run, RunOptions{Want: model.Want{Stages: []clasp.Stage{clasp.Pattern}, Weights: true}})
	if err != nil {
		t.Fatal(err)
	}
	files := tree(t, dir)
	m := read3MF(t, []byte(files["plate.3mf"]))
	var want []string
	for _, row := range r.Rows {
		if row.Folder {
			for _, part := range []string{"box", "tongue", "floor"} {
				want = append(want, row.Name+"/"+part)
			}
		}
	}
	if len(want) != 6 || len(m.Resources.Objects) != len(want) {
		t.Fatalf("%d objects, want %q", len(m.Resources.Objects), want)
	}
	var placed []bounds
	for i, o := range m.Resources.Objects {
		if o.PartNumber != want[i] || m.Build.Items[i].PartNumber != want[i] || o.Name != strings.Replace(want[i], "/", " ", 1) {
			t.Errorf("object %d is %q, %q, want %q", i, o.PartNumber, o.Name, want[i])
		}
		got := meshOf3MF(o)
		file := readMesh(t, filepath.Join(dir, want[i]+".stl"))
		if v, w := contour.Volume(got), contour.Volume(file); math.Abs(v-w) > 1e-6*w || w == 0 {
			t.Errorf("%s: %.6f mm3, its STL %.6f", o.Name, v, w)
		}
		folder, part := filepath.Split(want[i])
		poses, err := posesIn(filepath.Join(dir, folder))
		if err != nil {
			t.Fatal(err)
		}
		if p, ok := poses[part]; !ok || r3.Norm(r3.Sub(p.Place(r3.Vec{X: 1}), along(m.Build.Items[i].Transform))) > 1e-6 {
			t.Errorf("%s is not turned as its report says: %v", o.Name, m.Build.Items[i].Transform)
		}
		placed = append(placed, boundsOf(standing(got, m.Build.Items[i].Transform)))
	}
	checkApart(t, placed)
}

// along is where a matrix turns x to.
func along(by go3mf.Matrix) r3.Vec {
	return r3.Vec{X: float64(by[0]), Y: float64(by[1]), Z: float64(by[2])}
}

// More locks than one plate takes are on several, each named, none lost.
func TestPlatesAreNumbered(t *testing.T) {
	dir := t.TempDir()
	c := commission(t, plainJob...)
	var all []onPlate
	for k := range plateLocks + 2 {
		name := fmt.Sprintf("lock-%d", k)
		var of []manifestFile
		for _, it := range meshes(c)[:2] { // the patterns
			f, err := put(dir, item{name + "/" + it.name, it.write}, create)
			if err != nil {
				t.Fatal(err)
			}
			of = append(of, f)
		}
		all = append(all, patternsOf(name, of))
	}
	items := plateItems(dir, all)
	if len(items) != 2 || items[0].name != "plate-1.3mf" || items[1].name != "plate-2.3mf" {
		t.Fatalf("%d plates", len(items))
	}
	total := 0
	for i, it := range items {
		var b bytes.Buffer
		if err := it.write(&b); err != nil {
			t.Fatal(err)
		}
		m := read3MF(t, b.Bytes())
		total += len(m.Build.Items)
		if want := fmt.Sprintf("patterns of 26 locks, plate %d of 2 with %d", i+1, []int{24, 2}[i]); m.Metadata[0].Value != want {
			t.Errorf("title %q, want %q", m.Metadata[0].Value, want)
		}
		var placed []bounds
		for k, item := range m.Build.Items {
			b := boundsOf(meshOf3MF(m.Resources.Objects[k]))
			move := r3.Vec{X: float64(item.Transform[12]), Y: float64(item.Transform[13]), Z: float64(item.Transform[14])}
			placed = append(placed, bounds{r3.Add(b.lo, move), r3.Add(b.hi, move)})
		}
		checkApart(t, placed)
	}
	if total != 2*(plateLocks+2) {
		t.Errorf("%d parts on all plates", total)
	}
}
