package clasp

import (
	"fmt"
	"testing"

	"claspwright/model/contour"
)

// Whatever stock the leaf is given, neck, pad and ramp between them keep a shape of their own in the casting.
func TestLeafStockLeavesTheRamp(t *testing.T) {
	for _, s := range []float64{0, 0.1, 0.2, 0.34, 0.5, 0.52, 0.6} {
		l := derive(t, "gold", "chain.width=22", "chain.thickness=10", fmt.Sprint("stock.leaf=", s))
		tongue, err := l.Tongue(Casting)
		if err != nil {
			t.Errorf("stock.leaf %g: %v", s, err)
			continue
		}
		if _, err := contour.Of(tongue, 0.02); err != nil {
			t.Errorf("stock.leaf %g: %v", s, err)
		}
	}
}
