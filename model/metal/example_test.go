package metal_test

import (
	"fmt"

	"claspwright/model/metal"
	"claspwright/params"
)

func ExampleDensity() {
	for _, a := range params.Alloys() {
		if a.Fineness == 750 || a.Base() {
			fmt.Printf("%-14s %.2f\n", a.ID, metal.Density(a))
		}
	}
	// Output:
	// au750-yellow   15.45
	// au750-pale     15.55
	// au750-rose     15.16
	// au750-red      14.98
	// au750-green    16.03
	// au750-white-pd 16.27
	// au750-white-ni 14.61
	// cuzn30         8.53
	// cusn10         8.72
	// cusi4          8.36
}

func ExampleRaise() {
	fine, err := metal.Raise(20, metal.OfCarat(10), metal.OfCarat(14))
	fmt.Printf("%.1f g of fine gold, %v\n", fine, err)
	// Output: 8.0 g of fine gold, <nil>
}
