package export

import (
	"context"
	"os"
	"strings"
	"testing"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/params"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestTmpCast(t *testing.T) {
	j, err := params.Parse("x", nil, strings.Fields(os.Getenv("SETS")))
	if err != nil {
		t.Fatal(err)
	}
	c, err := model.Make(context.Background(), j, model.Want{Stages: []clasp.Stage{clasp.Casting}, Prove: true})
	if err != nil {
		t.Fatal(err)
	}
	b, _ := solid.NewBlock(r3.Vec{X: -50, Y: -50, Z: -50}, r3.Vec{X: 80, Y: 0, Z: 50}, model.CutTag)
	var parts []model.Part
	for _, p := range c.Parts {
		if p.Stage == clasp.Casting && strings.Contains(os.Getenv("PARTS"), p.Name) {
			s := solid.Cut(p.Solid, solid.New(b, solid.Upright))
			m, err := contour.Of(s, 0.005)
			if err != nil {
				t.Fatal(err)
			}
			parts = append(parts, model.Part{Name: p.Name, Stage: clasp.Finished, Solid: s, Mesh: m})
		}
	}
	f, _ := os.Create(os.Getenv("OUT"))
	if err := WriteSection(f, c, parts); err != nil {
		t.Fatal(err)
	}
	f.Close()
}
