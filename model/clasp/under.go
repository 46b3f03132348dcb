package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// The block's underside is where letters and hallmark stand: hidden in wear, mating with nothing, with solid metal over it. Letters and flat are
// as deep below the finished surface at every stage, so that filing the stock away leaves them.

const (
	markMargin = 0.4 // from letters and flat to edges, and between them, mm; common practice, no source
	overMark   = 1.0 // metal over letters and flat, mm, with which a lock is still tried; common practice, no source
	flatStep   = 0.03
)

// patch is a rectangle of the underside, mm.
type patch struct{ x0, x1, y float64 } // from x0 to x1, and from -y to y

func (p patch) long() float64 { return p.x1 - p.x0 }

// underBlock is what is free of the block's underside: clear of edges, a cradle's groove and the seats of the safety catch.
func (l *Lock) underBlock() patch {
	y := rimOf(l.Width/2, l.Edge, -1, arc{r2.Vec{Y: l.Underside}, l.Underside}, 0).inner.X
	if l.Catch.Sides != "none" {
		y = math.Min(y, l.Width/2-l.Catch.Seat)
	}
	return patch{-l.FaceGap - l.Block + l.groove() + markMargin, -l.FaceGap - markMargin, y - markMargin}
}

// highest is how high the underside comes in a rectangle, and lowest how low, mm.
func (l *Lock) highest(p patch) float64 {
	return math.Max(rise(l.Underside, p.y), math.Max(l.HollowAt(p.x0), l.HollowAt(p.x1)))
}

func (l *Lock) lowest(p patch) float64 { return math.Min(l.HollowAt(p.x0), l.HollowAt(p.x1)) }

// over is the metal from a height in a rectangle to the face, mm.
func (l *Lock) over(p patch, z float64) float64 { return l.Thickness - l.top().fall(p.y) - z }

// marks are what letters and flat take out of the block.
func (l *Lock) marks(s Stock) ([]*solid.Solid, error) {
	flat, err := l.hallmarkCut(s)
	if err != nil {
		return nil, err
	}
	cut, err := l.letters()
	return append(flat, cut...), err
}

// fromBelow is a frame on the underside whose x and y are those of a reader who looks at it from below: x across the chain, z down.
func fromBelow(at r3.Vec) solid.Pose {
	return solid.Pose{O: at, X: r3.Vec{Y: 1}, Y: r3.Vec{X: 1}, Z: r3.Vec{Z: -1}}
}
