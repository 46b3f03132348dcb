package casting

import (
	"errors"
	"math"
	"testing"
)

// Closed forms of materials handbooks and geometry: block 1/(2(1/a + 1/b + 1/c)), ball D/6, cylinder of H = D: D/6, long
// bar d/4, square bar a/4, plate t/2, each from its three sections.
func TestBodyModulus(t *testing.T) {
	rect := func(a, b float64) float64 { return a * b / (2 * (a + b)) }
	for _, c := range []struct {
		what          string
		a, b, c, want float64
	}{
		{"block 7.5 x 12.5 x 2 (Groover: 0.70)", rect(7.5, 12.5), rect(12.5, 2), rect(7.5, 2), 187.5 / 267.5},
		{"plate 10 x 10 x 4 (1.111)", rect(10, 10), rect(10, 4), rect(10, 4), 400.0 / 360},
		{"cube 6", rect(6, 6), rect(6, 6), rect(6, 6), 1},
		{"ball 6", 6.0 / 4, 6.0 / 4, 6.0 / 4, 1},
		{"cylinder 6 x 6", 6.0 / 4, rect(6, 6), rect(6, 6), 1},
		{"long bar, d 4", 1, rect(4, 1e9), rect(4, 1e9), 1},
		{"plate, t 3", rect(1e9, 1e9), rect(3, 1e9), rect(3, 1e9), 1.5},
	} {
		near(t, c.what, BodyModulus(c.a, c.b, c.c), c.want, 1e-6)
	}
	near(t, "no section", BodyModulus(1, 0, 1), 0, 0)
}

// The rule by hand: modulus 0.5, so diameter 4 x 1.2 x 0.5 = 2.4, length 4 rather than 3.6; a thin part takes the least
// gate, 1.5 x 4 (three diameters would be 4.5); a block of 1.2 takes 5.76 x 8.64; one of 3 more than is cut off.
func TestGateFor(t *testing.T) {
	for m, want := range map[float64]Gate{0.5: {2.4, 4, false}, 0.1: {1.5, 4, false}, 1.2: {5.76, 8.64, false}, 3: {10, 10, true}} {
		got := GateFor(m)
		near(t, "diameter", got.Diameter, want.Diameter, 1e-12)
		near(t, "length", got.Length, want.Length, 1e-12)
		if got.Cut != want.Cut {
			t.Errorf("modulus %g: cut %t", m, got.Cut)
		}
	}
	near(t, "volume of 2 x 5: 5 pi", Gate{Diameter: 2, Length: 5}.Volume(), 5*math.Pi, 1e-12)
}

// Groover's plate and riser as a chain: moduli 0.70093 and D/6 of 4.702 cm; the riser takes 1.25 times as long (printed: 25 %
// longer). GATE 2018: 3 min over 2. In a chain each neighbour is held against the one before it.
func TestFreezingOrder(t *testing.T) {
	plateM := plate(7.5, 12.5, 2)
	d := ButtonDiameter(2, MouldConstant(1.6, plateM))
	f := FreezingOrder(1.1, Section{"plate", plateM}, Section{"riser", d / 6})[0]
	near(t, "times", f.Times, 1.25, 1e-9)
	near(t, "ratio", f.Ratio, math.Sqrt(1.25), 1e-9)
	if !f.Holds {
		t.Error("the riser is said to freeze first")
	}
	near(t, "GATE 2018", FreezingOrder(1, Section{"plate", plate(80, 120, 20)}, Section{"riser", 51.87 / 6})[0].Times, 1.5, 0.001)
	chain := FreezingOrder(Feed, Section{"part", 1}, Section{"gate", 1.2}, Section{"button", 1.3})
	if len(chain) != 2 || !chain[0].Holds || chain[1].Holds {
		t.Errorf("%+v", chain)
	}
}

// A button of 8 g at 13.6 g/cm3: 588.2 mm3, D = (4 x 588.2/pi)^(1/3) = 9.0818 mm, a sixth of it 1.5136.
func TestButtonModulus(t *testing.T) { near(t, "modulus", ButtonModulus(8, 13.6), 1.5136, 0.0001) }

// By hand: flask 80 x 100, parts 22 out, 13 across, 6 up on gates of 6: radius at the gates 10, so 2 x 10 sin(pi/n) >= 16
// holds for n 3 (17.32), not for 4 (14.14). Height 100 - 12 - 12 - 6 = 70, 70/9 = 7.8: 8 rows. Trunk 8 x 9 - 3 = 69 mm. Out:
// 4 + 6 + 22 + 8 = 40, exactly what there is.
func TestPlan(t *testing.T) {
	p := Hanging{Name: "tongue", Out: 22, Across: 13, Up: 6, GateLength: 6}
	tree, err := Plan(Flask{80, 100}, p, Hanging{Name: "box", Out: 17, Across: 13, Up: 5.6, GateLength: 6})
	if err != nil {
		t.Fatal(err)
	}
	if tree.InARow != 3 || tree.Rows != 8 || tree.Places != 24 {
		t.Errorf("%+v", tree)
	}
	near(t, "trunk, mm", tree.TrunkLength, 69, 1e-9)
	near(t, "full trunk, g", tree.TrunkGram(24, 10), math.Pi*16*69/100, 1e-9)
	near(t, "trunk of four parts, two rows of 9 less 3, g", tree.TrunkGram(4, 10), math.Pi*16*15/100, 1e-9)
	var no *NoRoom
	if _, err := Plan(Flask{79, 100}, p); !errors.As(err, &no) || no.Part != "tongue" || no.Needs != 40 || no.Has != 39.5 {
		t.Errorf("a flask too narrow: %v", err)
	}
	if _, err := Plan(Flask{80, 29}, p); !errors.As(err, &no) || no.Needs != 30 {
		t.Errorf("a flask too low: %v", err)
	}
	for n := 0; n < 40; n++ { // more room never holds fewer
		a, _ := Plan(Flask{80 + float64(n), 100}, p)
		b, _ := Plan(Flask{81 + float64(n), 101}, p)
		if b.Places < a.Places {
			t.Errorf("flask %d holds fewer", n)
		}
	}
}
