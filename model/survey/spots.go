package survey

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// Spot is a place where metal or air is thin.
type Spot struct {
	Found  bool
	Size   float64   // mm, from P to Q: two true points of the surface, so the least size is no greater
	P, Q   r3.Vec    // nothing but the medium between them
	Faces  [2]int    // that P and Q lie on
	Tags   [2]string // of these faces
	Ball   float64   // mm, diameter of the ball round the middle of P and Q that the field proves free of surface
	Floor  float64   // mm; where it is proven, no two faces that face each other come nearer than this
	Proven float64   // share of the surface's area for which Floor is proven
}

// SpotOptions say how thin places are looked for.
type SpotOptions struct {
	Step  float64 // mm, the reach of the patches in which the surface is sampled; 0 means 0.8
	Angle float64 // degrees: from how much on outward normals oppose; 0 means 150
	Most  float64 // mm; what is thicker is not looked for; 0 means 5
	Slack float64 // mm that Floor may stay below Size; 0 means 0.02
	Least float64 // mm, the reach below which patches are not cut for the proof; 0 means 0.1
}

func (o SpotOptions) filled() SpotOptions {
	o.Step, o.Angle, o.Most = or(o.Step, 0.8), or(o.Angle, 150), or(o.Most, 5)
	o.Slack, o.Least = or(o.Slack, 0.02), or(o.Least, 0.1)
	return o
}

// Thinnest is the least wall of a solid: the least distance, through metal, of two points of its surface whose outward
// normals oppose each other by at least an angle. At an edge hollow in the metal any direction between the normals of
// its faces counts.
//
// So a wedge sharper than 180 degrees less that angle is a wall that runs out to nothing, and its edge should be eased;
// a blunter one is an edge (SharpEdges) and no wall. Where the faces oppose squarely the size is the diameter of the
// ball between them (the medial ball, which shrinks from the surface till it is free).
//
// Size is an upper bound of the least wall: pairs of patches that face each other, and hollow edges, give first guesses,
// and both ends are then moved over their faces to where they are nearest (held to 0.001 mm by the tests).
//
// Floor is a lower bound. All of the surface lies in patches, the rest being proven hidden. Two patches whose normals can
// oppose are cut until the distance along a common direction, less what both can give in it, is at least Floor; Proven
// is the share of the area for which that worked before patches were smaller than Least. What is measured and not
// proven: the tilt of normals in a patch is read off its corners; hollow edges are those that were traced; a wall that
// stands between two patches is not told from one that does not. Walls thinner than 0.001 mm are not seen.
func Thinnest(s *solid.Solid, o SpotOptions) Spot { return newHunt(NewBody(s), o).spot(true) }

// Narrowest is the least gap: the same as Thinnest in the air.
func Narrowest(s *solid.Solid, o SpotOptions) Spot { return newHunt(NewBody(s), o).spot(false) }

// Thinnest is the function of that name.
func (b *Body) Thinnest(o SpotOptions) Spot { return newHunt(b, o).spot(true) }

// Narrowest is the function of that name.
func (b *Body) Narrowest(o SpotOptions) Spot { return newHunt(b, o).spot(false) }

// hunt looks for thin places of a solid.
type hunt struct {
	o     SpotOptions
	k     *skin
	edges []Edge
}

func newHunt(b *Body, o SpotOptions) *hunt {
	o = o.filled()
	return &hunt{o: o, k: b.skin(o.Step), edges: b.edges(edgeStep)}
}

func (h *hunt) medium(c *solid.Cover, metal bool) *medium {
	return &medium{skin: h.k, c: c, metal: metal, opposed: math.Cos((180 - h.o.Angle) / radian)}
}

// rounds is how often what the proof turns up is followed before it is given up; one is usual.
const rounds = 4

func (h *hunt) spot(metal bool) Spot {
	l := newLattice(h.tiles(metal), h.k.s.Bounds())
	best := h.first(l, metal)
	if best.size == 0 {
		return Spot{}
	}
	for range rounds {
		floor := max(best.size-h.o.Slack, 0)
		proven, seeds := h.prove(l, floor, metal)
		next := h.best(seeds, best, metal)
		if next.size >= best.size-1e-4 {
			return h.spotOf(next, metal, floor, proven)
		}
		best = next
	}
	return h.spotOf(best, metal, 0, 0)
}

func (h *hunt) spotOf(a pair, metal bool, floor, proven float64) Spot {
	m := h.medium(solid.NewCover(h.k.s, margin), metal)
	mid := r3.Scale(0.5, r3.Add(a.p, a.q))
	return Spot{
		Found: true, Size: a.size, P: a.p, Q: a.q, Faces: a.faces,
		Tags: [2]string{h.k.tags[a.faces[0]], h.k.tags[a.faces[1]]},
		Ball: 2 * m.free(mid), Floor: floor, Proven: proven,
	}
}

// first finds a short pair, among tiles that may be nearer than a limit, which is widened until there is one.
func (h *hunt) first(l *lattice, metal bool) pair {
	for limit := min(0.5, h.o.Most); ; limit = min(2*limit, h.o.Most) {
		if best := h.best(h.candidates(l, limit, metal), pair{}, metal); best.size > 0 && best.size <= limit {
			return best
		}
		if limit == h.o.Most {
			return pair{}
		}
	}
}

// candidate is two tiles that may face each other, by their numbers.
type candidate struct {
	a, b  int32
	guess float64 // of the distance
}

// seedsEach is how many pairs are tried of every two walls.
const seedsEach = 3

// candidates gives pairs for each two walls whose tiles may come nearer to each other than a limit: of the tiles that
// seem nearest those that see each other.
func (h *hunt) candidates(l *lattice, limit float64, metal bool) []pair {
	const run = 64
	found := make([]map[[2]int][]candidate, (len(l.tiles)+run-1)/run)
	spread(h.k.s, len(found), func(c *solid.Cover, i int) {
		m := h.medium(c, metal)
		found[i] = map[[2]int][]candidate{}
		for j := i * run; j < min((i+1)*run, len(l.tiles)); j++ {
			l.guesses(m, int32(j), limit, found[i])
		}
	})
	all := map[[2]int][]candidate{}
	for _, f := range found {
		for k, cs := range f {
			all[k] = append(all[k], cs...)
		}
	}
	walls := slices.SortedFunc(maps.Keys(all), func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	pairs := make([][]pair, len(walls))
	spread(h.k.s, len(walls), func(c *solid.Cover, i int) {
		pairs[i] = l.seeds(h.medium(c, metal), all[walls[i]])
	})
	return slices.Concat(pairs...)
}

// mostGuesses is how many pairs of tiles are kept of every two walls.
const mostGuesses = 16

// guesses files tiles of higher number that a tile may face under the walls of both.
func (l *lattice) guesses(m *medium, i int32, limit float64, into map[[2]int][]candidate) {
	a := &l.tiles[i]
	if !a.seen {
		return
	}
	l.near(a.p, limit+a.reach+l.most, func(j int32) {
		b := &l.tiles[j]
		if j <= i || !b.seen || !m.may(a, b, limit) {
			return
		}
		v := r3.Sub(a.p, b.p)
		size := math.Sqrt(r3.Norm2(v))
		// Of tiles of two parallel faces those that lie straight opposite come first.
		guess := 0.8*max(math.Abs(r3.Dot(v, a.n)), math.Abs(r3.Dot(v, b.n)), size-a.reach-b.reach) + 0.2*size
		k := [2]int{a.wall, b.wall}
		cs := append(into[k], candidate{i, j, guess})
		if len(cs) >= 4*mostGuesses {
			cs = nearestFew(cs)
		}
		into[k] = cs
	})
}

func nearestFew(cs []candidate) []candidate {
	slices.SortFunc(cs, func(x, y candidate) int {
		return cmp.Or(cmp.Compare(x.guess, y.guess), cmp.Compare(x.a, y.a), cmp.Compare(x.b, y.b))
	})
	return cs[:min(len(cs), mostGuesses)]
}

func (l *lattice) seeds(m *medium, cs []candidate) []pair {
	var out []pair
	for _, c := range nearestFew(cs) {
		if s, ok := m.seed(&l.tiles[c.a], &l.tiles[c.b], math.Inf(1)); ok {
			if out = append(out, s); len(out) == seedsEach {
				break
			}
		}
	}
	return out
}

// best shortens the pairs that may become the least, and gives that, or what there was.
func (h *hunt) best(seeds []pair, best pair, metal bool) pair {
	if len(seeds) == 0 {
		return best
	}
	slices.SortStableFunc(seeds, func(a, b pair) int { return cmp.Compare(a.size, b.size) })
	limit := 1.5*seeds[0].size + h.o.Step
	seeds = slices.DeleteFunc(seeds, func(a pair) bool { return a.size > limit })
	seeds = seeds[:min(len(seeds), 200)]
	spread(h.k.s, len(seeds), func(c *solid.Cover, i int) {
		seeds[i] = h.medium(c, metal).shorten(seeds[i], h.o.Step)
	})
	for _, a := range seeds {
		if best.size == 0 || a.size < best.size-1e-9 {
			best = a
		}
	}
	return best
}
