package layer

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Body is a closed mesh, facets anticlockwise seen from outside, mm.
type Body struct {
	V      []r3.Vec
	T      [][3]int32
	Mating []bool // for each facet whether it is of a face that fits another

	normal []r3.Vec // unit
	area   []float64
	from   []int32 // neighbours of vertex i are beside[from[i]:from[i+1]]
	beside []int32
	around []r3.Vec // for each vertex the sum of the areas round it, as vectors
	mating float64  // mm2 of all mating faces
}

// New takes a mesh; mating says which facets fit another part.
func New(v []r3.Vec, t [][3]int32, mating []bool) *Body {
	b := &Body{V: v, T: t, Mating: mating, normal: make([]r3.Vec, len(t)), area: make([]float64, len(t)), around: make([]r3.Vec, len(v))}
	b.from = make([]int32, len(v)+1)
	for _, f := range t {
		for _, i := range f { // closed: each edge is run both ways, so the one that begins at i is enough
			b.from[i+1]++
		}
	}
	for i := range v {
		b.from[i+1] += b.from[i]
	}
	b.beside = make([]int32, 3*len(t))
	next := append([]int32{}, b.from...)
	for i, f := range t {
		n := r3.Scale(0.5, r3.Cross(r3.Sub(v[f[1]], v[f[0]]), r3.Sub(v[f[2]], v[f[0]])))
		b.area[i] = r3.Norm(n)
		if b.area[i] > 0 {
			b.normal[i] = r3.Scale(1/b.area[i], n)
		}
		if mating[i] {
			b.mating += b.area[i]
		}
		for k, p := range f {
			b.beside[next[p]] = f[(k+1)%3]
			next[p]++
			b.around[p] = r3.Add(b.around[p], n)
		}
	}
	return b
}

// Options say how it is printed.
type Options struct {
	Layer float64 // mm
	Angle float64 // degrees from level; a face that looks down hangs where it is not steeper by Margin at least
}

// Margin is by how much a face must be steeper than the angle to stand by itself, degrees: a pose on the very limit would be no pose to
// rely on.
const Margin = 1.0

// Terms are what a pose costs.
type Terms struct {
	Overhang float64 // mm2 of faces that hang, but for those within the first layer
	Marked   float64 // mm2 of these on mating faces, where supports leave marks
	Islands  int     // places above the first layer where metal begins on nothing
	Foot     float64 // mm2 that look down in the first layer
	Props    int     // supports wanted at the foot: 3 where the part stands on less than 2 mm2, else 0
	Stepped  float64 // mm2 of mating faces, each times the sine between it and the build direction: a level or an upright face has no steps
	Step     float64 // mm, mean height of a step on the mating faces: cusp height, layer times that sine (Dolenc and Maekelae, Computer-Aided Design 26, 1994, from memory)
	Height   float64 // mm
	Layers   int
}

// A part that stands on an edge or a corner wants three props. Common practice, no source.
const (
	leastFoot = 2.0 // mm2
	props     = 3
)

// What a square millimetre that hangs on a mating face, an island or prop, a square millimetre in steps and a millimetre of height count, in square
// millimetres of overhang. Common practice, no source: a support is trimmed anywhere else, a mark or a step in the mouth costs fit.
const (
	markedWeight  = 2.0
	islandWeight  = 4.0
	steppedWeight = 0.25
	heightWeight  = 0.1
)

// Score is the sum that is made least, mm2.
func (t Terms) Score() float64 {
	return t.Overhang + markedWeight*t.Marked + islandWeight*float64(t.Islands+t.Props) + steppedWeight*t.Stepped + heightWeight*t.Height
}

// levelSine is from how near to 1 on a face counts as level, which has no steps: 0.08 degrees.
const levelSine = 1 - 1e-6

// Measure is what it costs to build the body upwards along a unit vector.
func (b *Body) Measure(up r3.Vec, o Options) Terms {
	t, _ := b.measure(up, o, math.Inf(1), nil)
	return t
}

// measure stops with false where the score cannot come below most; heights are a scratch.
func (b *Body) measure(up r3.Vec, o Options, most float64, heights []float64) (t Terms, whole bool) {
	h := heights
	if h == nil {
		h = make([]float64, len(b.V))
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, v := range b.V {
		h[i] = r3.Dot(v, up)
		lo, hi = min(lo, h[i]), max(hi, h[i])
	}
	flat := math.Cos((o.Angle + Margin) * math.Pi / 180)
	for i, n := range b.normal {
		c := r3.Dot(n, up)
		if s := math.Abs(c); b.Mating[i] && s < levelSine {
			t.Stepped += b.area[i] * s
		}
		if -c <= flat {
			continue
		}
		if f := b.T[i]; max(h[f[0]], h[f[1]], h[f[2]]) > lo+o.Layer {
			t.Overhang += b.area[i]
			if b.Mating[i] {
				t.Marked += b.area[i]
			}
		} else {
			t.Foot += b.area[i]
		}
	}
	if t.Foot < leastFoot {
		t.Props = props
	}
	t.Height, t.Layers = hi-lo, int(math.Ceil((hi-lo)/o.Layer-1e-6))
	if b.mating > 0 {
		t.Step = o.Layer * t.Stepped / b.mating
	}
	if t.Score() >= most {
		return t, false
	}
	t.Islands = b.islands(h, lo, up, o.Layer)
	return t, t.Score() < most
}
