package model

import (
	"fmt"
	"slices"
	"strings"

	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/model/layer"
	"claspwright/model/solid"
	"claspwright/model/survey"
)

// Survey is what a finished part really measures.
type Survey struct {
	Part     string
	Thinnest survey.Spot // of the metal
	Gap      survey.Spot // between two faces of the part
	Hollows  []survey.Hollow
	Core     survey.Core
	Thickest survey.Thick
	Block    survey.Section // square to the chain, through the thickest place
	Sharp    []survey.Edge
	Reach    []survey.Reach // of the faces that must be worked
	Layers   *survey.Layers // printed in its pose, or as drawn where there is none; nil unless the part will be printed
	Pose     *PrintPose
}

// sharpest edge that is allowed, degrees of metal. Common practice, no source.
const sharpest = 60

// facing is from how much on two faces count as the two sides of a wall, degrees: what runs out by more is an edge, and is judged as
// one.
const facing = 170

// worked are the surfaces that keep stock, and so must be reached by a file.
func worked(tags []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, t := range tags {
		if clasp.Kind(t) != "" && !seen[t] {
			seen[t] = true
			out = append(out, t)
		}
	}
	return out
}

// survey measures one of the finished parts; layers, which take the longest, only when wanted. Of a leaf that is cast opened, all but its
// thinnest metal is measured on the casting: its slot is what the investment must fill, and what a file then finds.
func (c *Commission) survey(i int, layers bool) {
	s := c.unlettered(c.Lock.Parts()[i])
	b := survey.NewBody(s)
	v := Survey{Part: c.Lock.Parts()[i], Thinnest: c.thinnest(b, i)}
	if v.Part == clasp.PartTongue && c.Lock.Opening > 0 {
		if cast, err := c.Lock.Unlettered().Tongue(clasp.Casting); err == nil { // it fails nowhere that the finished one does not
			s, b = cast, survey.NewBody(cast)
		}
	}
	if v.Part == "tongue" { // its slot is a blade of investment; the box has none so narrow
		v.Gap = b.Narrowest(survey.SpotOptions{Most: 1})
	}
	v.Hollows = b.Hollows(survey.HollowOptions{Step: hollowStep})
	v.Core = b.Cores(survey.CoreOptions{})
	v.Thickest = b.Thickest(survey.ThickOptions{})
	v.Block = survey.SectionOf(s, v.Thickest.At, alongX, survey.SectionOptions{})
	v.Sharp = b.SharpEdges(survey.EdgeOptions{Angle: sharpest})
	v.Reach = b.Reach(worked(s.Tags()), survey.ReachOptions{Step: reachStep})
	if layers {
		o := survey.LayerOptions{Step: layerStep}
		if v.Pose = c.PoseOf(v.Part); v.Pose != nil {
			o.Up, o.Height, o.Angle = v.Pose.Pose.Up, v.Pose.Options.Layer, v.Pose.Options.Angle
		}
		l := survey.LayersOf(s, o)
		v.Layers = &l
	}
	c.Surveys[i] = v
}

// unlettered is the finished part as it is cast and filed, without letters.
func (c *Commission) unlettered(part string) *solid.Solid {
	whole := c.cast(part).Solid
	if part != clasp.PartTongue || c.Lock.Mark.Line == nil {
		return whole
	}
	build := c.Lock.Unlettered().Tongue
	if c.Lock.Rolled() {
		build = c.Lock.Unlettered().Root
	}
	if s, err := build(clasp.Finished); err == nil { // it fails nowhere that the lettered one does not
		return s
	}
	return whole
}

// thinnest looks for the thinnest metal of a part. A dimple for the catch has a limit of its own; where it is the thinnest, what
// it hides is looked for in the box without.
func (c *Commission) thinnest(b *survey.Body, i int) survey.Spot {
	thin := b.Thinnest(survey.SpotOptions{Angle: facing})
	if c.Lock.Parts()[i] != clasp.PartBox || !slices.Contains(thin.Tags[:], clasp.TagSeat) {
		return thin
	}
	bare, err := c.Lock.WithoutSeats()
	if err != nil {
		return thin
	}
	return survey.NewBody(bare).Thinnest(survey.SpotOptions{Angle: facing})
}

// layerStep is how far apart the layers are looked at across, mm.
const layerStep = 0.4

// hollowStep is the grid on which hollows are looked for, and reachStep how far apart places are tried with a file, mm.
const (
	hollowStep = 0.32
	reachStep  = 1.5
)

// surveyed judges what the parts measure.
func (c *Commission) surveyed() []finding.Finding {
	var out []finding.Finding
	slender, _ := c.Job.Number("casting.core")
	for _, v := range c.Surveys {
		out = append(out, c.thin(v)...)
		out = append(out, drains(v))
		out = append(out, finding.AtMost("core of the "+v.Part, "x", v.Core.Slender, slender, v.Core.At, finding.Note,
			fmt.Sprintf("deep for its width, %.1f mm by a bore of %.1f mm: ask the caster whether the core stands", v.Core.Depth, v.Core.Bore)))
		out = append(out, v.edges())
		if v.Layers != nil {
			out = append(out, v.layers())
		}
	}
	return append(out, thick(c.Surveys), reached(c.Surveys))
}

// thinTongue is how thin the leaf's tip may be finished, mm; with its stock it fills. Common practice, no source.
const thinTongue = 0.3

// thinPad is how thin the root pad over a strip may be finished, mm: cast it has the leaf's stock above and below. Common practice, no source.
const thinPad = 0.2

func (c *Commission) thin(v Survey) []finding.Finding {
	if !v.Thinnest.Found {
		return nil
	}
	least := c.leastWall()
	if v.Part == "tongue" {
		least = thinTongue
		if c.Lock.Rolled() {
			least = thinPad
		}
	}
	s := v.Thinnest
	f := finding.AtLeast("thinnest metal of the "+v.Part, "mm", s.Size, least, s.P, finding.Stop,
		fmt.Sprintf("between %s and %s, thinner than the caster fills", s.Tags[0], s.Tags[1]))
	return []finding.Finding{f}
}

func drains(v Survey) finding.Finding {
	f := finding.Finding{Check: "hollows of the " + v.Part, Grade: finding.OK, Unit: "mm", Say: "every hollow drains and fills"}
	for _, h := range v.Hollows {
		if h.Closed {
			f.Grade, f.At, f.Measured = finding.Stop, h.At, 0
			f.Say = fmt.Sprintf("a hollow of %.2f mm3 has no way out near x %.2f, y %.2f, z %.2f: it cannot be cast", h.Volume, h.At.X, h.At.Y, h.At.Z)
			return f
		}
		f.Grade, f.At, f.Measured = finding.Caution, h.ThroatAt, h.Throat
		f.Say = fmt.Sprintf("a hollow of %.2f mm3 opens by %.2f mm only: investment may not fill it", h.Volume, h.Throat)
	}
	return f
}

// plenty is the thickness from which solid metal freezes late and may draw, mm.
const plenty = 2.5

// thick is the thickest place of all parts; each has its own in the report.
func thick(vs []Survey) finding.Finding {
	v := vs[0]
	for _, w := range vs[1:] {
		if w.Thickest.Ball > v.Thickest.Ball {
			v = w
		}
	}
	return finding.AtMost("thickest place", "mm", v.Thickest.Ball, plenty, v.Thickest.At, finding.Note,
		fmt.Sprintf("in the %s, it freezes last: gate it there, or have it hollowed; modulus %.2f mm", v.Part, v.Block.Modulus))
}

func (v Survey) edges() finding.Finding {
	f := finding.Finding{Check: "sharp edges of the " + v.Part, Grade: finding.OK, Unit: "deg", Say: "no edge is sharper than 60 degrees"}
	for _, e := range v.Sharp {
		if f.Grade == finding.OK || e.Least < f.Measured {
			f.Grade, f.Measured, f.At = finding.Note, e.Least, e.At
			f.Say = fmt.Sprintf("%d edges sharper than %d degrees, the sharpest where %s meets %s: break them by hand", len(v.Sharp), sharpest, e.Tags[0], e.Tags[1])
		}
	}
	return f
}

// reached lists the worked faces that a 1.2 mm file does not get to.
func reached(vs []Survey) finding.Finding {
	f := finding.Finding{Check: "reach of a file", Grade: finding.OK, Unit: "%", Say: "a file of 1.2 mm reaches every face that is to be worked"}
	var names []string
	least := 1.0
	for _, v := range vs {
		for _, r := range v.Reach {
			name := strings.TrimSuffix(r.Tag, " round") // the round between two faces goes by the first
			if r.Share < enoughReach && !slices.Contains(names, name) {
				names = append(names, name)
			}
			if r.Share < least {
				least, f.At = r.Share, r.At
			}
		}
	}
	f.Measured = 100 * least
	if len(names) > 0 {
		f.Grade, f.Measured = finding.Note, 0
		f.Say = "a file of 1.2 mm does not get to " + strings.Join(names, "; ") + ": a thinner one, or leave as cast"
	}
	return f
}

// enoughReach is the share of a face from which the rest is a corner that a small file does.
const enoughReach = 0.8

func (v Survey) layers() finding.Finding {
	l := v.Layers
	f := finding.Finding{Check: "printing", Grade: finding.OK, Unit: "mm2", Measured: l.Overhang, At: l.OverhangAt,
		Say: fmt.Sprintf("the %s %s: so much looks down and wants supports; islands: %d", v.Part, v.turned(), l.Islands)}
	if l.Islands > 0 {
		f.Grade = finding.Note
	}
	return f
}

// turned says how the layers of a part were looked at.
func (v Survey) turned() string {
	if v.Pose == nil || v.Pose.Pose == layer.Drawn {
		return "as drawn, face up; the printer turns it as suits the mating faces"
	}
	return "as it is turned in pattern.3mf"
}
