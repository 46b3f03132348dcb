package clasp

import (
	"errors"
	"math"
	"strings"
	"testing"

	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/params"
)

// stripLocks are locks with a leaf of rolled strip, from the flattest that derivation allows to wide ones.
var stripLocks = [][]string{
	{"chain.width=8", "chain.thickness=3.2"},
	{"chain.width=10", "chain.thickness=4"},
	{"chain.width=14", "chain.thickness=6", "chain.crown=21", "lock.end=cradle", "strip.fix=laser"},
	{"chain.width=20", "chain.thickness=8", "lock.end=lug", "strip.fix=solder"},
}

func rolled(t testing.TB, sets []string) *Lock {
	t.Helper()
	return derive(t, "gold", append([]string{"tongue.make=strip"}, sets...)...)
}

// Cast root, strip, held part, tab and finished tongue of strip locks mesh and prove, at each stage that they have.
func TestStripSolidsAreSound(t *testing.T) {
	for _, sets := range stripLocks {
		l := rolled(t, sets)
		for name, build := range map[string]func() (*solid.Solid, error){
			"finished tongue": func() (*solid.Solid, error) { return l.Tongue(Finished) },
			"casting":         func() (*solid.Solid, error) { return l.Tongue(Casting) },
			"finished root":   func() (*solid.Solid, error) { return l.Root(Finished) },
			"strip":           l.Strip, "held part": l.Held, "tab": l.Tab,
		} {
			s, err := build()
			if err != nil {
				t.Errorf("%v, %s: %v", sets, name, err)
				continue
			}
			m, err := contour.Of(s, 0.005)
			if err != nil {
				t.Errorf("%v, %s: %v", sets, name, err)
				continue
			}
			if _, err := contour.Verify(m, s, 0.005); err != nil {
				t.Errorf("%v, %s: %v", sets, name, err)
			}
		}
	}
}

// Thickness, fold and length of strip by derivation's table: 0.04 of the width between 0.35 and 0.6 mm, never folded sharper than half of it, the
// same thickness from root to tip, and a rivet 1.5 diameters and more from every edge.
func TestStripIsDerivedByItsOwnRules(t *testing.T) {
	for _, sets := range stripLocks {
		l := rolled(t, sets)
		if want := clamp(0.04*l.Width, 0.35, 0.6); math.Abs(l.Leaf-want) > 1e-12 && l.Width > 8 { // at 8 mm the height asks for less
			t.Errorf("%v: strip of %.3f mm, want %.3f", sets, l.Leaf, want)
		}
		if l.Fold < 0.5*l.Leaf-1e-12 || l.TabBend < 0.5*l.Leaf || l.Taper != 1 || l.TabThickness != l.Leaf {
			t.Errorf("%v: fold %.3f, tab's bend %.3f, taper %g, tab %.3f", sets, l.Fold, l.TabBend, l.Taper, l.TabThickness)
		}
		edge := min(l.RivetX-l.XSeat-l.SeatPlay, l.XPad-l.Toe-l.RivetX, l.LowerWidth/2-l.RivetY)
		if edge < EdgeRule*l.Rivet-1e-9 {
			t.Errorf("%v: rivet of %.2f mm %.3f mm from an edge", sets, l.Rivet, edge)
		}
	}
}

// The strip touches its root in the seat alone: the seat's roof lies on the strip's upper face, and behind it is the play.
func TestStripLiesInItsSeat(t *testing.T) {
	for _, sets := range stripLocks {
		l := rolled(t, sets)
		root, err := l.Root(Finished)
		if err != nil {
			t.Fatal(err)
		}
		leaf, err := l.Strip()
		if err != nil {
			t.Fatal(err)
		}
		m, err := contour.Of(leaf, 0.002)
		if err != nil {
			t.Fatal(err)
		}
		touch := 0
		for _, p := range m.V {
			f := root.Eval(p)
			if f < -1e-6 {
				t.Errorf("%v: the strip stands %.4f mm in its root at %v", sets, -f, p)
			}
			if f < 1e-6 {
				touch++
			}
		}
		if touch == 0 {
			t.Errorf("%v: the strip bears nowhere on its root", sets)
		}
		if low := leaf.Bounds().Min; math.Abs(low.Z-l.ZLeaf) > 1e-9 || math.Abs(low.X-l.XSeat-l.SeatPlay) > 1e-9 {
			t.Errorf("%v: the strip begins at %v", sets, low)
		}
	}
}

// What strip cannot have is refused with the key that is in the way.
func TestStripRefusals(t *testing.T) {
	for key, sets := range map[string][]string{
		"tongue.leaf":     {"chain.width=12", "chain.thickness=6", "tongue.leaf=0.8"},
		"tab.thickness":   {"chain.width=12", "chain.thickness=6", "tab.thickness=1"},
		"strip.rivet":     {"chain.width=8", "chain.thickness=3.6", "strip.rivet=1.5"},
		"chain.thickness": {"chain.width=8", "chain.thickness=2.8"},
	} {
		refused(t, key, append([]string{"tongue.make=strip"}, sets...))
	}
	no := refused(t, "chain.thickness", []string{"chain.width=8", "chain.thickness=3.2"})
	if no != nil && !strings.Contains(no.Nearest, "tongue.make") {
		t.Errorf("a cast leaf too high for the lock: %q does not name the strip", no.Nearest)
	}
	refused(t, "tongue.fold", []string{"chain.width=12", "chain.thickness=6", "tongue.fold=0.18"})
}

func refused(t *testing.T, key string, sets []string) *Refusal {
	t.Helper()
	job, err := params.Parse("test", nil, append([]string{"metal.alloy=au750-yellow"}, sets...))
	if err != nil {
		t.Fatal(err)
	}
	var no *Refusal
	if _, err = Derive(job, "gold", nil); !errors.As(err, &no) || no.Key != key {
		t.Errorf("%v: %v, want a refusal of %s", sets, err, key)
		return nil
	}
	return no
}
