package outside

import (
	"bufio"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Manifold is a node process that holds npm manifold-3d and answers one request after another, see manifold.mjs.
type Manifold struct {
	in  io.WriteCloser
	out *bufio.Reader
}

// Answer is what manifold-3d says of a solid that it built or read. Lengths mm.
type Answer struct {
	Seconds   float64 // building alone, on one thread
	Processor float64 // processor time of the process meanwhile, seconds
	Status    string  // "NoError" for a closed, oriented 2-manifold
	Triangles int
	Vertices  int
	Volume    float64
	Area      float64
	Genus     int
	Parts     int     // of a file that was read
	RSSMiB    float64 `json:"rss_mib"`  // resident set of the process after building
	PeakMiB   float64 `json:"peak_mib"` // the most it ever was
	Error     string
}

type request struct {
	Do    string  `json:"do"`
	Tree  string  `json:"tree,omitempty"`
	Chord float64 `json:"chord,omitempty"`
	Out   string  `json:"out,omitempty"`
	STL   string  `json:"stl,omitempty"`
}

// StartManifold starts the process; it ends with the test.
func StartManifold(t testing.TB) *Manifold {
	t.Helper()
	dir := home(t)
	if _, err := os.Stat(filepath.Join(dir, "node_modules", "manifold-3d")); err != nil {
		t.Fatal("manifold-3d is not installed (npm ci --ignore-scripts in testdata/peers); this check must not be left out")
	}
	cmd := exec.Command(program(t, "node"), filepath.Join(dir, "manifold.mjs"))
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		in.Close()
		if err := cmd.Wait(); err != nil {
			t.Errorf("manifold-3d: %v", err)
		}
	})
	return &Manifold{in, bufio.NewReader(out)}
}

// Build builds the tree of a JSON file with chords of so many mm and writes the mesh to out, if any.
func (m *Manifold) Build(t testing.TB, tree string, chord float64, out string) Answer {
	t.Helper()
	a := m.ask(t, request{Do: "build", Tree: tree, Chord: chord, Out: out})
	if a.Error != "" || a.Status != "NoError" {
		t.Fatalf("manifold-3d: %s %s", a.Status, a.Error)
	}
	return a
}

// Read takes an STL file in as a solid; Error tells why it is none.
func (m *Manifold) Read(t testing.TB, stl string) Answer {
	t.Helper()
	return m.ask(t, request{Do: "read", STL: stl})
}

func (m *Manifold) ask(t testing.TB, r request) (a Answer) {
	t.Helper()
	if err := json.NewEncoder(m.in).Encode(r); err != nil {
		t.Fatal(err)
	}
	line, err := m.out.ReadBytes('\n')
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(line, &a); err != nil {
		t.Fatalf("manifold-3d: %v in %q", err, line)
	}
	return a
}
