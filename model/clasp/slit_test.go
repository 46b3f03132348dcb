package clasp

import (
	"fmt"
	"testing"

	"claspwright/model/contour"
)

// Slit locks at several widths mesh at both stages; the halves stay apart.
func TestSlitLocksMesh(t *testing.T) {
	for _, c := range []struct{ w, t, crown float64 }{{10, 3, 0}, {10, 3.6, 15}, {14, 3.2, 0}, {14, 4.4, 21}, {20, 3.6, 0}, {20, 6, 0}, {26, 4, 0}, {12, 3.2, -20}} {
		sets := []string{"tongue.length=19"} // the longest flanks rise furthest before the step
		if c.crown >= 0 {
			sets = []string{fmt.Sprint("chain.crown=", c.crown)}
		}
		l := derive(t, "gold", append(sets, fmt.Sprint("chain.width=", c.w), fmt.Sprint("chain.thickness=", c.t), "tongue.make=slit")...)
		var finished []*contour.Mesh
		for _, stage := range []Stage{Finished, Casting} {
			for _, part := range l.Parts() {
				s, err := l.Build(part, stage)
				if err != nil {
					t.Fatalf("%+v %s %s: %v", c, part, stage, err)
				}
				m, err := contour.Of(s, 0.01)
				if err != nil {
					t.Fatalf("%+v %s %s: %v", c, part, stage, err)
				}
				if _, err := contour.Verify(m, s, 0.01); err != nil {
					t.Errorf("%+v %s %s: %v", c, part, stage, err)
				}
				if stage == Finished {
					finished = append(finished, m)
				}
			}
		}
		if at, yes := contour.Overlap(finished[0], finished[1]); yes {
			t.Errorf("%+v: the halves overlap near %v", c, at)
		}
	}
}
