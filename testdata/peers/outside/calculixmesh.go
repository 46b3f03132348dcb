package outside

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Surface is a closed surface to be filled with tetrahedra, facets anticlockwise seen from outside, each with the number of
// the face that it lies on. Lengths mm.
type Surface struct {
	V  []r3.Vec
	T  [][3]int32
	On []int32
}

// Grading is how long the edges of tetrahedra may be. The lengths are those in the x-z plane: across, along y, they may be
// Across times as long, since a leaf bends about y and its stress changes little along it.
type Grading struct {
	Size   func(x, z float64) float64 // wanted length of an edge, mm
	Step   float64                    // of the grid on which Size is asked, mm; between its points it is linear
	Across float64                    // 1 for the same length in all directions
	narrow []strip
}

// strip is a narrow flat piece of the surface.
type strip struct {
	a, b  r2.Vec // the ends of a facet's longest side in the x-z plane
	width float64
}

// growth is how fast edges may become longer with the distance from where they must be short.
const growth = 0.35

// at is the wanted length of an edge, no longer than strips are wide nearby: tetgen leaves strips undivided on whose sides
// longer edges are wanted, and then fills them with flat tetrahedra.
func (g Grading) at(x, z float64) float64 {
	h := g.Size(x, z)
	for _, s := range g.narrow {
		if s.width < h {
			h = min(h, s.width+growth*s.away(r2.Vec{X: x, Y: z}))
		}
	}
	return h
}

// away is the distance of p from the strip's longest side, in the x-z plane.
func (s strip) away(p r2.Vec) float64 {
	u, v := r2.Sub(s.b, s.a), r2.Sub(p, s.a)
	if n := r2.Norm2(u); n > 0 {
		v = r2.Sub(v, r2.Scale(max(0, min(1, r2.Dot(u, v)/n)), u))
	}
	return r2.Norm(v)
}

// narrow lists the strips: flat pieces of one or two facets, as wide as the least height of these. Those that are narrow
// along y are left out: the grading knows x and z only.
func narrow(s Surface, marks []int32) (out []strip) {
	count := map[int32]int{}
	for _, k := range marks {
		count[k]++
	}
	for i, f := range s.T {
		if count[marks[i]] > 2 {
			continue
		}
		var st strip
		var long r3.Vec
		for k := range 3 {
			a, b := s.V[f[k]], s.V[f[(k+1)%3]]
			if d := r3.Sub(b, a); r3.Norm2(d) > r3.Norm2(long) {
				long, st.a, st.b = d, r2.Vec{X: a.X, Y: a.Z}, r2.Vec{X: b.X, Y: b.Z}
			}
		}
		n := r3.Cross(r3.Sub(s.V[f[1]], s.V[f[0]]), r3.Sub(s.V[f[2]], s.V[f[0]]))
		if across := r3.Cross(n, long); math.Abs(across.Y) < 0.7*r3.Norm(across) {
			st.width = r3.Norm(n) / r3.Norm(long)
			out = append(out, st)
		}
	}
	return out
}

// Tets is a solid of second-order tetrahedra.
type Tets struct {
	V       []r3.Vec    // corners, then the nodes in the middle of edges
	Corners int         // how many of V are corners
	E       [][10]int32 // four corners, then the middles of 1-2, 2-3, 3-1, 1-4, 2-4, 3-4 (CalculiX C3D10)
	F       []TetFace   // the surface
}

// TetFace is one facet of the surface: three corners, then the middles of 1-2, 2-3, 3-1, and the face that it lies on.
type TetFace struct {
	V  [6]int32
	On int32
}

// Tetrahedra fills a surface by the program tetgen: Delaunay tetrahedra of bounded radius-edge ratio whose edges follow
// the grading. Edges and facets of the surface are kept, and divided where the grading asks for it. Nodes in the middle
// of edges are put on straight edges.
func Tetrahedra(t testing.TB, s Surface, g Grading) *Tets {
	t.Helper()
	base := filepath.Join(t.TempDir(), "part")
	squeezed := Surface{V: make([]r3.Vec, len(s.V)), T: s.T, On: s.On}
	for i, p := range s.V {
		squeezed.V[i] = r3.Vec{X: p.X, Y: p.Y / g.Across, Z: p.Z}
	}
	marks, faces := flats(s)
	writeSurface(t, base+".smesh", squeezed, marks)
	g.narrow = narrow(squeezed, marks)
	writeBackground(t, base, squeezed.V, g)
	// p: keep the surface; q: radius over edge at most 1.4, dihedral angles at least 12 degrees where it can be; m: grading
	run(t, "tetgen", "-pq1.4/12mQ", base+".smesh")
	m := &Tets{V: readNodes(t, base+".1.node")}
	m.Corners = len(m.V)
	for i := range m.V {
		m.V[i].Y *= g.Across
	}
	middles := map[[2]int32]int32{}
	for _, c := range readInts(t, base+".1.ele", 4) {
		m.E = append(m.E, [10]int32{c[0], c[1], c[2], c[3], m.middle(middles, c[0], c[1]), m.middle(middles, c[1], c[2]), m.middle(middles, c[2], c[0]),
			m.middle(middles, c[0], c[3]), m.middle(middles, c[1], c[3]), m.middle(middles, c[2], c[3])})
	}
	for _, c := range readInts(t, base+".1.face", 4) {
		m.F = append(m.F, TetFace{[6]int32{c[0], c[1], c[2], m.middle(middles, c[0], c[1]), m.middle(middles, c[1], c[2]), m.middle(middles, c[2], c[0])}, faces[c[3]-1]})
	}
	return m
}

// middle is the node in the middle of an edge, made when it is first asked for.
func (m *Tets) middle(known map[[2]int32]int32, a, b int32) int32 {
	if a > b {
		a, b = b, a
	}
	n, ok := known[[2]int32{a, b}]
	if !ok {
		n = int32(len(m.V))
		known[[2]int32{a, b}] = n
		m.V = append(m.V, r3.Scale(0.5, r3.Add(m.V[a], m.V[b])))
	}
	return n
}

// On lists for each node the faces that it lies on; inside there are none.
func (m *Tets) On() [][]int32 {
	on := make([][]int32, len(m.V))
	for _, f := range m.F {
		for _, v := range f.V {
			has := false
			for _, o := range on[v] {
				has = has || o == f.On
			}
			if !has {
				on[v] = append(on[v], f.On)
			}
		}
	}
	return on
}

// Volume is the sum over the tetrahedra with straight edges, mm3, and least the smallest of them: below 0 it is turned
// over.
func (m *Tets) Volume() (sum, least float64) {
	for i, e := range m.E {
		a := m.V[e[0]]
		v := r3.Dot(r3.Sub(m.V[e[1]], a), r3.Cross(r3.Sub(m.V[e[2]], a), r3.Sub(m.V[e[3]], a))) / 6
		if sum += v; i == 0 || v < least {
			least = v
		}
	}
	return sum, least
}

// flats numbers the flat pieces of a surface from 1, and lists the face of each: tetgen takes facets that meet at less than a
// few degrees for one plane unless they have different marks, and makes flat tetrahedra between the chords of a round.
func flats(s Surface) (marks, faces []int32) {
	const parallel = 1 - 1e-6 // cosine: 0.08 degrees, more than narrow facets with corners held as float32 are off
	normals, of := []r3.Vec{}, map[int32][]int32{}
	for i, f := range s.T {
		n := r3.Unit(r3.Cross(r3.Sub(s.V[f[1]], s.V[f[0]]), r3.Sub(s.V[f[2]], s.V[f[0]])))
		mark := int32(0)
		for _, k := range of[s.On[i]] {
			if r3.Dot(normals[k-1], n) > parallel {
				mark = k
				break
			}
		}
		if mark == 0 {
			normals, faces = append(normals, n), append(faces, s.On[i])
			mark = int32(len(faces))
			of[s.On[i]] = append(of[s.On[i]], mark)
		}
		marks = append(marks, mark)
	}
	return marks, faces
}

func writeSurface(t testing.TB, path string, s Surface, marks []int32) {
	t.Helper()
	var b bytes.Buffer
	fmt.Fprintf(&b, "%d 3 0 0\n", len(s.V))
	for i, p := range s.V {
		fmt.Fprintf(&b, "%d %.12g %.12g %.12g\n", i, p.X, p.Y, p.Z)
	}
	fmt.Fprintf(&b, "%d 1\n", len(s.T))
	for i, f := range s.T {
		fmt.Fprintf(&b, "3 %d %d %d %d\n", f[0], f[1], f[2], marks[i])
	}
	b.WriteString("0\n0\n")
	write(t, path, b.Bytes())
}

// writeBackground writes the grading on a grid of tetrahedra round all points, one layer deep.
func writeBackground(t testing.TB, base string, points []r3.Vec, g Grading) {
	t.Helper()
	lo, hi := points[0], points[0]
	for _, p := range points {
		lo = r3.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
		hi = r3.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
	}
	const margin = 0.1 // mm
	nx, nz := int((hi.X-lo.X+2*margin)/g.Step)+2, int((hi.Z-lo.Z+2*margin)/g.Step)+2
	var node, mtr, ele bytes.Buffer
	fmt.Fprintf(&node, "%d 3 0 0\n", 2*nx*nz)
	fmt.Fprintf(&mtr, "%d 1\n", 2*nx*nz)
	at := func(i, j, k int) int { return (i*nz+j)*2 + k }
	for i := range nx {
		for j := range nz {
			x, z := lo.X-margin+float64(i)*g.Step, lo.Z-margin+float64(j)*g.Step
			for k, y := range []float64{lo.Y - margin, hi.Y + margin} {
				fmt.Fprintf(&node, "%d %.9g %.9g %.9g\n", at(i, j, k), x, y, z)
				fmt.Fprintf(&mtr, "%.9g\n", g.at(x, z))
			}
		}
	}
	fmt.Fprintf(&ele, "%d 4 0\n", 6*(nx-1)*(nz-1))
	n := 0
	for i := range nx - 1 {
		for j := range nz - 1 {
			for _, path := range cornersOfCube {
				fmt.Fprintf(&ele, "%d", n)
				for _, c := range path {
					fmt.Fprintf(&ele, " %d", at(i+c&1, j+c>>1&1, c>>2))
				}
				ele.WriteString("\n")
				n++
			}
		}
	}
	write(t, base+".b.node", node.Bytes())
	write(t, base+".b.ele", ele.Bytes())
	write(t, base+".b.mtr", mtr.Bytes())
}

// cornersOfCube cuts a cube into six tetrahedra, each a way from corner 0 to corner 7 along three edges (H. Freudenthal
// 1942, H. W. Kuhn 1960); bit 0 of a corner is x, bit 1 z, bit 2 y.
var cornersOfCube = [6][4]int{{0, 1, 3, 7}, {0, 1, 5, 7}, {0, 2, 3, 7}, {0, 2, 6, 7}, {0, 4, 5, 7}, {0, 4, 6, 7}}

func write(t testing.TB, path string, content []byte) {
	t.Helper()
	if err := os.WriteFile(path, content, 0o666); err != nil {
		t.Fatal(err)
	}
}

// rows reads a file of tetgen: a line that begins with the number of rows, then the rows without their own number.
func rows(t testing.TB, path string, use func(fields [][]byte) error) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sc, want, got := bufio.NewScanner(f), -1, 0
	for sc.Scan() {
		fields := bytes.Fields(sc.Bytes())
		if len(fields) == 0 || fields[0][0] == '#' {
			continue
		}
		if want < 0 {
			want, err = strconv.Atoi(string(fields[0]))
		} else {
			got++
			err = use(fields[1:])
		}
		if err != nil {
			t.Fatalf("%s: %v in %q", filepath.Base(path), err, sc.Text())
		}
	}
	if sc.Err() != nil || got != want || got == 0 {
		t.Fatalf("%s: %d rows of %d, %v", filepath.Base(path), got, want, sc.Err())
	}
}

func readNodes(t testing.TB, path string) (out []r3.Vec) {
	t.Helper()
	rows(t, path, func(f [][]byte) error {
		var p r3.Vec
		_, err := fmt.Sscan(string(bytes.Join(f, []byte(" "))), &p.X, &p.Y, &p.Z)
		out = append(out, p)
		return err
	})
	return out
}

func readInts(t testing.TB, path string, n int) (out [][]int32) {
	t.Helper()
	rows(t, path, func(f [][]byte) error {
		row := make([]int32, n)
		for i := range row {
			v, err := strconv.Atoi(string(f[i]))
			if err != nil {
				return err
			}
			row[i] = int32(v)
		}
		out = append(out, row)
		return nil
	})
	return out
}
