package model

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/metal"
	"claspwright/model/solid"
	"claspwright/model/survey"
	"claspwright/params"
)

// Plain blocks, volume over surface in closed form, 1 %; and half a block in a window of which the cut edge cools nothing.
func TestModuliOfBlocks(t *testing.T) {
	for _, d := range [][3]float64{{6, 6, 6}, {4, 8, 3}, {12, 5, 2}, {1.3, 3.3, 2.5}, {10, 10, 4}} {
		b, err := solid.NewBlock(r3.Vec{X: -d[0] / 2, Y: -d[1] / 2, Z: -d[2] / 2}, r3.Vec{X: d[0] / 2, Y: d[1] / 2, Z: d[2] / 2}, "block")
		if err != nil {
			t.Fatal(err)
		}
		m := moduli(solid.New(b, solid.Upright), r3.Vec{X: 0.1, Y: 0.07, Z: 0.03}, 20)
		want := d[0] * d[1] * d[2] / (2 * (d[0]*d[1] + d[1]*d[2] + d[2]*d[0]))
		if got := casting.BodyModulus(m[0], m[1], m[2]); math.Abs(got/want-1) > 0.01 {
			t.Errorf("block %v: modulus %.4f, want %.4f", d, got, want)
		}
	}
	long, err := solid.NewBlock(r3.Vec{X: -50, Y: -1, Z: -2}, r3.Vec{X: 50, Y: 1, Z: 2}, "bar")
	if err != nil {
		t.Fatal(err)
	}
	x := survey.SectionOf(solid.New(long, solid.Upright), r3.Vec{}, r3.Vec{Z: 1}, survey.SectionOptions{Within: 5})
	if math.Abs(x.Area-20) > 0.2 || math.Abs(x.Perimeter-20) > 0.2 { // 10 x 2, cooled on two sides
		t.Errorf("a bar of 2 in a window of 10: area %.3f, perimeter %.3f", x.Area, x.Perimeter)
	}
}

// twelve locks: widths and heights, metals, ends, crowned or flat.
var twelve = [][]string{
	{"chain.width=8", "chain.thickness=4"}, {"chain.width=10", "chain.thickness=4.2"}, {"chain.width=12.4", "chain.thickness=5.2"}, {"chain.width=14", "chain.thickness=6"},
	{"chain.width=16", "chain.thickness=6.5"}, {"chain.width=18", "chain.thickness=8"}, {"chain.width=20", "chain.thickness=9"}, {"chain.width=24", "chain.thickness=10"},
	{"chain.width=12.4", "chain.thickness=5.2", "chain.crown=20"}, {"chain.width=14", "chain.thickness=6", "lock.end=cradle"}, {"chain.width=14", "chain.thickness=6", "lock.end=lug"},
	{"chain.width=12.4", "chain.thickness=5.2", "lock.floor=loose"},
}

// The block of each lock against the closed form: a flat section W x T with its long edges rounded, area W T - (4 - pi) r2,
// perimeter 2 (W + T) - (8 - 2 pi) r, 1 %; and its body against volume over surface of a plain block, 12 %. Gates and the order of
// freezing of all twelve as a table for people: testdata/feeding.golden.
func TestFeedingOfTwelveLocks(t *testing.T) {
	plainRunOnly(t)
	var b strings.Builder
	b.WriteString("Gates of twelve locks in 18 carat yellow, mm. Modulus: volume over cooling surface round the hot spot. Given: the gate of 2.5 mm over\n" +
		"the part's modulus; below 1.2 the gate freezes too soon. By rule: 4 x 1.2 x modulus. Order: part, gate, button, each over the one before.\n\n")
	fmt.Fprintf(&b, "%-42s%-7s%7s%9s%7s%11s%7s   %s\n", "lock", "part", "ball", "modulus", "given", "by rule", "long", "moduli in the order of freezing")
	for _, sets := range twelve {
		c := commission(t, Want{Stages: []clasp.Stage{clasp.Casting}}, append(sets, "metal.alloy=au750-yellow", "tongue.sizes=rule", "catch.sides=none", "casting.gate_by=modulus")...)
		if err := c.feed(Want{Weights: true}); err != nil {
			t.Fatal(err)
		}
		own, err := c.ownAlloys()
		if err != nil {
			t.Fatal(err)
		}
		_, pours := c.weight([3]params.Alloy{own[0], own[1], own[0]}, c.volumes())
		button := casting.ButtonModulus(pours[0].Order.ButtonG, metal.Density(own[0]))
		if c.Lock.Crown == 0 && c.Lock.End == "pad" {
			blockAgainstClosedForm(t, c)
		}
		name := strings.ReplaceAll(strings.Join(sets, " "), "chain.", "")
		for _, f := range c.Feeds {
			gate := casting.RoundModulus(f.Gate.Diameter)
			order := casting.FreezingOrder(casting.Feed, casting.Section{Name: f.Part, Modulus: f.Modulus}, casting.Section{Name: "gate", Modulus: gate}, casting.Section{Name: "button", Modulus: button})
			if !order[0].Holds && !f.Gate.Cut {
				t.Errorf("%v: the gate by rule has %.3f of the part's modulus", sets, order[0].Ratio)
			}
			said := map[bool]string{true: "", false: ", too little"}
			fmt.Fprintf(&b, "%-42s%-7s%7.2f%9.2f%7.2f%8.1f mm%7.1f   %.2f < %.2f x%.2f%s < %.2f x%.2f%s\n", name, f.Part, f.Ball, f.Modulus, casting.RoundModulus(2.5)/f.Modulus,
				f.Gate.Diameter, f.Gate.Length, f.Modulus, gate, order[0].Ratio, said[order[0].Holds], button, order[1].Ratio, said[order[1].Holds])
			name = ""
		}
	}
	path := filepath.Join("testdata", "feeding.golden")
	if os.Getenv("CLASPWRIGHT_UPDATE") != "" {
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Error("the table was rewritten: read what changed, then run again without CLASPWRIGHT_UPDATE")
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("the table has changed:\n%s", b.String())
	}
}

// blockAgainstClosedForm holds the block of a flat lock with a plain end: its section, and its body.
func blockAgainstClosedForm(t *testing.T, c *Commission) {
	t.Helper()
	l := c.Lock
	s, err := l.Build(clasp.PartTongue, clasp.Casting)
	if err != nil {
		t.Fatal(err)
	}
	w, h, r := l.Width+2*l.Stock.Face, l.Thickness+2*l.Stock.Face, l.Edge+l.Stock.Face
	x := survey.SectionOf(s, r3.Vec{X: -l.FaceGap - l.Block*0.8, Z: h / 2}, r3.Vec{X: 1}, survey.SectionOptions{})
	if want := (w*h - (4-math.Pi)*r*r) / (2*(w+h) - (8-2*math.Pi)*r); math.Abs(x.Modulus/want-1) > 0.01 {
		t.Errorf("%g mm: modulus of the block's section %.4f, want %.4f", l.Width, x.Modulus, want)
	}
	long := l.Block + l.Stock.Pad + l.Stock.Meeting
	want := w * h * long / (2 * (w*h + h*long + long*w))
	t.Logf("%g mm: modulus of the block %.3f, volume over surface %.3f", l.Width, c.Feeds[1].Modulus, want)
	if got := c.Feeds[1].Modulus; math.Abs(got/want-1) > 0.12 {
		t.Errorf("%g mm: modulus of the block %.4f, volume over surface %.4f", l.Width, got, want)
	}
}

// The findings of the bracelet's lock: its gates of 2.5 mm are too thin by the rule, those of the rule are not.
func TestFeedingFindings(t *testing.T) {
	plainRunOnly(t)
	for by, want := range map[string]string{"given": "note", "modulus": "ok"} {
		c := commission(t, Want{Weights: true, Checks: true}, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow", "tongue.sizes=rule", "casting.gate_by="+by)
		got := map[string]string{}
		for _, f := range c.Findings {
			got[f.Check] = string(f.Grade)
		}
		for _, check := range []string{"gate of the box freezes after it", "gate of the tongue freezes after it"} {
			if got[check] != want {
				t.Errorf("gates %s: %s is %q, want %q", by, check, got[check], want)
			}
		}
		if got["tab fed through the leaf"] != "note" {
			t.Errorf("gates %s: the tab is %q", by, got["tab fed through the leaf"])
		}
	}
}
