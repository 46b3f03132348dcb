package casting_test

import (
	"fmt"
	"math"

	"claspwright/model/casting"
)

func ExampleArrange() {
	o := casting.Arrange([]float64{8, 6.5}, 1, 13.6, 0.585, 2.5, 6, math.NaN(), 0.5)
	fmt.Printf("castings %.2f g, gates %.2f g, button %.2f g, loss %.2f g: order %.2f g\n", o.CastingG, o.GatesG, o.ButtonG, o.LossG, o.OrderG)
	// Output: castings 14.50 g, gates 0.91 g, button 5.14 g, loss 0.10 g: order 20.65 g
}
