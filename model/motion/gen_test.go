package motion

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"claspwright/model/clasp"
	"claspwright/model/solid"
	"claspwright/model/spring"
	"claspwright/params"
)

// lockOf derives a lock from key=value pairs.
func lockOf(t testing.TB, sets ...string) *clasp.Lock {
	t.Helper()
	job, err := params.Parse("test", nil, append([]string{"metal.alloy=au585-yellow"}, sets...))
	if err != nil {
		t.Fatal(err)
	}
	l, err := clasp.Derive(job, "gold", nil)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func xy(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }

var locks = [][]string{
	{"chain.width=8", "chain.thickness=4"},
	{"chain.width=12.4", "chain.thickness=5.2"},
	{"chain.width=18", "chain.thickness=8", "chain.crown=27"},
}

// sizes are the locks, one of them in short runs.
func sizes() [][]string {
	if testing.Short() {
		return locks[1:2]
	}
	return locks
}

func must(s *solid.Solid, err error) *solid.Solid {
	if err != nil {
		panic(err)
	}
	return s
}

// leafStations is the leaf's middle line in n steps a stretch, with so much curvature (1/mm) added along the lower leaf and taken
// from the upper one, both falling off towards the fold: near to how a pressed leaf bends, and nothing of package spring. It begins
// with a piece of root pad, so that there is a step.
func leafStations(l *clasp.Lock, n int, bend float64) []spring.Station {
	t, r := l.Leaf, l.Fold+l.Leaf/2
	run, up := l.XKnee-l.XTip, l.ZTip-l.Taper*t/2-(l.ZUpper-t/2)
	x0 := l.XPad + 0.124
	st := []spring.Station{{S: 0, X: x0 - 1, Z: l.ZLeaf + 0.6, T: 1.2, Width: l.LowerWidth}, {S: 1, X: x0, Z: l.ZLeaf + 0.6, T: 1.2, Width: l.LowerWidth}}
	s, x, z, angle := 1.0, x0, l.ZLeaf+t/2, 0.0
	lay := func(length, curve0, curve1, t0, t1, width float64, n int) {
		st = append(st, spring.Station{S: s, X: x, Z: z, Angle: angle, T: t0, Width: width})
		for i := range n {
			h := length / float64(n)
			k := curve0 + (curve1-curve0)*(float64(i)+0.5)/float64(n)
			// an arc: its chord runs at the mean angle
			c := h
			if k != 0 {
				c = 2 / k * math.Sin(k*h/2)
			}
			x, z = x+c*math.Cos(angle+k*h/2), z+c*math.Sin(angle+k*h/2)
			s, angle = s+h, angle+k*h
			st = append(st, spring.Station{S: s, X: x, Z: z, Angle: angle, T: t0 + (t1-t0)*float64(i+1)/float64(n), Width: width})
		}
	}
	lay(l.XFold-x0, bend, bend/2, t, t, l.LowerWidth, n)
	lay(math.Pi*r, 1/r+bend/2, 1/r+bend/2, t, t, l.UpperWidth, n)
	lay(l.XFold-l.XKnee, bend/2, bend/4, t, t, l.UpperWidth, n)
	angle -= math.Atan2(up, run)
	lay(math.Hypot(run, up), bend/4, 0, t, l.Taper*t, l.UpperWidth, n)
	return st
}

func shapeOf(l *clasp.Lock) Shape {
	st := leafStations(l, 24, 0)
	return Shape{Tip: st[len(st)-1], Chamfer: l.Chamfer, Lap: l.Lap()}
}
