//go:build outside

package export

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/testdata/peers/outside"
)

// Debian's prusa-slicer loads the pattern as it was written: parts, names, sizes, facets and volumes, none in need of
// repair; and what it would print in layers of 0.025 mm is what our own sections of the meshes add up to, to 0.01 %.
func TestOutsidePatternInSlicer(t *testing.T) {
	for name, sets := range map[string][]string{
		"plain": plainJob, "crowned": crownedJob, "varied": variedJob,
	} {
		c := commission(t, sets...)
		var b bytes.Buffer
		if err := WritePattern(&b, c); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "pattern.3mf")
		if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		got, parts := outside.SlicerInfo(t, file), at(c, clasp.Pattern)
		if len(got) != len(parts) {
			t.Fatalf("%s: the slicer sees %d parts of %d", name, len(got), len(parts))
		}
		sum, layered, tall := 0.0, 0.0, 0.0
		for i, p := range parts {
			stood := standOn(p.Mesh, poseOf(c, p.Name))
			fill := boundsOf(stood)
			size := r3.Sub(fill.hi, fill.lo)
			g := got[i]
			off := max(math.Abs(g.Size[0]/size.X-1), math.Abs(g.Size[1]/size.Y-1), math.Abs(g.Size[2]/size.Z-1), math.Abs(g.Volume/p.VolumeMM3-1))
			if g.Name != p.Name+" "+sizeOf(c) || g.Facets != len(p.Mesh.T) || !g.Manifold || off > 1e-3 {
				t.Errorf("%s: %+v, part has %d facets, size %v, %.4f mm3", name, g, len(p.Mesh.T), size, p.VolumeMM3)
			}
			t.Logf("%s: %s, %d facets, %.3f mm3, off by %.2g %% at most", name, g.Name, g.Facets, g.Volume, 100*off)
			sum, layered, tall = sum+p.VolumeMM3, layered+inLayers(stood, 0.025), max(tall, size.Z)
		}
		s := outside.Slice(t, file)
		t.Logf("%s: %d layers, %.3f mm3 printed, %.3f cut into layers by us, %.3f %%; whole %.3f", name, s.Layers, s.Material, layered, 100*(s.Material/layered-1), sum)
		if math.Abs(s.Material/layered-1) > 1e-4 || math.Abs(float64(s.Layers)-tall/0.025) > 1.5 {
			t.Errorf("%s: %d layers of 0.025 mm for %.3f mm, %.3f mm3 of %.3f", name, s.Layers, tall, s.Material, layered)
		}
	}
}

// inLayers is the volume of a mesh built up in layers from its lowest place, as the slicer does it: each has the section at
// its middle, and what is left at the top and is less than a layer is not printed.
func inLayers(m *contour.Mesh, layer float64) (v float64) {
	b := boundsOf(m)
	for k := 0; b.lo.Z+float64(k+1)*layer <= b.hi.Z+1e-6; k++ {
		v += layer * sectionArea(m, b.lo.Z+(float64(k)+0.5)*layer)
	}
	return v
}

// sectionArea is the area of the section at a height, by Green's theorem over the segments in which facets are cut.
func sectionArea(m *contour.Mesh, z float64) (area float64) {
	for _, t := range m.T {
		var in, out r3.Vec // where the section, metal at its left, enters and leaves the facet
		n := 0
		for k := range t {
			a, b := m.V[t[k]], m.V[t[(k+1)%3]]
			if (a.Z > z) == (b.Z > z) {
				continue
			}
			p := r3.Add(a, r3.Scale((z-a.Z)/(b.Z-a.Z), r3.Sub(b, a)))
			if n++; a.Z > z {
				in = p
			} else {
				out = p
			}
		}
		if n == 2 {
			area += (in.X*out.Y - in.Y*out.X) / 2
		}
	}
	return math.Abs(area)
}
