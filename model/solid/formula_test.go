package solid

import (
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// bush is a random tree with n leaves; nodes with a single operand are among them.
func bush(r *rand.Rand, leaf *Solid, n int) *Solid {
	if n == 1 && r.IntN(4) > 0 {
		return leaf
	}
	var kids []*Solid
	for left := n; left > 0; {
		k := 1 + r.IntN(left)
		if k == n && n > 1 {
			k = n - 1
		}
		kids = append(kids, bush(r, leaf, k))
		left -= k
	}
	switch r.IntN(3) {
	case 0:
		return Join(kids...)
	case 1:
		return Common(kids...)
	}
	return Cut(kids[0], kids[1:]...)
}

// brute evaluates a tree as its operations are defined, given which leaves hold the point, bit by bit in order; it also
// says how many leaves it has gone by.
func brute(s *Solid, in uint) (holds bool, leaves int) {
	if s.op == Leaf {
		return in&1 == 1, 1
	}
	for i, k := range s.kids {
		h, n := brute(k, in>>leaves)
		leaves += n
		switch {
		case i == 0:
			holds = h
		case s.op == Union:
			holds = holds || h
		case s.op == Intersection:
			holds = holds && h
		default:
			holds = holds && !h
		}
	}
	return holds, leaves
}

func pebble(t testing.TB) *Solid {
	t.Helper()
	b, err := NewBlock(r3.Vec{}, r3.Vec{X: 1, Y: 1, Z: 1}, "side")
	if err != nil {
		t.Fatal(err)
	}
	return New(b, Upright)
}

// guess is what is known of n leaves, each of them left open with a chance of two in five.
func guess(r *rand.Rand, n int) []Known {
	known := make([]Known, n)
	for i := range known {
		known[i] = [...]Known{Unknown, Unknown, Inside, Outside, Outside}[r.IntN(5)]
	}
	return known
}

// fits says whether an assignment agrees with what is known.
func fits(known []Known, in uint) bool {
	for i, k := range known {
		if k != Unknown && (k == Inside) != (in>>i&1 == 1) {
			return false
		}
	}
	return true
}

func bits(in uint, n int) []bool {
	out := make([]bool, n)
	for i := range out {
		out[i] = in>>i&1 == 1
	}
	return out
}

// checkFormula compares a formula, into which what is known has been put, with the tree over all assignments that agree
// with it. A primitive stands in a tree once, so that the formula depends on whatever it still mentions: Constant and
// Mentions are held to be true in both directions.
func checkFormula(t *testing.T, s *Solid, f Formula, known []Known) {
	t.Helper()
	n := len(known)
	ever, never := false, false
	matters := make([]bool, n)
	none := uint(0)
	for i, k := range known {
		if k == Inside {
			none |= 1 << i
		}
	}
	for in := range uint(1) << n {
		if !fits(known, in) {
			continue
		}
		want, _ := brute(s, in)
		ever, never = ever || want, never || !want
		if got := f.Holds(bits(in, n)); got != want {
			t.Fatalf("%d leaves, known %v, in %b: Holds %v, the tree %v", n, known, in, got, want)
		}
		for i, k := range known {
			if other, _ := brute(s, in^1<<i); k == Unknown && other != want {
				matters[i] = true
			}
		}
		if in == none && f.HoldsNone() != want {
			t.Fatalf("%d leaves, known %v: HoldsNone %v, the tree %v", n, known, !want, want)
		}
	}
	if holds, ok := f.Constant(); ok != (ever != never) || ok && holds != ever {
		t.Fatalf("%d leaves, known %v: Constant says %v, %v; the tree holds at some place %v, does not at some %v", n, known, holds, ok, ever, never)
	}
	for i := range n {
		if got := f.Mentions(int32(i)); got != matters[i] {
			t.Fatalf("%d leaves, known %v: Mentions(%d) %v, but it makes a difference: %v", n, known, i, got, matters[i])
		}
	}
}

func TestFormulaIsItsTree(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 1))
	leaf := pebble(t)
	constant := 0
	for range 1500 {
		n := 1 + r.IntN(9)
		s := bush(r, leaf, n)
		f := s.formula()
		checkFormula(t, s, f, make([]Known, n))
		for range 3 {
			known := guess(r, n)
			g := f.Given(known, &Scratch{})
			checkFormula(t, s, g, known)
			if _, ok := g.Constant(); ok {
				constant++
			}
		}
	}
	if constant < 500 || constant > 4000 { // else the draw shows one side of Constant only
		t.Errorf("%d of 4500 formulas are constant", constant)
	}
}

// What becomes known bit by bit gives what is known at once, and formulas in one room do not write over each other,
// while it grows too; a room set back serves again.
func TestFormulasShareARoom(t *testing.T) {
	r := rand.New(rand.NewPCG(20261125, 2))
	leaf := pebble(t)
	type made struct {
		s     *Solid
		f     Formula
		known []Known
	}
	room := Scratch{make([]term, 0, 7), make([]int32, 0, 5)}
	for range 4 {
		mark := room
		var all []made
		for range 150 {
			n := 1 + r.IntN(8)
			m := made{s: bush(r, leaf, n), known: make([]Known, n)}
			m.f = m.s.formula()
			for range 4 {
				m.known = slices.Clone(m.known)
				for i, k := range guess(r, n) {
					if m.known[i] == Unknown && r.IntN(2) == 0 {
						m.known[i] = k
					}
				}
				m.f = m.f.Given(m.known, &room)
				all = append(all, m)
			}
		}
		for _, m := range all {
			checkFormula(t, m.s, m.f, m.known)
		}
		room = mark
	}
}

// A node may have many operands, more than are kept on the stack.
func TestFormulaOfManyOperands(t *testing.T) {
	leaf := pebble(t)
	const n = 300
	for _, c := range []struct {
		name      string
		op        Op
		left, all bool // whether it holds where only leaf 0 holds the point, and where all do
	}{{"union", Union, true, true}, {"intersection", Intersection, false, true}, {"difference", Difference, true, false}} {
		kids := make([]*Solid, n)
		for i := range kids {
			kids[i] = leaf
		}
		f := inner(c.op, kids).formula()
		in := make([]bool, n)
		in[0] = true
		if got := f.Holds(in); got != c.left {
			t.Errorf("%s of %d, in the first alone: %v", c.name, n, got)
		}
		known := make([]Known, n)
		for i := range known[:n/2] { // what changes nothing
			known[i] = Outside
			if c.op == Intersection {
				known[i] = Inside
			}
		}
		known[0] = Unknown
		g := f.Given(known, &Scratch{})
		for i := range n {
			if want := known[i] == Unknown; g.Mentions(int32(i)) != want {
				t.Fatalf("%s of %d: mentions %d: %v", c.name, n, i, !want)
			}
		}
		for i := range in {
			in[i] = true
		}
		if got := g.Holds(in); got != c.all {
			t.Errorf("%s of %d, in all: %v", c.name, n, got)
		}
	}
}
