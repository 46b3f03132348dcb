package contour

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// tree is a solid of random parts, kept as numbers so that a failure can be written down.
type tree struct {
	op   solid.Op
	kids []*tree
	kind string    // of a leaf: block, rod, cone, capsule, ball, ring or prism
	size []float64 // its measures, mm, as leaf tells
	turn r3.Vec    // degrees about x, then y, then z
	at   r3.Vec
}

func (n *tree) String() string {
	if n.op == solid.Leaf {
		return fmt.Sprintf("%s%v@%v turned %v", n.kind, n.size, n.at, n.turn)
	}
	var kids []string
	for _, k := range n.kids {
		kids = append(kids, k.String())
	}
	name := map[solid.Op]string{solid.Union: "Join", solid.Difference: "Cut", solid.Intersection: "Common"}[n.op]
	return name + "(" + strings.Join(kids, ", ") + ")"
}

func (n *tree) solid(t testing.TB) *solid.Solid {
	var kids []*solid.Solid
	for _, k := range n.kids {
		kids = append(kids, k.solid(t))
	}
	switch n.op {
	case solid.Union:
		return solid.Join(kids...)
	case solid.Difference:
		return solid.Cut(kids[0], kids[1:]...)
	case solid.Intersection:
		return solid.Common(kids...)
	}
	return n.leaf(t)
}

// leaf builds a part. Round ones stand on or round the local z axis; blocks and prisms are centred on it and stand on
// z = 0.
func (n *tree) leaf(t testing.TB) *solid.Solid {
	turned := then(then(spun(n.turn.Z*degree), turnedY(n.turn.Y*degree)), turnedX(n.turn.X*degree))
	w, a := workshop{t, turned.At(n.at)}, n.size
	switch n.kind {
	case "block": // half width, half depth, height
		return w.block(-a[0], -a[1], 0, a[0], a[1], a[2])
	case "prism": // the same and the radius of its edges
		return w.place(solid.NewPrism(roundedRect(t, a[0], a[1], a[3]), 0, a[2], "end"), solid.Upright)
	case "rod": // radius, height
		return w.upright(0, 0, a[0], 0, a[1])
	case "cone": // radius below, radius above (may be 0), height
		if a[1] == 0 {
			return w.turned(0, 0, 0, vec2(0, 0), vec2(a[0], 0), vec2(0, a[2]))
		}
		return w.turned(0, 0, 0, vec2(0, 0), vec2(a[0], 0), vec2(a[1], a[2]), vec2(0, a[2]))
	case "capsule": // radius, length of its straight part
		return w.place(capsule(a[1]+2*a[0], a[0]), solid.Upright)
	case "ball":
		return w.ball(0, 0, 0, a[0])
	case "ring": // radius of its centre line, radius of its wire
		return w.place(solid.NewRing(a[0], a[1], "ring"), solid.Upright)
	}
	t.Fatalf("no part %q", n.kind)
	return nil
}

// drawer draws random solids.
type drawer struct {
	*rand.Rand
	t    testing.TB
	grid float64  // mm; places and sizes are multiples of it
	most float64  // the longest measure of a part, mm
	turn int      // 0: quarters; 1: multiples of 15 degrees; 2: any
	flat []flatOf // flat faces of the parts so far
}

// flatOf is a flat face of a part.
type flatOf struct {
	n     r3.Vec // out of the part
	d     float64
	tool  bool // the part is taken off
	bound r3.Box
}

// randomSolid is the solid of a seed and the tolerance that it is meshed to, mm.
func randomSolid(t testing.TB, seed uint64) (*tree, float64) {
	d := &drawer{Rand: rand.New(rand.NewPCG(seed, 20261125)), t: t}
	for {
		d.flat = nil
		if n, tolerance := d.draw(); holdsMetal(n.solid(t)) {
			return n, tolerance
		}
	}
}

func (d *drawer) draw() (*tree, float64) {
	tolerance := []float64{0.02, 0.02, 0.02, 0.01, 0.01, 0.01, 0.005, 0.005, 0.002, 0.001}[d.IntN(10)]
	if d.IntN(8) == 0 {
		return d.seats(), tolerance
	}
	d.grid = []float64{0.1, 0.25, 0.5, 0.5, 1}[d.IntN(5)]
	d.turn = []int{0, 0, 0, 1, 1, 1, 2}[d.IntN(7)]
	d.most = 300 * tolerance // facets go with size over tolerance
	if tolerance < 0.005 {
		d.grid /= 2
	}
	n := 2 + d.IntN(11)
	body := d.fitting(d.part(d.most/3, d.most), false)
	for n--; n > 0; {
		tool := d.IntN(2) == 0
		more := d.fitting(d.part(0.2, d.most/2), tool)
		n--
		if n > 0 && d.IntN(5) == 0 { // a part that is itself cut
			more = &tree{op: solid.Difference, kids: []*tree{more, d.fitting(d.part(0.2, d.most/3), !tool)}}
			n--
		}
		switch {
		case tool:
			body = &tree{op: solid.Difference, kids: []*tree{body, more}}
		case d.IntN(8) == 0:
			body = &tree{op: solid.Intersection, kids: []*tree{body, d.fitting(d.part(d.most/2, d.most), false)}}
			fallthrough
		default:
			body = &tree{op: solid.Union, kids: []*tree{body, more}}
		}
	}
	return flattened(body), tolerance
}

// flattened joins what hangs below the same operation.
func flattened(n *tree) *tree {
	if n.op == solid.Leaf {
		return n
	}
	out := &tree{op: n.op}
	for i, k := range n.kids {
		k = flattened(k)
		if k.op == n.op && (n.op != solid.Difference || i == 0) {
			out.kids = append(out.kids, k.kids...)
		} else {
			out.kids = append(out.kids, k)
		}
	}
	return out
}

// fitting is part, or another of its size, that does not merely abut an earlier one of its sort: parts that do leave a
// sheet of zeros between them, which the contract of solid excludes.
func (d *drawer) fitting(part func() *tree, tool bool) *tree {
	for {
		p := part()
		s := p.solid(d.t)
		var mine []flatOf
		for _, c := range s.Carriers() {
			if !c.Curved() {
				off, n := c.Off(r3.Vec{})
				mine = append(mine, flatOf{n, -off, tool, s.Bounds()})
			}
		}
		if !d.abuts(mine) {
			d.flat = append(d.flat, mine...)
			return p
		}
	}
}

func (d *drawer) abuts(mine []flatOf) bool {
	for _, f := range mine {
		for _, g := range d.flat {
			if f.tool == g.tool && r3.Dot(f.n, g.n) < -1+1e-9 && math.Abs(f.d+g.d) < 1e-6 && !apart(f.bound, g.bound) {
				return true
			}
		}
	}
	return false
}

// part draws parts between two sizes, mm.
func (d *drawer) part(lo, hi float64) func() *tree {
	some := func(share float64) float64 { return d.onGrid(share*lo + d.Float64()*share*(hi-lo)) }
	// Most round parts have a radius off the grid, or every other solid would touch itself in a point or a line.
	round := func(share float64) float64 {
		r := some(share)
		if d.IntN(4) > 0 {
			r = math.Round(1000*r*(0.85+0.3*d.Float64())) / 1000
		}
		return r
	}
	return func() *tree {
		n := &tree{at: vec(d.place(), d.place(), d.place()), turn: d.turned()}
		switch d.IntN(8) {
		case 0, 1:
			n.kind, n.size = "block", []float64{some(1), some(1), some(2)}
		case 2:
			x, y := some(1), some(1)
			n.kind, n.size = "prism", []float64{x, y, some(2), min(x, y) * []float64{0.25, 0.5, 1}[d.IntN(3)]}
		case 3:
			n.kind, n.size = "rod", []float64{round(1), some(2)}
		case 4:
			n.kind, n.size = "cone", []float64{round(1), 0, some(2)}
			if d.IntN(2) == 0 {
				n.size[1] = round(0.7)
			}
		case 5:
			n.kind, n.size = "capsule", []float64{round(0.6), some(1)}
		case 6:
			n.kind, n.size = "ball", []float64{round(1)}
		case 7:
			wire := round(0.3)
			n.kind, n.size = "ring", []float64{wire + round(0.7), wire}
		}
		return n
	}
}

// onGrid is x on the grid, at least a step and at least 0.2 mm.
func (d *drawer) onGrid(x float64) float64 {
	k := max(1, math.Round(x/d.grid), math.Ceil(0.2/d.grid-1e-9))
	return k * d.grid
}

func (d *drawer) place() float64 { return math.Round((d.Float64()-0.5)*d.most/d.grid) * d.grid }

func (d *drawer) turned() r3.Vec {
	quarter := func() float64 { return 90 * float64(d.IntN(4)) }
	switch d.turn {
	case 1:
		step := []float64{15, 30, 45, 90}[d.IntN(4)]
		turn := vec(quarter(), 0, quarter())
		turn.Y = step * float64(d.IntN(int(360/step)))
		return turn
	case 2:
		if d.IntN(2) == 0 {
			return vec(360*d.Float64(), 360*d.Float64(), 360*d.Float64())
		}
	}
	return vec(quarter(), quarter(), quarter())
}

// seats is a plate under a crown with a chamber and a row or two of seats: a drill, its cone, its hole, and claws round it.
func (d *drawer) seats() *tree {
	round := func(x float64) float64 { return math.Round(x*100) / 100 }
	some := func(lo, hi float64) float64 { return round(lo + (hi-lo)*d.Float64()) }
	crown, pitch, high := some(7, 20), some(0.9, 2.4), some(2.5, 4)
	seat := some(0.3, pitch*0.55)
	claw := some(0.1, seat*0.4)
	nx, ny := 1+d.IntN(3), 1+d.IntN(2)
	half := vec(round(float64(nx)*pitch/2+1), round(float64(ny)*pitch/2+0.8), 0)
	add := []*tree{{op: solid.Intersection, kids: []*tree{
		{kind: "block", size: []float64{half.X, half.Y, high + 1}},
		{kind: "rod", size: []float64{crown, 2*half.X + 2}, turn: vec(0, 90, 0), at: vec(-half.X-1, 0, high-crown)},
	}}}
	ceiling := round(high - some(0.9, 1.2) - half.Y*half.Y/(2*crown))
	cut := []*tree{{kind: "block", size: []float64{half.X - 0.5, half.Y - 0.4, ceiling + 1}, at: vec(0, 0, -1)}}
	reach, claws := d.Float64()*0.3+0.75, 2+d.IntN(5)
	for i := range nx {
		for k := range ny {
			x, phi := pitch*(float64(i)-float64(nx-1)/2), pitch*(float64(k)-float64(ny-1)/2)/crown
			sin, cos := math.Sincos(phi)
			up := func(x0, y0, z float64) r3.Vec { // a place in the seat's frame
				y := y0
				return vec(x+x0, y*cos+(crown+z)*sin, high-crown-y*sin+(crown+z)*cos)
			}
			turn := vec(-phi/degree, 0, 0)
			bore := &tree{kind: "rod", size: []float64{seat * 0.6, high + 1}, turn: turn, at: up(0, 0, -high-0.5)}
			drill := &tree{kind: "rod", size: []float64{seat, 1}, turn: turn, at: up(0, 0, -0.3)}
			cone := &tree{kind: "cone", size: []float64{seat * 0.6, seat, 0.4}, turn: turn, at: up(0, 0, -0.7)}
			cut = append(cut, bore, drill, cone)
			for c := range claws {
				s, co := math.Sincos(2 * math.Pi * (float64(c) + 0.5) / float64(claws))
				add = append(add, &tree{kind: "capsule", size: []float64{claw, 0.8}, turn: turn, at: up(reach*seat*co, reach*seat*s, 0)})
			}
		}
	}
	return &tree{op: solid.Difference, kids: append([]*tree{{op: solid.Union, kids: add}}, cut...)}
}

// holdsMetal tells whether there is any metal at the nodes of a grid over the bounds of a solid.
func holdsMetal(s *solid.Solid) bool {
	b := s.Bounds()
	const n = 24
	size := r3.Scale(1.0/n, r3.Sub(b.Max, b.Min))
	for i := range n * n * n {
		p := vec(float64(i%n)+0.51, float64(i/n%n)+0.52, float64(i/n/n)+0.53)
		if s.Eval(r3.Add(b.Min, vec(p.X*size.X, p.Y*size.Y, p.Z*size.Z))) < 0 {
			return true
		}
	}
	return false
}
