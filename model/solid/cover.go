package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cover is a solid made quick to ask at many places near its surface: cubes within cubes, each with the part of the
// tree that can decide the field in it or within a margin of it. Cubes are made when they are first asked for, so a
// Cover serves one goroutine; answers do not depend on what was asked before.
type Cover struct {
	solid  *Solid
	margin float64
	root   ref
	leaves []coverLeaf
	nodes  []coverNode
	cubes  []cube
	mid    r3.Vec
	half   float64
	last   lastCube
}

// coverLeaf is a primitive of the solid with the number of its first face and its carriers in the model's frame.
type coverLeaf struct {
	shape    Shape
	pose     Pose
	bounds   r3.Box // in its own frame
	first    int
	carriers []Carrier
}

// ref names a node of the tree: twice its number, and 1 more where its value counts with the sign changed.
type ref int32

// coverNode is a leaf, or the least or the greatest of its kids.
type coverNode struct {
	leaf   int32 // -1 for an inner node
	most   bool  // the greatest of the kids, not the least
	bounds r3.Box
	kids   []ref
}

// cube is the tree cut down to a cube; its eight parts start at number parts, 0 while there are none.
type cube struct {
	tree   ref
	made   bool
	parts  int32
	leaves int // that the tree names
}

const (
	coverDepth = 5 // cubes are halved as often as this at most
	coverFew   = 4 // a cube in which no more primitives count is not halved
)

// NewCover prepares a solid. Looks no further than margin, mm, are quick.
func NewCover(s *Solid, margin float64) *Cover {
	c := &Cover{solid: s, margin: margin}
	c.root = c.plant(s, 0)
	b := s.bounds
	size := r3.Sub(b.Max, b.Min)
	c.mid = r3.Scale(0.5, r3.Add(b.Min, b.Max))
	c.half = 0.51*max(size.X, size.Y, size.Z) + margin
	c.cubes, c.last.at = []cube{{}}, -1
	c.fill(0, c.root, c.mid, c.half)
	return c
}

// plant copies the tree below s, whose first face has the given number.
func (c *Cover) plant(s *Solid, first int) ref {
	if s.op == Leaf {
		l := coverLeaf{shape: s.shape, pose: s.pose, bounds: s.shape.Bounds(), first: first, carriers: s.Carriers()}
		c.leaves = append(c.leaves, l)
		return c.add(coverNode{leaf: int32(len(c.leaves) - 1), bounds: s.bounds})
	}
	n := coverNode{leaf: -1, most: s.op != Union, bounds: s.bounds}
	for i, k := range s.kids {
		r := c.plant(k, first)
		if s.op == Difference && i > 0 {
			r ^= 1
		}
		n.kids = append(n.kids, r)
		first += k.faces
	}
	return c.add(n)
}

func (c *Cover) add(n coverNode) ref {
	c.nodes = append(c.nodes, n)
	return ref(2 * (len(c.nodes) - 1))
}

// Eval is the solid's Eval, to the last bit.
func (c *Cover) Eval(p r3.Vec) float64 {
	if i := c.find(p, 0); i >= 0 {
		return c.value(c.cubes[i].tree, p)
	}
	return c.solid.Eval(p)
}

func (c *Cover) value(r ref, p r3.Vec) float64 {
	n := &c.nodes[r>>1]
	var d float64
	if n.leaf >= 0 {
		d = c.leaves[n.leaf].dist(p)
	} else {
		d = c.value(n.kids[0], p)
		for _, k := range n.kids[1:] {
			if c.behind(k, n.most, p, d) {
				continue
			}
			if v := c.value(k, p); n.most {
				d = math.Max(d, v)
			} else {
				d = math.Min(d, v)
			}
		}
	}
	if r&1 != 0 {
		return -d
	}
	return d
}

// behind tells that a kid's bounds alone put its value at p on the far side of d, rounding or not: outside them by b the kid is at
// least b, and at most -b where it counts turned over.
func (c *Cover) behind(k ref, most bool, p r3.Vec, d float64) bool {
	if (k&1 != 0) != most {
		return false
	}
	b := boxDist(c.nodes[k>>1].bounds, p)
	if most {
		d = -d
	}
	return b > 0 && b > d+onSurface
}

// On tells whether the solid's Eval is within size, mm, of 0.
func (c *Cover) On(p r3.Vec, size float64) bool {
	if i := c.find(p, 0); i >= 0 {
		return math.Abs(c.within(c.cubes[i].tree, p, size)) <= size
	}
	return math.Abs(c.solid.Eval(p)) <= size
}

// Metal tells whether the solid's Eval is negative.
func (c *Cover) Metal(p r3.Vec) bool {
	if i := c.find(p, 0); i >= 0 {
		return c.negative(c.cubes[i].tree, p)
	}
	return c.solid.Eval(p) < 0
}

// negative tells whether the value of a node is, asking no more of its kids than it needs. Where it counts turned over
// a value of exactly 0 is no less than 0 either.
func (c *Cover) negative(tree ref, p r3.Vec) bool {
	n := &c.nodes[tree>>1]
	turned := tree&1 != 0
	if n.leaf >= 0 {
		return c.within(tree, p, 0) < 0
	}
	if boxDist(n.bounds, p) > 0 {
		return turned // outside its bounds what is made of primitives is positive
	}
	if turned {
		return c.within(tree, p, 0) < 0
	}
	for _, k := range n.kids {
		if c.negative(k, p) != n.most {
			return !n.most
		}
	}
	return n.most
}

func (l *coverLeaf) dist(p r3.Vec) float64 { return l.shape.Dist(l.pose.Local(p)) }

// lastCube is the one found last, a smallest one, and how far beyond it it serves: the next place is often in it too.
type lastCube struct {
	at   int32
	mid  r3.Vec
	half float64
	r    float64
}

func (l *lastCube) holds(p r3.Vec, r float64) bool {
	return l.at >= 0 && r <= l.r &&
		math.Abs(p.X-l.mid.X) < l.half && math.Abs(p.Y-l.mid.Y) < l.half && math.Abs(p.Z-l.mid.Z) < l.half
}

// find gives the number of the smallest cube round p that serves r beyond it, -1 if p lies outside them all or none
// serves.
func (c *Cover) find(p r3.Vec, r float64) int32 {
	if c.last.holds(p, r) {
		return c.last.at
	}
	mid, half := c.mid, c.half
	if !(math.Abs(p.X-mid.X) <= half && math.Abs(p.Y-mid.Y) <= half && math.Abs(p.Z-mid.Z) <= half) || r > c.beyond(half) {
		return -1
	}
	at := int32(0)
	for range coverDepth {
		if c.cubes[at].leaves <= coverFew || r > c.beyond(half/2) {
			break
		}
		if c.cubes[at].parts == 0 {
			c.cubes[at].parts = int32(len(c.cubes))
			c.cubes = append(c.cubes, make([]cube, 8)...)
		}
		half /= 2
		part := c.cubes[at].parts
		step := func(x, m *float64, bit int32) {
			if *x >= *m {
				part += bit
				*m += half
			} else {
				*m -= half
			}
		}
		step(&p.X, &mid.X, 1)
		step(&p.Y, &mid.Y, 2)
		step(&p.Z, &mid.Z, 4)
		if !c.cubes[part].made {
			c.fill(part, c.cubes[at].tree, mid, half)
		}
		at = part
	}
	if r <= c.margin {
		c.last = lastCube{at, mid, half, c.beyond(half)}
	}
	return at
}

// fill cuts the tree of the cube above down to this one.
func (c *Cover) fill(at int32, tree ref, mid r3.Vec, half float64) {
	reach := half*math.Sqrt(3) + c.beyond(half)
	tree, _ = c.prune(tree, mid, reach*(1+1e-12)+1e-9)
	c.cubes[at].tree, c.cubes[at].made = tree, true
	c.cubes[at].leaves = c.count(tree)
}

// beyond is how far beyond a cube of that half side its tree holds.
func (c *Cover) beyond(half float64) float64 { return max(half, c.margin) }

func (c *Cover) count(r ref) int {
	n := &c.nodes[r>>1]
	if n.leaf >= 0 {
		return 1
	}
	sum := 0
	for _, k := range n.kids {
		sum += c.count(k)
	}
	return sum
}

// prune leaves out of the tree what cannot decide its value within r of p, and gives the value at p. Every node has slope
// at most 1, so a kid that is 2r behind the foremost one at p stays behind it.
func (c *Cover) prune(tree ref, p r3.Vec, r float64) (ref, float64) {
	n := &c.nodes[tree>>1]
	if n.leaf >= 0 {
		return tree, signed(tree, c.leaves[n.leaf].dist(p))
	}
	side := 1.0 // kids are compared as least values
	if n.most {
		side = -1
	}
	best := math.Inf(1)
	var kept [16]ref
	var at [16]float64
	kids, values := kept[:0], at[:0]
	for _, k := range n.kids {
		// Outside its bounds by b a kid is at least b; where it counts turned over it is at most -b.
		b := boxDist(c.nodes[k>>1].bounds, p)
		if behind := (k&1 != 0) == n.most; behind && b > best+2*r {
			continue
		}
		cut, v := c.prune(k, p, r)
		v *= side
		kids, values = append(kids, cut), append(values, v)
		best = min(best, v)
	}
	m := 0
	for i := range kids {
		if values[i] <= best+2*r {
			kids[m] = kids[i]
			m++
		}
	}
	return c.shrunk(tree, kids[:m]), signed(tree, side*best)
}

func signed(r ref, d float64) float64 {
	if r&1 != 0 {
		return -d
	}
	return d
}

// shrunk is the node with fewer kids.
func (c *Cover) shrunk(tree ref, kids []ref) ref {
	n := c.nodes[tree>>1]
	if len(kids) == 1 {
		return kids[0] ^ tree&1
	}
	if len(kids) == len(n.kids) {
		same := true
		for i, k := range kids {
			same = same && k == n.kids[i]
		}
		if same {
			return tree
		}
	}
	n.kids = append([]ref(nil), kids...)
	return c.add(n) ^ tree&1
}
