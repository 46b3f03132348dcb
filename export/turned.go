package export

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/hpinc/go3mf"
	"github.com/hpinc/go3mf/spec"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/contour"
	"claspwright/model/layer"
)

// poseOf is how a part is turned on the plate: as drawn where no pose was looked for.
func poseOf(c *model.Commission, part string) layer.Pose {
	if p := c.PoseOf(part); p != nil {
		return p.Pose
	}
	return layer.Drawn
}

// standOn is a mesh in its pose. STL files are not turned: they stay in the lock's frame.
func standOn(m *contour.Mesh, p layer.Pose) *contour.Mesh {
	if p == layer.Drawn {
		return m
	}
	out := *m
	out.V = make([]r3.Vec, len(m.V))
	for i, v := range m.V {
		out.V[i] = p.Place(v)
	}
	return &out
}

// placing is the transform of a build item, to nine digits. The library would write three decimals, which bend a turned part by hundredths of
// a millimetre.
type placing struct {
	pose layer.Pose
	move r3.Vec
}

func (placing) Namespace() string                   { return "" }
func (placing) Unmarshal3MFAttr(spec.XMLAttr) error { return nil }

// Marshal3MF writes the matrix by rows: a point is a row, multiplied from the left (3MF Core Specification, 3D matrices).
func (t placing) Marshal3MF(_ spec.Encoder, start *xml.StartElement) error {
	start.Attr = append(start.Attr, xml.Attr{Name: xml.Name{Local: "transform"}, Value: t.String()})
	return nil
}

func (t placing) String() string {
	var words []string
	for _, v := range t.rows() {
		for _, x := range [3]float64{v.X, v.Y, v.Z} {
			words = append(words, strconv.FormatFloat(x+0, 'g', 9, 64)) // + 0: no -0
		}
	}
	return strings.Join(words, " ")
}

// matrix is the same as the library has it.
func (t placing) matrix() go3mf.Matrix {
	m := go3mf.Identity()
	for i, v := range t.rows() {
		m[4*i], m[4*i+1], m[4*i+2] = float32(v.X), float32(v.Y), float32(v.Z)
	}
	return m
}

// rows are where the axes go, and the move.
func (t placing) rows() [4]r3.Vec {
	p := t.pose
	return [4]r3.Vec{p.Place(r3.Vec{X: 1}), p.Place(r3.Vec{Y: 1}), p.Place(r3.Vec{Z: 1}), t.move}
}

type printReport struct {
	Part    string       `json:"part"`
	Turn    [3][3]figure `json:"turn"` // rows: the part's directions that lie along the plate's x, y and upwards
	Layer   figure       `json:"layer_mm"`
	Angle   figure       `json:"angle_deg"`
	Pose    termsReport  `json:"pose"`
	AsDrawn termsReport  `json:"as_drawn"`
}

type termsReport struct {
	Overhang figure `json:"overhang_mm2"`
	Marked   figure `json:"overhang_on_mating_mm2"`
	Islands  int    `json:"islands"`
	Foot     figure `json:"foot_mm2"`
	Props    int    `json:"props"`
	Stepped  figure `json:"stepped_mm2"`
	Step     figure `json:"mean_step_mm"`
	Height   figure `json:"height_mm"`
	Layers   int    `json:"layers"`
	Score    figure `json:"score_mm2"`
}

func printOf(p model.PrintPose) printReport {
	return printReport{p.Part, [3][3]figure{direction(p.Pose.X), direction(p.Pose.Y), direction(p.Pose.Up)}, mm(p.Options.Layer), mm(p.Options.Angle), termsOf(p.Terms), termsOf(p.Drawn)}
}

// direction is a unit vector, to more digits than lengths have.
func direction(v r3.Vec) [3]figure {
	return [3]figure{round(v.X, 9), round(v.Y, 9), round(v.Z, 9)}
}

func termsOf(t layer.Terms) termsReport {
	return termsReport{mm(t.Overhang), mm(t.Marked), t.Islands, mm(t.Foot), t.Props, mm(t.Stepped), mm(t.Step), mm(t.Height), t.Layers, mm(t.Score())}
}

// posesIn reads from the report in a lock's folder how its parts are turned; a folder without a report has none.
func posesIn(folder string) (map[string]layer.Pose, error) {
	data, err := os.ReadFile(filepath.Join(folder, "report.json"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var r struct {
		Print []struct {
			Part string        `json:"part"`
			Turn [3][3]float64 `json:"turn"`
		} `json:"print"`
	}
	if err := json.Unmarshal(data, &r); err != nil {
		return nil, fmt.Errorf("report.json: %w", err)
	}
	out := map[string]layer.Pose{}
	for _, p := range r.Print {
		v := func(i int) r3.Vec { return r3.Vec{X: p.Turn[i][0], Y: p.Turn[i][1], Z: p.Turn[i][2]} }
		out[p.Part] = layer.Pose{X: v(0), Y: v(1), Up: v(2)}
	}
	return out, nil
}
