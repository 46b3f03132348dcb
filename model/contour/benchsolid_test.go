package contour

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/solid"
)

// node is the benchmark solid as a tree that is turned into our solid here and written as JSON for the peers: a
// primitive with its arguments and pose, or an operation: U union, I intersection, D the first less the others.
type node struct {
	Op   string     `json:"op,omitempty"`
	Kids []*node    `json:"c,omitempty"`
	Prim string     `json:"prim,omitempty"`
	Args []float64  `json:"a,omitempty"`
	Pose solid.Pose `json:"-"`
	M    []float64  `json:"m,omitempty"` // the pose as a 4 x 4 matrix, row by row
}

func opNode(op string, kids ...*node) *node { return &node{Op: op, Kids: kids} }

func primNode(prim string, at solid.Pose, args ...float64) *node {
	m := []float64{
		at.X.X, at.Y.X, at.Z.X, at.O.X,
		at.X.Y, at.Y.Y, at.Z.Y, at.O.Y,
		at.X.Z, at.Y.Z, at.Z.Z, at.O.Z,
		0, 0, 0, 1,
	}
	return &node{Prim: prim, Args: args, Pose: at, M: m}
}

// solid builds the tree. Primitives are centred on their origin; a cylinder, cone or capsule stands along z; "half" is
// z < 0.
func (n *node) solid(t testing.TB) *solid.Solid {
	var kids []*solid.Solid
	for _, k := range n.Kids {
		kids = append(kids, k.solid(t))
	}
	switch n.Op {
	case "U":
		return solid.Join(kids...)
	case "I":
		return solid.Common(kids...)
	case "D":
		return solid.Cut(kids[0], kids[1:]...)
	}
	a := n.Args
	var s solid.Shape
	switch n.Prim {
	case "box":
		b, err := solid.NewBlock(vec(-a[0]/2, -a[1]/2, -a[2]/2), vec(a[0]/2, a[1]/2, a[2]/2), "box")
		if err != nil {
			t.Fatal(err)
		}
		s = b
	case "half":
		b, err := solid.NewBlock(vec(-50, -50, -100), vec(50, 50, 0), "half")
		if err != nil {
			t.Fatal(err)
		}
		s = b
	case "rbox":
		s = solid.NewPrism(roundedRect(t, a[0]/2, a[1]/2, a[3]), -a[2]/2, a[2]/2, "rbox end")
	case "cyl":
		s = solid.NewRod(a[1], -a[0]/2, a[0]/2, "cylinder", "cylinder end")
	case "cone":
		s = turnedProfile(vec2(0, -a[0]/2), vec2(a[1], -a[0]/2), vec2(a[2], a[0]/2), vec2(0, a[0]/2))
	case "capsule":
		s = capsule(a[0], a[1])
	default:
		t.Fatalf("no primitive %q", n.Prim)
	}
	return solid.New(s, n.Pose)
}

func vec2(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }

func roundedRect(t testing.TB, x, y, r float64) solid.Chain {
	side := func(p, q r2.Vec) solid.Side { return solid.Side{P: p, Q: q, Round: r, Tag: "rbox"} }
	ch, err := solid.Outline(side(vec2(-x, -y), vec2(x, -y)), side(vec2(x, -y), vec2(x, y)), side(vec2(x, y), vec2(-x, y)), side(vec2(-x, y), vec2(-x, -y)))
	if err != nil {
		t.Fatal(err)
	}
	return ch
}

// turnedProfile is the polygon through the points, which start and end on the axis, turned round.
func turnedProfile(pts ...r2.Vec) *solid.Revolve {
	var ch solid.Chain
	for i, p := range pts {
		ch = append(ch, solid.Seg{A: p, B: pts[(i+1)%len(pts)], Tag: "cone"})
	}
	return solid.NewRevolve(ch)
}

// capsule is a rod of length h in all with hemispherical ends of radius r.
func capsule(h, r float64) *solid.Revolve {
	c := h/2 - r
	p, q, u, v := vec2(0, -h/2), vec2(r, -c), vec2(r, c), vec2(0, h/2)
	return solid.NewRevolve(solid.Chain{
		{A: p, B: q, C: vec2(0, -c), R: r, Tag: "claw foot"}, {A: q, B: u, Tag: "claw"},
		{A: u, B: v, C: vec2(0, c), R: r, Tag: "claw top"}, {A: v, B: p, Tag: "axis"},
	})
}

func turnedX(a float64) solid.Pose {
	s, c := math.Sincos(a)
	return solid.Pose{X: vec(1, 0, 0), Y: vec(0, c, s), Z: vec(0, -s, c)}
}

func turnedY(a float64) solid.Pose {
	s, c := math.Sincos(a)
	return solid.Pose{X: vec(c, 0, -s), Y: vec(0, 1, 0), Z: vec(s, 0, c)}
}

// then places q in the frame p.
func then(p, q solid.Pose) solid.Pose {
	return solid.Pose{O: p.World(q.O), X: p.Turn(q.X), Y: p.Turn(q.Y), Z: p.Turn(q.Z)}
}

func at(x, y, z float64) solid.Pose { return solid.Upright.At(vec(x, y, z)) }

func boxNode(x0, x1, y0, y1, z0, z1 float64) *node {
	return primNode("box", at((x0+x1)/2, (y0+y1)/2, (z0+z1)/2), x1-x0, y1-y0, z1-z0)
}

// The benchmark lock box, mm: 15 x 12.4 x 5.4, crown of radius 14, end edges rounded 0.8, with chamber, mouth, lip,
// notch, two lugs, and up to 40 seats normal to the crown, each with four claws. With 40 it has 292 primitives.
const (
	benchL, benchW, benchH = 15.0, 12.4, 5.4
	benchCrown             = 14.0
	benchPitch             = 1.9
)

type benchSeat struct{ x, phi float64 }

// benchSeats lists the places of seats, the middle of the first row left out for the notch.
func benchSeats(n int) (out []benchSeat) {
	for i := range 7 {
		for k := -2.5; k <= 2.5; k++ {
			if i == 0 && math.Abs(k) < 1 {
				continue
			}
			out = append(out, benchSeat{1.5 + benchPitch*float64(i), k * benchPitch / benchCrown})
		}
	}
	return out[:n]
}

// pose puts local z = 0 on the crown at the seat, local z outward.
func (s benchSeat) pose() solid.Pose {
	return then(then(at(s.x, 0, benchH-benchCrown), turnedX(-s.phi)), at(0, 0, benchCrown))
}

// benchProfile is the outer body between x0 and x1, rounded at its far end only: at x1, or at x0 when flip.
func benchProfile(x0, x1 float64, flip bool) *node {
	mid, cut := (x0-2+x1)/2, then(at(x0, 0, 0), turnedY(-math.Pi/2))
	if flip {
		mid, cut = (x0+x1+2)/2, then(at(x1, 0, 0), turnedY(math.Pi/2))
	}
	return opNode("I",
		primNode("rbox", at(mid, 0, 3.5), x1-x0+2, benchW, 7, 0.8),
		primNode("cyl", then(at((x0+x1)/2, 0, benchH-benchCrown), turnedY(math.Pi/2)), 60, benchCrown),
		primNode("half", cut))
}

// benchSeatTools is what one seat adds (claws) and takes away (bore, cone, seat).
func benchSeatTools(f solid.Pose) (add, sub []*node) {
	const seatR, holeR, seatD, coneD, holeD, up = 0.9, 0.55, 0.35, 0.85, 2.4, 0.35
	for _, sx := range []float64{-1, 1} {
		for _, sy := range []float64{-1, 1} {
			add = append(add, primNode("capsule", then(f, at(sx*0.672, sy*0.672, (0.85-0.55)/2)), 0.85+0.55, 0.25))
		}
	}
	slope := (seatR - holeR) / (coneD - seatD)
	sub = append(sub, opNode("U",
		primNode("cyl", then(f, at(0, 0, (up-holeD)/2)), up+holeD, holeR),
		opNode("I",
			primNode("cyl", then(f, at(0, 0, (up-coneD)/2)), up+coneD, seatR),
			primNode("cone", then(f, at(0, 0, -1.0+0.75)), 1.5, holeR-slope*(1.0-coneD), holeR+slope*(coneD+0.5)))))
	return add, sub
}

// benchBox is the benchmark box with some of its 40 seats.
func benchBox(n int) *node { return benchBoxOf(benchL, benchProfile(0, benchL, false), benchSeats(n)) }

// benchBoxOf is a box of length l with a body and seats.
func benchBoxOf(l float64, body *node, seats []benchSeat) *node {
	add := []*node{body}
	sub := []*node{
		boxNode(0.9, l-1.4, -benchW/2+1, benchW/2-1, 0.9, 3.6),
		boxNode(-1, 1.0, -benchW/2+1, benchW/2-1, 0.9, 2.7),
		boxNode(-1, 2.4, -1.2, 1.2, 2.2, 7),
	}
	for _, y := range []float64{-3, 3} {
		lug := then(at(l+1.2, y, 2), turnedX(math.Pi/2))
		add = append(add, boxNode(l-1, l+1.2, y-0.7, y+0.7, 0.8, 3.2), primNode("cyl", lug, 1.4, 1.2))
		sub = append(sub, primNode("cyl", lug, 2, 0.6))
	}
	for _, s := range seats {
		a, b := benchSeatTools(s.pose())
		add, sub = append(add, a...), append(sub, b...)
	}
	return opNode("D", opNode("U", add...), opNode("U", sub...))
}

// benchTongue is the benchmark tongue: block, two leaves, fold, thumb tab, lugs; 17 primitives.
func benchTongue() *node {
	const t, x, z = 0.5, 11.8, 1.95
	a := math.Atan(0.55 / 10.8)
	c, w := at(x, 0, z), benchW-2-0.4
	fold := opNode("I",
		opNode("D", primNode("cyl", then(c, turnedX(math.Pi/2)), w, 1.0), primNode("cyl", then(c, turnedX(math.Pi/2)), w+2, 0.5)),
		primNode("half", then(then(c, at(-0.01, 0, 0)), turnedY(-math.Pi/2))),
		primNode("half", then(then(then(c, turnedY(a)), at(-0.01, 0, 0)), turnedY(-math.Pi/2))))
	parts := []*node{benchProfile(-8, 0, true), boxNode(-0.5, x, -w/2, w/2, z-1, z-0.5), fold,
		primNode("box", then(then(c, turnedY(a)), at(-5.4, 0, 0.75)), 10.8, w, t),
		opNode("U", boxNode(1.3, 1.9, -1, 1, 3.1, 6), boxNode(0.4, 1.9, -1, 1, 5.5, 6))}
	for _, y := range []float64{-3, 3} {
		lug := then(at(-9.2, y, 2), turnedX(math.Pi/2))
		parts = append(parts, opNode("D",
			opNode("U", boxNode(-9.2, -7, y-0.7, y+0.7, 0.8, 3.2), primNode("cyl", lug, 1.4, 1.2)),
			primNode("cyl", lug, 2, 0.6)))
	}
	return opNode("U", parts...)
}

func (n *node) prims() int {
	if n.Op == "" {
		return 1
	}
	k := 0
	for _, c := range n.Kids {
		k += c.prims()
	}
	return k
}

func TestBenchmarkSolidIsWhatThePeersGet(t *testing.T) {
	if n := benchBox(40).prims(); n != 292 {
		t.Errorf("box of %d primitives, want 292", n)
	}
	if n := benchTongue().prims(); n != 17 {
		t.Errorf("tongue of %d primitives, want 17", n)
	}
}
