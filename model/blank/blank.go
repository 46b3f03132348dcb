// Package blank is the flat piece of sheet that a folded leaf is bent from: how long it is, where its fold lines lie, and where each of
// its points comes to lie when it is folded. It knows numbers only.
//
// Frame: u along the blank from its root end, mm; n through the sheet from the face that lies outside the first fold, 0 to the thickness.
package blank

import "math"

// Bend is a place where the strip is bent.
type Bend struct {
	Angle  float64 // rad, positive when it turns left, towards n = thickness
	Radius float64 // of the inner face, mm
}

// Leg is a straight length and the bend at its end; the last leg has none.
type Leg struct {
	Length float64 // mm
	Bend   Bend
}

// Strip is a strip of one thickness bent in a plane.
type Strip struct {
	Thickness float64
	Share     float64 // where the neutral fibre lies: its distance from the inner face of a bend, as a part of the thickness
	X, Z      float64 // where the face n = 0 begins when folded; it then runs along +x
	Legs      []Leg
}

// Allowance is the length that a bend takes of the blank, mm: that of the neutral fibre, angle (r + K t).
func (s Strip) Allowance(b Bend) float64 {
	return math.Abs(b.Angle) * (b.Radius + s.Share*s.Thickness)
}

// Flat is the length of the blank, mm.
func (s Strip) Flat() float64 {
	sum := 0.0
	for _, g := range s.Legs {
		sum += g.Length + s.Allowance(g.Bend)
	}
	return sum
}

// Line is a bend in the flat: from where to where it takes the blank, mm from the root end.
type Line struct {
	From, To float64
	Bend     Bend
}

// Middle is where the fold line is drawn.
func (l Line) Middle() float64 { return (l.From + l.To) / 2 }

// Lines lists the bends in the flat.
func (s Strip) Lines() []Line {
	var out []Line
	u := 0.0
	for _, g := range s.Legs {
		u += g.Length
		if g.Bend.Angle != 0 {
			out = append(out, Line{u, u + s.Allowance(g.Bend), g.Bend})
		}
		u += s.Allowance(g.Bend)
	}
	return out
}

// Fold is where the point (u, n) of the blank comes to lie, each bend turning its stretch about one axis, with the neutral fibre as long as
// it was. Beyond the ends the strip goes on straight.
func (s Strip) Fold(u, n float64) (x, z float64) {
	px, pz, heading := s.X, s.Z, 0.0
	for i, g := range s.Legs {
		if u <= g.Length || i == len(s.Legs)-1 {
			break
		}
		px, pz = px+g.Length*math.Cos(heading), pz+g.Length*math.Sin(heading)
		u -= g.Length
		share := 1.0
		if a := s.Allowance(g.Bend); u < a {
			share = u / a
		}
		px, pz, heading = s.round(g.Bend, share, px, pz, heading)
		if share < 1 {
			u = 0
			break
		}
		u -= s.Allowance(g.Bend)
	}
	sin, cos := math.Sincos(heading)
	return px + u*cos - n*sin, pz + u*sin + n*cos
}

// round takes the face n = 0 round a share of a bend. It lies the thickness further out than the inner face when the strip turns left.
func (s Strip) round(b Bend, share, x, z, heading float64) (float64, float64, float64) {
	r := b.Radius + s.Thickness // from the axis, which lies left of it
	if b.Angle < 0 {
		r = -b.Radius
	}
	sin, cos := math.Sincos(heading)
	cx, cz := x-r*sin, z+r*cos
	heading += share * b.Angle
	sin, cos = math.Sincos(heading)
	return cx + r*sin, cz - r*cos, heading
}

// Strain is by how much the outer fibre of a bend is drawn out: t/(2r + t), the neutral fibre at mid-thickness (geometry).
func Strain(thickness, radius float64) float64 { return thickness / (2*radius + thickness) }

// Temper is how soft the sheet is where it is bent.
type Temper int

// The tempers that the rule of the handbook knows.
const (
	Soft     Temper = iota // soft brass and copper
	HalfHard               // half-hard copper and brass, soft steel
	Hard                   // bronze, hard copper, cold-rolled and spring steel
)

// Neutral is the share of the thickness at which the neutral fibre lies, from the inner face: a right-angled bend of inner radius R takes
// 0.55 T + 1.57 R of soft, 0.64 T + 1.57 R of half-hard, 0.71 T + 1.57 R of hard sheet (Machinery's Handbook, lengths of straight bends
// in sheet metal, from memory). Carat golds are not in it; they are taken by their temper.
func Neutral(t Temper) float64 { return [...]float64{0.55, 0.64, 0.71}[t] / (math.Pi / 2) }

// NeutralDIN is the same by DIN 6935 for steel sheet, which goes by radius over thickness alone (from memory): the fibre lies at k t/2 with
// k = 0.65 + 0.5 lg(r/t), at most 1. For r/t under 0.05 k would be nought; it is kept there.
func NeutralDIN(radius, thickness float64) float64 {
	return math.Max(0, math.Min(1, 0.65+0.5*math.Log10(math.Max(radius/thickness, 0.05)))) / 2
}
