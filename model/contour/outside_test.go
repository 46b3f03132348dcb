//go:build outside

package contour_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/deadsy/sdfx/render"
	"github.com/deadsy/sdfx/sdf"

	"claspwright/export"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/testdata/peers/outside"
)

const (
	wanted = 0.005 // mm: tolerance of ours, chord of the peer, which takes half of it for faces curved both ways
	runs   = 9     // of each, in turn
)

// The benchmark solids against exact Booleans of manifold-3d on ready-made facets, in one process each, in turn, one
// thread, start of the process excluded; the table is printed. Volumes agree within what the two chords allow; facets
// and memory stay within the limits that the project sets itself; the mesh as written is sound by CGAL, admesh and
// manifold-3d.
func TestOutsideManifoldPeer(t *testing.T) {
	t.Run("box", func(t *testing.T) {
		s, tree := contour.BenchBox(t, 40)
		against(t, s, tree, limits{facets: 80000, peakMiB: 250, octree: true})
	})
	t.Run("tongue", func(t *testing.T) {
		s, tree := contour.BenchTongue(t)
		against(t, s, tree, limits{facets: 1500, peakMiB: 250})
	})
}

// limits are what the project sets itself for a benchmark solid. octree: hold sdfx's renderer against it as well.
type limits struct {
	facets  int
	peakMiB float64
	octree  bool
}

func against(t *testing.T, s *solid.Solid, tree []byte, limit limits) {
	file := filepath.Join(t.TempDir(), "tree.json")
	if err := os.WriteFile(file, tree, 0o666); err != nil {
		t.Fatal(err)
	}
	peak := contour.PeakMiB(t, func() { ours(t, s) })
	one, peer, answer := inTurn(t, s, file)
	m := ours(t, s)
	two := contour.Repeat(runs, 2, func() { ours(t, s) })
	proof := contour.Proof{}
	verify := contour.Repeat(3, 1, func() {
		var err error
		if proof, err = contour.Verify(m, s, wanted); err != nil {
			t.Fatal(err)
		}
	})
	table := new(bytes.Buffer)
	row := func(name string, took []float64, facets int, peak, off string) {
		fmt.Fprintf(table, "| %s | %s | %d | %s | %s |\n", name, spread(took), facets, peak, off)
	}
	fmt.Fprintf(table, "\n| mesher | seconds: median (least to most) | facets | peak MiB | off by, mm |\n|---|---|---|---|---|\n")
	row("ours, one thread", one.clock, len(m.T), fmt.Sprintf("%.0f", peak), fmt.Sprintf("at most %.4f", proof.DeviationMM))
	row("ours, two threads", two, len(m.T), "", "")
	row("our Verify, one thread", verify, len(m.T), "", "")
	row("manifold-3d, one thread", peer.clock, answer.Triangles, fmt.Sprintf("%.0f", answer.PeakMiB), fmt.Sprintf("at least %.4f", contour.OffAtLeast(s, readSTL(t, file+".stl"))))
	if limit.octree {
		our := time.Duration(contour.Median(one.clock) * float64(time.Second))
		for _, cells := range []int{contour.OctreeCells(s, our), 200} {
			var facets []*sdf.Triangle3
			took := contour.OnThreads(1, func() { facets = contour.Octree(s, cells) })
			row(fmt.Sprintf("sdfx octree, %d cells, one thread", cells), []float64{took}, len(facets), "", fmt.Sprintf("at least %.3f", contour.OffAtLeast(s, facets)))
		}
	}
	t.Log(table)
	t.Logf("manifold-3d takes %.2f times as long as ours, of medians", contour.Median(peer.clock)/contour.Median(one.clock))
	mine, theirs := contour.Median(one.processor), contour.Median(peer.processor)
	t.Logf("processor time, medians: ours %.3f s, manifold-3d %.3f s, %.2f times as much", mine, theirs, theirs/mine)
	if len(m.T) > limit.facets || peak > limit.peakMiB {
		t.Errorf("%d facets and %.0f MiB; at most %d and %.0f are allowed", len(m.T), peak, limit.facets, limit.peakMiB)
	}
	compareVolumes(t, s, m, proof, answer)
	readByOthers(t, m)
}

// timing is what the runs of one mesher took, each by the clock and of the processor, seconds.
type timing struct{ clock, processor []float64 }

func (m *timing) add(clock, processor float64) {
	m.clock, m.processor = append(m.clock, clock), append(m.processor, processor)
}

// inTurn meshes with the peer and with ours, nine times each. Of the peer's answers the last is returned, with the memory
// of the first, which is that of one mesh, as ours is; its last mesh is written beside the tree.
func inTurn(t *testing.T, s *solid.Solid, tree string) (our, peer timing, answer outside.Answer) {
	manifold := outside.StartManifold(t)
	peak := 0.0
	for i := range runs {
		answer = manifold.Build(t, tree, wanted, tree+".stl")
		peer.add(answer.Seconds, answer.Processor)
		if i == 0 {
			peak = answer.PeakMiB
		}
		var clock float64
		used := contour.Processor(func() {
			begin := time.Now()
			ours(t, s)
			clock = time.Since(begin).Seconds()
		})
		our.add(clock, used)
	}
	answer.PeakMiB = peak
	return our, peer, answer
}

func ours(t *testing.T, s *solid.Solid) *contour.Mesh {
	m, err := contour.Of(s, wanted)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func spread(x []float64) string {
	return fmt.Sprintf("%.3f (%.3f to %.3f)", contour.Median(x), slices.Min(x), slices.Max(x))
}

func readSTL(t *testing.T, path string) []*sdf.Triangle3 {
	t.Helper()
	facets, err := render.LoadSTL(path)
	if err != nil {
		t.Fatal(err)
	}
	return facets
}

// compareVolumes: two meshes of one solid differ in volume by no more than what lies between each of them and the
// surface: for ours Verify's bound, for the peer its chord times the area of the curved faces, flats being exact.
func compareVolumes(t *testing.T, s *solid.Solid, m *contour.Mesh, proof contour.Proof, peer outside.Answer) {
	t.Helper()
	v, bound := contour.Volume(m), proof.GapMM3+contour.CurvedArea(m, s)*wanted
	t.Logf("volume %.4f mm3, manifold-3d %.4f, bound on the difference %.4f", v, peer.Volume, bound)
	if !(math.Abs(v-peer.Volume) <= bound) {
		t.Errorf("volume %.4f mm3, manifold-3d %.4f: more than %.4f apart", v, peer.Volume, bound)
	}
}

func readByOthers(t *testing.T, m *contour.Mesh) {
	t.Helper()
	var b bytes.Buffer
	if err := export.WriteSTL(&b, m, "benchmark", clasp.Finished); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "ours.stl")
	if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	if faults := outside.Start(t).Faults(t, path, len(m.T), len(m.V), contour.Volume(m)); faults != nil {
		t.Error(faults)
	}
}
