package outside

import (
	"encoding/json"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// stroke is how wide lines are drawn in the files that are measured, mm: inkscape counts them in.
const stroke = 0.18

// MeasureSVG gives what each named figure of a drawing fills on paper, by Debian's inkscape: left, top, right and bottom, mm.
func MeasureSVG(t testing.TB, file string) map[string][4]float64 {
	t.Helper()
	out, err := exec.Command(program(t, "inkscape"), "--query-all", file).Output()
	if err != nil {
		t.Fatalf("inkscape: %v", err)
	}
	boxes := map[string][4]float64{}
	for _, line := range strings.Split(string(out), "\n") {
		f := strings.Split(strings.TrimSpace(line), ",")
		if len(f) != 5 {
			continue
		}
		var v [4]float64 // x, y, width, height in CSS pixels, of which an inch has 96
		for i := range v {
			px, err := strconv.ParseFloat(f[i+1], 64)
			if err != nil {
				t.Fatalf("inkscape: %v in %q", err, line)
			}
			v[i] = px * 25.4 / 96
		}
		boxes[f[0]] = [4]float64{v[0] + stroke/2, v[1] + stroke/2, v[0] + v[2] - stroke/2, v[1] + v[3] - stroke/2}
	}
	return boxes
}

// DXF is what ezdxf says of a file. Boxes are left, low, right and high by layer, in drawing units.
type DXF struct {
	Version                           string
	Units, Measurement, Errors, Fixes int
	Boxes                             map[string][4]float64
}

// AuditDXF reads and audits a DXF file with Debian's python3-ezdxf.
func AuditDXF(t testing.TB, file string) (d DXF) {
	t.Helper()
	cmd := exec.Command("/usr/bin/python3", filepath.Join(home(t), "auditdxf.py"), file)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("ezdxf: %v (Debian's python3-ezdxf must be installed; this check must not be left out)", err)
	}
	if err := json.Unmarshal(out, &d); err != nil {
		t.Fatalf("ezdxf: %v in %q", err, out)
	}
	return d
}
