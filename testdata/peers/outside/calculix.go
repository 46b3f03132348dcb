package outside

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Load is how a solid is held and pressed; nodes by number.
type Load struct {
	Youngs, Poisson float64 // MPa, -
	Held            []int32 // do not move
	Mirror          []int32 // do not move along y: they lie in a plane of symmetry
	Pressed         []int32 // move along z by -Press and are free along x and y
	Press           float64 // mm
	Large           bool    // large displacements (NLGEOM); else the linear theory
}

// Bent is a solid under its load.
type Bent struct {
	Force float64      // sum of the forces on the pressed nodes, downwards, N
	Held  float64      // sum of the forces on the held nodes, upwards, N: the same by equilibrium
	Moved []r3.Vec     // of each node, mm
	S     [][6]float64 // stress of each node, mean of its elements, MPa: xx yy zz xy yz zx
}

// Bend computes displacements and stresses by the finite elements of CalculiX (program ccx), elements C3D10.
func Bend(t testing.TB, m *Tets, l Load) Bent {
	t.Helper()
	dir := t.TempDir()
	write(t, filepath.Join(dir, "leaf.inp"), deck(m, l))
	cmd := exec.Command(program(t, "ccx"), "-i", "leaf")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=2", "CCX_NPROC_RESULTS=1")
	out, err := cmd.CombinedOutput()
	if err != nil || !bytes.Contains(out, []byte("Job finished")) || bytes.Contains(out, []byte("*ERROR")) {
		t.Fatalf("ccx: %v\n%s", err, out[max(0, len(out)-2000):])
	}
	b := Bent{Moved: make([]r3.Vec, len(m.V)), S: make([][6]float64, len(m.V))}
	total := readTotals(t, filepath.Join(dir, "leaf.dat"))
	b.Force, b.Held = -total["PRESSED"].Z, total["HELD"].Z
	readField(t, filepath.Join(dir, "leaf.frd"), "DISP", 3, func(n int, v []float64) { b.Moved[n] = r3.Vec{X: v[0], Y: v[1], Z: v[2]} })
	readField(t, filepath.Join(dir, "leaf.frd"), "STRESS", 6, func(n int, v []float64) { copy(b.S[n][:], v) })
	return b
}

// deck is the input for ccx; its numbers begin at 1.
func deck(m *Tets, l Load) []byte {
	var b bytes.Buffer
	b.WriteString("*NODE, NSET=ALL\n")
	for i, p := range m.V {
		fmt.Fprintf(&b, "%d, %.10g, %.10g, %.10g\n", i+1, p.X, p.Y, p.Z)
	}
	b.WriteString("*ELEMENT, TYPE=C3D10, ELSET=LEAF\n")
	for i, e := range m.E {
		fmt.Fprintf(&b, "%d", i+1)
		for _, n := range e {
			fmt.Fprintf(&b, ", %d", n+1)
		}
		b.WriteString("\n")
	}
	set := func(name string, nodes []int32) {
		fmt.Fprintf(&b, "*NSET, NSET=%s\n", name)
		for _, n := range nodes {
			fmt.Fprintf(&b, "%d,\n", n+1)
		}
	}
	set("HELD", l.Held)
	set("PRESSED", l.Pressed)
	fmt.Fprintf(&b, "*MATERIAL, NAME=METAL\n*ELASTIC\n%g, %g\n*SOLID SECTION, ELSET=LEAF, MATERIAL=METAL\n", l.Youngs, l.Poisson)
	b.WriteString("*BOUNDARY\nHELD, 1, 3\n")
	if len(l.Mirror) > 0 {
		set("MIRROR", l.Mirror)
		b.WriteString("*BOUNDARY\nMIRROR, 2, 2\n")
	}
	step := "*STEP\n"
	if l.Large {
		step = "*STEP, NLGEOM, INC=100\n"
	}
	fmt.Fprintf(&b, "%s*STATIC, SOLVER=SPOOLES\n0.25, 1.\n*BOUNDARY\nPRESSED, 3, 3, %g\n", step, -l.Press)
	b.WriteString("*NODE PRINT, NSET=PRESSED, TOTALS=ONLY, FREQUENCY=999\nRF\n*NODE PRINT, NSET=HELD, TOTALS=ONLY, FREQUENCY=999\nRF\n")
	b.WriteString("*NODE FILE, FREQUENCY=999\nU\n*EL FILE, FREQUENCY=999\nS\n*END STEP\n")
	return b.Bytes()
}

// readTotals reads the last sum of forces that was printed for each set.
func readTotals(t testing.TB, path string) map[string]r3.Vec {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	out, name := map[string]r3.Vec{}, ""
	for line := range strings.Lines(string(data)) {
		if _, after, ok := strings.Cut(line, "for set "); ok {
			name = strings.Fields(after)[0]
			continue
		}
		var v r3.Vec
		if n, _ := fmt.Sscan(line, &v.X, &v.Y, &v.Z); n == 3 && name != "" {
			out[name], name = v, ""
		}
	}
	if len(out) != 2 {
		t.Fatalf("ccx printed sums of forces for %v, wanted two sets:\n%s", out, data)
	}
	return out
}

// readField reads the last field of that name from a result file in frd format: lines of node number (10 wide after a
// key of 3) and values, 12 wide each.
func readField(t testing.TB, path, name string, n int, use func(node int, v []float64)) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sc, inside, seen, v := bufio.NewScanner(f), false, 0, make([]float64, n)
	for sc.Scan() {
		line := sc.Text()
		switch {
		case strings.HasPrefix(line, " -4"):
			inside = strings.Fields(line)[1] == name
		case strings.HasPrefix(line, " -3"):
			inside = false
		case inside && strings.HasPrefix(line, " -1"):
			node, err := strconv.Atoi(strings.TrimSpace(line[3:13]))
			for i := range v {
				if err == nil {
					v[i], err = strconv.ParseFloat(strings.TrimSpace(line[13+12*i:25+12*i]), 64)
				}
			}
			if err != nil {
				t.Fatalf("frd: %v in %q", err, line)
			}
			use(node-1, v)
			seen++
		}
	}
	if sc.Err() != nil || seen == 0 {
		t.Fatalf("frd: field %s: %d nodes, %v", name, seen, sc.Err())
	}
}
