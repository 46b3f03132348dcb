//go:build long

package model

import (
	"context"
	"testing"
)

// Of each of 100 random locks both gauges are built and proven, whatever the keys of the gauges are.
func TestLongGauges(t *testing.T) {
	least := 1.0
	EachLock(t, 20261131, int(100*Share()), Want{}, func(sets []string, c *Commission) {
		g, err := NewGauges(context.Background(), c.Job)
		if err != nil {
			t.Errorf("%v: %v", sets, err)
			return
		}
		least = min(least, g.Crown.Land/c.Lock.Width)
		if g.Crown.Land <= 0 || g.Plate.VolumeMM3 <= 0 || g.Pattern.VolumeMM3 <= 0 {
			t.Errorf("%v: %+v", sets, g.Crown)
		}
	})
	t.Logf("the no-go's crown is %.2f of the width at least", least)
}
