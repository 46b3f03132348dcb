//go:build outside

package export

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/testdata/peers/outside"
)

// Debian's inkscape measures the figures of the SVG, and ezdxf (python3-ezdxf) those of the DXF by layer, as our own plan has them,
// to 0.01 mm; ezdxf finds nothing to mend and takes the unit for millimetres.
func TestOutsideDrawing(t *testing.T) {
	for name, sets := range drawnJobs {
		c := commission(t, sets...)
		p, err := planOf(c)
		if err != nil {
			t.Fatal(err)
		}
		var svg, dxf bytes.Buffer
		if err := p.svg(&svg, sourceOf(c)); err != nil {
			t.Fatal(err)
		}
		if err := p.dxf(&dxf, sourceOf(c)); err != nil {
			t.Fatal(err)
		}
		dir := t.TempDir()
		for file, data := range map[string][]byte{"drawing.svg": svg.Bytes(), "drawing.dxf": dxf.Bytes()} {
			if err := os.WriteFile(filepath.Join(dir, file), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		seen := outside.MeasureSVG(t, filepath.Join(dir, "drawing.svg"))
		audit := outside.AuditDXF(t, filepath.Join(dir, "drawing.dxf"))
		if audit.Errors+audit.Fixes != 0 || audit.Units != 4 || audit.Measurement != 1 || audit.Version != "AC1009" {
			t.Errorf("%s: ezdxf says %+v", name, audit)
		}
		layered := map[string][]curve{}
		worst := 0.0
		for _, f := range p.figures {
			all := append(joinedRuns(f.loops), f.curves...)
			layered[f.layer] = append(layered[f.layer], all...)
			worst = max(worst, checkBox(t, name+", "+f.name, seen[f.id()], all, p.high))
		}
		for layer, all := range layered {
			worst = max(worst, checkBox(t, name+", layer "+layer, audit.Boxes[layer], all, 0))
		}
		bar, _ := p.bar()
		worst = max(worst, checkBox(t, name+", bar", seen["scale"], bar, p.high))
		t.Logf("%s: %d figures, %d layers, off by %.4f mm at most", name, len(p.figures), len(layered), worst)
	}
}

// checkBox holds a box that was measured against what curves fill. down is the height of a sheet whose y runs down, 0 if it runs up.
func checkBox(t *testing.T, what string, got [4]float64, curves []curve, down float64) float64 {
	t.Helper()
	lo, hi := extentOf(curves)
	if down > 0 {
		lo, hi = r2.Vec{X: lo.X, Y: down - hi.Y}, r2.Vec{X: hi.X, Y: down - lo.Y}
	}
	off := max(math.Abs(got[0]-lo.X), math.Abs(got[1]-lo.Y), math.Abs(got[2]-hi.X), math.Abs(got[3]-hi.Y))
	if off > drawnTo {
		t.Errorf("%s: measured %.4f, is %.4f to %.4f", what, got, lo, hi)
	}
	return off
}
