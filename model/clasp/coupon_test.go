package clasp

import (
	"math"
	"testing"

	"claspwright/model/contour"
)

// Volume by hand: bar with its six slots out, arm, two tongues, and the post above the base.
func TestCouponVolume(t *testing.T) {
	for _, step := range []float64{0.01, 0.03, 0.08} {
		c := (&Lock{SidePlay: 0.07}).Coupon(step)
		s, err := c.Solid()
		if err != nil {
			t.Fatal(err)
		}
		m, err := contour.Finely(s, 0.005, 0.25)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := contour.Verify(m, s, 0.005); err != nil {
			t.Fatal(err)
		}
		slots, wide := 0.0, 7*1.8
		for i := range 6 {
			w := 3 + 2*(0.07+float64(i-2)*step)
			slots, wide = slots+w*4*2, wide+w
		}
		want := wide*8*2 - slots + 2.5*12*2 + (3+3-step)*3.6*2 + 2.5*2.5*13
		got := contour.Volume(m)
		t.Logf("step %.2f: %.4f mm3, by hand %.4f, %.1f mm long", step, got, want, c.Length)
		if math.Abs(got/want-1) > 1e-6 {
			t.Errorf("step %.2f: %.5f mm3, by hand %.5f", step, got, want)
		}
	}
}

// Every named dimension lies on two faces of the coupon, and no name comes twice.
func TestCouponMeasuresLie(t *testing.T) {
	for _, step := range []float64{0.01, 0.03, 0.08} {
		for _, play := range []float64{0, 0.03, 0.2} {
			c := (&Lock{SidePlay: play}).Coupon(step)
			s, err := c.Solid()
			if err != nil {
				t.Fatal(err)
			}
			seen, axes := map[string]bool{}, map[int]int{}
			for _, m := range c.Measures() {
				if !m.lies(s, Stock{}) || seen[m.Name] {
					t.Errorf("step %.2f, play %.2f: %s, %.3f mm", step, play, m.Name, m.Finished())
				}
				seen[m.Name] = true
				axes[m.Axis]++
			}
			if len(seen) != 7+6+2 || axes[0] != 8 || axes[1] != 5 || axes[2] != 2 {
				t.Errorf("%d dimensions, by axis %v", len(seen), axes)
			}
		}
	}
}
