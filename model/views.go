package model

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
)

// CutTag is the tag of the faces that a view's cut has laid open.
const CutTag = "cut"

// CutView is the closed finished lock with a quarter taken away on the side of the viewer, through the middle of one
// shoulder, so that lip, shoulder, leaf and fold are laid open.
func CutView(c *Commission) ([]Part, error) {
	l := c.Lock
	y := -(l.NotchWidth/2 + l.Shoulder()/2)
	return c.opened(r3.Vec{X: -l.FaceGap - 0.35*l.Block, Y: -l.Width, Z: -1}, r3.Vec{X: l.BoxLength + 5, Y: y, Z: 3 * l.Thickness})
}

// Section is the closed finished lock cut along the chain at y; what is nearer to the viewer (y below) is gone.
func Section(c *Commission, y float64) ([]Part, error) {
	l := c.Lock
	return c.opened(r3.Vec{X: -l.Block - 5, Y: -l.Width, Z: -1}, r3.Vec{X: l.BoxLength + 5, Y: y, Z: 3 * l.Thickness})
}

// SectionView is the section at mid-width.
func SectionView(c *Commission) ([]Part, error) { return Section(c, 0) }

// ShoulderView is the section through the middle of a shoulder, where it stands behind the lip.
func ShoulderView(c *Commission) ([]Part, error) {
	return Section(c, -(c.Lock.NotchWidth/2 + c.Lock.Shoulder()/2))
}

// opened is the finished parts less a block.
func (c *Commission) opened(lo, hi r3.Vec) ([]Part, error) {
	b, err := solid.NewBlock(lo, hi, CutTag)
	if err != nil {
		return nil, err
	}
	tol, _ := c.Job.Number("mesh.tolerance")
	var out []Part
	for _, name := range partNames {
		s := solid.Cut(c.part(name).Solid, solid.New(b, solid.Upright))
		m, err := contour.Of(s, tol)
		if err != nil {
			return nil, fmt.Errorf("%s, cut for the picture: %w", name, err)
		}
		out = append(out, Part{Name: name, Stage: clasp.Finished, Solid: s, Mesh: m})
	}
	return out, nil
}
