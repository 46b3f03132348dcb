package chain

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// A flat link's centre line is a racetrack: 2 legs and a circle. Check value: wire 4 mm, inside 4 x 10 mm, 2(10-4) + 8 pi
// = 37.133 mm.
func TestCentreLineLength(t *testing.T) {
	k := Link{Wire: 4, Width: 4, Length: 10}
	line := k.CentreLine(math.Inf(-1), math.Inf(1))
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range line {
		lo, hi = math.Min(lo, p.X), math.Max(hi, p.X)
		if math.Abs(p.Z) > 1e-12 {
			t.Fatalf("a flat link leaves its plane at %v", p)
		}
	}
	if outer := hi - lo + 4; math.Abs(outer-18) > 1e-9 {
		t.Errorf("outside length %.9f, want inside and two wires: 18", outer)
	}
	if got, want := 2*k.legs()+2*math.Pi*k.bow(), 37.133; math.Abs(got-want) > 5e-4 {
		t.Errorf("centre line %.4f mm, want %.4f", got, want)
	}
}

// The width over all of a turned bow: 2 R cos(angle) and a wire.
func TestWidthOfATurnedLink(t *testing.T) {
	k := Link{Wire: 4, Width: 4.63, Length: 10, Angle: 22}
	hi := 0.0
	for _, p := range k.CentreLine(math.Inf(-1), 0) {
		hi = math.Max(hi, math.Abs(p.Y))
	}
	if got, want := 2*hi+4, 2*k.bow()*math.Cos(22*math.Pi/180)+4; math.Abs(got-want) > 1e-6 {
		t.Errorf("the near bow is %.6f mm wide, want %.6f", got, want)
	}
}

// A chain turned by 180 degrees about z is the same chain; mirrored it is another.
func TestLinkTurnsButDoesNotMirror(t *testing.T) {
	k := Link{Wire: 4, Width: 4.6, Length: 10, Angle: 22}
	line := k.CentreLine(math.Inf(-1), math.Inf(1))
	mid := k.legs() / 2
	nearest := func(p r3.Vec) float64 {
		best := math.Inf(1)
		for _, q := range line {
			best = math.Min(best, r3.Norm(r3.Sub(p, q)))
		}
		return best
	}
	turned, mirrored := 0.0, 0.0
	for _, p := range line {
		x := p.X - mid
		turned = math.Max(turned, nearest(r3.Vec{X: mid - x, Y: -p.Y, Z: p.Z}))
		mirrored = math.Max(mirrored, nearest(r3.Vec{X: mid - x, Y: p.Y, Z: p.Z}))
	}
	if turned > 1e-9 || mirrored < 1 {
		t.Errorf("turned off by %g, mirrored by %g mm", turned, mirrored)
	}
}

// A thin straight link hung at a wall's edge: closed forms. The wall fills x < 0, z from -5 to 5; the pivot stands 2 mm
// out, the link is a needle of 0.2 mm wire that reaches 1.5 mm back from the pivot; swung by 180 degrees less the angle at
// which it would meet the wall it must be free.
func TestSwingAgainstClosedForm(t *testing.T) {
	b, err := solid.NewBlock(r3.Vec{X: -10, Y: -20, Z: -5}, r3.Vec{Y: 20, Z: 5}, "wall")
	if err != nil {
		t.Fatal(err)
	}
	wall := Room{Near: b.Dist, True: b.Dist}
	needle := Link{Wire: 0.2, Width: 0.2, Length: 14}
	h := Hung{Link: needle, Pivot: r3.Vec{X: 2}, Near: -1.5}
	// The far end is at 12.5 + 0.1 from the pivot; swung down by 90 degrees + b it reaches back to x = 2 - L sin b, and
	// meets the wall's lower edge (0, -5) where the wire's side does: about atan(2/5) less the wire's half width.
	s := SwingOf(h, wall, solid.Upright)
	edge := 90 + (math.Atan2(2, 5)-math.Asin(0.1/math.Hypot(2, 5)))*180/math.Pi
	legs := 90 + (math.Atan2(2, 5)-math.Asin((0.1+0.1)/math.Hypot(2, 5)))*180/math.Pi
	if s.Down > edge || s.Down < legs-0.6 {
		t.Errorf("swings down %.3f degrees, want between %.3f and %.3f", s.Down, legs-0.6, edge)
	}
	if math.Abs(s.Down-s.Up) > 0.02 {
		t.Errorf("down %.3f and up %.3f degrees should be the same", s.Down, s.Up)
	}
	if math.Abs(s.Rest-0.3) > 0.01 { // 2 - 1.5 - wire
		t.Errorf("stands %.4f mm off at rest, want 0.3", s.Rest)
	}
	deep := h
	deep.Pivot.X = 1.4
	if s := SwingOf(deep, wall, solid.Upright); s.Down != 0 {
		t.Errorf("a link that starts inside the wall swings %.2f degrees", s.Down)
	}
}
