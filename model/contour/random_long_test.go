//go:build long

package contour

import (
	"flag"
	"testing"
)

var share = flag.Float64("share", 1, "part of each long campaign to run")

// 1,000 random solids: each meshed without an error, proven, its volume right by Quadrature. Failures are listed for the
// seeds below 342; those above have not been tried with the mesher as it is.
func TestLongRandomSolids(t *testing.T) { randomIn(t, int(1000**share)) }
