package export

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"claspwright/model"
	"claspwright/params"
)

// A double tongue says so in words and numbers: forces of one leaf and of both, the press of the load case over the first tab, a section through a
// leaf and not through the wall between the chambers, gates and fitting of both.
func TestDoubleIsTold(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	job, err := params.Parse("test", nil, []string{"tongue.count=2", "chain.width=20", "chain.thickness=8.4", "metal.alloy=au750-yellow", "tongue.condition=hammered"})
	if err != nil {
		t.Fatal(err)
	}
	c, err := model.Make(context.Background(), job, model.Want{Checks: true, Weights: true})
	if err != nil {
		t.Fatal(err)
	}
	b, err := Report(c)
	if err != nil {
		t.Fatal(err)
	}
	var r struct {
		Spring struct {
			Leaves   int
			Release  float64 `json:"release_n"`
			Both     float64 `json:"release_together_n"`
			Push     float64 `json:"push_n"`
			Pushes   float64 `json:"push_together_n"`
			LoadCase struct {
				Min [3]float64 `json:"press_min"`
				Max [3]float64 `json:"press_max"`
			} `json:"load_case"`
		}
	}
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	s := r.Spring
	if s.Leaves != 2 || math.Abs(s.Both-2*s.Release) > 1e-3 || math.Abs(s.Pushes-2*s.Push) > 1e-3 || s.Release < 1 {
		t.Errorf("%+v", s)
	}
	if mid := (s.LoadCase.Min[1] + s.LoadCase.Max[1]) / 2; math.Abs(mid-c.Lock.YLeaf()) > 1e-5 {
		t.Errorf("the press is at %.4f mm across, the leaf at %.4f", mid, c.Lock.YLeaf())
	}
	for what, say := range map[string][2]string{"spring": {springLine(c.Spring), "on 2 tabs"}, "prove": {proveLine(c), "the other held down"}, "gate": {tabGate(c), "top of each tab"}, "core": {coreLine(c.Lock), "two such chambers"}} {
		if !strings.Contains(say[0], say[1]) {
			t.Errorf("%s: %s", what, say[0])
		}
	}
	parts, err := model.SectionView(c)
	if err != nil {
		t.Fatal(err)
	}
	cut := false // the tongue's cut face reaches from neck to fold, which it does in the middle of a leaf alone
	for _, p := range parts {
		for f, tri := range p.Mesh.T {
			v := p.Mesh.V[tri[0]]
			cut = cut || p.Name == "tongue" && isCut(p.Mesh, f) && v.X > c.Lock.XFold && math.Abs(v.Y+c.Lock.YLeaf()) < 1e-6
		}
	}
	if !cut {
		t.Error("the section does not cut the fold")
	}
	var png bytes.Buffer
	if err := WriteSection(&png, c, parts); err != nil || png.Len() < 10000 {
		t.Error(err, png.Len())
	}
}
