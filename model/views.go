package model

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
)

// CutTag is the tag of the faces that a view's cut has laid open.
const CutTag = "cut"

// Closed is the finished lock, closed, box first.
func Closed(c *Commission) []Part {
	var out []Part
	for _, name := range c.Lock.Parts() {
		out = append(out, *c.part(name))
	}
	return out
}

// Shown are the finished parts as pictures tell them apart: box, tongue, and of a tongue with a leaf of strip the cast root and the strip.
func Shown(c *Commission) []Part {
	out := Closed(c)
	if c.Strip == nil {
		return out
	}
	for i, p := range out {
		out[i] = *c.cast(p.Name)
	}
	return append(out, c.Strip.Leaf)
}

// Apart is the finished lock with the tongue drawn out along the chain, until its fold stands clear of the box by a
// share of the leaf's length; loop and stud of the safety catch are shown where they belong. The leaf is as it is in the closed lock: there it bears on nothing, so it does not move.
func Apart(c *Commission) ([]Part, error) {
	const clear = 0.35
	box, _ := contour.Bounds(c.part("box").Mesh)
	_, tongue := contour.Bounds(c.part("tongue").Mesh)
	by := r3.Vec{X: box.X - tongue.X - clear*c.Lock.Length}
	catch, err := c.CatchParts()
	if err != nil {
		return nil, err
	}
	out := append(Shown(c), catch...)
	for i, p := range out {
		if p.Name != clasp.PartBox && p.Name != clasp.PartFloor && p.Name != StudPart {
			m := *p.Mesh
			m.V = slices.Clone(m.V)
			for k := range m.V {
				m.V[k] = r3.Add(m.V[k], by)
			}
			out[i].Mesh = &m
		}
	}
	return out, nil
}

// CutView is the closed finished lock with a quarter taken away on the side of the viewer, through the middle of one
// shoulder, so that lip, shoulder, leaf and fold are laid open.
func CutView(c *Commission) ([]Part, error) {
	l := c.Lock
	lo, hi := c.around()
	if l.Slitted() { // a quarter above: one flank is laid open
		lo.X, lo.Z, hi.Y = -l.FaceGap-0.35*l.Block, l.PlateCut(), 0
		return c.opened(lo, hi)
	}
	lo.X, hi.Y = -l.FaceGap-0.35*l.Block, -l.Bearing()
	return c.opened(lo, hi)
}

// Section is the closed finished lock cut along the chain at y; what is nearer to the viewer (y below) is gone.
func Section(c *Commission, y float64) ([]Part, error) {
	lo, hi := c.around()
	hi.Y = y
	return c.opened(lo, hi)
}

// SectionView is the section through the middle of the leaf: at mid-width, or of two leaves through the nearer one.
func SectionView(c *Commission) ([]Part, error) { return Section(c, -c.Lock.YLeaf()) }

// ShoulderView is the section through the middle of a shoulder, where it stands behind the lip; of a slit lock that through the middle of its plate, from
// which what is above is gone.
func ShoulderView(c *Commission) ([]Part, error) {
	if l := c.Lock; l.Slitted() {
		lo, hi := c.around()
		lo.Z = l.PlateCut()
		return c.opened(lo, hi)
	}
	return Section(c, -c.Lock.Bearing())
}

// Across is the closed finished lock cut across the chain at x; what lies towards the tongue's end is gone.
func Across(c *Commission, x float64) ([]Part, error) {
	lo, hi := c.around()
	hi.X = x
	return c.opened(lo, hi)
}

// around is a block that holds the finished lock with a millimetre to spare.
func (c *Commission) around() (lo, hi r3.Vec) {
	lo, hi = contour.Bounds(c.part("box").Mesh)
	a, b := contour.Bounds(c.part("tongue").Mesh)
	lo = r3.Vec{X: min(lo.X, a.X) - 1, Y: min(lo.Y, a.Y) - 1, Z: min(lo.Z, a.Z) - 1}
	hi = r3.Vec{X: max(hi.X, b.X) + 1, Y: max(hi.Y, b.Y) + 1, Z: max(hi.Z, b.Z) + 1}
	return lo, hi
}

// opened is the finished parts less a block.
func (c *Commission) opened(lo, hi r3.Vec) ([]Part, error) {
	b, err := solid.NewBlock(lo, hi, CutTag)
	if err != nil {
		return nil, err
	}
	tol, _ := c.Job.Number("mesh.tolerance")
	var out []Part
	for _, p := range Shown(c) {
		if a, e := contour.Bounds(p.Mesh); a.X > lo.X && e.X < hi.X && a.Y > lo.Y && e.Y < hi.Y && a.Z > lo.Z && e.Z < hi.Z {
			continue // all of it is gone
		}
		s := solid.Cut(p.Solid, solid.New(b, solid.Upright))
		m, err := contour.Of(s, tol)
		if err != nil {
			return nil, fmt.Errorf("%s, cut for the picture: %w", p.Name, err)
		}
		out = append(out, Part{Name: p.Name, Stage: clasp.Finished, Solid: s, Mesh: m})
	}
	return out, nil
}
