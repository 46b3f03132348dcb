package model

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/catch"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
)

// The parts of a safety catch that pictures show; the bench makes them, they are in no file for the printer.
const (
	LoopPart = "loop" // wire, bead and tube, on the block
	StudPart = "stud" // ball and neck, on the box
)

// CatchParts are loop and stud of every side, the loop closed over its ball; nothing without a safety catch. Their meshes are
// for pictures, chords within a hundredth of a millimetre.
func (c *Commission) CatchParts() ([]Part, error) {
	if c.Catch == nil {
		return nil, nil
	}
	var out []Part
	for _, side := range c.Lock.CatchSides() {
		loop, err := c.loopMesh(side)
		if err != nil {
			return nil, err
		}
		stud, err := contour.Of(c.Lock.Stud(side), pictured)
		if err != nil {
			return nil, err
		}
		out = append(out, Part{Name: LoopPart, Stage: clasp.Finished, Mesh: loop}, Part{Name: StudPart, Stage: clasp.Finished, Mesh: stud})
	}
	return out, nil
}

// pictured is the tolerance of meshes that are only looked at, mm.
const pictured = 0.01

// loopMesh is wire, bead and tube of one side in one mesh.
func (c *Commission) loopMesh(side float64) (*contour.Mesh, error) {
	d := c.Lock.Catch
	path, err := c.Catch.Loop.Path()
	if err != nil {
		return nil, err
	}
	at := func(p catch.Point, v float64) r3.Vec {
		return r3.Vec{X: d.XTube + p.U, Y: side * (c.Lock.Width/2 + d.Lies), Z: d.Z + v*p.V}
	}
	half := middleLine(path)
	var line []r3.Vec
	for i := range half {
		line = append(line, at(half[i], 1))
	}
	for i := len(half) - 2; i >= 0; i-- {
		line = append(line, at(half[i], -1))
	}
	far := line[len(half)-1]
	m := tube(line, r3.Vec{Y: 1}, d.Wire/2)
	for _, s := range []*solid.Solid{c.Lock.HingeTube(side), clasp.Ball(r3.Add(far, r3.Vec{X: c.Catch.Bead() / 4}), c.Catch.Bead(), "bead")} {
		part, err := contour.Of(s, pictured)
		if err != nil {
			return nil, err
		}
		m = joined(m, part)
	}
	return m, nil
}

// middleLine samples half a loop, from the gap in the tube to the end of the eye, arcs by steps of 6 degrees at most.
func middleLine(path catch.Path) []catch.Point {
	var out []catch.Point
	for i, p := range path {
		n, from := 1, 0.0
		if p.Radius > 0 {
			n = int(math.Ceil(p.Length / p.Radius / (math.Pi / 30)))
		}
		if i == 0 {
			from = catch.Ends / 2
			at, _ := p.At(from)
			out = append(out, at)
		}
		for k := 1; k <= n; k++ {
			at, _ := p.At(from + (p.Length-from)*float64(k)/float64(n))
			out = append(out, at)
		}
	}
	return out
}

// tube sweeps a circle along a line that lies in the plane square to the unit vector up; its ends are flat.
func tube(line []r3.Vec, up r3.Vec, radius float64) *contour.Mesh {
	const sides = 20
	m := &contour.Mesh{Tags: []string{"wire"}}
	for i, p := range line {
		a, b := line[max(i-1, 0)], line[min(i+1, len(line)-1)]
		out := r3.Cross(r3.Unit(r3.Sub(b, a)), up)
		for k := range sides {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / sides)
			m.V = append(m.V, r3.Add(p, r3.Add(r3.Scale(radius*cos, up), r3.Scale(radius*sin, out))))
		}
	}
	add := func(a, b, c int32) {
		m.T, m.Face, m.On = append(m.T, [3]int32{a, b, c}), append(m.Face, 0), append(m.On, 0)
	}
	for i := range int32(len(line) - 1) {
		for k := range int32(sides) {
			a, b := i*sides+k, i*sides+(k+1)%sides
			add(a, b, a+sides)
			add(b, b+sides, a+sides)
		}
	}
	last := int32(len(line)-1) * sides
	for k := int32(1); k < sides-1; k++ {
		add(0, k+1, k)
		add(last, last+k, last+k+1)
	}
	return m
}

// joined is two meshes side by side in one.
func joined(a, b *contour.Mesh) *contour.Mesh {
	n, tags := int32(len(a.V)), int32(len(a.Tags))
	m := &contour.Mesh{V: append(append([]r3.Vec(nil), a.V...), b.V...), Tags: append(append([]string(nil), a.Tags...), b.Tags...)}
	m.T, m.Face, m.On = append(m.T, a.T...), append(m.Face, a.Face...), append(m.On, a.On...)
	for i, t := range b.T {
		m.T = append(m.T, [3]int32{t[0] + n, t[1] + n, t[2] + n})
		m.Face, m.On = append(m.Face, b.Face[i]+tags), append(m.On, b.On[i])
	}
	return m
}
