package export

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"claspwright/model"
	"claspwright/model/casting"
	"claspwright/model/finding"
	"claspwright/params"
)

func sheet(t *testing.T, c *model.Commission) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteSheet(&b, c); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestSheetIsOnePage(t *testing.T) {
	for _, sets := range [][]string{plainJob, crownedJob} {
		lines := strings.Split(strings.TrimSuffix(sheet(t, commission(t, sets...)), "\n"), "\n")
		if len(lines) > pageLines {
			t.Errorf("%v: %d lines", sets, len(lines))
		}
		for _, line := range lines {
			if len(line) > sheetWidth {
				t.Errorf("%d letters: %s", len(line), line)
			}
		}
	}
}

func TestSheetSaysWhatToOrder(t *testing.T) {
	c := commission(t, plainJob...)
	s := sheet(t, c)
	for _, want := range []string{
		"box.stl", "tongue.stl", "grown by 1.015", "do not scale", fmt.Sprintf("%.2f g of au585-yellow in all", c.Casting.OrderG),
		"assay office", "computed, not tried", "local codes", "never alone", "cadmium", "respirator", "nickel", "children", "chlorine",
	} {
		if !strings.Contains(strings.Join(strings.Fields(s), " "), want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
	for _, w := range akin(c.Weights)[:3] {
		if !strings.Contains(s, w.Alloy) {
			t.Errorf("no weight in %s", w.Alloy)
		}
	}
}

// The sheet lists the job's alloy first and the alloys nearest to it; it says where the others stand.
func TestSheetListsAkinAlloys(t *testing.T) {
	c := commission(t, plainJob...)
	ws := akin(c.Weights)
	if ws[0].Alloy != "au585-yellow" || len(ws) > sheetRows || len(c.Weights) != len(params.Alloys()) {
		t.Errorf("%d of %d rows, %s first", len(ws), len(c.Weights), ws[0].Alloy)
	}
	for _, w := range ws[:7] {
		if !strings.HasPrefix(w.Alloy, "au585") {
			t.Errorf("%s is listed for a lock of 585", w.Alloy)
		}
	}
	if !strings.Contains(sheet(t, c), fmt.Sprintf("weigh lists all %d alloys", len(c.Weights))) {
		t.Error("the sheet does not say where the other alloys stand")
	}
}

// Two alloys are ordered apart, and a trial casting is not said to hold fine metal.
func TestSheetOfTwoAlloysAndOfATrial(t *testing.T) {
	order := func(c *model.Commission) string {
		var b strings.Builder
		sheetOrder(&b, c)
		return strings.Join(strings.Fields(b.String()), " ")
	}
	pour := func(id, metal string, fineness float64, parts ...string) model.Pour {
		return model.Pour{Parts: parts, Alloy: params.Alloy{ID: id, Metal: metal, Fineness: fineness}, Order: casting.Order{OrderG: 12, FineG: 0.012 * fineness}}
	}
	two := order(&model.Commission{Casting: casting.Order{FineG: 1}, Pours: []model.Pour{pour("au750-yellow", "gold", 750, "box"), pour("ag925", "silver", 925, "tongue")}})
	for _, want := range []string{"12.00 g of au750-yellow for the box in all", "12.00 g of ag925 for the tongue in all", "9.00 g of fine gold ordered for the box; 11.10 g of fine silver"} {
		if !strings.Contains(two, want) {
			t.Errorf("no %q in %s", want, two)
		}
	}
	trial := order(&model.Commission{Pours: []model.Pour{pour("cuzn30", "copper", 0, "box", "tongue")}})
	if !strings.Contains(trial, "trial casting") || strings.Contains(trial, "fine metal") {
		t.Errorf("of a trial casting: %s", trial)
	}
}

func TestRefusedAlloyIsTold(t *testing.T) {
	got := weightTable([]model.Weight{{Alloy: "a", Density: 13, Finished: 1.234}, {Alloy: "b", Refused: "no room"}})
	want := "  alloy   g/cm3  finished  casting  fine metal  to order\n" +
		"      a  13.000      1.23     0.00        0.00      0.00\n" +
		"b: cannot be made: no room\n"
	if got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestFindingText(t *testing.T) {
	for _, c := range []struct {
		f    finding.Finding
		want string
	}{
		{finding.AtLeast("floor", "mm", 0.3, 0.5, at0, finding.Stop, "too thin"), "floor, 0.3 mm, at least 0.5 mm: too thin"},
		{finding.AtLeast("floor", "mm", 0.7, 0.5, at0, finding.Stop, "good"), "floor, 0.7 mm, at least 0.5 mm: good"},
		{finding.AtMost("gap", "mm", 0.2, 0.15, at0, finding.Stop, "too wide"), "gap, 0.2 mm, at most 0.15 mm: too wide"},
		{finding.AtMost("gap", "mm", 0.1, 0.15, at0, finding.Stop, "good"), "gap, 0.1 mm, at most 0.15 mm: good"},
		{finding.AtMost("gap", "mm", 0.15, 0.15, at0, finding.Stop, "just"), "gap, 0.15 mm, limit 0.15 mm: just"},
		{finding.Finding{Check: "spring", Grade: finding.Note, Say: "not known"}, "spring: not known"},
	} {
		if got := stated(c.f); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

var at0 = finding.Finding{}.At

func TestTally(t *testing.T) {
	fs := []finding.Finding{{Grade: finding.Stop}, {Grade: finding.OK}, {Grade: finding.OK}}
	if got := tally(fs); got != "2 ok, 1 stop" {
		t.Errorf("got %q", got)
	}
}

func TestSummary(t *testing.T) {
	c := commission(t, plainJob...)
	var b bytes.Buffer
	if err := Summary(&b, c, "order", FileNames(c)); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"12.4 x 5.2 mm, flat, au585-yellow", "press to open", tally(c.Findings), "manifest.json",
		fmt.Sprintf("%.2f g of au585-yellow", c.Casting.OrderG)} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the summary does not say %q:\n%s", want, b.String())
		}
	}
}

func TestScalingIsToldOnce(t *testing.T) {
	if got := scaling("1"); strings.Contains(got, "already") || !strings.Contains(got, "not grown") {
		t.Errorf("got %q", got)
	}
	if got := scaling("1.015 along x, 1.02 along y, 1.02 along z"); !strings.Contains(got, "do not scale them again") {
		t.Errorf("got %q", got)
	}
}
