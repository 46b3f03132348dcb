package letter

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
)

// How thin a letter is, is measured on a grid by what printing with a round spot would do to it: a spot of diameter d keeps a letter when no
// stroke of it, and no gap, comes apart or is lost. Corners and the ends of wedges, which any spot rounds, do not count: what is lost in one
// place may be as large as the square of the spot (twice as large for a gap). Mathematical morphology: opening by a disc (J. Serra, 1982, from memory).

const (
	pixel      = 1.0 / 150 // cap heights
	rim        = 0.2       // round the letter, cap heights
	lostStroke = 1.0       // of d squared
	lostGap    = 2.0
	finest     = 5 * pixel // what is narrower counts as this; a pixel's own corners would be seen
	thickest   = 1.5 * rim // cap heights: wider strokes are not looked for, nor gaps wider than the stroke
)

// widths are the thinnest stroke of one letter, and its narrowest gap or the same if that is wider; cap heights, good to two pixels.
type widths struct{ stroke, gap float64 }

// known are the letters measured so far; the font is one, so what is kept never changes.
var known sync.Map

func widthsOf(r rune, cs []Contour) widths {
	if v, ok := known.Load(r); ok {
		return v.(widths)
	}
	w := widths{math.Inf(1), math.Inf(1)}
	if len(cs) > 0 {
		g := drawn(cs)
		w.stroke = g.widest(lostStroke, thickest)
		w.gap = g.inverse().widest(lostGap, w.stroke)
	}
	known.Store(r, w)
	return w
}

// grid is a black and white picture.
type grid struct {
	nx, ny int
	on     []bool
}

func newGrid(nx, ny int) grid { return grid{nx, ny, make([]bool, nx*ny)} }

// drawn fills the pixels whose middles are metal.
func drawn(cs []Contour) grid {
	lo, hi := extent(cs)
	g := newGrid(int((hi.X-lo.X+2*rim)/pixel)+1, int((hi.Y-lo.Y+2*rim)/pixel)+1)
	for y := range g.ny {
		at := lo.Y - rim + (float64(y)+0.5)*pixel
		for x, n := range windings(cs, at, lo.X-rim, g.nx) {
			g.on[y*g.nx+x] = n != 0
		}
	}
	return g
}

// windings is how often the contours go round each pixel of a row.
func windings(cs []Contour, y, left float64, nx int) []int {
	row := make([]int, nx)
	cross := func(a, b r2.Vec) {
		if (a.Y <= y) == (b.Y <= y) {
			return
		}
		x := a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y)
		way := 1
		if b.Y > a.Y {
			way = -1
		}
		for i := max(0, int(math.Ceil((x-left)/pixel-0.5))); i < nx; i++ {
			row[i] += way
		}
	}
	for _, c := range cs {
		for _, k := range c {
			const n = 16
			for i := range n {
				cross(k.At(float64(i)/n), k.At(float64(i+1)/n))
			}
		}
	}
	return row
}

func (g grid) inverse() grid {
	out := newGrid(g.nx, g.ny)
	for i, v := range g.on {
		out.on[i] = !v
	}
	return out
}

// widest is the diameter of the greatest spot, up to most, that keeps the picture, as all smaller ones do.
func (g grid) widest(lost, most float64) float64 {
	d := g.away(false)
	_, whole := g.pieces()
	spot := finest
	for spot+pixel <= most && g.keeps(d, spot+pixel, lost, whole) {
		spot += pixel
	}
	return spot
}

// keeps tells whether a spot draws the picture again.
func (g grid) keeps(away []float64, spot, lost float64, whole int) bool {
	r := spot / 2 / pixel
	thin := newGrid(g.nx, g.ny)
	for i, v := range away {
		thin.on[i] = g.on[i] && v > r
	}
	sizes, _ := thin.pieces()
	for _, n := range sizes { // what a pixel's corner parts from the end of a wedge is no stroke
		if float64(n)*pixel*pixel > spot*spot/4 {
			whole--
		}
	}
	if whole != 0 {
		return false
	}
	gone := newGrid(g.nx, g.ny)
	for i, v := range thin.away(true) {
		gone.on[i] = g.on[i] && v > r
	}
	sizes, _ = gone.pieces()
	for _, n := range sizes {
		if float64(n)*pixel*pixel > lost*spot*spot {
			return false
		}
	}
	return true
}

// pieces are the sizes of what hangs together by sides of pixels, and how many there are.
func (g grid) pieces() (sizes []int, n int) {
	seen := make([]bool, len(g.on))
	var todo []int
	for i := range g.on {
		if !g.on[i] || seen[i] {
			continue
		}
		size := 0
		todo, seen[i] = append(todo[:0], i), true
		for len(todo) > 0 {
			k := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			size++
			for _, m := range [4]int{k - g.nx, k + g.nx, k - 1, k + 1} {
				side := m == k-1 && k%g.nx == 0 || m == k+1 && m%g.nx == 0
				if m >= 0 && m < len(g.on) && !side && g.on[m] && !seen[m] {
					seen[m], todo = true, append(todo, m)
				}
			}
		}
		sizes = append(sizes, size)
	}
	return sizes, len(sizes)
}

// away is each pixel's distance from the nearest one that is on or off, pixels: exact, a row and then a column at a time (P. Felzenszwalb and
// D. Huttenlocher, Distance transforms of sampled functions, Theory of Computing 8, 2012).
func (g grid) away(on bool) []float64 {
	const far = 1e12
	f := make([]float64, len(g.on))
	for i, v := range g.on {
		if v != on {
			f[i] = far
		}
	}
	line := make([]float64, max(g.nx, g.ny))
	for y := range g.ny {
		lowest(f[y*g.nx:(y+1)*g.nx], line[:g.nx])
		copy(f[y*g.nx:], line[:g.nx])
	}
	col := make([]float64, g.ny)
	for x := range g.nx {
		for y := range g.ny {
			col[y] = f[y*g.nx+x]
		}
		lowest(col, line[:g.ny])
		for y := range g.ny {
			f[y*g.nx+x] = math.Sqrt(line[y])
		}
	}
	return f
}

// lowest is the lower envelope of the parabolas (q-p)^2 + f(p).
func lowest(f, out []float64) {
	v, z := make([]int, len(f)), make([]float64, len(f)+1)
	k := 0
	z[0], z[1] = math.Inf(-1), math.Inf(1)
	for q := 1; q < len(f); q++ {
		s := meets(f, q, v[k])
		for s <= z[k] {
			k--
			s = meets(f, q, v[k])
		}
		k++
		v[k], z[k], z[k+1] = q, s, math.Inf(1)
	}
	k = 0
	for q := range f {
		for z[k+1] < float64(q) {
			k++
		}
		d := float64(q - v[k])
		out[q] = d*d + f[v[k]]
	}
}

func meets(f []float64, q, p int) float64 {
	return (f[q] + float64(q*q) - f[p] - float64(p*p)) / float64(2*(q-p))
}
