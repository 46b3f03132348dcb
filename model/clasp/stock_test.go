package clasp

import (
	"fmt"
	"testing"

	"claspwright/model/contour"
)

// With much stock and a high stop the root pad's top shrinks in the casting: what the check lets through can be built, right up to its limit.
func TestMostLeafStockCanBeBuilt(t *testing.T) {
	for _, stop := range []string{"0.1", "0.2", "0.4"} {
		for _, lip := range []string{"1.1", "1.8", "2.6"} {
			l := derive(t, "gold", "chain.width=22", "chain.thickness=10", "tongue.length=9", "tongue.stop="+stop, "lock.lip="+lip)
			for _, s := range []float64{0.5 * l.mostLeafStock(), l.mostLeafStock()} {
				l.Stock.Leaf = s
				if _, err := l.Tongue(Casting); err != nil {
					t.Errorf("stop %s, lip %s, stock.leaf %.3f: %v", stop, lip, s, err)
				}
			}
		}
	}
}

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
