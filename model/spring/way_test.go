package spring

import (
	"math"
	"testing"
)

// bench is a lock of 12.4 mm as the project's rules dimension it.
func bench() *Lock {
	return &Lock{
		Metal: Metal{E: 90000, Poisson: 0.42}, FaceGap: 0.05, Floor: 0.6, NeckPlay: 0.04, Mouth: 2.0656, XNeck: 0.8, XPad: 3.8, ZPad: 1.9371,
		ZLeaf: 0.68, Leaf: 0.558, Taper: 0.75, Fold: 0.3348, XTip: 1.25, XKnee: 8.411, XFold: 14.27, ZUpper: 2.4656, ZTip: 3.1656, Chamfer: 0.1,
		LowerWidth: 10.772, UpperWidth: 10.672, NotchWidth: 3.4, TabWidth: 3.1, TabThickness: 1.1, TabTop: 6.2,
		Lip: 1.1, LipEntry: 0.25, ZLip: 2.6656, LipDepth: 0.62, XStep: 7.109, StepRun: 0.6, ZFront: 3.2856, Engagement: 0.5, Travel: 0.6, EndPlay: 0.15,
	}
}

func usual() Ask {
	return Ask{Yield: 300, Pull: 100, Friction: [3]float64{0.1, 0.2, 0.3}, Stations: 20}
}

func analysed(t *testing.T, l *Lock, a Ask) *Result {
	t.Helper()
	r, err := l.Analyse(a)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// On the way in forces balance, touches push and never pull, friction stays within its cone, and the shoulders end up at the lip's edge.
func TestWayIn(t *testing.T) {
	l := bench()
	way, err := l.Way(0.2, 20)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range way {
		push := 0.0
		for _, q := range s.Touches {
			if q.Normal < 0 {
				t.Errorf("station %d pulls at the %s", i, q.On)
			}
			push -= q.Along
		}
		if math.Abs(push-s.Push) > 1e-9 {
			t.Errorf("station %d: pushed with %.6f N, the touches ask for %.6f", i, s.Push, push)
		}
		if i > 0 && (s.Out >= way[i-1].Out || s.Drop < way[i-1].Drop-1e-3) {
			t.Errorf("station %d: %.3f mm out, %.4f down after %.3f and %.4f", i, s.Out, s.Drop, way[i-1].Out, way[i-1].Drop)
		}
	}
	last := way[len(way)-1]
	// The shoulder's edge stood engagement less chamfer (and its slope) over the lip's edge; now it is level with it.
	lift := l.ZTip - l.Chamfer*(l.ZTip-l.ZUpper)/(l.XKnee-l.XTip) - l.ZLip
	near(t, "drop at the snap", last.Drop, lift, 0.01)
	if last.Lift < 1 {
		t.Errorf("the lip presses with %.2f N only", last.Lift)
	}
}

// More friction, more push; the greatest stress hardly changes. Softer metal, less force in proportion and the same stress.
func TestFrictionAndModulus(t *testing.T) {
	r := analysed(t, bench(), usual())
	if !(r.Push[0] < r.Push[1] && r.Push[1] < r.Push[2]) {
		t.Errorf("pushes %v do not grow with friction", r.Push)
	}
	l := bench()
	l.Metal.E *= 2
	twice := analysed(t, l, usual())
	near(t, "release in a metal twice as stiff", twice.Release.Force, 2*r.Release.Force, 1e-6)
	near(t, "stress in it", twice.Release.Peak.Size(), 2*r.Release.Peak.Size(), 1e-6)
}

// Both leaves bend: the fold rises by 0.15 to 0.25 of the travel, and a leaf on a stiff lower leaf would be about twice as stiff.
func TestFoldRises(t *testing.T) {
	r := analysed(t, bench(), usual())
	if k := r.Release.FoldRise / r.Release.Drop; k < 0.14 || k > 0.26 {
		t.Errorf("the fold rises by %.3f of the travel", k)
	}
	l := bench()
	free := r.Release.Force
	l.ZUpper, l.Fold = l.ZUpper+0.19, l.Fold+0.095 // the fold bears on the roof at once: the lower leaf is held down
	held, err := l.Way(0.2, 20)
	if err != nil {
		t.Fatal(err)
	}
	roof := false
	for _, s := range held {
		for _, q := range s.Touches {
			roof = roof || q.On == AtRoof
		}
	}
	if !roof || free <= 0 {
		t.Error("a chamber without room for the fold's rise does not hold it down")
	}
}

// Pressed to the stop the leaf stands on the pad, and pressed a little less it does not.
func TestStop(t *testing.T) {
	l := bench()
	r := analysed(t, l, usual())
	f, m := l.frame()
	b := l.bed(f, m, 0, 0)
	b.noPad = true
	for _, c := range []struct{ by, least, most float64 }{{0, -1e-4, 1e-4}, {-0.01, 0.003, 0.02}, {0.01, -0.02, -0.003}} {
		e, _, err := b.pressed(b.tab(), r.Stop.Drop+c.by, nil)
		if err != nil {
			t.Fatal(err)
		}
		if g := b.stopGap(e.shape); g < c.least || g > c.most {
			t.Errorf("pressed %+.2f mm about the stop the gap is %.4f mm", c.by, g)
		}
	}
}

// The pull's sums by hand.
func TestPullByHand(t *testing.T) {
	l := bench()
	r := analysed(t, l, usual())
	shoulders := l.UpperWidth - l.NotchWidth
	near(t, "bearing", r.Pull.Bearing, 100/(shoulders*(l.Engagement-l.Chamfer)), 1e-9)
	near(t, "lip", r.Pull.Lip, 6*100*l.LipDepth/(shoulders*l.Lip*l.Lip), 1e-9)
	near(t, "shear", r.Pull.Shear, 100/(shoulders*0.75*l.Leaf), 1e-9)
	near(t, "lip at 20 degrees, one shoulder", r.Askew.Lip, 2*math.Cos(20*math.Pi/180)*r.Pull.Lip, 1e-9)
	if r.Pull.RoofN < 1 {
		t.Errorf("the roof bears %.2f N of the pull: the tip is not held", r.Pull.RoofN)
	}
	half := usual()
	half.Pull = 1
	if s := analysed(t, l, half); 100*s.Pull.Leaf.Size() < 1.5*r.Pull.Leaf.Size() {
		t.Errorf("1 N gives %.2f MPa, 100 N %.2f: once the roof holds the tip, stress should grow less than the pull", s.Pull.Leaf.Size(), r.Pull.Leaf.Size())
	}
}

// Beyond yield the leaf keeps a set; below it none.
func TestSet(t *testing.T) {
	a := usual()
	a.Yield = 0.85 * analysed(t, bench(), a).Release.Peak.Size()
	r := analysed(t, bench(), a)
	if !r.SetKnown || r.Set <= 0 || r.Set > 0.2 {
		t.Errorf("set %.4f mm, known %v", r.Set, r.SetKnown)
	}
	a.Yield *= 2
	if r := analysed(t, bench(), a); r.Set != 0 || !r.SetKnown {
		t.Errorf("set %.4f mm below yield", r.Set)
	}
	a.Yield = 40
	if r := analysed(t, bench(), a); r.SetKnown {
		t.Error("a leaf that folds down is given a set")
	}
}

// The moment of a rectangle beyond yield: at curvature twice that of first yield it is 1.375 of the first (S. Timoshenko, Strength of
// Materials, Part II, bending beyond the elastic limit: M = My (3 - (ky/k)2)/2).
func TestFlow(t *testing.T) {
	g := segment{h: 1, t0: 0.5, t1: 0.5, b: 4}
	g.c = complianceOf(soft, &g)
	first := 200 * 4 * 0.25 / 6
	k, ok := g.flow(1.375*first, 200)
	if !ok {
		t.Fatal("refused")
	}
	near(t, "curvature left over", k, (2-1.375)*first*g.c.mm, 1e-9)
	if _, ok := g.flow(1.5*first, 200); ok {
		t.Error("the full plastic moment is borne")
	}
}

func BenchmarkAnalyse(b *testing.B) {
	for b.Loop() {
		if _, err := bench().Analyse(usual()); err != nil {
			b.Fatal(err)
		}
	}
}

// A strip fixed under its pad bends from the pad's toe on: there the thickness steps from strip and toe to the strip alone, whose middle line lies
// level. Against the same leaf grown out of a pad of the same height, the toe freeing less of it, force and stress change by little.
func TestStripLeavesThePadAtItsToe(t *testing.T) {
	l := bench()
	l.Toe = 0.25
	r := analysed(t, l, usual())
	var steps []int
	for i := 1; i < len(r.Relaxed); i++ {
		a, b := r.Relaxed[i-1], r.Relaxed[i]
		if b.S-a.S < 1e-9 && math.Abs(a.T-(l.Leaf+l.Toe)) < 1e-9 && math.Abs(b.T-l.Leaf) < 1e-9 {
			steps = append(steps, i)
		}
	}
	if len(steps) != 1 {
		t.Fatalf("%d steps from pad to strip", len(steps))
	}
	s := r.Relaxed[steps[0]]
	if math.Abs(s.X-(l.XPad-l.Toe)) > 1e-9 || math.Abs(s.Z-(l.ZLeaf+l.Leaf/2)) > 1e-9 || s.Angle != 0 {
		t.Errorf("the strip begins at (%.4f, %.4f), angle %g", s.X, s.Z, s.Angle)
	}
	cast := analysed(t, bench(), usual())
	if k := r.Release.Force / cast.Release.Force; k < 0.95 || k > 1.02 {
		t.Errorf("release %.3f N at the toe, %.3f N grown on", r.Release.Force, cast.Release.Force)
	}
	t.Logf("release %.3f N and %.3f N, peak %.1f and %.1f MPa", r.Release.Force, cast.Release.Force, r.Release.Peak.Size(), cast.Release.Peak.Size())
}
