package fit_test

import (
	"fmt"

	"claspwright/model/fit"
)

// A tongue 10 mm wide in a chamber of 10.14: 0.07 mm of play a side. Cast to DCTG 4 with 0.1 mm of stock on each edge, nearly every
// pair is too tight, and nearly every pair can be filed.
func ExampleRun() {
	chamber, _ := fit.CastingTolerance(4, 10.14)
	tongue, _ := fit.CastingTolerance(4, 10)
	s := fit.Stack{
		Surfaces: []fit.Surface{{Name: "tongue edges", Stock: 0.1, Spare: 0.1, Filable: true, Filing: fit.Spread{Kind: fit.Normal, Half: 0.02}}},
		Dimensions: []fit.Dimension{
			{Name: "chamber width", Nominal: 10.14, Casting: fit.Spread{Kind: fit.Normal, Half: chamber / 2}},
			{Name: "tongue width", Nominal: 10, Casting: fit.Spread{Kind: fit.Normal, Half: tongue / 2},
				Faces: []fit.Face{{Surface: "tongue edges", Grow: 2}}},
		},
		Clearances: []fit.Clearance{{Name: "side play", Least: 0.02, Aim: 0.07, Most: 0.1,
			Terms: []fit.Term{{Dimension: "chamber width", Times: 0.5}, {Dimension: "tongue width", Times: -0.5}}}},
	}
	r, err := fit.Run(s, 10_000, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	edges := r.Surfaces[0]
	fmt.Printf("as cast %.0f %%, can be filed %.1f %%, off each edge %.2f mm, at most %.2f in 95 of 100\n",
		100*r.AsCast.Value, 100*r.Fileable.Value, edges.Mean, edges.P95)
	// Output: as cast 5 %, can be filed 100.0 %, off each edge 0.10 mm, at most 0.15 in 95 of 100
}
