package clasp

import (
	"fmt"
	"math"
	"testing"
)

// Closing an opened leaf neither adds nor takes metal: without stock the casting has the finished volume, as the fold's arc keeps the
// length of its middle line (Pappus: area of a bent strip = thickness x length of the middle line).
func TestOpenedLeafKeepsItsMetal(t *testing.T) {
	bare := []string{}
	for _, s := range []string{"face", "pad", "meeting", "leaf", "shoulder", "lip", "chamber", "tab", "window"} {
		bare = append(bare, "stock."+s+"=0")
	}
	for _, size := range [][2]float64{{10, 4.5}, {14, 6.3}, {20, 9}} {
		for _, angle := range []float64{3, 8, 20} {
			sets := append([]string{fmt.Sprintf("chain.width=%g", size[0]), fmt.Sprintf("chain.thickness=%g", size[1]), "tongue.make=opened", fmt.Sprintf("tongue.opening=%g", angle)}, bare...)
			l := derive(t, "gold", sets...)
			s, err := l.Tongue(Finished)
			finished := volume(t, s, err)
			s, err = l.Tongue(Casting)
			near(t, fmt.Sprintf("%g mm, %g degrees", size[0], angle), volume(t, s, err), finished)
		}
	}
}

// On the casting's solid: the upper leaf behind the knee rises by the opening, the slot at the fold is twice the cast radius, the tip
// stands where bending the fold's middle line by the opening takes it.
func TestOpenedLeafOnTheSolid(t *testing.T) {
	for _, angle := range []float64{3, 8, 20} {
		l := derive(t, "gold", "chain.width=14", "chain.thickness=6.3", "tongue.make=opened", fmt.Sprintf("tongue.opening=%g", angle), "stock.leaf=0", "stock.window=0", "stock.shoulder=0")
		s, err := l.Tongue(Casting)
		if err != nil {
			t.Fatal(err)
		}
		y := l.NotchWidth/2 + l.Shoulder()/2
		top := func(x float64) float64 { return 30 - s.Trace(at3(x, y, 30), at3(0, 0, -1), 60) }
		x0, x1 := l.XFold-1, l.XFold-2
		if got := math.Atan2(top(x1)-top(x0), x0-x1) * 180 / math.Pi; math.Abs(got-angle) > 1e-5 {
			t.Errorf("the upper leaf stands open by %.6f degrees, want %g", got, angle)
		}
		// The middle line from the fold's start: an arc of its finished length bent less by the opening, then the finished leaf.
		r := l.Fold + l.Leaf/2
		a := angle * math.Pi / 180
		rc := math.Pi * r / (math.Pi - a)
		up := l.ZLeaf + l.Leaf/2
		x, z := l.XFold+rc*math.Sin(math.Pi-a), up+rc*(1-math.Cos(math.Pi-a))
		step := func(dx, dz float64) { // a step of the finished leaf (towards the tip, up), turned by the opening
			x, z = x-dx*math.Cos(a)+dz*math.Sin(a), z+dx*math.Sin(a)+dz*math.Cos(a)
		}
		step(l.XFold-l.XTip, l.ZTip-l.Taper*l.Leaf-(l.ZUpper-l.Leaf/2)) // the lower corner of the tip
		if d := s.Eval(at3(x, y, z)); math.Abs(d) > 1e-9 {
			t.Errorf("%g degrees: the tip's lower corner is %.9f mm off", angle, d)
		}
		mid := at3(l.XFold, 0, l.ZLeaf+l.Leaf+l.CastFold())
		if d := s.Trace(mid, at3(0, 0, -1), 9); math.Abs(d-(rc-l.Leaf/2)) > 1e-6 {
			t.Errorf("%g degrees: the slot's half height at the fold is %.6f mm, want %.6f", angle, d, rc-l.Leaf/2)
		}
		if got, want := l.ClosingStrain(), l.Leaf/2*(1/r-1/rc); math.Abs(got-want) > 1e-12 {
			t.Errorf("%g degrees: strain %.9f, want %.9f", angle, got, want)
		}
	}
}
