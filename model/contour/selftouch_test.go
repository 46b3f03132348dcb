package contour

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// touchesItself looks for a point within far of a place where a solid's surface touches itself, so that no 2-manifold is
// its surface. Where faces cross, that is a point round which, on each of two small balls, the metal or the air is in
// several pieces; where two faces are tangent, one that has the same above both as below both and the other between. Such
// points are looked for where the carriers of two or three faces meet; some may be missed. The boxes are those of the
// solid's parts.
func touchesItself(s *solid.Solid, boxes []r3.Box, at r3.Vec, far float64) (r3.Vec, bool) {
	var cs []solid.Carrier
	var leaf []int32
	for _, w := range s.Walls() {
		cs, leaf = append(cs, w.On), append(leaf, w.Leaf)
	}
	tried := map[[3]int64]bool{}
	round := r3.Box{Min: r3.Sub(at, vec(far, far, far)), Max: r3.Add(at, vec(far, far, far))}
	found := func(p r3.Vec) bool {
		key := cellOf(p, 0.02)
		if outsideBox(round, p) || tried[key] || math.Abs(s.Eval(p)) > 1e-9 {
			return false
		}
		tried[key] = true
		for _, r := range []float64{1e-3, 1e-2} {
			if piecesRound(s, p, r, 1) <= 1 && piecesRound(s, p, r, -1) <= 1 {
				return false
			}
		}
		return true
	}
	type spot struct {
		at   cellKey
		i, k int
	}
	been := map[spot]bool{}
	seen := func(p r3.Vec, i, k int) bool {
		at := spot{cellOf(p, 0.2), i, k}
		old := been[at]
		been[at] = true
		return old
	}
	const n = 3
	for i := range cs {
		for k := range i {
			b, ok := overlap(boxes[leaf[i]], boxes[leaf[k]])
			if !ok {
				continue
			}
			if b, ok = overlap(b, round); !ok {
				continue
			}
			size := r3.Sub(b.Max, b.Min)
			for g := range n * n * n {
				from := vec(float64(g%n)+0.53, float64(g/n%n)+0.51, float64(g/n/n)+0.47)
				p, ok := settledOn(r3.Add(b.Min, r3.Scale(1.0/n, vec(from.X*size.X, from.Y*size.Y, from.Z*size.Z))), &cs[i], &cs[k])
				if !ok {
					continue
				}
				if found(p) {
					return p, true
				}
				if math.Abs(s.Eval(p)) > 0.1 || seen(p, i, k) {
					continue
				}
				if q, ok := tangentAt(p, &cs[i], &cs[k]); ok && leaf[i] != leaf[k] && !outsideBox(round, q) && meetsItself(s, q, &cs[i], &cs[k]) {
					return q, true
				}
				for j := range cs {
					if j == i || j == k || math.Abs(cs[j].Gap(p)) > 1 {
						continue
					}
					if q, ok := solid.Settle(p, []solid.Carrier{cs[i], cs[k], cs[j]}); ok && found(q) {
						return q, true
					}
				}
			}
		}
	}
	return r3.Vec{}, false
}

// leavesSheet looks for a sheet of zeros in the metal within far of a place, as parts that merely abut leave it, which the
// contract of solid excludes: a point of a flat face with metal on both sides.
func leavesSheet(s *solid.Solid, at r3.Vec, far float64) bool {
	const step = 1e-4
	for _, c := range s.Carriers() {
		if c.Curved() || math.Abs(c.Gap(at)) > far {
			continue
		}
		_, n := c.Off(at)
		u := r3.Unit(r3.Cross(n, vec(0.3, 0.5, 0.8)))
		v := r3.Cross(n, u)
		for i := range 200 { // a spiral
			sin, cos := math.Sincos(2.4 * float64(i))
			p := c.Foot(r3.Add(at, r3.Scale(far*math.Sqrt(float64(i)/200), r3.Add(r3.Scale(cos, u), r3.Scale(sin, v)))))
			if math.Abs(s.Eval(p)) < 1e-12 && s.Eval(r3.Add(p, r3.Scale(step, n))) < -step/2 && s.Eval(r3.Sub(p, r3.Scale(step, n))) < -step/2 {
				return true
			}
		}
	}
	return false
}

// settledOn moves a point to where two carriers cross or touch: the least step onto both tangent planes, again and again;
// a trace on the diagonal keeps it finite where they touch, and there each step halves what is left.
func settledOn(p r3.Vec, a, b *solid.Carrier) (r3.Vec, bool) {
	for range 40 {
		da, na := a.Off(p)
		db, nb := b.Off(p)
		if math.Abs(da)+math.Abs(db) < 1e-13 {
			break
		}
		c := r3.Dot(na, nb)
		det := 1 - c*c + 1e-13
		u, v := (da-c*db)/det, (db-c*da)/det
		step := r3.Add(r3.Scale(u, na), r3.Scale(v, nb))
		if n := r3.Norm(step); n > 1 {
			step = r3.Scale(1/n, step)
		}
		p = r3.Sub(p, step)
	}
	return p, math.Abs(a.Gap(p))+math.Abs(b.Gap(p)) < 1e-9
}

// piecesRound counts the pieces of the metal (side 1) or the air (side -1) on a ball round a point: sides of a cube in
// squares, put on the ball, neighbours on one side joined where the field keeps its sign between them.
func piecesRound(s *solid.Solid, at r3.Vec, r, side float64) int {
	const n = 16
	limit := -1e-12
	if side < 0 { // a tool that ends flush with a part leaves a sheet of zeros in the air
		limit = 1e-9
	}
	root := map[[3]int]([3]int){}
	var find func(k [3]int) [3]int
	find = func(k [3]int) [3]int {
		if root[k] != k {
			root[k] = find(root[k])
		}
		return root[k]
	}
	place := func(k [3]int) r3.Vec {
		bow := func(i int) float64 { return math.Tan(math.Pi / 4 * (2*float64(i)/n - 1 + 1e-4)) }
		return r3.Add(at, r3.Scale(r, r3.Unit(vec(bow(k[0]), bow(k[1]), bow(k[2])))))
	}
	value := map[[3]int]float64{}
	outer := func(k [3]int) bool {
		for _, i := range k {
			if i == 0 || i == n {
				return true
			}
		}
		return false
	}
	for x := range n + 1 {
		for y := range n + 1 {
			for z := range n + 1 {
				if k := [3]int{x, y, z}; outer(k) {
					if f := side * s.Eval(place(k)); f < limit {
						value[k], root[k] = f, k
					}
				}
			}
		}
	}
	count := len(root)
	for k, f := range value {
		for i := range 3 {
			o := k
			o[i]++
			g, ok := value[o]
			if !ok || find(k) == find(o) {
				continue
			}
			p, q := place(k), place(o)
			if f+g < -r3.Norm(r3.Sub(q, p)) || keepsSign(s, p, q, side, limit) {
				root[find(k)] = find(o)
				count--
			}
		}
	}
	return count
}

// keepsSign tells whether the field is on one side all along a short way: the greatest value between, by thirds.
func keepsSign(s *solid.Solid, p, q r3.Vec, side, limit float64) bool {
	at := func(t float64) float64 { return side * s.Eval(lerp(p, q, t)) }
	const steps = 8
	best := 0
	for i := range steps + 1 {
		if at(float64(i)/steps) > at(float64(best)/steps) {
			best = i
		}
	}
	lo, hi := max(0, float64(best-1)/steps), min(1, float64(best+1)/steps)
	for range 40 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if at(a) < at(b) {
			lo = a
		} else {
			hi = b
		}
	}
	return at((lo+hi)/2) < limit
}

// tangentAt moves a point on two carriers to where they are tangent: Newton's method with differences on the gaps and on
// the cross product of the directions, least squares by the normal equations.
func tangentAt(p r3.Vec, a, b *solid.Carrier) (r3.Vec, bool) {
	residual := func(p r3.Vec) [5]float64 {
		da, na := a.Off(p)
		db, nb := b.Off(p)
		x := r3.Cross(na, nb)
		return [5]float64{da, db, x.X, x.Y, x.Z}
	}
	const h = 1e-6
	for range 30 {
		f := residual(p)
		var j [3][5]float64
		for i, d := range []r3.Vec{vec(h, 0, 0), vec(0, h, 0), vec(0, 0, h)} {
			g, l := residual(r3.Add(p, d)), residual(r3.Sub(p, d))
			for k := range g {
				j[i][k] = (g[k] - l[k]) / (2 * h)
			}
		}
		var m [3][3]float64
		var rhs [3]float64
		for i := range 3 {
			for l := range 3 {
				for k := range 5 {
					m[i][l] += j[i][k] * j[l][k]
				}
			}
			m[i][i] += 1e-9
			for k := range 5 {
				rhs[i] -= j[i][k] * f[k]
			}
		}
		x, y, z := vec(m[0][0], m[1][0], m[2][0]), vec(m[0][1], m[1][1], m[2][1]), vec(m[0][2], m[1][2], m[2][2])
		det := r3.Dot(x, r3.Cross(y, z))
		r := vec(rhs[0], rhs[1], rhs[2])
		step := r3.Scale(1/det, vec(r3.Dot(r, r3.Cross(y, z)), r3.Dot(x, r3.Cross(r, z)), r3.Dot(x, r3.Cross(y, r))))
		n := r3.Norm(step)
		if !(n < 1e9) {
			return p, false
		}
		if n > 0.5 {
			step = r3.Scale(0.5/n, step)
		}
		p = r3.Add(p, step)
		if n < 1e-11 {
			break
		}
	}
	for _, x := range residual(p) {
		if !(math.Abs(x) < 1e-8) {
			return p, false
		}
	}
	return p, true
}

// meetsItself tells whether the surface touches itself where two of its carriers are tangent: what is above both is what
// is below both, metal or air, and between them there is the other in some direction.
func meetsItself(s *solid.Solid, p r3.Vec, a, b *solid.Carrier) bool {
	if math.Abs(s.Eval(p)) > 1e-8 {
		return false
	}
	_, n := a.Off(p)
	u := r3.Unit(r3.Cross(n, vec(0.3, 0.5, 0.8)))
	v := r3.Cross(n, u)
	for i := range 24 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 24)
		q := r3.Add(p, r3.Scale(0.01, r3.Add(r3.Scale(cos, u), r3.Scale(sin, v))))
		qa, qb := a.Foot(q), b.Foot(q)
		gap := r3.Norm(r3.Sub(qa, qb))
		if gap < 1e-7 {
			continue
		}
		mid, out := lerp(qa, qb, 0.5), r3.Scale(gap, n)
		between, above, below := s.Eval(mid) < 0, s.Eval(r3.Add(mid, out)) < 0, s.Eval(r3.Sub(mid, out)) < 0
		if above == below && between != above {
			return true
		}
	}
	return false
}

// overlap is what two boxes have in common, with a little room.
func overlap(a, b r3.Box) (r3.Box, bool) {
	room := vec(0.01, 0.01, 0.01)
	o := r3.Box{Min: r3.Sub(vecMax(a.Min, b.Min), room), Max: r3.Add(vecMin(a.Max, b.Max), room)}
	d := r3.Sub(o.Max, o.Min)
	return o, d.X > 0 && d.Y > 0 && d.Z > 0
}

// boxes are the bounds of the leaves in their order.
func (n *tree) boxes(t testing.TB) (out []r3.Box) {
	if n.op == solid.Leaf {
		return []r3.Box{n.leaf(t).Bounds()}
	}
	for _, k := range n.kids {
		out = append(out, k.boxes(t)...)
	}
	return out
}

func TestTouchesItself(t *testing.T) {
	part := func(kind string, at, turn r3.Vec, size ...float64) *tree {
		return &tree{kind: kind, at: at, turn: turn, size: size}
	}
	none := r3.Vec{}
	cube, small := part("block", none, none, 1, 1, 2), func(x, y, z float64) *tree { return part("block", vec(x, y, z), none, 1, 1, 1) }
	of := func(op solid.Op, kids ...*tree) *tree { return &tree{op: op, kids: kids} }
	lying := part("rod", vec(-5, 0, 3), vec(0, 90, 0), 1, 10)
	for _, c := range []struct {
		name string
		n    *tree
		near r3.Vec
		want bool
	}{
		{"blocks with an edge in common", of(solid.Union, cube, small(2, 2, 0.5)), vec(1, 1, 1.2), true},
		{"blocks with a corner in common", of(solid.Union, cube, small(2, 2, 2)), vec(1, 1, 2), true},
		{"blocks that overlap", of(solid.Union, cube, small(1.5, 1.5, 0.5)), vec(1, 1, 1.2), false},
		{"pockets with an edge in common", of(solid.Difference, cube, small(1, 1, 1.5), small(-1, -1, 1.5)), vec(0, 0, 1.7), true},
		{"pocket flush with the top", of(solid.Difference, cube, small(0.5, 0.5, 1)), vec(0, 0, 2), false},
		{"ball on a block", of(solid.Union, cube, part("ball", vec(0, 0, 3), none, 1)), vec(0, 0, 2), true},
		{"ball sunk into a block", of(solid.Union, cube, part("ball", vec(0, 0, 2.9), none, 1)), vec(0.2, 0, 2), false},
		{"rod on a block", of(solid.Union, cube, lying), vec(0.1, 0, 2), true},
		{"bore that just reaches the top from within", of(solid.Difference, cube, part("rod", vec(-5, 0, 1.5), vec(0, 90, 0), 0.5, 10)), vec(0.1, 0, 2), true},
		{"ring sunk to its throat", of(solid.Difference, part("block", vec(0, 0, -9), none, 6, 6, 10), part("ring", vec(0, 0, 2), vec(0, 90, 0), 2, 1)), vec(0, 0, 1), true},
		{"capsule", part("capsule", none, none, 1, 2), vec(1, 0, 1), false},
	} {
		if p, got := touchesItself(c.n.solid(t), c.n.boxes(t), c.near, 0.3); got != c.want {
			t.Errorf("%s: touches itself %v (at %v), want %v", c.name, got, p, c.want)
		}
	}
}
