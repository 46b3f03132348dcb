package clasp

import (
	"math"
	"slices"
	"testing"

	"claspwright/model/contour"
)

// Those that span a part are the extents of its mesh, which knows nothing of measures; and every stock counts as often as
// the mesh says, each tried alone.
func TestMeasuresAreTheMeshs(t *testing.T) {
	for _, stock := range []string{"", "stock.face=0.37", "stock.pad=0.41", "stock.meeting=0.31", "stock.window=0.22", "stock.tab=0.27"} {
		sets := []string{"chain.width=12.4", "chain.thickness=5.2"}
		if stock != "" {
			sets = append(sets, stock)
		}
		l := derive(t, "gold", sets...)
		ms, err := l.Measures()
		if err != nil {
			t.Fatal(err)
		}
		for part, spans := range map[string][3]string{PartBox: {"box.length", "box.width", "box.height"}, PartTongue: {"tongue.length", "tongue.width", ""}} {
			s, err := l.Build(part, Casting)
			if err != nil {
				t.Fatal(err)
			}
			mesh, err := contour.Of(s, 0.005)
			if err != nil {
				t.Fatal(err)
			}
			lo, hi := contour.Bounds(mesh)
			for axis, name := range spans {
				if name == "" {
					continue
				}
				i := slices.IndexFunc(ms, func(m Measure) bool { return m.Name == name })
				if i < 0 {
					t.Fatalf("%s: there is no %s", stock, name)
				}
				if got, want := ms[i].Cast(l.Stock), coordinate(hi, axis)-coordinate(lo, axis); math.Abs(got-want) > 1e-5 {
					t.Errorf("%q: %s is %.5f mm, the mesh %.5f", stock, name, got, want)
				}
			}
		}
	}
}

// By hand, at the table's stock: width 12.4 + 2 x 0.20, mouth less 2 x 0.05, lip 1.1 + 0.10 on one face, notch depth less
// the notch's 0.10 and more by the face's 0.10.
func TestMeasuresByHand(t *testing.T) {
	l := derive(t, "gold", "chain.width=12.4", "chain.thickness=5.2")
	ms, err := l.Measures()
	if err != nil {
		t.Fatal(err)
	}
	cast := map[string]float64{}
	for _, m := range ms {
		cast[m.Name] = m.Cast(l.Stock)
	}
	for name, want := range map[string]float64{
		"box.width": 12.8, "box.height": 5.6, "tongue.width": 12.8, "box.mouth_width": l.Chamber - 0.1, "box.mouth_height": l.Mouth - 0.1,
		"box.lip": l.Lip + 0.1, "box.notch": l.NotchWidth - 0.2, "box.notch_depth": l.XNotch, "box.wall": l.Wall + 0.25, "tongue.block": l.Block + 0.25,
		"tongue.neck_width": l.LowerWidth + 0.2, "tongue.tab_width": l.TabWidth + 0.2, "tongue.tab": l.TabThickness + 0.2, "box.window_length": l.WindowLength - 0.1,
		"tongue.reach": l.XFold + l.Fold + l.Leaf + l.FaceGap + 0.05 - 0.1, "tongue.shoulder": l.XTip + l.FaceGap - 0.15 - 0.1,
	} {
		if got, ok := cast[name]; !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("%s is %.4f mm (there %t), want %.4f", name, got, ok, want)
		}
	}
	t.Logf("%d measures", len(ms))
}

// Other locks: what cannot be measured there is left out, the rest lies on the casting, and enough is left for a fit.
func TestMeasuresOfOtherLocks(t *testing.T) {
	for _, sets := range [][]string{
		{"lock.end=cradle"}, {"lock.end=lug"}, {"tongue.make=opened"}, {"tongue.make=strip"}, {"chain.crown=18"}, {"chain.crown=18", "chain.underside=30"},
		{"lock.hollow=40"}, {"lock.floor=loose"}, {"lock.floor=closed", "core.holes=1"}, {"lock.lip_slope=4"}, {"catch.sides=both"}, {"catch.sides=none"}, {"stock.face=0", "stock.leaf=0.5"},
	} {
		l := derive(t, "gold", append([]string{"chain.width=14", "chain.thickness=7"}, sets...)...)
		ms, err := l.Measures()
		if err != nil {
			t.Fatal(err)
		}
		axes := [3]int{}
		for _, m := range ms {
			axes[m.Axis]++
		}
		if axes[0] < 3 || axes[1] < 4 || axes[2] < 2 {
			t.Errorf("%v: measures along x, y, z: %v", sets, axes)
		}
		t.Logf("%v: %v", sets, axes)
	}
}
