package contour

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// tortureTolerance is what every solid of this file is meshed to, mm.
const tortureTolerance = 0.005

// torture is a solid that is hard on a mesher, and what its mesh must show. Solids are manifold unless the comment beside
// them says where they touch themselves.
type torture struct {
	name   string
	s      *solid.Solid
	volume float64 // mm3, in closed form; 0 means by Quadrature
	euler  int     // V - E + F of the whole surface: 2 - 2 x genus, summed over the shells
	shells int     // connected pieces of surface, hollows included
}

func TestTortureSolids(t *testing.T) { tortureIn(t, solid.Upright) }

// The same solids turned about an axis along none of their faces and moved: planes that coincide, and cylinders that
// touch, then do so but for rounding.
func TestTortureSolidsAskew(t *testing.T) {
	plainRunOnly(t)
	tortureIn(t, then(then(at(7.3, -4.1, 2.9), turnedX(0.6)), turnedY(-0.83)))
}

func tortureIn(t *testing.T, frame solid.Pose) {
	w := workshop{t, frame}
	for _, group := range [][]torture{
		w.oneDegreeApart(), w.slits(), w.tangentCylinders(), w.coincidentFaces(), w.coneApexes(), w.facesWithoutCorner(), w.littleMetal(), w.breakingThrough(),
	} {
		for _, c := range group {
			t.Run(c.name, func(t *testing.T) { c.check(t) })
		}
	}
}

// check meshes and proves the solid and compares the mesh with what is known of it.
func (c torture) check(t *testing.T) {
	m, err := ofSafely(c.s, tortureTolerance)
	if err != nil {
		t.Fatalf("not meshed: %v", err)
	}
	if _, err := verifySafely(m, c.s, tortureTolerance); err != nil {
		t.Errorf("not proven: %v", err)
	}
	if v, e, f := len(m.V), len(m.T)*3/2, len(m.T); v-e+f != c.euler {
		t.Errorf("%d vertices - %d edges + %d facets = %d, want %d", v, e, f, v-e+f, c.euler)
	}
	if n := piecesOf(m); n != c.shells {
		t.Errorf("%d connected pieces of surface, want %d", n, c.shells)
	}
	want, bound := c.volume, volumeBound(m, c.s, tortureTolerance)
	if want == 0 {
		room, b := vec(0.1, 0.1, 0.1), 0.0
		lo, hi := Bounds(m)
		want, b = Quadrature(c.s, r3.Sub(lo, room), r3.Add(hi, room), 1)
		bound += b
	}
	near(t, "volume, mm3", Volume(m), want, bound)
}

// ofSafely is Of with a panic turned into an error that says so: no solid may bring the mesher down.
func ofSafely(s *solid.Solid, tolerance float64) (m *Mesh, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("panic: %v", r)
		}
	}()
	return Of(s, tolerance)
}

func verifySafely(m *Mesh, s *solid.Solid, tolerance float64) (p Proof, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("panic: %v", r)
		}
	}()
	return Verify(m, s, tolerance)
}

// volumeBound is how far the volume of a mesh that keeps its word may be from the solid's: flats are exact but for
// rounding their corners to float32, which moves them by no more than VertexLimit. Under a curved facet there is its area
// times the mean gap, which is 2/3 of the greatest under a chord of a cylinder and 3/4 under an equilateral triangle on a
// ball (the mean and the greatest of R^2 - r^2 over the triangle, R its circumradius; other triangles have less). 2 % more
// for the quadratic terms left out: e/r is below 0.02 where there is area.
func volumeBound(m *Mesh, s *solid.Solid, tolerance float64) float64 {
	carriers := s.Carriers()
	curved := 0.0
	for f := range m.T {
		if carriers[m.On[f]].Curved() {
			curved += m.triangle(int32(f)).area()
		}
	}
	return 1.02*0.75*curved*tolerance + Area(m)*VertexLimit
}

// piecesOf counts the pieces of a mesh that hang together by vertices, by its own means and not by those of Verify.
func piecesOf(m *Mesh) int {
	root := make([]int32, len(m.V))
	for i := range root {
		root[i] = int32(i)
	}
	find := func(i int32) int32 {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	n := len(m.V)
	for _, c := range m.T {
		for k := range 2 {
			if a, b := find(c[k]), find(c[k+1]); a != b {
				root[a] = b
				n--
			}
		}
	}
	return n
}

// segment is the area that a line at distance d from the centre cuts off a disc of radius r.
func segment(r, d float64) float64 { return r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d) }

// hoof is the integral of the height (x-c) over the part x > c of a disc: what a plane of slope 1 through that line cuts
// off a cylinder.
func hoof(r, c float64) float64 {
	return 2.0/3*math.Pow(r*r-c*c, 1.5) - c*segment(r, c)
}

const degree = math.Pi / 180

func (w workshop) oneDegreeApart() []torture {
	m := math.Tan(degree)
	wedge := solid.Chain{{A: vec2(0, 0), B: vec2(8, 0), Tag: "wedge"}, {A: vec2(8, 0), B: vec2(8, 8*m), Tag: "wedge"}, {A: vec2(8, 8*m), B: vec2(0, 0), Tag: "wedge"}}
	base := w.block(-5, -2, -1, 5, 2, 0)
	// The tilted block's upper far corner stands out of the base: a triangle of base 4/cos and height 4 sin.
	rise := func(half float64) *solid.Solid {
		return w.tilted(0, 0, -degree, vec(-4, -half, -0.5), vec(4, half, 0))
	}
	// A rod cut square at z = 3 and again by a plane through the line x = c of that cut, 1 degree down.
	cutTwice := func(c float64) *solid.Solid {
		return solid.Cut(w.upright(0, 0, 2, 0, 5), w.block(-9, -9, 3, 9, 9, 9), w.tilted(c, 3, degree, vec(-9, -9, 0), vec(9, 9, 9)))
	}
	lying, area := w.lyingUnderTwoPlanes()
	return []torture{
		{"wedge of 1 degree", w.place(solid.NewPrism(wedge, 0, 3, "wedge end"), solid.Upright), 8 * 8 * m / 2 * 3, 2, 1},
		{"block and block turned by 1 degree, sides flush", solid.Join(base, rise(2)), 40 + 8*m*4, 2, 1},
		{"block and narrower block turned by 1 degree", solid.Join(base, rise(1)), 40 + 8*m*2, 2, 1},
		{"block cut by a face 1 degree off its own", solid.Cut(w.block(-4, -2, 0, 4, 2, 2), w.tilted(0, 2, degree, vec(-9, -9, 0), vec(9, 9, 9))), 64 - 4*4*m/2*4, 2, 1},
		{"two planes 1 degree apart across a rod, meeting on its axis", cutTwice(0), 12*math.Pi - m*hoof(2, 0), 2, 1},
		{"two planes 1 degree apart across a rod, meeting off its axis", cutTwice(1.5), 12*math.Pi - m*hoof(2, 1.5), 2, 1},
		{"two planes 1 degree apart across a rod, meeting near its side", cutTwice(1.99), 12*math.Pi - m*hoof(2, 1.99), 2, 1},
		{"two planes 1 degree apart along a rod", lying, 5 * area, 2, 1},
		{"cylinder and cone 1 degree apart in one bore",
			solid.Cut(w.block(-2, -2, 0, 2, 2, 3), w.upright(0, 0, 1, -1, 4), w.turned(0, 0, 1.5, vec2(0, -2.5), vec2(1-2.5*m, -2.5), vec2(1+2.5*m, 2.5), vec2(0, 2.5))),
			48 - math.Pi*(1.5+(math.Pow(1+1.5*m, 3)-1)/(3*m)), 0, 1},
		{"rod under a cone of 1 degree", w.turned(0, 0, 0, vec2(0, 0), vec2(2, 0), vec2(2, 1), vec2(0, 1+2*m)), math.Pi * (4 + 4*2*m/3), 2, 1},
	}
}

// lyingUnderTwoPlanes is a rod of radius 2 and length 5 along y, cut by z < 1 and by a plane through the line x = 0, z = 1
// that falls 1 degree towards +x; and its section: two triangles from the axis and a sector.
func (w workshop) lyingUnderTwoPlanes() (*solid.Solid, float64) {
	const r, d = 2.0, 1.0
	m := math.Tan(degree)
	s := solid.Cut(w.rod(alongY(0, 0), r, 0, 5), w.block(-9, -9, d, 9, 9, 9), w.tilted(0, d, degree, vec(-9, -9, 0), vec(9, 9, 9)))
	x := (d*m + math.Sqrt((1+m*m)*r*r-d*d)) / (1 + m*m)
	a, p, b := vec2(x, d-m*x), vec2(0, d), vec2(-math.Sqrt(r*r-d*d), d)
	sweep := 2*math.Pi + math.Atan2(a.Y, a.X) - math.Atan2(b.Y, b.X)
	return s, (r2.Cross(a, p)+r2.Cross(p, b))/2 + r*r*sweep/2
}

func (w workshop) slits() []torture {
	const gap = 2 * tortureTolerance
	whole := w.block(0, 0, 0, 6, 4, 3)
	return []torture{
		{"slit open at three sides", solid.Cut(whole, w.block(3-gap/2, -1, 1, 3+gap/2, 5, 4)), 72 - gap*4*2, 2, 1},
		{"slit that ends within", solid.Cut(whole, w.block(3-gap/2, 1, 1, 3+gap/2, 3, 4)), 72 - gap*2*2, 2, 1},
		{"slit closed all round", solid.Cut(whole, w.block(3-gap/2, 1, 1, 3+gap/2, 3, 2)), 72 - gap*2, 4, 2},
		{"slit askew", solid.Cut(whole, w.tilted(3, 1.5, 30*degree, vec(-gap/2, 1, -1), vec(gap/2, 3, 1))), 72 - gap*2*2, 4, 2},
		{"ring slit round a pin", solid.Join(solid.Cut(w.block(-2, -2, 0, 2, 2, 3), w.upright(0, 0, 1, 1, 4)), w.upright(0, 0, 1-gap, 0.5, 2.5)),
			48 - math.Pi*2 + math.Pi*(1-gap)*(1-gap)*1.5, 2, 1},
		{"loose pin in a bore", solid.Join(solid.Cut(w.block(-2, -2, 0, 2, 2, 3), w.upright(0, 0, 1, -1, 4)), w.upright(0, 0, 1-gap, 0.5, 2.5)),
			48 - math.Pi*3 + math.Pi*(1-gap)*(1-gap)*2, 2, 2},
		{"ball in a hollow", solid.Join(solid.Cut(w.block(-2, -2, -2, 2, 2, 2), w.ball(0, 0, 0, 1)), w.ball(0, 0, 0, 1-gap)),
			64 - 4*math.Pi/3*(1-math.Pow(1-gap, 3)), 6, 3},
	}
}

func (w workshop) tangentCylinders() []torture {
	lug := func(half float64) *solid.Solid {
		return solid.Join(w.block(-3, -0.7, 0.8, 0, 0.7, 3.2), w.rod(alongY(0, 2), 1.2, -half, half))
	}
	const flat, disc = 1.4 * 3 * 2.4, math.Pi * 1.44
	big := w.block(-3, -3, 0, 3, 3, 3)
	return []torture{
		{"lug round off a block, ends flush", lug(0.7), flat + 0.7*disc, 2, 1},
		{"lug round off a block, narrower", lug(0.5), flat + 0.5*disc, 2, 1},
		{"lug round off a block, wider", lug(0.9), flat + 1.8*disc - 0.7*disc, 2, 1},
		{"drill with a ball end", solid.Cut(w.block(-2, -2, -1, 2, 2, 3), w.upright(0, 0, 1, 1, 4), w.ball(0, 0, 1, 1)), 64 - math.Pi*(2+2.0/3), 2, 1},
		{"rod out of a larger rod, tangent inside it", solid.Join(w.upright(0, 0, 2, 0, 2), w.upright(1, 0, 1, 0.5, 4)), 8*math.Pi + 2*math.Pi, 2, 1},
		{"bore in the floor of a larger bore, tangent inside it", solid.Cut(big, w.upright(0, 0, 2, 1, 4), w.upright(1, 0, 1, -1, 4)), 108 - 8*math.Pi - math.Pi, 0, 1},
		{"slot with a round floor", solid.Cut(big, w.block(-1, -4, 2, 1, 4, 4), w.rod(alongY(0, 2), 1, -4, 4)), 108 - 12 - 3*math.Pi, 2, 1},
		// The next four touch themselves along a line, where nothing but two sheets of facets that keep apart by their
		// chords can be a 2-manifold: a wall of no thickness stays a wall, a gap of no width stays a gap.
		{"two rods on a plate that touch", solid.Join(w.block(-3, -2, 0, 3, 2, 1), w.upright(-1, 0, 1, 0.5, 3), w.upright(1, 0, 1, 0.5, 3)), 24 + 4*math.Pi, 2, 1},
		{"two bores that touch", solid.Cut(w.block(-3, -2, 0, 3, 2, 2), w.upright(-0.8, 0, 0.8, -1, 3), w.upright(0.8, 0, 0.8, -1, 3)), 48 - 4*0.64*math.Pi, -2, 1},
		{"bore that touches the face above it", solid.Cut(w.block(-2, -2, -2, 2, 2, 1), w.rod(alongY(0, 0), 1, -3, 3)), 48 - 4*math.Pi, 0, 1},
		{"pin that touches the wall of its bore", solid.Join(solid.Cut(big, w.upright(0, 0, 2, 1, 4)), w.upright(1, 0, 1, 0.5, 2.5)), 108 - 8*math.Pi + 1.5*math.Pi, 2, 1},
	}
}

// Parts that merely abut are not here: they leave a sheet of zeros inside, which the contract of solid excludes.
func (w workshop) coincidentFaces() []torture {
	turnedRod := func(r, lo, hi float64) *solid.Solid { return w.rod(spun(17*degree), r, lo, hi) }
	plate, bored := w.block(0, 0, 0, 4, 4, 3), w.block(-2, -2, 0, 2, 2, 3)
	// A block with a boss, a blind bore and a bore across into it: genus 2.
	drilled := func() *solid.Solid {
		return solid.Cut(solid.Join(w.block(0, 0, 0, 8, 6, 3), w.upright(5.5, 3, 1.5, 2, 4.5)), w.upright(2, 3, 1, 1, 5), w.rod(alongY(2.2, 1.7), 0.6, -1, 7))
	}
	collar := solid.Cut(turnedRod(3, 1, 2), w.upright(0, 0, 2, 0, 3))
	return []torture{
		// 8 + 8 - 2 + 4 - 2 mm2, 1 mm thick.
		{"three blocks of one height", solid.Join(w.block(0, 0, 0, 4, 2, 1), w.block(1, 1, 0, 3, 5, 1), w.block(2, 0.5, 0, 6, 1.5, 1)), 16, 2, 1},
		{"two rods in line", solid.Join(w.upright(0, 0, 1, 0, 3), turnedRod(1, 2, 5)), 5 * math.Pi, 2, 1},
		{"a turned rod and an extruded one in line", solid.Join(w.upright(0, 0, 1, 0, 3), w.extruded(1, 2, 5)), 5 * math.Pi, 2, 1},
		{"two rods of one length in one place", solid.Join(w.upright(0, 0, 1, 0, 3), turnedRod(1, 0, 3)), 3 * math.Pi, 2, 1},
		{"a rod less a rod in line", solid.Cut(w.upright(0, 0, 1, 0, 3), turnedRod(1, 2, 5)), 2 * math.Pi, 2, 1},
		{"a bore drilled from both sides", solid.Cut(bored, w.upright(0, 0, 1, -1, 2), turnedRod(1, 1, 4)), 48 - 3*math.Pi, 0, 1},
		{"a rod with a collar tool that fits it", solid.Cut(w.upright(0, 0, 2, 0, 3), collar), 12 * math.Pi, 2, 1},
		{"a pocket flush with the top, a tool that stands on it", solid.Cut(plate, w.block(1, 1, 1, 2, 2, 3), w.block(0, 0, 3, 4, 4, 5)), 46, 2, 1},
		{"a pocket on the hidden end of a block", solid.Cut(solid.Join(w.block(0, 0, 0, 3, 2, 1), w.block(2, 0, 0, 5, 2, 1)), w.block(3, 0.5, 0.5, 4, 1.5, 1)), 9.5, 2, 1},
		{"a rod and a cone from the same circle", solid.Join(w.upright(0, 0, 1, 0, 2), w.turned(0, 0, 1, vec2(0, 0), vec2(1, 0), vec2(1, 1), vec2(0, 3))), math.Pi * (2 + 2.0/3), 2, 1},
		{"the same solid twice", solid.Join(drilled(), drilled()), 0, -2, 1},
	}
}

func (w workshop) coneApexes() []torture {
	plate, front := w.block(-2, -2, 0, 2, 2, 3), w.block(-2, -3, 0, 2, 0, 3)
	drill := w.turned(0, 0, 1, vec2(0, 0), vec2(1.5, 3), vec2(0, 3)) // radius half the height above its apex at z = 1
	spike := w.turned(0, 0, 0, vec2(0, 0), vec2(1.5, 0), vec2(0, 3)) // apex at z = 3
	half := func(z float64) *solid.Solid {                           // on the front, apex at z
		return w.turned(0, 0, z, vec2(0, -2), vec2(0.8, -2), vec2(0, 0))
	}
	const halfCone = math.Pi * 0.64 * 2 / 3 / 2
	return []torture{
		{"drill point in a block", solid.Cut(plate, drill), 48 - math.Pi*2/3, 2, 1},
		{"cone with its apex inside a block", solid.Join(plate, drill), 48 + math.Pi/3*(1+1.5+2.25), 2, 1},
		{"cone cut off exactly at its apex", solid.Cut(spike, w.block(-2, -2, 3, 2, 2, 5)), 2.25 * math.Pi, 2, 1},
		{"cone cut off 0.001 below its apex", solid.Cut(spike, w.block(-2, -2, 2.999, 2, 2, 5)), 2.25*math.Pi - math.Pi*0.0005*0.0005*0.001/3, 2, 1},
		{"drill point 0.01 through", solid.Cut(plate, w.turned(0, 0, -0.01, vec2(0, 0), vec2(2, 4), vec2(0, 4))), 48 - math.Pi/12*(math.Pow(3.01, 3)-1e-6), 0, 1},
		{"half a cone on a face, its apex on the face", solid.Join(front, half(2.5)), 36 + halfCone, 2, 1},
		{"half a cone out of a face, its apex on the face", solid.Cut(front, half(2.5)), 36 - halfCone, 2, 1},
		{"half a cone on a face, its apex on the edge", solid.Join(front, half(3)), 36 + halfCone, 2, 1},
		{"half a cone out of a face, its apex on the edge", solid.Cut(front, half(3)), 36 - halfCone, 2, 1},
		// A quarter of it lies in the block; the other three stand out.
		{"cone along an edge, its apex on the corner", solid.Join(w.block(-3, -3, 0, 0, 0, 3), half(3)), 27 + 1.5*halfCone, 2, 1},
	}
}

func (w workshop) facesWithoutCorner() []torture {
	ring := w.place(solid.NewRing(2, 0.5, "ring"), solid.Upright)
	const pi = math.Pi
	// Pappus: the centre of a half disc of radius w is 4 w/(3 pi) from its flat side.
	off := 4 * 0.5 / (3 * pi)
	bored := 2 * math.Sqrt(4-1) // length of the bore of radius 1 left in a ball of radius 2
	return []torture{
		{"ring", ring, 2 * pi * 2 * pi * 0.25, 0, 1},
		{"ball", w.ball(1, 2, 3, 2), 4.0 / 3 * pi * 8, 2, 1},
		{"tube", solid.Cut(w.upright(0, 0, 2, 0, 3), w.upright(0, 0, 1, -1, 4)), 9 * pi, 0, 1},
		{"bore through a ball", solid.Cut(w.ball(0, 0, 0, 2), w.upright(0, 0, 1, -3, 3)), pi * bored * bored * bored / 6, 0, 1},
		{"bore through a ball, askew", solid.Cut(w.ball(0, 0, 0, 2), w.rod(then(turnedX(0.4), turnedY(0.3)), 1, -3, 3)), pi * bored * bored * bored / 6, 0, 1},
		{"hollow ball", solid.Cut(w.ball(0, 0, 0, 2), w.ball(0.3, 0.2, 0.1, 1)), 4.0 / 3 * pi * 7, 4, 2},
		{"two balls in one another", solid.Join(w.ball(0, 0, 0, 1), w.ball(1.2, 0, 0, 1)), 8.0/3*pi - pi*(4+1.2)*0.64/12, 2, 1},
		// A bore of radius r takes 4/3 pi (R^3 - (R^2 - r^2)^1.5) out of a ball; the rod shares half of that.
		{"ball on a rod", solid.Join(w.ball(0, 0, 0, 1), w.upright(0, 0, 0.6, -3, 0)), 4.0/3*pi + 3*pi*0.36 - 2.0/3*pi*(1-0.8*0.8*0.8), 2, 1},
		{"groove round a rod", solid.Cut(w.upright(0, 0, 2, -2, 2), ring), 16*pi - pi*0.125*2*pi*(2-off), 2, 1},
		{"bead round a rod", solid.Join(w.upright(0, 0, 2, -2, 2), ring), 16*pi + pi*0.125*2*pi*(2+off), 2, 1},
		{"ring turned out to its middle", solid.Cut(ring, w.upright(0, 0, 2, -2, 2)), pi * 0.125 * 2 * pi * (2 + off), 0, 1},
		{"hollow ring", solid.Cut(ring, w.place(solid.NewRing(2, 0.3, "hollow"), spun(0.1))), 2 * pi * 2 * pi * (0.25 - 0.09), 0, 2},
	}
}

// seatTool is a setter's drill on the z axis: the hole through, the cone, the seat, open above z = 0.
func seatTool() *solid.Revolve {
	return turnedProfile(vec2(0, -4), vec2(0.55, -4), vec2(0.55, -0.85), vec2(0.9, -0.35), vec2(0.9, 1), vec2(0, 1))
}

// seatVolume is what one seat takes out of a plate of thickness h.
func seatVolume(h float64) float64 {
	cone := 0.5 / 3 * (0.81 + 0.9*0.55 + 0.3025)
	return math.Pi * (0.81*0.35 + cone + 0.3025*(h-0.85))
}

func (w workshop) littleMetal() []torture {
	const between = 0.05
	var flat, crowned []*solid.Solid
	for i := range 3 {
		for k := range 2 {
			pitch := 1.8 + between
			flat = append(flat, w.place(seatTool(), at(pitch*float64(i-1), pitch*(float64(k)-0.5), 2)))
			// Seats square to the crown lean together; at the foot of the seat, 0.35 below a crown of radius 14, the
			// walls are to be 0.05 apart: two axes at an angle a, each wall leaning half of it.
			a := (math.Asin((0.9*2+between)/2/(14-0.35)) * 2) * (float64(k) - 0.5)
			crown := then(then(at(pitch*float64(i-1), 0, 2-14), turnedX(-a)), at(0, 0, 14))
			crowned = append(crowned, w.place(seatTool(), crown))
		}
	}
	plate := w.block(-3, -2.5, 0, 3, 2.5, 2)
	domed := solid.Common(plate, w.rod(then(at(0, 0, 2-14), turnedY(math.Pi/2)), 14, -9, 9))
	tub := solid.Cut(w.block(0, 0, 0, 6, 4, 3), w.block(between, between, between, 6-between, 4-between, 4))
	return []torture{
		{"six seats with 0.05 mm between them", solid.Cut(plate, flat...), 60 - 6*seatVolume(2), 2 - 2*6, 1},
		{"six seats with 0.05 mm between them on a crown", solid.Cut(domed, crowned...), 0, 2 - 2*6, 1},
		{"tub with walls of 0.05 mm", tub, 72 - (6-2*between)*(4-2*between)*(3-between), 2, 1},
		{"tube with a wall of 0.02 mm", solid.Cut(w.upright(0, 0, 2, 0, 3), w.upright(0, 0, 1.98, -1, 4)), 3 * math.Pi * (4 - 1.98*1.98), 0, 1},
		{"fin of 0.02 mm on a block", solid.Join(w.block(-2, -2, 0, 2, 2, 1), w.block(-0.01, -1.5, 0.5, 0.01, 1.5, 3)), 16 + 0.02*3*2, 2, 1},
		{"bore with 0.02 mm over it", solid.Cut(w.block(-2, -2, -2, 2, 2, 1.02), w.rod(alongY(0, 0), 1, -3, 3)), 16*3.02 - 4*math.Pi, 0, 1},
		{"two bores with 0.02 mm between them", solid.Cut(w.block(-3, -2, 0, 3, 2, 2), w.upright(-0.81, 0, 0.8, -1, 3), w.upright(0.81, 0, 0.8, -1, 3)), 48 - 4*0.64*math.Pi, -2, 1},
		{"shell of 0.02 mm, a ball", solid.Cut(w.ball(0, 0, 0, 2), w.ball(0, 0, 0, 1.98)), 4.0 / 3 * math.Pi * (8 - math.Pow(1.98, 3)), 4, 2},
	}
}

// beyondCorner is the area of the part of the unit disc about the origin that has x > d and y > d, if any.
func beyondCorner(d float64) float64 {
	s := math.Sqrt(1 - d*d)
	if s <= d {
		return 0
	}
	q, a, b := vec2(d, d), vec2(s, d), vec2(d, s)
	return (r2.Cross(q, a)+r2.Cross(b, q))/2 + (math.Acos(d)-math.Asin(d))/2
}

func (w workshop) breakingThrough() []torture {
	b := w.block(-2, -2, 0, 2, 2, 3)
	open := segment(1, 0.999)
	// A bore along y by the edge x = 2, z = 3, which is at a distance from its axis.
	byEdge := func(distance float64) (*solid.Solid, float64) {
		d := distance / math.Sqrt2
		return solid.Cut(b, w.rod(alongY(2-d, 3-d), 1, -3, 3)), 48 - 4*(math.Pi-2*segment(1, d)+beyondCorner(d))
	}
	over, overVolume := byEdge(0.995)
	under, underVolume := byEdge(1.005)
	leaning := then(at(2-0.995/math.Cos(30*degree), 0, 3), turnedY(30*degree))
	return []torture{
		{"bore that breaks through a side by 0.001", solid.Cut(b, w.upright(1.001, 0, 1, -1, 4)), 48 - 3*(math.Pi-open), 2, 1},
		{"blind bore that breaks through a side by 0.001", solid.Cut(b, w.upright(1.001, 0, 1, 1, 4)), 48 - 2*(math.Pi-open), 2, 1},
		{"bore that takes an edge off by 0.005", over, overVolume, 2, 1},
		// What is left of the edge is a bar on its own, 0.007 mm wide.
		{"bore that leaves 0.005 mm of an edge", under, underVolume, 4, 2},
		{"leaning bore that breaks through an edge by 0.005", solid.Cut(b, w.rod(leaning, 1, -1.5, 3)), 0, 2, 1},
	}
}

// place finds a point in the text of an error.
var place = regexp.MustCompile(`\(([-+.\de]+), ([-+.\de]+), ([-+.\de]+)\)`)

func placeIn(err error) (p r3.Vec, ok bool) {
	m := place.FindStringSubmatch(err.Error())
	if m == nil {
		return p, false
	}
	var c [3]float64
	for i := range c {
		v, err := strconv.ParseFloat(m[i+1], 64)
		if err != nil {
			return p, false
		}
		c[i] = v
	}
	return vec(c[0], c[1], c[2]), true
}

func TestPlaceInAnError(t *testing.T) {
	want := vec(1.25, -3e-05, 0.5)
	for _, err := range []error{faultAt(ClauseVertex, want, "said (so)"), fmt.Errorf("contour: not closed near (1.25, -0.00003, 0.5)")} {
		if p, ok := placeIn(err); !ok || p != want {
			t.Errorf("%v: found %v", err, p)
		}
	}
	if p, ok := placeIn(fmt.Errorf("contour: not closed (somewhere)")); ok {
		t.Errorf("found %v where no place is named", p)
	}
}

// A claw of radius 0.25 stands on a block and its side grazes the edge between the block's top and its face x = 0: it stands
// out of the face, or back from it, by less than the tolerance. This is the one place where the mesher may give up; then
// it must say where, which is on the line x = 0, y = 0 at or below the top, where the claw's side passes the face.
func TestClawThatGrazesAnEdge(t *testing.T) {
	const r, foot, top = 0.25, -0.3, 0.85
	for _, out := range []float64{-0.02, -0.006, -0.004, -0.001, -1e-4, -1e-6, 0, 1e-6, 1e-4, 0.001, 0.004, 0.006, 0.02} {
		t.Run(fmt.Sprintf("by %g", out), func(t *testing.T) {
			claw := solid.New(capsule(top-foot+r, r), at(r-out, 0, (top+foot-r)/2))
			s := solid.Join(block(t, 0, -2, -2, 3, 2, 0), claw)
			m, err := ofSafely(s, tortureTolerance)
			if err == nil {
				_, err = verifySafely(m, s, tortureTolerance)
			}
			if err == nil {
				// The claw's part above the block, a rod and half a ball, and the sliver beside the face down to where the
				// foot's ball begins, which is within the bound.
				near(t, "volume, mm3", Volume(m), 24+math.Pi*r*r*(top-r)+2*math.Pi/3*r*r*r+sliver(r, out)*-foot, volumeBound(m, s, tortureTolerance))
				if got := len(m.V) - len(m.T)/2; got != 2 || piecesOf(m) != 1 {
					t.Errorf("Euler characteristic %d in %d pieces, want 2 in 1", got, piecesOf(m))
				}
				return
			}
			if math.Abs(out) > tortureTolerance {
				t.Fatalf("beyond the tolerance it must be meshed: %v", err)
			}
			t.Logf("gives up: %v", err)
			at, ok := placeIn(err)
			if !ok {
				t.Fatalf("the error names no place: %v", err)
			}
			if math.Abs(at.X) > 0.02 || math.Abs(at.Y) > 0.1 || at.Z > 0.02 || at.Z < foot-r {
				t.Errorf("the claw grazes the edge at (0, 0, 0); the error is about %v: %v", at, err)
			}
		})
	}
}

// sliver is the area of a disc of radius r that stands out over a line by h.
func sliver(r, h float64) float64 {
	if h <= 0 {
		return 0
	}
	return segment(r, r-h)
}
