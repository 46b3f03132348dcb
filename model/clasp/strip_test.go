package clasp

import (
	"testing"

	"claspwright/model/contour"
	"claspwright/model/solid"
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
