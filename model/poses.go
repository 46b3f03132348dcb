package model

import (
	"context"
	"slices"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/layer"
)

// PrintPose is how a part's pattern stands on the printer's plate.
type PrintPose struct {
	Part    string
	Pose    layer.Pose
	Options layer.Options
	Terms   layer.Terms // in this pose
	Drawn   layer.Terms // as drawn, face up
}

// posed finds the pose of every pattern.
func (c *Commission) posed(ctx context.Context) error {
	var patterns []*Part
	for i := range c.Parts {
		if c.Parts[i].Stage == clasp.Pattern {
			patterns = append(patterns, &c.Parts[i])
		}
	}
	thick, _ := c.Job.Number("print.layer")
	angle, _ := c.Job.Number("print.angle")
	word, _ := c.Job.Text("print.pose")
	o := layer.Options{Layer: thick, Angle: angle}
	c.Poses = make([]PrintPose, len(patterns))
	return each(ctx, len(patterns), func(i int) error {
		b := printBody(patterns[i].Mesh)
		p := PrintPose{Part: patterns[i].Name, Pose: layer.Drawn, Options: o, Drawn: b.Measure(layer.Drawn.Up, o)}
		if p.Terms = p.Drawn; word == "best" {
			p.Pose, p.Terms = b.Find(o)
		}
		c.Poses[i] = p
		return nil
	})
}

// printBody is a mesh with its mating faces marked.
func printBody(m *contour.Mesh) *layer.Body {
	tags := make([]bool, len(m.Tags))
	for i, t := range m.Tags {
		tags[i] = clasp.Mating(t)
	}
	mating := make([]bool, len(m.T))
	for i, f := range m.Face {
		mating[i] = tags[f]
	}
	return layer.New(m.V, m.T, mating)
}

// PoseOf is how the pattern of a part stands on the plate, nil where it was not looked for.
func (c *Commission) PoseOf(part string) *PrintPose {
	if i := slices.IndexFunc(c.Poses, func(p PrintPose) bool { return p.Part == part }); i >= 0 {
		return &c.Poses[i]
	}
	return nil
}
