package solid

// Formula is a solid's tree as a Boolean expression over its primitives, numbered in order. It is immutable.
type Formula struct {
	nodes []term
	root  int32
}

// term is a node of a formula. Its operands are nodes of the same formula, or constants.
type term struct {
	op   Op
	leaf int32
	kids []int32
}

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
	for _, k := range s.kids {
		t.kids = append(t.kids, f.build(k, leaf))
	}
	f.nodes = append(f.nodes, t)
	return int32(len(f.nodes) - 1)
}

// Given is the formula with what is known put in: primitives that can no longer make a difference are gone.
func (f Formula) Given(known []Known) Formula {
	var g Formula
	g.root = g.reduce(&f, f.root, known)
	return g
}

func (g *Formula) put(t term) int32 {
	g.nodes = append(g.nodes, t)
	return int32(len(g.nodes) - 1)
}

func (g *Formula) reduce(f *Formula, at int32, known []Known) int32 {
	if at < 0 {
		return at
	}
	t := &f.nodes[at]
	switch t.op {
	case Leaf:
		switch known[t.leaf] {
		case Inside:
			return always
		case Outside:
			return never
		}
		return g.put(*t)
	case Difference:
		return g.reduceCut(f, t, known)
	}
	zero, one := never, always // what an operand must be to be left out, to decide
	if t.op == Intersection {
		zero, one = always, never
	}
	var kids []int32
	for _, k := range t.kids {
		switch r := g.reduce(f, k, known); r {
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
	return g.put(term{op: t.op, kids: kids})
}

func (g *Formula) reduceCut(f *Formula, t *term, known []Known) int32 {
	first := g.reduce(f, t.kids[0], known)
	if first == never {
		return never
	}
	kids := []int32{first}
	for _, k := range t.kids[1:] {
		switch r := g.reduce(f, k, known); r {
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
	return g.put(term{op: Difference, kids: kids})
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
	for _, k := range t.kids {
		if f.mentions(k, leaf) {
			return true
		}
	}
	return false
}

// Holds evaluates the formula for a set of primitives that hold the point.
func (f Formula) Holds(in []bool) bool { return f.holds(f.root, in) }

func (f *Formula) holds(at int32, in []bool) bool {
	if at < 0 {
		return at == always
	}
	t := &f.nodes[at]
	switch t.op {
	case Leaf:
		return in[t.leaf]
	case Union:
		for _, k := range t.kids {
			if f.holds(k, in) {
				return true
			}
		}
		return false
	case Intersection:
		for _, k := range t.kids {
			if !f.holds(k, in) {
				return false
			}
		}
		return true
	}
	if !f.holds(t.kids[0], in) {
		return false
	}
	for _, k := range t.kids[1:] {
		if f.holds(k, in) {
			return false
		}
	}
	return true
}
