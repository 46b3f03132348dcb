package letter

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// printable are ASCII and Latin-1 as far as they can be seen, the soft hyphen left out.
func printable() (out []rune) {
	for r := rune('!'); r <= 0xff; r++ {
		if r <= '~' || r >= 0xa1 && r != 0xad {
			out = append(out, r)
		}
	}
	return out
}

// Every printable character of ASCII and Latin-1 as chains of lines and arcs: no place of the font's Bezier curves is further from its chain
// than the stated bound, no place of the chain further from the curves, and the areas agree with Green's theorem on the curves themselves.
func TestOutlinesKeepTheirBound(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	worst, most, pieces := 0.0, 0.0, 0
	for _, r := range printable() {
		l, err := Set(string(r))
		if err != nil {
			t.Fatal(err)
		}
		for _, height := range []float64{0.8, 5} {
			for _, c := range flatten(l.Glyphs) {
				c = c.placed(height, r2.Vec{X: 3.7, Y: -1.2})
				ch := c.chain(Within, "x")
				pieces += len(ch)
				length := 0.0
				var dense solid.Chain
				back := height == 5 && r%8 == 0 // chords of 200 a curve are as good as the curve
				n := 25
				if back {
					n = 200
				}
				for _, k := range c {
					for i := range n {
						p := k.At(float64(i) / float64(n))
						q, _ := ch.Closest(p)
						worst = math.Max(worst, r2.Norm(r2.Sub(p, q)))
						dense = append(dense, solid.Seg{A: p, B: k.At(float64(i+1) / float64(n))})
						length += r2.Norm(r2.Sub(dense[len(dense)-1].B, p))
					}
				}
				for i, s := range ch {
					if next := ch[(i+1)%len(ch)]; s.B != next.A {
						t.Errorf("%c: the chain is open", r)
					}
					if !back {
						continue
					}
					for _, piece := range s.Broken(height / 20) {
						q, _ := dense.Closest(piece.A)
						most = math.Max(most, r2.Norm(r2.Sub(piece.A, q)))
					}
				}
				if got, want := ch.Area(), math.Abs(c.Area()); math.Abs(got-want) > length*Within {
					t.Errorf("%c at %g mm: area %.6f, by Green's theorem %.6f", r, height, got, want)
				}
			}
		}
	}
	t.Logf("%d pieces; curves are %.6f mm off at most, pieces %.6f", pieces, worst, most)
	if worst > Within || most > Within {
		t.Errorf("curves are %.6f mm off, pieces %.6f, want %g", worst, most, Within)
	}
	if worst < Within/100 {
		t.Error("nothing was approximated: the test sees nothing")
	}
}

// The areas of Green's theorem against counting points in the curves: a letter with a counter, and one of overlapping parts.
func TestGreenAgainstCounting(t *testing.T) {
	for _, r := range "O4&" {
		l, _ := Set(string(r))
		cs := flatten(l.Glyphs)
		green := 0.0
		for _, c := range cs {
			green += c.Area()
		}
		g := drawn(cs)
		n := 0
		for _, on := range g.on {
			if on {
				n++
			}
		}
		if counted := float64(n) * pixel * pixel; math.Abs(counted-green) > 0.004 {
			t.Errorf("%c: counted %.4f, by Green's theorem %.4f", r, counted, green)
		}
	}
}

// A biarc is tangent where its arcs meet and at its ends; random curves, of which many bend sharply.
func TestBiarcsAreTangent(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	made := 0
	for range 20000 {
		v := func() r2.Vec { return r2.Vec{X: r.Float64(), Y: r.Float64()} }
		c := Curve{A: v(), K: v(), B: v()}
		one, two, ok := c.biarc("x")
		if !ok || one.R == 0 || two.R == 0 {
			continue
		}
		made++
		way := func(s solid.Seg, p r2.Vec) r2.Vec {
			d := r2.Scale(1/s.R, r2.Sub(p, s.C))
			if s.CW {
				return r2.Vec{X: d.Y, Y: -d.X}
			}
			return r2.Vec{X: -d.Y, Y: d.X}
		}
		for _, turn := range []float64{
			r2.Dot(way(one, one.A), c.tangent(0)), r2.Dot(way(one, one.B), way(two, two.A)), r2.Dot(way(two, two.B), c.tangent(1)),
		} {
			if turn < 1-1e-6 {
				t.Fatalf("%+v: the arcs are not tangent, %.8f", c, turn)
			}
		}
	}
	if made < 10000 {
		t.Errorf("only %d biarcs made", made)
	}
}

// Strokes and gaps of shapes whose widths are known: bars, a comb, a ring, a bar with a neck.
func TestWidthsOfKnownShapes(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) Contour {
		p := []r2.Vec{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
		var c Contour
		for i := range p {
			a, b := p[i], p[(i+1)%4]
			c = append(c, Curve{a, r2.Scale(0.5, r2.Add(a, b)), b, true})
		}
		return c
	}
	for _, c := range []struct {
		name        string
		of          []Contour
		stroke, gap float64
	}{
		{"bar", []Contour{box(0, 0, 0.1, 1)}, 0.1, 0.1},
		{"comb", []Contour{box(0, 0, 0.2, 1), box(0.28, 0, 0.48, 1), box(0, -0.2, 0.48, 0.1)}, 0.2, 0.08},
		{"frame", []Contour{box(0, 0, 1, 1), box(0.12, 0.12, 0.88, 0.88).reversed()}, 0.12, 0.12},
		{"narrow frame", []Contour{box(0, 0, 0.4, 1), box(0.17, 0.17, 0.23, 0.83).reversed()}, 0.17, 0.06},
		{"neck", []Contour{box(0, 0, 0.25, 1), box(0.2, 0.45, 0.5, 0.52), box(0.45, 0, 0.7, 1)}, 0.07, 0.07},
	} {
		g := drawn(c.of)
		stroke := g.widest(lostStroke, thickest)
		gap := g.inverse().widest(lostGap, stroke)
		if math.Abs(stroke-c.stroke) > 2*pixel || math.Abs(gap-c.gap) > 2*pixel {
			t.Errorf("%s: stroke %.3f, gap %.3f; want %.3f, %.3f", c.name, stroke, gap, c.stroke, c.gap)
		}
	}
}

// Letters stand apart by a stroke at least, whichever come together.
func TestLettersStandApart(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	all := printable()
	for range 60 {
		text := string([]rune{all[r.IntN(len(all))], all[r.IntN(len(all))]})
		l, err := Set(text)
		if err != nil {
			t.Fatal(err)
		}
		if d := sampled(l.Glyphs[0]).distance(sampled(l.Glyphs[1]), 0); d < apart-1e-3 {
			t.Errorf("%q stands %.3f apart", text, d)
		}
	}
}

func TestWhatTheFontLacks(t *testing.T) {
	_, err := Set("12 \u4e2d")
	var m *Missing
	if !errors.As(err, &m) || m.Rune != '\u4e2d' {
		t.Errorf("got %v", err)
	}
	if l, err := Set("  "); err != nil || l.Seen() {
		t.Errorf("blanks: %v, %v", l, err)
	}
}
