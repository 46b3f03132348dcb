package export

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/hpinc/go3mf"
	"github.com/hpinc/go3mf/spec"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/layer"
)

// body is one object of a 3MF file.
type body struct {
	name, number string // number is what an order calls it: the part, in a run with its lock
	part         string
	mesh         *contour.Mesh
	pose         layer.Pose // on the plate; the mesh itself is not turned
}

// WritePattern writes the parts of a job at the pattern stage as one 3MF file, as the printer builds them: millimetres,
// already grown, each part a named object, side by side, each turned into its pose by the build item's transform. Closed in the
// lock's frame they would overlap, since the pattern carries its stock.
func WritePattern(w io.Writer, c *model.Commission) error {
	var objects []body
	for _, p := range at(c, clasp.Pattern) {
		objects = append(objects, body{p.Name + " " + sizeOf(c), p.Name, p.Name, p.Mesh, poseOf(c, p.Name)})
	}
	if len(objects) == 0 {
		return errors.New("3mf: the commission has no pattern")
	}
	return write3MF(w, objects, "pattern of a box lock "+sizeOf(c), patternWords(c))
}

// sizeOf names a lock by its chain.
func sizeOf(c *model.Commission) string {
	return fmt.Sprintf("%s x %s mm", short(number(c, "chain.width"), 3), short(number(c, "chain.thickness"), 3))
}

// patternWords is the description in the file: what it is, and the job that makes it again.
func patternWords(c *model.Commission) string {
	said := "Pattern stage, millimetres: stock is on and growth is in, do not scale again."
	if !grown(c) {
		said = "Pattern stage, millimetres: stock is on, growth is left to the caster, who scales once."
	}
	for _, p := range c.Poses {
		said += fmt.Sprintf(" Height of the %s in print %.3f mm, %d layers.", p.Part, p.Terms.Height, p.Terms.Layers)
	}
	return said + " Job: " + jobWords(c)
}

// jobWords is the job as it was given, on one line: with it the file can be made again.
func jobWords(c *model.Commission) string {
	if c.Job == nil {
		return "not known"
	}
	return strings.Join(strings.Fields(string(c.Job.TOML())), " ")
}

// grown says whether the pattern is larger than the casting.
func grown(c *model.Commission) bool {
	for _, key := range []string{"casting.growth_x", "casting.growth_y", "casting.growth_z"} {
		if number(c, key) > 1 {
			return true
		}
	}
	return false
}

// write3MF lays objects out in rows and writes them, with a picture from above, as a 3MF package (3MF Core Specification,
// unit millimeter). Coordinates keep every bit of a float32. The same objects give the same bytes.
func write3MF(w io.Writer, objects []body, title, description string) error {
	m := &go3mf.Model{Units: go3mf.UnitMillimeter, Language: "en-GB", Thumbnail: thumbnailPath,
		Metadata: []go3mf.Metadata{
			{Name: xml.Name{Local: "Title"}, Value: title},
			{Name: xml.Name{Local: "Description"}, Value: description},
			{Name: xml.Name{Local: "Application"}, Value: signature()},
		}}
	fill, stood := make([]bounds, len(objects)), make([]*contour.Mesh, len(objects))
	for i, o := range objects {
		if o.mesh == nil || len(o.mesh.T) == 0 {
			return fmt.Errorf("3mf: %s has no facets to write", o.name)
		}
		if !closed(o.mesh) {
			return fmt.Errorf("3mf: %s is not closed", o.name)
		}
		if o.pose == (layer.Pose{}) {
			objects[i].pose = layer.Drawn
		}
		stood[i] = standOn(o.mesh, objects[i].pose)
		fill[i] = boundsOf(stood[i])
	}
	moves := rowsOf(fill)
	for i, o := range objects {
		id := uint32(i) + 1
		m.Resources.Objects = append(m.Resources.Objects, &go3mf.Object{ID: id, Name: o.name, PartNumber: o.number, Mesh: mesh3MF(o.mesh)})
		m.Build.Items = append(m.Build.Items, &go3mf.Item{ObjectID: id, PartNumber: o.number,
			Transform: placing{o.pose, moves[i]}.matrix()})
	}
	if err := m.Validate(); err != nil {
		return fmt.Errorf("3mf: %w", err)
	}
	for i, item := range m.Build.Items { // validated; to be written with all digits
		item.Transform, item.AnyAttr = go3mf.Matrix{}, spec.AnyAttr{placing{objects[i].pose, moves[i]}}
	}
	picture, err := thumbnail(objects, stood, moves)
	if err != nil {
		return err
	}
	m.Attachments = []go3mf.Attachment{{Stream: bytes.NewReader(picture), Path: thumbnailPath, ContentType: "image/png"}}
	var packed bytes.Buffer
	enc := go3mf.NewEncoder(&packed)
	enc.FloatPrecision = -1 // as many digits as bring the same float32 back
	if err := enc.Encode(m); err != nil {
		return fmt.Errorf("3mf: %w", err)
	}
	return repack(w, packed.Bytes())
}

// closed says whether each edge is run through once each way, which a 3MF object of type model must be.
func closed(m *contour.Mesh) bool {
	runs := make(map[[2]int32]bool, 3*len(m.T))
	for _, t := range m.T {
		for k := range t {
			e := [2]int32{t[k], t[(k+1)%3]}
			if runs[e] {
				return false
			}
			runs[e] = true
		}
	}
	for e := range runs {
		if !runs[[2]int32{e[1], e[0]}] {
			return false
		}
	}
	return true
}

func mesh3MF(m *contour.Mesh) *go3mf.Mesh {
	out := &go3mf.Mesh{}
	out.Vertices.Vertex = make([]go3mf.Point3D, len(m.V))
	for i, v := range m.V {
		out.Vertices.Vertex[i] = go3mf.Point3D(vec32(v))
	}
	out.Triangles.Triangle = make([]go3mf.Triangle, len(m.T))
	for i, t := range m.T {
		out.Triangles.Triangle[i] = go3mf.Triangle{V1: uint32(t[0]), V2: uint32(t[1]), V3: uint32(t[2])}
	}
	return out
}

// repack writes a zip anew with its files by name and without times; the list of content types, which the library walks
// in no order, is sorted. What is compressed stays as it is.
func repack(w io.Writer, packed []byte) error {
	in, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		return err
	}
	files := slices.Clone(in.File)
	slices.SortFunc(files, func(a, b *zip.File) int { return strings.Compare(a.Name, b.Name) })
	out := zip.NewWriter(w)
	for _, f := range files {
		if f.Name == contentTypes {
			err = sorted(out, f)
		} else {
			err = moved(out, f)
		}
		if err != nil {
			return fmt.Errorf("3mf: %s: %w", f.Name, err)
		}
	}
	return out.Close()
}

const (
	contentTypes  = "[Content_Types].xml"
	thumbnailPath = "/Metadata/thumbnail.png"
)

// moved copies a file as it is compressed.
func moved(out *zip.Writer, f *zip.File) error {
	w, err := out.CreateRaw(&zip.FileHeader{Name: f.Name, Method: f.Method, CRC32: f.CRC32,
		CompressedSize64: f.CompressedSize64, UncompressedSize64: f.UncompressedSize64})
	if err != nil {
		return err
	}
	r, err := f.OpenRaw()
	if err != nil {
		return err
	}
	_, err = io.Copy(w, r)
	return err
}

// What a file of a package is, by its extension or by its name (ISO/IEC 29500-2, content types).
type (
	defaultType struct {
		Extension   string `xml:"Extension,attr"`
		ContentType string `xml:"ContentType,attr"`
	}
	overrideType struct {
		PartName    string `xml:"PartName,attr"`
		ContentType string `xml:"ContentType,attr"`
	}
)

// sorted copies the list of content types, its entries in order.
func sorted(out *zip.Writer, f *zip.File) error {
	r, err := f.Open()
	if err != nil {
		return err
	}
	data, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	var types struct {
		XMLName  xml.Name `xml:"http://schemas.openxmlformats.org/package/2006/content-types Types"`
		Default  []defaultType
		Override []overrideType
	}
	if err := xml.Unmarshal(data, &types); err != nil {
		return err
	}
	slices.SortFunc(types.Default, func(a, b defaultType) int { return strings.Compare(a.Extension, b.Extension) })
	slices.SortFunc(types.Override, func(a, b overrideType) int { return strings.Compare(a.PartName, b.PartName) })
	if data, err = xml.Marshal(types); err != nil {
		return err
	}
	w, err := out.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
	if err != nil {
		return err
	}
	_, err = w.Write(append([]byte(xml.Header), data...))
	return err
}
