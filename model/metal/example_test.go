package metal_test

import (
	"fmt"

	"claspwright/model/metal"
	"claspwright/params"
)

func ExampleDensity() {
	for _, a := range params.Alloys() {
		fmt.Printf("%-12s %.2f\n", a.ID, metal.Density(a))
	}
	// Output:
	// au999        19.30
	// ag925        10.36
	// au585-yellow 13.63
	// au750-yellow 15.45
	// au750-rose   15.16
	// pt950-ru     20.70
}

func ExampleRaise() {
	fine, err := metal.Raise(20, metal.OfCarat(10), metal.OfCarat(14))
	fmt.Printf("%.1f g of fine gold, %v\n", fine, err)
	// Output: 8.0 g of fine gold, <nil>
}
