//go:build long

package contour

import (
	"flag"
	"testing"
)

var share = flag.Float64("share", 1, "part of each long campaign to run")

// 1,000 random solids: each meshed without an error, proven, its volume right by Quadrature.
func TestLongRandomSolids(t *testing.T) { randomIn(t, int(1000**share)) }
