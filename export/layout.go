package export

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
)

const (
	plateGap  = 3.0   // between parts on a plate, mm; common practice, no source: room for supports and a scraper
	plateWide = 110.0 // a row is broken when it would be wider, mm; common practice, no source: the width of a small resin printer's plate
)

// rowsOf lays parts of these sizes out in rows, in the order given, and says by how much each is moved so that all of it
// lies at x, y and z of zero or more, as the build volume of a 3MF file asks for, gap apart. Moves are whole thousandths
// of a millimetre, since go3mf writes no finer ones; they are rounded up, so no gap is less than stated.
func rowsOf(bounds []bounds) []r3.Vec {
	out := make([]r3.Vec, len(bounds))
	x, y, deep := 0.0, 0.0, 0.0
	for i, b := range bounds {
		size := r3.Sub(b.hi, b.lo)
		if x > 0 && x+size.X > plateWide {
			x, y, deep = 0, y+deep+plateGap, 0
		}
		out[i] = r3.Vec{X: thousandth(x - b.lo.X), Y: thousandth(y - b.lo.Y), Z: thousandth(-b.lo.Z)}
		x = b.hi.X + out[i].X + plateGap
		deep = math.Max(deep, b.hi.Y+out[i].Y-y)
	}
	return out
}

// bounds is the box that a part fills, mm.
type bounds struct{ lo, hi r3.Vec }

func boundsOf(m *contour.Mesh) bounds {
	lo, hi := contour.Bounds(m)
	return bounds{lo, hi}
}

func thousandth(mm float64) float64 { return math.Ceil(mm*1000-1e-6) / 1000 }
