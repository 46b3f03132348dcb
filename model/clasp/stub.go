package clasp

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

const (
	stubRoot = 0.2 // how far a stub reaches into the end, mm: bodies that meet overlap, and the end wall is at least three times that
	stubRim  = 0.1 // of the end's face round a stub, mm, so that no edge of it runs out
)

// Stub is the gate as part of a casting: a round bar of a diameter and a length, mm, square out of the end of box or block, which is
// filed and soldered to the chain. It fails with a *Refusal where the end is no flat pad or too low for it.
func (l *Lock) Stub(box bool, diameter, length float64) (*solid.Solid, error) {
	if l.End != "pad" {
		return nil, &Refusal{Key: "casting.stub", Say: "ends needs a flat end, which lock.end = " + l.End + " does not leave",
			Nearest: `none, so that the caster sets the gates, or lock.end = "pad"`}
	}
	z, most, err := l.StubRoom()
	if err != nil {
		return nil, err
	}
	if diameter > most {
		return nil, &Refusal{Key: "casting.gate", Say: fmt.Sprintf("a gate of %.4g mm does not fit the end of the lock as a stub, which takes %.2f mm", diameter, Down(most)),
			Nearest: fmt.Sprintf(`at most %.2f mm, or casting.stub = "none"`, Down(most))}
	}
	at := l.EndFrame(box)
	pose := solid.Pose{O: at.World(r3.Vec{Z: z - l.Thickness/2}), X: at.Y, Y: at.Z, Z: at.X}
	return solid.New(solid.NewRod(diameter/2, l.Stock.Pad-stubRoot, l.Stock.Pad+length, tagStub, tagStub), pose), nil
}

// StubRoom is how high over the underside the thickest stub stands at mid-width, and its diameter, mm: the circle stays within the finished
// profile.
func (l *Lock) StubRoom() (z, diameter float64, err error) {
	ch, err := l.profile(0)
	if err != nil {
		return 0, 0, err
	}
	const steps = 64
	best := 0.0
	for k := 1; k < steps; k++ {
		p := r2.Vec{Y: l.Thickness * float64(k) / steps}
		if q, _ := ch.Closest(p); ch.Inside(p) && r2.Norm(r2.Sub(p, q)) > best+1e-9 {
			z, best = p.Y, r2.Norm(r2.Sub(p, q))
		}
	}
	return z, math.Max(0, 2*(best-stubRim)), nil
}
