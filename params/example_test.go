package params_test

import (
	"fmt"

	"claspwright/params"
)

func ExampleParse() {
	job, err := params.Parse("ferry.toml", []byte("[chain]\nwidth = \"0.5 in\"\nthickness = 5.2\n"), []string{"metal.alloy=au750-rose"})
	if err != nil {
		fmt.Println(err)
		return
	}
	width, given := job.Number("chain.width")
	gap, asked := job.Number("lock.face_gap")
	fmt.Println(width, given, gap, asked)
	fmt.Print(string(job.TOML()))
	// Output:
	// 12.7 true 0.05 false
	// chain.width = 12.7
	// chain.thickness = 5.2
	// metal.alloy = "au750-rose"
}

func ExampleProblems() {
	_, err := params.Parse("ferry.toml", []byte("chain.width = 12.4\nchain.thickness = \"5,2\"\nmetal.alloy = \"au586-yellow\"\n"), nil)
	fmt.Println(err)
	// Output:
	// ferry.toml:2: chain.thickness: 5,2 has a decimal comma
	// hint: write 5.2, with a decimal point
	// ferry.toml:3: metal.alloy: au586-yellow is not an alloy of the table
	// hint: the nearest is au585-yellow
}

func ExampleJob_Alloy() {
	job, err := params.Load("", []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow"})
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := job.Alloy("Au 75, Ag 9, Cu 16")
	fmt.Println(a.Metal, a.Fineness, err)
	// Output: gold 750 <nil>
}
