package model

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/model/solid"
)

// What a stamp's blow and what letters ask of the block, mm. Common practice, no source.
const (
	behindMark   = 1.5  // metal behind the hallmark
	besideMark   = 1.0  // from the flat to where the leaf begins to bend
	levelMark    = 0.01 // by which the flat may be out of level: it is cut so
	behindLetter = 0.8  // metal over letters
)

// lettered says what is lettered where, and how thin its strokes are.
func (c *Commission) lettered() []finding.Finding {
	m := c.Lock.Mark
	if m.Line == nil {
		return nil
	}
	x0, x1, y := c.Lock.LetterRoom()
	over, _ := beneath(c.part(clasp.PartTongue).Solid, x0, x1, y)
	at := r3.Vec{X: m.X, Z: m.Z}
	return append(remark("letters", finding.Note, fmt.Sprintf("%s; read from below, their tops towards the box; they are no hallmark: what may be stamped as a fineness, and by whom, %s", Lettering(c.Lock), office)),
		finding.AtLeast("stroke of the letters", "mm", m.Thin, m.Stroke, at, finding.Caution, m.What+" is thinner than printer and caster keep; raise mark.height"),
		finding.AtLeast("metal over the letters", "mm", over, behindLetter, at, finding.Caution, "too little metal over the letters; a smaller mark.depth"))
}

// Lettering tells what the letters say and where they stand; "" without.
func Lettering(l *clasp.Lock) string {
	if l == nil {
		return ""
	}
	m := l.Mark
	switch m.Make {
	case "engraved":
		return fmt.Sprintf("\"%s\" %.2f mm high, engraved %.2f mm deep in the underside of the block", m.Text, m.Height, m.Depth)
	case "raised":
		return fmt.Sprintf("\"%s\" %.2f mm high, raised in a field sunk %.2f mm into the underside of the block", m.Text, m.Height, m.Depth)
	}
	return ""
}

// Hallmarking tells where the flat for the hallmark is; "" without.
func Hallmarking(l *clasp.Lock) string {
	if l == nil || l.Hallmark.Place != "block" {
		return ""
	}
	h := l.Hallmark
	s := fmt.Sprintf("flat of %.1f x %.1f mm on the underside of the block, at mid-width, its middle %.1f mm from the chain end", h.Length, h.Width, h.X+l.FaceGap+l.Block)
	if h.Cut {
		s += ", cut level"
	}
	return s
}

// hallmarked says where the flat for the hallmark is and what takes the stamp's blow.
func (c *Commission) hallmarked() []finding.Finding {
	l := c.Lock
	h := l.Hallmark
	if h.Place == "none" {
		return nil
	}
	where := Hallmarking(l)
	metal, level := beneath(c.part(clasp.PartTongue).Solid, h.X-h.Width/2, h.X+h.Width/2, h.Length/2)
	at := r3.Vec{X: h.X, Z: h.Z}
	clear := l.LeafFrom() - h.X - h.Width/2
	return []finding.Finding{
		finding.AtMost("flat for the hallmark, out of level", "mm", level, levelMark, at, finding.Stop, where+": a stamp on a face that is not level marks half of itself"),
		finding.AtLeast("metal behind the hallmark", "mm", metal, behindMark, at, finding.Caution, where+": the stamp's blow wants solid metal; lay the block on its face on a flat of lead or wood, or have it laser-marked"),
		finding.AtLeast("hallmark to the leaf", "mm", clear, besideMark, at, finding.Caution, where+": the blow must not reach leaf and lip; a smaller hallmark.width, or a longer lock.block"),
	}
}

// beneath looks up at a rectangle of the underside, at 15 x 9 places inside its edges: the least metal over it, and how far the surface
// there is out of level, mm.
func beneath(s *solid.Solid, x0, x1, y float64) (metal, level float64) {
	const nx, ny, under, in = 9, 15, 1.0, 1e-4
	metal = math.Inf(1)
	low, high := math.Inf(1), math.Inf(-1)
	for i := range nx {
		for k := range ny {
			p := r3.Vec{X: x0 + (x1-x0)*(float64(i)+0.5)/nx, Y: y * ((2*float64(k)+1)/ny - 1), Z: -under}
			up := s.Trace(p, upZ, reach)
			low, high = math.Min(low, up), math.Max(high, up)
			metal = math.Min(metal, in+s.Trace(r3.Add(p, r3.Scale(up+in, upZ)), upZ, reach))
		}
	}
	return metal, high - low
}
