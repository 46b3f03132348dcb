package export

import (
	"bytes"
	"image/png"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
)

// square is a square tube round the origin, outside 2a, inside 2b, from z = 0 to 4.
func square(a, b float64) *contour.Mesh {
	m := &contour.Mesh{}
	for _, s := range [][2]float64{{a, 0}, {a, 4}, {b, 0}, {b, 4}} {
		for k := range 4 {
			m.V = append(m.V, r3.Vec{X: a + s[0]*[4]float64{-1, 1, 1, -1}[k], Y: a + s[0]*[4]float64{-1, -1, 1, 1}[k], Z: s[1]})
		}
	}
	for k := range int32(4) {
		n := (k + 1) % 4
		m.T = append(m.T, [3]int32{k, n, 4 + n}, [3]int32{k, 4 + n, 4 + k}, [3]int32{8 + n, 8 + k, 12 + k}, [3]int32{8 + n, 12 + k, 12 + n},
			[3]int32{4 + k, 4 + n, 12 + n}, [3]int32{4 + k, 12 + n, 12 + k}, [3]int32{n, k, 8 + k}, [3]int32{n, 8 + k, 8 + n})
	}
	return m
}

// Sections by samples against closed form: a square tube, at heights over and within it.
func TestScannedSections(t *testing.T) {
	const a, b, scale = 3.0, 1.7, 50.0
	m := square(a, b)
	if v := contour.Volume(m); math.Abs(v-4*4*(a*a-b*b)) > 1e-9 {
		t.Fatalf("the tube has %.4f mm3", v)
	}
	for _, c := range []struct{ z, area float64 }{{-1, 0}, {0.01, 4 * (a*a - b*b)}, {2, 4 * (a*a - b*b)}, {3.99, 4 * (a*a - b*b)}, {4.5, 0}} {
		n := 0
		for _, in := range scanned(m, c.z, scale, 2*a*scale, 2*a*scale) {
			if in {
				n++
			}
		}
		if got := float64(n) / (scale * scale); math.Abs(got-c.area) > 0.01*c.area {
			t.Errorf("at %.2f: %.3f mm2, closed form %.3f", c.z, got, c.area)
		}
	}
}

// The layers that are shown go from the first to the last, rise, and the lowest has the area that the part stands on. The picture has a row
// for each part, and something dark where a part begins to hang.
func TestPrintPicture(t *testing.T) {
	for _, sets := range [][]string{plainJob, variedJob} {
		c := commission(t, sets...)
		parts := printedOf(c)
		if len(parts) != len(c.Lock.Parts()) {
			t.Fatalf("%d parts are shown", len(parts))
		}
		for _, p := range parts {
			if p.shown[0] != 1 || p.shown[printCuts-1] != p.pose.Terms.Layers {
				t.Errorf("%s: layers %v of %d", p.part.Name, p.shown, p.pose.Terms.Layers)
			}
			for k := 1; k < printCuts; k++ {
				if p.shown[k] <= p.shown[k-1] {
					t.Errorf("%s: layers %v", p.part.Name, p.shown)
				}
			}
			if p.pose.Terms.Props > 0 {
				continue
			}
			const scale = 30.0
			b, n := boundsOf(p.part.Mesh), 0
			for _, in := range scanned(p.part.Mesh, p.middle(1), scale, int(b.hi.X*scale)+1, int(b.hi.Y*scale)+1) {
				if in {
					n++
				}
			}
			if got := float64(n) / (scale * scale); math.Abs(got/p.pose.Terms.Foot-1) > 0.02 {
				t.Errorf("%s: the first layer has %.2f mm2, it stands on %.2f", p.part.Name, got, p.pose.Terms.Foot)
			}
		}
		var b bytes.Buffer
		if err := WritePrint(&b, c); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		if want := printTop + len(parts)*printRow + 40; img.Bounds().Dx() != printWide || img.Bounds().Dy() != want {
			t.Errorf("picture of %v", img.Bounds())
		}
		grey, dark := 0, 0
		for i := range parts { // where the layers are, above their words
			for y := printTop + i*printRow + 57; y < printTop+i*printRow+56+30; y++ {
				for x := margin + printFirst; x < printWide; x++ {
					switch r, _, _, _ := img.At(x, y).RGBA(); {
					case r>>8 == 176:
						grey++
					case r>>8 == uint32(ink.R):
						dark++
					}
				}
			}
		}
		if grey < 1000 || dark < 20 {
			t.Errorf("%d pixels of layers, %d of what hangs", grey, dark)
		}
	}
}
