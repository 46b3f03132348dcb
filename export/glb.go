package export

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/hschendel/stl"
	"github.com/qmuntal/gltf"
	"github.com/qmuntal/gltf/modeler"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
)

// WriteGLB writes the finished lock, closed, as binary glTF 2.0 for viewers. glTF counts in metres with y upwards, so the
// root node turns and shrinks what lies below it: the meshes stay in millimetres in the lock's frame, to the last bit. Each
// part is a named node; facets share no corners, so that faces are shaded flat.
func WriteGLB(w io.Writer, c *model.Commission) error {
	catch, err := c.CatchParts()
	if err != nil {
		return err
	}
	parts := append(model.Shown(c), catch...)
	if len(parts) == 0 {
		return errors.New("glb: the commission has no finished parts")
	}
	doc := gltf.NewDocument()
	doc.Asset.Generator = signature()
	doc.Asset.Extras = map[string]string{"stage": string(clasp.Finished), "unit_of_meshes": "mm", "job": jobWords(c)}
	root := &gltf.Node{Name: "box lock " + sizeOf(c), Rotation: upright, Scale: [3]float64{0.001, 0.001, 0.001}}
	doc.Scenes[0].Name, doc.Scenes[0].Nodes = root.Name, []int{0}
	doc.Nodes = append(doc.Nodes, root)
	metals := map[string]int{}
	times := map[string]int{}
	for _, p := range parts {
		a := alloyOf(c, p.Name)
		if _, ok := metals[a.ID]; !ok {
			metals[a.ID] = len(doc.Materials)
			doc.Materials = append(doc.Materials, shine(a))
		}
		name := p.Name
		if times[p.Name]++; times[p.Name] > 1 {
			name = fmt.Sprintf("%s %d", p.Name, times[p.Name])
		}
		if err := addPart(doc, name, p.Mesh, metals[a.ID]); err != nil {
			return err
		}
	}
	var b bytes.Buffer // the library does not tell of every error of a writer
	if err := gltf.NewEncoder(&b).Encode(doc); err != nil {
		return fmt.Errorf("glb: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// upright turns z up into y up: a quarter turn about x, as a quaternion x, y, z, w.
var upright = [4]float64{-math.Sqrt2 / 2, 0, 0, math.Sqrt2 / 2}

// addPart adds a mesh and its node below the root.
func addPart(doc *gltf.Document, name string, m *contour.Mesh, material int) error {
	if m == nil || len(m.T) == 0 {
		return fmt.Errorf("glb: %s has no facets to write", name)
	}
	rounded := &contour.Mesh{V: make([]r3.Vec, len(m.V))} // as it is written, so that normals fit; the wire of a catch is not rounded yet
	for i, v := range m.V {
		rounded.V[i] = contour.Single(v)
	}
	places := make([][3]float32, 0, 3*len(m.T))
	normals := make([][3]float32, 0, 3*len(m.T))
	for i, t := range m.T {
		n := vec32(normal(rounded, t))
		if n == (stl.Vec3{}) {
			return fmt.Errorf("glb: facet %d of %s has no area", i, name)
		}
		for _, v := range t {
			places, normals = append(places, [3]float32(vec32(rounded.V[v]))), append(normals, [3]float32(n))
		}
	}
	doc.Meshes = append(doc.Meshes, &gltf.Mesh{Name: name, Primitives: []*gltf.Primitive{{
		Attributes: gltf.PrimitiveAttributes{gltf.POSITION: modeler.WritePosition(doc, places), gltf.NORMAL: modeler.WriteNormal(doc, normals)},
		Material:   gltf.Index(material),
	}}})
	doc.Nodes[0].Children = append(doc.Nodes[0].Children, len(doc.Nodes))
	doc.Nodes = append(doc.Nodes, &gltf.Node{Name: name, Mesh: gltf.Index(len(doc.Meshes) - 1)})
	return nil
}

// alloyOf is what a part is made of.
func alloyOf(c *model.Commission, part string) params.Alloy {
	key := "metal.alloy"
	switch part {
	case clasp.PartTongue:
		key = "tongue.alloy"
	case model.LeafPart:
		return c.Strip.Alloy
	case model.LoopPart, model.StudPart:
		key = "catch.alloy"
	}
	id := text(c, key)
	if id == "" {
		id = text(c, "metal.alloy")
	}
	a, err := c.Job.Alloy(id)
	if err != nil { // Make has read it before
		a = params.Alloy{ID: id}
	}
	return a
}

// shades are the colours of polished metal, linear red, green and blue, chosen by eye. Gold of unknown colour is shown yellow.
var shades = map[string][3]float64{
	"gold": {0.84, 0.60, 0.24}, "gold yellow": {0.84, 0.60, 0.24}, "gold rose": {0.82, 0.48, 0.34}, "gold white": {0.72, 0.69, 0.63},
	"gold pale yellow": {0.82, 0.66, 0.36}, "gold red": {0.80, 0.42, 0.27}, "gold green": {0.76, 0.65, 0.30},
	"silver": {0.86, 0.85, 0.83}, "platinum": {0.65, 0.64, 0.62}, "palladium": {0.62, 0.61, 0.60}, "copper": {0.76, 0.38, 0.25},
}

// shine is how the alloy looks in a viewer.
func shine(a params.Alloy) *gltf.Material {
	rgb, ok := shades[strings.TrimSpace(a.Metal+" "+a.Colour)]
	if !ok {
		if rgb, ok = shades[a.Metal]; !ok {
			rgb = shades["silver"]
		}
	}
	return &gltf.Material{Name: a.ID, PBRMetallicRoughness: &gltf.PBRMetallicRoughness{
		BaseColorFactor: &[4]float64{rgb[0], rgb[1], rgb[2], 1}, MetallicFactor: gltf.Float(1), RoughnessFactor: gltf.Float(0.35)}}
}
