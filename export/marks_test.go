package export

import (
	"strings"
	"testing"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/params"
)

// The papers say what is lettered where, where the mark goes, and which gates the files hold; nothing of it where nothing is asked for.
func TestPapersTellOfMarksAndStubs(t *testing.T) {
	make := func(sets ...string) *model.Commission {
		j, err := params.Parse("test", nil, append([]string{"chain.width=14", "chain.thickness=6", "metal.alloy=au750-yellow", "tongue.sizes=rule"}, sets...))
		if err != nil {
			t.Fatal(err)
		}
		c, err := model.Make(t.Context(), j, model.Want{Stages: []clasp.Stage{clasp.Casting}})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	rows := func(c *model.Commission) string {
		var b strings.Builder
		for _, r := range keepRows(c) {
			b.WriteString(r[0] + ": " + r[1] + "\n")
		}
		report, err := Report(c)
		if err != nil {
			t.Fatal(err)
		}
		return b.String() + markPlace(c) + "\n" + string(report)
	}
	full := rows(make("mark.make=engraved", "hallmark.place=block", "casting.stub=ends"))
	plain := rows(make())
	for _, want := range []string{`letters: "14 750" 2.73 mm high`, "hallmark: flat of 4.0 x 2.0 mm", "as stubs that are part of the files", "weights as cast, round, 2.5 x 6.0 mm",
		"on the flat of 4.0 x 2.0 mm on the underside of the block", `"thinnest_mm": 0.2`, `"stub_mm3": 29.`, `"cut_level": false`} {
		if !strings.Contains(full, want) {
			t.Errorf("missing: %s", want)
		}
		if strings.Contains(plain, want) {
			t.Errorf("said without being asked: %s", want)
		}
	}
}
