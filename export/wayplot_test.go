package export

import (
	"bytes"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot/plotter"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/solid"
	"claspwright/model/spring"
	"claspwright/params"
)

// The same commission draws the same bytes, a picture of the size that is meant.
func TestWayIsTheSameEveryTime(t *testing.T) {
	c := commission(t, plainJob...)
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WriteWay(w, c); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two pictures of one way in differ")
	}
	img, err := png.Decode(&a)
	if err != nil {
		t.Fatal(err)
	}
	if s := img.Bounds().Size(); s.X != wayWide || s.Y != wayHigh {
		t.Errorf("%v pixels", s)
	}
}

// Five stations in the order in which they are passed. The first is the last before the lip is met, with no push yet; the lip bears at
// the three that follow.
func TestWayShowsFiveStations(t *testing.T) {
	c := commission(t, plainJob...)
	ms := momentsOf(c)
	if len(ms) != 5 {
		t.Fatalf("%d stations", len(ms))
	}
	for i := 1; i < len(ms); i++ {
		if ms[i].out >= ms[i-1].out {
			t.Errorf("station %d is %.2f mm out after %.2f", i, ms[i].out, ms[i-1].out)
		}
	}
	if len(ms[0].touches) > 0 || !strings.Contains(ms[0].title, "push 0.0 N") {
		t.Errorf("before the touch: %s, %v", ms[0].title, ms[0].touches)
	}
	for _, m := range ms[1:4] {
		if len(m.touches) == 0 {
			t.Errorf("nothing touches: %s", m.title)
		}
	}
	next := slices.IndexFunc(c.Spring.Way, func(s spring.Step) bool { return s.Out < ms[0].out })
	if len(c.Spring.Way[next].Touches) == 0 {
		t.Error("a later station is before the touch too")
	}
}

// domedJob has a domed underside, and an alloy whose yield is estimated.
var domedJob = []string{"chain.width=18", "chain.thickness=7.6", "chain.underside=60", "metal.alloy=au916-yellow"}

// within tells by ray whether a point lies in an outline.
func within(o plotter.XYs, x, z float64) bool {
	in := false
	for i, a := range o {
		b := o[(i+1)%len(o)]
		if (a.Y > z) != (b.Y > z) && x < a.X+(b.X-a.X)*(z-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// The outlines that are drawn, against the solids that are built: the fillet at the lip's root, which is left out, is the greatest
// difference: (sqrt 2 - 1) of its radius in a square corner.
func TestWayDrawsWhatIsBuilt(t *testing.T) {
	for _, sets := range [][]string{plainJob, crownedJob, domedJob} {
		c := commission(t, sets...)
		l, y := c.Lock, c.Lock.NotchWidth/2+c.Lock.Shoulder()/2
		cut, err := shoulderCut(c)
		if err != nil {
			t.Fatal(err)
		}
		box, err := l.Box(clasp.Finished)
		if err != nil {
			t.Fatal(err)
		}
		tongue, err := l.Tongue(clasp.Finished)
		if err != nil {
			t.Fatal(err)
		}
		b, root, leaf := boxOutline(c, cut), rootOutline(c, 0), leafOutline(c.Spring.Relaxed, l.Leaf, 0)
		off := func(name string, s *solid.Solid, x, z float64, in bool) {
			if f := s.Eval(r3.Vec{X: x, Y: y, Z: z}); (f < 0) != in && math.Abs(f) > (math.Sqrt2-1)*l.LipRoot {
				t.Errorf("%v: %s at x %.2f z %.2f is off by %.3f mm", sets, name, x, z, math.Abs(f))
			}
		}
		for x := 0.013; x < l.BoxLength; x += 0.05 {
			for z := -0.2; z < l.Thickness+0.2; z += 0.05 {
				off("box", box, x, z, within(b, x, z))
				if x < l.XRear && z < l.ZLip+0.5 {
					off("tongue", tongue, x, z, within(root, x, z) || within(leaf, x, z))
				}
			}
		}
	}
}

// What is told of the yield: nothing where it is not known, and that it is an estimate where it is one.
func TestWayTellsWhatYieldIs(t *testing.T) {
	c := *commission(t, domedJob...)
	if !c.Spring.Estimated {
		t.Fatal("this alloy's yield is to be an estimate")
	}
	draw := func() string {
		var w bytes.Buffer
		if err := WriteWay(&w, &c); err != nil {
			t.Fatal(err)
		}
		return w.String()
	}
	estimated := draw()
	s := *c.Spring
	c.Spring, s.Estimated = &s, false
	published := draw()
	s.Yield = params.Figure{}
	if none := draw(); estimated == published || published == none {
		t.Error("a yield published, estimated and not known look the same")
	}
}

func TestWayNeedsASpringAndAFolder(t *testing.T) {
	err := WriteWay(&bytes.Buffer{}, &model.Commission{Spring: &model.Spring{Failed: "the strip gives way"}})
	if err == nil || !strings.Contains(err.Error(), "the strip gives way") {
		t.Errorf("without a spring: %v", err)
	}
	path := filepath.Join(t.TempDir(), "none", "way.png")
	if err := SaveWay(path, commission(t, plainJob...)); err == nil || !strings.Contains(err.Error(), path) {
		t.Errorf("into no folder: %v", err)
	}
	dir := t.TempDir()
	if err := SaveWay(filepath.Join(dir, "way.png"), &model.Commission{}); err == nil {
		t.Error("nothing to draw, and no error")
	}
	taken := filepath.Join(dir, "taken")
	if err := os.Mkdir(taken, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := SaveWay(taken, commission(t, plainJob...)); err == nil || !strings.HasPrefix(err.Error(), taken+" cannot be written") {
		t.Errorf("over a folder: %v", err)
	}
	if left, _ := os.ReadDir(dir); len(left) != 1 {
		t.Errorf("left behind: %v", left)
	}
}

// The picture can be read by whoever may read a job folder.
func TestWayIsNoPrivateFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "way.png")
	if err := SaveWay(path, commission(t, plainJob...)); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm() != 0o644 {
		t.Errorf("mode %v", info.Mode())
	}
}
