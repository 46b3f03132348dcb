package solid

import "slices"

// Formula is a solid's tree as a Boolean expression over its primitives, numbered in order. It is immutable.
type Formula struct {
	nodes []term
	kids  []int32 // the operands of all nodes
	root  int32
}

// term is a node of a formula. Its operands are nodes of the same formula, or constants.
type term struct {
	op       Op
	leaf     int32
	from, to int32 // where its operands stand
}

func (f *Formula) of(t *term) []int32 { return f.kids[t.from:t.to] }

const (
	never  int32 = -1 // holds nothing
	always int32 = -2 // holds everything
)

// Known is what is known of a primitive at a place.
type Known int8

// Unknown may be inside or outside.
const (
	Unknown Known = iota
	Inside
	Outside
)

func (s *Solid) formula() Formula {
	var f Formula
	leaf := int32(0)
	f.root = f.build(s, &leaf)
	return f
}

func (f *Formula) build(s *Solid, leaf *int32) int32 {
	t := term{op: s.op}
	if s.op == Leaf {
		t.leaf = *leaf
		*leaf++
	}
	var kids []int32
	for _, k := range s.kids {
		kids = append(kids, f.build(k, leaf))
	}
	t.from = int32(len(f.kids))
	f.kids = append(f.kids, kids...)
	t.to = int32(len(f.kids))
	f.nodes = append(f.nodes, t)
	return int32(len(f.nodes) - 1)
}

// Scratch is room for formulas, to spare the allocator. Setting it back to an earlier value of itself gives up the
// formulas made since.
type Scratch struct {
	nodes []term
	kids  []int32
}

// Reset makes the room empty; the formulas in it are lost.
func (r *Scratch) Reset() { r.nodes, r.kids = r.nodes[:0], r.kids[:0] }

// Clone is the formula in room of its own.
func (f Formula) Clone() Formula {
	return Formula{nodes: slices.Clone(f.nodes), kids: slices.Clone(f.kids), root: f.root}
}

// Given is the formula with what is known put in, written in scratch room: primitives that can no longer make a difference
// are gone.
func (f Formula) Given(known []Known, room *Scratch) Formula {
	if cap(room.nodes)-len(room.nodes) < len(f.nodes) {
		room.nodes = make([]term, 0, max(4096, 2*len(f.nodes)))
	}
	if cap(room.kids)-len(room.kids) < len(f.kids) {
		room.kids = make([]int32, 0, max(4096, 2*len(f.kids)))
	}
	g := reducer{f: &f, known: known, room: room, base: len(room.nodes)}
	root := g.reduce(f.root)
	return Formula{nodes: room.nodes[g.base:len(room.nodes):len(room.nodes)], kids: room.kids[:len(room.kids):len(room.kids)], root: root}
}

// reducer writes a smaller formula.
type reducer struct {
	f     *Formula
	known []Known
	room  *Scratch
	base  int
}

// put writes a term with its operands.
func (g *reducer) put(t term, kids []int32) int32 {
	r := g.room
	t.from = int32(len(r.kids))
	r.kids = append(r.kids, kids...)
	t.to = int32(len(r.kids))
	r.nodes = append(r.nodes, t)
	return int32(len(r.nodes) - 1 - g.base)
}

func (g *reducer) reduce(at int32) int32 {
	if at < 0 {
		return at
	}
	t := &g.f.nodes[at]
	switch t.op {
	case Leaf:
		switch g.known[t.leaf] {
		case Inside:
			return always
		case Outside:
			return never
		}
		return g.put(term{leaf: t.leaf}, nil)
	case Difference:
		return g.reduceCut(t)
	}
	zero, one := never, always // what an operand must be to be left out, to decide
	if t.op == Intersection {
		zero, one = always, never
	}
	var some [16]int32
	kids := some[:0]
	for _, k := range g.f.of(t) {
		switch r := g.reduce(k); r {
		case one:
			return one
		case zero:
		default:
			kids = append(kids, r)
		}
	}
	switch len(kids) {
	case 0:
		return zero
	case 1:
		return kids[0]
	}
	return g.put(term{op: t.op}, kids)
}

func (g *reducer) reduceCut(t *term) int32 {
	first := g.reduce(g.f.of(t)[0])
	if first == never {
		return never
	}
	var some [16]int32
	kids := append(some[:0], first)
	for _, k := range g.f.of(t)[1:] {
		switch r := g.reduce(k); r {
		case always:
			return never
		case never:
		default:
			kids = append(kids, r)
		}
	}
	if len(kids) == 1 {
		return first
	}
	return g.put(term{op: Difference}, kids)
}

// Constant says whether the formula no longer depends on any primitive, and then whether it holds.
func (f Formula) Constant() (holds, ok bool) { return f.root == always, f.root < 0 }

// Mentions says whether a primitive is still in the formula.
func (f Formula) Mentions(leaf int32) bool { return f.root >= 0 && f.mentions(f.root, leaf) }

func (f *Formula) mentions(at, leaf int32) bool {
	if at < 0 {
		return false
	}
	t := &f.nodes[at]
	if t.op == Leaf {
		return t.leaf == leaf
	}
	for _, k := range f.of(t) {
		if f.mentions(k, leaf) {
			return true
		}
	}
	return false
}

// Holds evaluates the formula for the primitives that hold the point, nil for none.
func (f Formula) Holds(in []bool) bool { return f.holds(f.root, in) }

func (f *Formula) holds(at int32, in []bool) bool {
	if at < 0 {
		return at == always
	}
	t := &f.nodes[at]
	switch t.op {
	case Leaf:
		return in != nil && in[t.leaf]
	case Union:
		for _, k := range f.of(t) {
			if f.holds(k, in) {
				return true
			}
		}
		return false
	case Intersection:
		for _, k := range f.of(t) {
			if !f.holds(k, in) {
				return false
			}
		}
		return true
	}
	if !f.holds(f.of(t)[0], in) {
		return false
	}
	for _, k := range f.of(t)[1:] {
		if f.holds(k, in) {
			return false
		}
	}
	return true
}

// HoldsNone is Holds where no primitive holds the point.
func (f Formula) HoldsNone() bool { return f.holds(f.root, nil) }
