package survey

import (
	"math"
	"runtime"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/solid"
	"claspwright/params"
)

// bench builds solids in a frame, so that each can be measured upright and askew.
type bench struct {
	t    testing.TB
	pose solid.Pose
}

// frames are the two ways in which solids are set up.
var frames = []struct {
	name string
	pose solid.Pose
}{
	{"upright", solid.Upright},
	{"askew", askew(0.7, -0.4, 0.9).At(vec(1.3, -2.1, 0.6))},
}

// askew is a turn by three angles about z, y and x.
func askew(a, b, c float64) solid.Pose {
	turn := func(v r3.Vec) r3.Vec {
		v = r3.NewRotation(a, vec(0, 0, 1)).Rotate(v)
		v = r3.NewRotation(b, vec(0, 1, 0)).Rotate(v)
		return r3.NewRotation(c, vec(1, 0, 0)).Rotate(v)
	}
	return solid.Pose{X: turn(vec(1, 0, 0)), Y: turn(vec(0, 1, 0)), Z: turn(vec(0, 0, 1))}
}

func vec(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

func (b bench) place(s solid.Shape, at solid.Pose) *solid.Solid {
	return solid.New(s, solid.Pose{O: b.pose.World(at.O), X: b.pose.Turn(at.X), Y: b.pose.Turn(at.Y), Z: b.pose.Turn(at.Z)})
}

func (b bench) block(x0, y0, z0, x1, y1, z1 float64) *solid.Solid {
	b.t.Helper()
	return b.tagged("block", x0, y0, z0, x1, y1, z1)
}

func (b bench) tagged(tag string, x0, y0, z0, x1, y1, z1 float64) *solid.Solid {
	b.t.Helper()
	s, err := solid.NewBlock(vec(x0, y0, z0), vec(x1, y1, z1), tag)
	if err != nil {
		b.t.Fatal(err)
	}
	return b.place(s, solid.Upright)
}

func (b bench) rod(at solid.Pose, r, lo, hi float64) *solid.Solid {
	return b.place(solid.NewRod(r, lo, hi, "rod", "rod end"), at)
}

func at(x, y, z float64) solid.Pose { return solid.Upright.At(vec(x, y, z)) }

// lying is a pose whose z runs along x.
func lying(x, y, z float64) solid.Pose { return solid.AlongX.At(vec(x, y, z)) }

func (b bench) ball(x, y, z, r float64) *solid.Solid {
	low, high := r2.Vec{Y: -r}, r2.Vec{Y: r}
	return b.place(solid.NewRevolve(solid.Chain{{A: low, B: high, R: r, Tag: "ball"}, {A: high, B: low, Tag: "axis"}}), at(x, y, z))
}

// prism stands on a polygon in (x, z), from y = -w/2 to w/2.
func (b bench) prism(w float64, pts ...r2.Vec) *solid.Solid {
	var ch solid.Chain
	for i, p := range pts {
		ch = append(ch, solid.Seg{A: p, B: pts[(i+1)%len(pts)], Tag: "side"})
	}
	return b.place(solid.NewPrism(ch, -w/2, w/2, "end"), solid.AcrossY)
}

// wedge is a prism of length w whose sharp edge, of that many degrees, lies along y through the origin.
func (b bench) wedge(degrees, reach, w float64) *solid.Solid {
	h := reach * math.Tan(degrees/2/radian)
	return b.prism(w, r2.Vec{}, r2.Vec{X: reach, Y: -h}, r2.Vec{X: reach, Y: h})
}

// each runs a test upright and askew.
func each(t *testing.T, f func(t *testing.T, b bench)) {
	for _, fr := range frames {
		t.Run(fr.name, func(t *testing.T) { f(t, bench{t, fr.pose}) })
	}
}

// lock gives the finished halves of a lock.
func lock(t testing.TB, sets ...string) (box, tongue *solid.Solid) {
	t.Helper()
	job, err := params.Parse("t", nil, append(sets, "catch.sides=none")) // rays across a round dimple find chords of it
	if err != nil {
		t.Fatal(err)
	}
	l, err := clasp.Derive(job, "gold", nil)
	if err != nil {
		t.Fatal(err)
	}
	if box, err = l.Box(clasp.Finished); err != nil {
		t.Fatal(err)
	}
	if tongue, err = l.Tongue(clasp.Finished); err != nil {
		t.Fatal(err)
	}
	return box, tongue
}

func trial(t testing.TB) (box, tongue *solid.Solid) {
	return lock(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow")
}

// onCores runs f with a number of cores.
func onCores(n int, f func()) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
	f()
}

func close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6f, want %.6f within %g", what, got, want, within)
	}
}
