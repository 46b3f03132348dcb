package export

import (
	"bytes"
	"io"
	"math"
	"runtime"
	"slices"
	"testing"

	"github.com/qmuntal/gltf"
	"github.com/qmuntal/gltf/modeler"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
)

// seenGLB is a part as a viewer shows it: in metres, y up.
type seenGLB struct {
	name  string
	mesh  *contour.Mesh // three corners a facet
	shade [4]float64
}

// viewGLB reads a file by the library's own reader and does what a viewer does: it places each mesh by the nodes above it.
func viewGLB(t *testing.T, data []byte) (*gltf.Document, []seenGLB) {
	t.Helper()
	var doc gltf.Document
	if err := gltf.NewDecoder(bytes.NewReader(data)).Decode(&doc); err != nil {
		t.Fatal(err)
	}
	root := doc.Nodes[doc.Scenes[*doc.Scene].Nodes[0]]
	var out []seenGLB
	for _, k := range root.Children {
		n := doc.Nodes[k]
		p := doc.Meshes[*n.Mesh].Primitives[0]
		places, err := modeler.ReadPosition(&doc, doc.Accessors[p.Attributes[gltf.POSITION]], nil)
		if err != nil {
			t.Fatal(err)
		}
		normals, err := modeler.ReadNormal(&doc, doc.Accessors[p.Attributes[gltf.NORMAL]], nil)
		if err != nil {
			t.Fatal(err)
		}
		m := &contour.Mesh{}
		for i, v := range places {
			m.V = append(m.V, turned(root.Rotation, r3.Scale(root.Scale[0], vec64(v))))
			if i%3 == 2 {
				m.T = append(m.T, [3]int32{int32(i - 2), int32(i - 1), int32(i)})
				got, want := turned(root.Rotation, vec64(normals[i])), normal(m, m.T[len(m.T)-1])
				if d := r3.Norm(r3.Sub(got, want)); d > 1e-5 || normals[i] != normals[i-1] || normals[i] != normals[i-2] {
					t.Fatalf("%s: facet %d has normals %v, is turned to %v", n.Name, i/3, got, want)
				}
			}
		}
		out = append(out, seenGLB{n.Name, m, *doc.Materials[*p.Material].PBRMetallicRoughness.BaseColorFactor})
	}
	return &doc, out
}

func vec64(v [3]float32) r3.Vec { return r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])} }

// turned rotates by a unit quaternion x, y, z, w (glTF 2.0 specification, section 3.5.3).
func turned(q [4]float64, v r3.Vec) r3.Vec {
	return r3.NewRotation(2*math.Acos(q[3]), r3.Vec{X: q[0], Y: q[1], Z: q[2]}).Rotate(v)
}

// Upright and true to size: the face looks along +y, the lock is as many metres long, wide and thick as the report says
// millimetres, volumes are those of the meshes, and the light falls on flat facets.
func TestGLBReadsBack(t *testing.T) {
	for _, sets := range [][]string{plainJob, variedJob} {
		c := commission(t, sets...)
		var b bytes.Buffer
		if err := WriteGLB(&b, c); err != nil {
			t.Fatal(err)
		}
		doc, seen := viewGLB(t, b.Bytes())
		if doc.Asset.Generator != signature() || doc.Asset.Version != "2.0" || doc.Nodes[0].Name != "box lock 12.4 x 5.2 mm" {
			t.Errorf("asset %+v, root %q", doc.Asset, doc.Nodes[0].Name)
		}
		catch, err := c.CatchParts()
		if err != nil {
			t.Fatal(err)
		}
		parts := append(model.Shown(c), catch...)
		if len(seen) != len(parts) {
			t.Fatalf("%d nodes for %d parts", len(seen), len(parts))
		}
		for i, p := range parts {
			checkSeen(t, seen[i], p)
		}
	}
}

func checkSeen(t *testing.T, s seenGLB, p model.Part) {
	t.Helper()
	if s.name != p.Name {
		t.Errorf("node %q for %q", s.name, p.Name)
	}
	if v, w := 1e9*contour.Volume(s.mesh), contour.Volume(p.Mesh); math.Abs(v-w) > 1e-6*w {
		t.Errorf("%s: %.6f mm3, mesh %.6f", s.name, v, w)
	}
	got, want := boundsOf(s.mesh), boundsOf(p.Mesh)
	// x stays x, z becomes y, y becomes -z
	lo := r3.Vec{X: want.lo.X, Y: want.lo.Z, Z: -want.hi.Y}
	hi := r3.Vec{X: want.hi.X, Y: want.hi.Z, Z: -want.lo.Y}
	if off := max(r3.Norm(r3.Sub(r3.Scale(1000, got.lo), lo)), r3.Norm(r3.Sub(r3.Scale(1000, got.hi), hi))); off > 1e-5 {
		t.Errorf("%s stands at %v to %v m, want %v to %v mm", s.name, got.lo, got.hi, lo, hi)
	}
}

// Parts of two alloys have two materials, all of metal.
func TestGLBMaterials(t *testing.T) {
	c := commission(t, variedJob...)
	var b bytes.Buffer
	if err := WriteGLB(&b, c); err != nil {
		t.Fatal(err)
	}
	doc, seen := viewGLB(t, b.Bytes())
	shade := map[string][4]float64{}
	for _, s := range seen {
		shade[s.name] = s.shade
	}
	if shade["box"] == shade["tongue"] || shade["box"] != shade["floor"] {
		t.Errorf("shades %v", shade)
	}
	var names []string
	for _, m := range doc.Materials {
		names = append(names, m.Name)
		if *m.PBRMetallicRoughness.MetallicFactor != 1 {
			t.Errorf("%s is not of metal", m.Name)
		}
	}
	if !slices.Contains(names, "au585-yellow") || !slices.Contains(names, "au750-white-pd") || len(slices.Compact(slices.Sorted(slices.Values(names)))) != len(names) {
		t.Errorf("materials %q", names)
	}
}

// Every alloy of the table has a shade for its own metal, and gold for each colour that it comes in.
func TestGLBShades(t *testing.T) {
	for _, a := range params.Alloys() {
		name := a.Metal
		if a.Metal == "gold" {
			name += " " + a.Colour
		}
		if want, ok := shades[name]; !ok || *shine(a).PBRMetallicRoughness.BaseColorFactor != [4]float64{want[0], want[1], want[2], 1} {
			t.Errorf("%s, %s, has no shade of its own", a.ID, name)
		}
	}
}

func TestGLBSameBytes(t *testing.T) {
	c := commission(t, plainJob...)
	procs := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(procs)
	var want []byte
	for k := range 10 {
		runtime.GOMAXPROCS(1 + k%2)
		var b bytes.Buffer
		if err := WriteGLB(&b, c); err != nil {
			t.Fatal(err)
		}
		if want == nil {
			want = b.Bytes()
		}
		if !bytes.Equal(b.Bytes(), want) {
			t.Fatalf("the file differs the %dth time", k+1)
		}
	}
}

func TestGLBErrors(t *testing.T) {
	c := commission(t, plainJob...)
	if err := WriteGLB(&failing{left: 1000}, c); err == nil {
		t.Error("a full disk went unnoticed")
	}
	m := at(c, clasp.Finished)[0].Mesh
	thin := *m
	thin.T = append(slices.Clone(m.T), [3]int32{0, 0, 1})
	for name, bad := range map[string]*contour.Mesh{"no mesh": nil, "no facets": {}, "a facet without area": &thin} {
		none := *c
		none.Parts = slices.Clone(c.Parts)
		for i := range none.Parts {
			none.Parts[i].Mesh = bad
		}
		if err := WriteGLB(io.Discard, &none); err == nil {
			t.Errorf("%s was written", name)
		}
	}
}
