package spring

import "math"

// Metal is what the leaf is made of.
type Metal struct {
	E       float64 // Young's modulus, MPa
	Poisson float64
	shear   float64 // modulus, MPa; 0 where E and Poisson give it
}

// Piece is one stretch of a frame: a strip of rectangular section whose middle line is straight or an arc.
type Piece struct {
	Name   string
	Length float64 // of the middle line, mm
	Curve  float64 // of the middle line, 1/mm, positive when it turns left; 0 straight
	T0, T1 float64 // thickness at start and end, mm; linear between
	Width  float64 // mm
	Step   float64 // where the middle line of this piece starts left of the end of the last, mm
	Kink   float64 // by how much it starts turned left of it, rad
	Parts  int     // segments that the piece is cut into; 0 chooses
}

// segment is a part of a piece short enough for its moment to be taken as its mean.
type segment struct {
	s, h       float64 // where it starts along the relaxed middle line, and its length
	k          float64 // relaxed curvature
	t0, t1, b  float64
	step, kink float64
	piece      int
	c          compliance
}

func (g *segment) t(u float64) float64 { return g.t0 + u*(g.t1-g.t0) }

// Frame is a chain of pieces held at its start: block, neck, root pad, leaf and fold of a tongue in one. Being open it is
// statically determinate; supports and contacts are unknown forces on it (Holds).
type Frame struct {
	metal  Metal
	start  point
	angle  float64
	segs   []segment
	pieces []Piece
	across *across
}

// longest segment of a straight piece, mm, when the piece does not say; a fold is cut into arcs of 7.5 degrees.
const longest = 0.35

// NewFrame holds the pieces at (x, z), the first of them starting at the angle, rad from +x.
func NewFrame(m Metal, x, z, angle float64, pieces ...Piece) *Frame {
	f := &Frame{metal: m, start: point{X: x, Y: z}, angle: angle, pieces: pieces}
	s := 0.0
	for i, p := range pieces {
		n := p.Parts
		if n == 0 {
			n = max(2, int(math.Ceil(p.Length/longest)), int(math.Ceil(math.Abs(p.Curve)*p.Length*24/math.Pi-1e-9)))
		}
		h := p.Length / float64(n)
		for j := range n {
			g := segment{s: s, h: h, k: p.Curve, b: p.Width, piece: i}
			g.t0 = p.T0 + (p.T1-p.T0)*float64(j)/float64(n)
			g.t1 = p.T0 + (p.T1-p.T0)*float64(j+1)/float64(n)
			if j == 0 {
				g.step, g.kink = p.Step, p.Kink
			}
			g.c = complianceOf(m, &g)
			f.segs = append(f.segs, g)
			s += h
		}
	}
	f.across = newAcross(f)
	return f
}

// Length is that of the relaxed middle line, mm.
func (f *Frame) Length() float64 { g := f.segs[len(f.segs)-1]; return g.s + g.h }
