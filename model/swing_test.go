package model

import (
	"math"
	"testing"
)

// The swing of the next link, measured between the finished lock and the link, for each chain end at three widths. Both
// ends of a lock must give the same, since one is the other turned by 180 degrees.
func TestSwingOfTheNextLink(t *testing.T) {
	plainRunOnly(t)
	for _, end := range []string{"pad", "cradle", "lug"} {
		for _, size := range [][2]string{{"8", "4"}, {"12.4", "5.2"}, {"18", "7.6"}} {
			c := commission(t, Want{}, "chain.width="+size[0], "chain.thickness="+size[1], "metal.alloy=au585-yellow", "lock.end="+end)
			swing := c.measureSwing()
			a, b := swing[0], swing[1]
			t.Logf("%-6s %4s mm: down %.1f, up %.1f degrees, %.2f mm off the lock at rest", end, size[0], a.Down, a.Up, a.Rest)
			if math.Abs(a.Down-b.Down) > 0.05 || math.Abs(a.Up-b.Up) > 0.05 || math.Abs(a.Rest-b.Rest) > 0.003 {
				t.Errorf("%s at %s mm: box %+v, block %+v", end, size[0], a, b)
			}
			if a.Down < 60 || a.Up < 60 {
				t.Errorf("%s at %s mm does not fold for packing: %+v", end, size[0], a)
			}
		}
	}
}

// A link that is too short for its end is caught.
func TestSwingOfAShortLinkIsCaught(t *testing.T) {
	c := commission(t, Want{Checks: true}, append(trial, "link.length=8.4")...)
	if c.Swing[0].Rest >= 0.3 {
		t.Errorf("a halved link 4.2 mm long leaves %.2f mm before a wire of 4.13 mm", c.Swing[0].Rest)
	}
	for _, f := range c.Findings {
		if f.Check == "next link clear of the box" && f.Grade == "ok" {
			t.Error("the finding says ok")
		}
	}
}
