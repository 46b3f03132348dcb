//go:build outside

package export

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
	"claspwright/testdata/peers/outside"
)

// expected is what the feasibility table of the design says of a size: c cast, s strip leaf only, r none. Rows of its
// table that lie between two of its thicknesses take the verdict of the height that the table asks for.
var expected = map[string]string{
	"8 0.35 flat": "r", "8 0.42 flat": "s", "8 0.5 flat": "c", "8 0.35 crowned": "r", "8 0.42 crowned": "r", "8 0.5 crowned": "s",
	"10 0.35 flat": "s", "10 0.42 flat": "c", "10 0.5 flat": "c", "10 0.35 crowned": "r", "10 0.42 crowned": "s", "10 0.5 crowned": "c",
	"12.4 0.35 crowned": "s",
}

// Sizes over the whole range, flat and crowned: what is made is sound by admesh (an outside program) and by Verify, its
// halves do not overlap, its clearances are kept, and its volume agrees with a quadrature of the field; what is refused is
// refused for the reason that the design's feasibility table gives.
func TestOutsideSizes(t *testing.T) {
	for _, w := range []float64{8, 10, 12.4, 15, 18, 22, 26} {
		for _, share := range []float64{0.35, 0.42, 0.5} {
			for _, crown := range []float64{0, 1.5} {
				name := fmt.Sprintf("%g %g %s", w, share, map[bool]string{true: "crowned", false: "flat"}[crown > 0])
				t.Run(name, func(t *testing.T) { trySize(t, name, w, share*w, crown*w) })
			}
		}
	}
}

func trySize(t *testing.T, name string, w, thick, crown float64) {
	sets := []string{"metal.alloy=au585-yellow"}
	for k, v := range map[string]float64{"chain.width": w, "chain.thickness": thick, "chain.crown": crown} {
		sets = append(sets, k+"="+strconv.FormatFloat(v, 'g', 12, 64))
	}
	want := expected[name]
	if want == "" {
		want = "c"
	}
	job, err := params.Parse("test", nil, sets)
	if err != nil {
		t.Fatal(err)
	}
	if _, err = model.Make(context.Background(), job, model.Want{}); err != nil {
		refused(t, name, want, err)
		return
	}
	if want != "c" {
		t.Errorf("%s was made; the table says %q", name, want)
	}
	c, dir := order(t, sets...)
	for _, p := range c.Parts {
		if faults := outside.Admesh(t, stagePath(dir, p.Name, p.Stage)); faults != nil {
			t.Errorf("%s %s: admesh: %v", p.Name, p.Stage, faults)
		}
		if p.Stage != clasp.Pattern {
			integrate(t, p)
		}
	}
	box, tongue := readMesh(t, stagePath(dir, "box", clasp.Finished)), readMesh(t, stagePath(dir, "tongue", clasp.Finished))
	if at, yes := contour.Overlap(box, tongue); yes {
		t.Errorf("finished halves overlap at %v", at)
	}
	worst := clearances(t, c.Lock, contour.NewTree(box), contour.NewTree(tongue))
	d, _, _ := contour.Distance(contour.NewTree(box), contour.NewTree(tongue))
	t.Logf("made: leaf %.2f, fold %.2f, facets %d, worst clearance off by %.5f mm, least distance %.4f mm", c.Lock.Leaf, c.Lock.Fold, len(box.T)+len(tongue.T), worst, d)
}

func refused(t *testing.T, name, want string, err error) {
	var r *clasp.Refusal
	if !errors.As(err, &r) {
		t.Fatal(err)
	}
	strip := strings.Contains(r.Nearest, `tongue.make = "strip"`)
	t.Logf("refused: %v; %s", err, r.Nearest)
	if want == "c" || (want == "s") != strip {
		t.Errorf("%s: the table says %q", name, want)
	}
}

// integrate holds the mesh's volume against a quadrature that uses the field alone.
func integrate(t *testing.T, p model.Part) {
	t.Helper()
	b := p.Solid.Bounds()
	v, bound := contour.Quadrature(p.Solid, b.Min, b.Max, 11)
	limit := bound + p.Proof.GapMM3
	if math.Abs(p.VolumeMM3-v) > limit || limit > 0.001*v {
		t.Errorf("%s %s: mesh %.4f mm3, quadrature %.4f, bound %.4f (%.3f %%)", p.Name, p.Stage, p.VolumeMM3, v, limit, 100*limit/v)
	}
}

// clearances measures between the two written meshes with rays: from inside the tongue out to its surface, and on to the
// box. It returns the worst difference from what the lock is derived for; 0.01 mm is allowed.
func clearances(t *testing.T, l *clasp.Lock, box, tongue *contour.Tree) float64 {
	t.Helper()
	y := l.NotchWidth/2 + l.Shoulder()/2
	xl := (l.XPad + 0.2 + l.XWindow) / 2
	tip := l.ZTip - l.Taper*l.Leaf/2
	worst := 0.0
	for _, c := range []struct {
		name   string
		p, dir r3.Vec
		want   float64
	}{
		{"side", r3.Vec{X: xl, Y: 0.03, Z: l.ZLeaf + l.Leaf/2}, r3.Vec{Y: 1}, l.SidePlay},
		{"other side", r3.Vec{X: xl, Y: 0.03, Z: l.ZLeaf + l.Leaf/2}, r3.Vec{Y: -1}, l.SidePlay},
		{"upper leaf", r3.Vec{X: l.XKnee + 1, Y: 0.03, Z: l.ZUpper - l.Leaf/2}, r3.Vec{Y: 1}, l.SidePlay + 0.05},
		{"floor", r3.Vec{X: xl, Y: 0.03, Z: l.ZLeaf + l.Leaf/2}, r3.Vec{Z: -1}, l.FloorPlay},
		{"neck", r3.Vec{X: l.XNeck / 2, Y: y, Z: l.ZLip - l.NeckPlay - 0.1}, r3.Vec{Z: 1}, l.NeckPlay},
		{"neck below", r3.Vec{X: l.XNeck / 2, Y: y, Z: l.Floor + l.NeckPlay + 0.1}, r3.Vec{Z: -1}, l.NeckPlay},
		{"face gap", r3.Vec{X: -l.FaceGap - 0.1, Y: l.Chamber/2 + l.Wall/2, Z: l.ZLip}, r3.Vec{X: 1}, l.FaceGap},
		{"end play", r3.Vec{X: l.XTip + 0.2, Y: y, Z: tip}, r3.Vec{X: -1}, l.EndPlay},
		{"top gap, at the chamfer", r3.Vec{X: l.XTip + l.Chamfer + 1e-4, Y: y, Z: tip}, r3.Vec{Z: 1}, l.TopGap + (l.ZTip-l.ZUpper)/(l.XKnee-l.XTip)*l.Chamfer},
		{"fold to end", r3.Vec{X: l.XFold + l.Fold + l.Leaf/2, Y: 0.03, Z: l.ZLeaf + l.Leaf + l.Fold}, r3.Vec{X: 1}, l.FoldRoom},
		{"over the fold", r3.Vec{X: l.XFold - 0.1, Y: 0.03, Z: l.ZUpper - l.Leaf/2}, r3.Vec{Z: 1}, l.Rise},
		{"tab in notch", r3.Vec{X: l.XTip + l.TabThickness/2, Y: 0.03, Z: (l.ZFront + l.Thickness) / 2}, r3.Vec{Y: 1}, 0.15},
		{"tab behind", r3.Vec{X: l.XTip + l.TabThickness/2, Y: 0.03, Z: (l.ZFront + l.Thickness) / 2}, r3.Vec{X: 1}, 0.5},
	} {
		a, _, ok := tongue.Ray(c.p, c.dir, 40)
		b, _, ok2 := box.Ray(r3.Add(c.p, r3.Scale(a, c.dir)), c.dir, 40)
		if off := math.Abs(b - c.want); !ok || !ok2 || off > 0.01 {
			t.Errorf("%s: %.5f mm between the written meshes, want %.5f", c.name, b, c.want)
		} else {
			worst = math.Max(worst, off)
		}
	}
	return worst
}
