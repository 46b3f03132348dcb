package model

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/model/survey"
)

// What the checks say of catches, each with the grade of one check; "" where the check must not be made.
func TestCatchFindings(t *testing.T) {
	plainRunOnly(t)
	gold := []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow"}
	for _, c := range []struct {
		sets  []string
		check string
		want  finding.Grade
		says  string
	}{
		{nil, "stress in the catch", finding.OK, ""},
		{nil, "force of the catch", finding.OK, ""},
		{nil, "force of the catch, for a nail", finding.OK, ""},
		{nil, "catch over the side", finding.OK, ""},
		{nil, "reach of the catch", finding.OK, ""},
		{nil, "metal round the tube's seat", finding.OK, ""},
		{nil, "wall behind the stud's seat", finding.OK, ""},
		{nil, "life of the catch", finding.Note, "no published data"},
		{nil, "safety catch", "", ""},
		{nil, "nickel in the catch", "", ""},
		{nil, "mark of the catch", "", ""},
		{[]string{"catch.snap=0.2"}, "stress in the catch", finding.Caution, "hard drawn"},
		{[]string{"metal.alloy=au585-yellow"}, "stress in the catch", finding.Caution, "not known"},
		{[]string{"catch.wire=0.4"}, "force of the catch", finding.Caution, "cloth"},
		{[]string{"catch.wire=0.7", "catch.snap=0.3", "chain.thickness=6"}, "force of the catch, for a nail", finding.Caution, "nail"},
		{[]string{"chain.thickness=7", "catch.ball=2"}, "catch over the side", finding.Note, "cloth"},
		{[]string{"chain.thickness=7", "catch.ball=2.6", "catch.wire=0.6"}, "catch over the side", finding.Caution, "cloth"},
		{[]string{"catch.reach=7.5"}, "reach of the catch", finding.Caution, "heavier wire"},
		{[]string{"lock.wall=0.55"}, "stud's seat", finding.Note, "no"},
		{[]string{"catch.alloy=Au 75, Ni 15, Cu 10"}, "nickel in the catch", finding.Caution, "EN 1811"},
		{[]string{"catch.alloy=au585-yellow"}, "mark of the catch", finding.Caution, "assay office"},
		{[]string{"catch.alloy=cuzn30"}, "mark of the catch", finding.Caution, "assay office"},
		{[]string{"catch.alloy=ag925"}, "mark of the catch", finding.Caution, "assay office"},
		{[]string{"catch.sides=none"}, "safety catch", finding.Caution, "blow"},
		{[]string{"chain.wear=necklace"}, "safety catch", finding.Note, "necklace"},
		{[]string{"catch.tube=5"}, "safety catch", finding.Caution, "want of room: catch.tube"},
	} {
		k := commission(t, Want{}, append(slices.Clone(gold), c.sets...)...)
		got := finding.Finding{}
		for _, f := range k.caught() {
			if f.Check == c.check {
				got = f
			}
		}
		if got.Grade != c.want || !strings.Contains(got.Say, c.says) {
			t.Errorf("%v: %s is %q (%.3f of %.3f %s): %s; want %q, %q", c.sets, c.check, got.Grade, got.Measured, got.Limit, got.Unit, got.Say, c.want, c.says)
		}
	}
}

// What the catch measures on the solids, against the dimensions; what it weighs, by hand: wire of 0.5, a tube of 1.2 less 0.55,
// ball, bead and neck.
func TestCatchMeasured(t *testing.T) {
	c := commission(t, Want{}, "chain.width=12", "chain.thickness=5.4", "metal.alloy=Au 100", "catch.sides=both")
	l, k := c.Lock, c.Catch
	d := l.Catch
	within := func(what string, got, want, tol float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s is %.6f, want %.6f", what, got, want)
		}
	}
	within("wall behind the stud", k.Stud, l.Wall-d.Dimple, 1e-6)
	chord := 2*math.Sqrt(0.6*0.6-0.3*0.3) + 0.1
	within("metal round the tube", k.Tube, min(-d.XTube-chord/2-l.FaceGap, l.Block+l.FaceGap+d.XTube-chord/2), 1e-3)
	in := math.Sqrt(1.5*1.5-d.Neck*d.Neck) / 2
	mm3 := math.Pi / 4 * (0.25*k.Cut + (1.2*1.2-0.55*0.55)*2 + d.Neck*d.Neck*(d.Dimple+d.Centre-in))
	mm3 += math.Pi / 6 * (1.5*1.5*1.5 + 1)
	within("weight of one side, g", k.Gram, 19.3e-3*mm3, 0.005*k.Gram)
}

// A dimple in the thick walls of silver does not count as the thinnest metal of the box; what it hides does.
func TestThinnestBesideDimples(t *testing.T) {
	c := commission(t, Want{Stages: []clasp.Stage{clasp.Finished}}, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=ag925")
	b := survey.NewBody(c.part("box").Solid)
	with := b.Thinnest(survey.SpotOptions{Angle: facing})
	if !slices.Contains(with.Tags[:], clasp.TagSeat) || math.Abs(with.Size-0.5) > 1e-3 {
		t.Fatalf("the dimple is not the thinnest: %+v", with)
	}
	got := c.thinnest(b, 0)
	if slices.Contains(got.Tags[:], clasp.TagSeat) || got.Size < 0.8-1e-3 {
		t.Errorf("%+v", got)
	}
}

// The loop lies free over the closed lock, 0.05 mm from its sides, and swings out and back without coming nearer: its middle line, in
// steps, against the fields of both halves, which never exceed the distance.
func TestLoopClearsTheLock(t *testing.T) {
	for _, sets := range [][]string{
		{"chain.width=10", "chain.thickness=4.8"}, {"chain.width=14", "chain.thickness=6", "chain.crown=21", "lock.end=cradle"},
		{"chain.width=20", "chain.thickness=9", "chain.crown=30", "chain.underside=60", "lock.end=lug"},
	} {
		c := commission(t, Want{}, append(sets, "metal.alloy=au750-yellow", "catch.sides=both")...)
		l, d := c.Lock, c.Lock.Catch
		box, tongue := c.part("box").Solid, c.part("tongue").Solid
		least := math.Inf(1)
		for _, side := range l.CatchSides() {
			for deg := 0.0; deg <= 180; deg += 7.5 {
				sin, cos := math.Sincos(deg * math.Pi / 180)
				for _, piece := range c.Catch.Path {
					for i := range 41 {
						q, _ := piece.At(piece.Length * float64(i) / 40)
						for _, v := range []float64{q.V, -q.V} {
							p := r3.Vec{X: d.XTube + q.U*cos, Y: side * (l.Width/2 + d.Lies + q.U*sin), Z: d.Z + v}
							least = min(least, box.Eval(p), tongue.Eval(p))
						}
					}
				}
			}
		}
		if free := least - d.Wire/2; free < 0.05-1e-6 || free > 0.05+1e-3 {
			t.Errorf("%v: the loop comes within %.4f mm of the lock", sets, free)
		}
	}
}
