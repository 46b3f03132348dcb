// Package catch is the wire of a safety catch in numbers: the path of the figure-eight loop, the length to cut, and what it
// takes to snap it over its ball. Lengths are mm, forces N, stresses MPa.
package catch

import "math"

// Point is a place in the loop's plane: U from the tube's axis towards the ball, V along the tube, from its middle.
type Point struct{ U, V float64 }

// Piece is a straight or an arc of the wire's middle line.
type Piece struct {
	From    Point
	Heading float64 // at its start, radians from +U
	Length  float64
	Radius  float64 // of an arc, 0 for a straight
	Turn    float64 // of an arc, +1 to the left, -1 to the right
}

// At is the place and the heading s mm along the piece.
func (p Piece) At(s float64) (Point, float64) {
	if p.Radius == 0 {
		return Point{p.From.U + s*math.Cos(p.Heading), p.From.V + s*math.Sin(p.Heading)}, p.Heading
	}
	c, h := p.Centre(), p.Heading+p.Turn*s/p.Radius
	return Point{c.U + p.Turn*p.Radius*math.Sin(h), c.V - p.Turn*p.Radius*math.Cos(h)}, h
}

// Centre is the centre of an arc.
func (p Piece) Centre() Point {
	return Point{p.From.U - p.Turn*p.Radius*math.Sin(p.Heading), p.From.V + p.Turn*p.Radius*math.Cos(p.Heading)}
}

// Path is pieces, each of which begins where the one before ends, in its direction.
type Path []Piece

// Length is that of the whole path.
func (p Path) Length() (sum float64) {
	for _, s := range p {
		sum += s.Length
	}
	return sum
}

// End is where the path ends, and its heading there.
func (p Path) End() (Point, float64) {
	last := p[len(p)-1]
	return last.At(last.Length)
}

// straight adds a straight.
func (p Path) straight(length float64) Path {
	at, heading := p.end()
	return append(p, Piece{From: at, Heading: heading, Length: length})
}

// arc adds an arc that turns to a heading: to the left when that is greater.
func (p Path) arc(radius, to float64) Path {
	at, heading := p.end()
	return append(p, Piece{From: at, Heading: heading, Length: radius * math.Abs(to-heading), Radius: radius, Turn: math.Copysign(1, to-heading)})
}

// end is End, and for a path of no pieces the middle of the tube, looking along it.
func (p Path) end() (Point, float64) {
	if len(p) == 0 {
		return Point{}, math.Pi / 2
	}
	return p.End()
}
