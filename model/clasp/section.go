package clasp

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Top is the crown: flat, one arc, or a middle arc with flank arcs tangent to it.
type Top struct {
	Radius float64 // of the arc, or of the middle arc, mm; 0 is flat
	Join   float64 // mm from mid-width to where the flank arcs begin; 0 for one arc
	Flank  float64 // radius of the flank arcs, mm
}

// arc is a circle that a part of the section lies on.
type arc struct {
	c r2.Vec
	r float64
}

// arcs are the middle arc and the flank arc on the right, with the top's middle at the height top. Two circles that touch
// in the join have their centres on one line with it.
func (t Top) arcs(top float64) (middle, flank arc) {
	middle = arc{r2.Vec{Y: top - t.Radius}, t.Radius}
	if t.Join == 0 {
		return middle, middle
	}
	k := t.Flank / t.Radius
	rise := math.Sqrt(t.Radius*t.Radius - t.Join*t.Join)
	return middle, arc{r2.Vec{X: t.Join * (1 - k), Y: middle.c.Y + rise*(1-k)}, t.Flank}
}

// at is the arc over y, seen from the middle.
func (t Top) at(y float64) arc {
	middle, flank := t.arcs(0)
	if t.Join > 0 && y > t.Join {
		return flank
	}
	return middle
}

// fall is how far the crown has come down at y from the middle, mm; 0 when flat.
func (t Top) fall(y float64) float64 {
	if t.Radius <= 0 {
		return 0
	}
	a := t.at(y)
	return -(a.c.Y + math.Sqrt(math.Max(0, a.r*a.r-(y-a.c.X)*(y-a.c.X))))
}

// upright is the height that a roof takes which is thick mm square to the crown, at y from the middle.
func (t Top) upright(thick, y float64) float64 {
	if t.Radius <= 0 {
		return thick
	}
	a := t.at(y)
	return thick / math.Sqrt(math.Max(0, 1-(y-a.c.X)*(y-a.c.X)/(a.r*a.r)))
}

// Outward is the direction square to the crown at y from the middle, in (y, z).
func (t Top) Outward(y float64) (dy, dz float64) {
	if t.Radius <= 0 {
		return 0, 1
	}
	a := t.at(math.Abs(y))
	sin := (math.Abs(y) - a.c.X) / a.r
	return math.Copysign(sin, y), math.Sqrt(1 - sin*sin)
}

// rise is how far a domed underside of radius r has come up at y from the middle, mm; 0 when flat.
func rise(r, y float64) float64 { return Top{Radius: r}.fall(y) }
