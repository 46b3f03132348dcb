package params

import (
	"fmt"
	"math"
)

// contradictions are what given keys say against each other, as far as no geometry is needed.
func (j *Job) contradictions() (problems Problems) {
	for _, rule := range []func(*Job) *Problem{tooThick, tooRound, tooSteep, tooDomed, tooEased, crownTwice, besideChain, brokenGrade, brokenHoles, brokenCount, needlessHoles, tooHollow, scaledTwice, gateTwice} {
		if p := rule(j); p != nil {
			problems = append(problems, *p)
		}
	}
	return append(problems, j.noWindow()...)
}

// against is a problem of a given key; where it was given, and its value, are filled in.
func (j *Job) against(key, say, hint string) *Problem {
	v, _ := j.lookup(key)
	k := known(key)
	shown := v.text
	if k.Kind == Number {
		n, _ := j.Number(key)
		shown = k.with(n)
	}
	return &Problem{File: v.file, Line: v.line, Key: key, Value: shown, Say: say, Hint: hint}
}

func tooThick(j *Job) *Problem {
	w, _ := j.Number("chain.width")
	if t, _ := j.Number("chain.thickness"); t <= w {
		return nil
	}
	return j.against("chain.thickness", fmt.Sprintf("is more than chain.width, %s mm", plain(w)), "a curb chain is wider than thick: are the two readings swapped?")
}

// least crown radius as a part of the width. At half the width the top would be a half circle.
const leastCrown = 0.6

func tooRound(j *Job) *Problem {
	w, _ := j.Number("chain.width")
	if r, _ := j.Number("chain.crown"); r == 0 || r >= leastCrown*w {
		return nil
	}
	return j.against("chain.crown", fmt.Sprintf("is less than %s of chain.width, %s mm", plain(leastCrown), plain(w)),
		fmt.Sprintf("give a radius of at least %.3g mm, or 0 for a flat top", leastCrown*w))
}

// least height of the sides below the crown, mm.
const leastSide = 1

// tooSteep: an arc of radius r falls by r - sqrt(r^2 - (w/2)^2) from the middle to the sides (the sagitta).
func tooSteep(j *Job) *Problem {
	w, _ := j.Number("chain.width")
	t, _ := j.Number("chain.thickness")
	r, _ := j.Number("chain.crown")
	if r == 0 || r < leastCrown*w {
		return nil
	}
	fall := r - math.Sqrt(r*r-w*w/4)
	if t-fall >= leastSide {
		return nil
	}
	return j.against("chain.crown", fmt.Sprintf("falls by %.2f mm to the sides and leaves less than %d mm of chain.thickness, %s mm, there", fall, leastSide, plain(t)),
		"give a larger radius, or 0 for a flat top")
}

func tooEased(j *Job) *Problem {
	t, _ := j.Number("chain.thickness")
	if e, given := j.Number("chain.edge"); !given || e <= t/4 {
		return nil
	}
	return j.against("chain.edge", fmt.Sprintf("is more than a quarter of chain.thickness, %s mm", plain(t)), fmt.Sprintf("give at most %.3g mm", t/4))
}

// noWindow: a floor without a window takes no size of one.
func (j *Job) noWindow() (problems Problems) {
	floor, _ := j.Text("lock.floor")
	if floor == "window" {
		return nil
	}
	for _, key := range []string{"window.length", "window.width"} {
		if _, given := j.Number(key); given {
			problems = append(problems, *j.against(key, fmt.Sprintf("contradicts lock.floor = %q, which has no window", floor), "leave "+key+` out, or set lock.floor = "window"`))
		}
	}
	return problems
}

func brokenGrade(j *Job) *Problem {
	if g, _ := j.Number("casting.grade"); g == math.Trunc(g) {
		return nil
	}
	return j.against("casting.grade", "is not a whole number", "the grades of ISO 8062-3 are 1, 2, 3 and so on")
}

func brokenHoles(j *Job) *Problem {
	if n, _ := j.Number("core.holes"); n == math.Trunc(n) {
		return nil
	}
	return j.against("core.holes", "is not a whole number", "give 0, 1 or 2")
}

func brokenCount(j *Job) *Problem {
	if n, _ := j.Number("tongue.count"); n == math.Trunc(n) {
		return nil
	}
	return j.against("tongue.count", "is not a whole number", "give 1 or 2")
}

// needlessHoles: below a loose floor the core is as wide as the chamber.
func needlessHoles(j *Job) *Problem {
	floor, _ := j.Text("lock.floor")
	if n, _ := j.Number("core.holes"); floor != "loose" || n == 0 {
		return nil
	}
	return j.against("core.holes", `contradicts lock.floor = "loose", which leaves the chamber open below`, "leave core.holes out, or set lock.floor = \"closed\"")
}

// leastHollow is the least radius of a hollowed underside, mm: no wrist is narrower.
const leastHollow = 20

func tooHollow(j *Job) *Problem {
	if r, _ := j.Number("lock.hollow"); r == 0 || r >= leastHollow {
		return nil
	}
	return j.against("lock.hollow", fmt.Sprintf("is less than %d mm", leastHollow), fmt.Sprintf("give a radius from %d to 60 mm, or 0 for a straight underside", leastHollow))
}

// scaledTwice: what the caster scales must not be grown before.
func scaledTwice(j *Job) *Problem {
	if !j.scaledByHouse() {
		return nil
	}
	for _, key := range []string{"casting.growth", "casting.growth_x", "casting.growth_y", "casting.growth_z"} {
		if v, given := j.given[key]; given && v.number != 1 {
			who := `casting.scales = "house"`
			if j.Origin("casting.scales") == ByCaster {
				who += ", which the caster's profile says"
			}
			return j.against(key, "contradicts "+who+": the pattern would be scaled twice", "leave "+key+` out, or set casting.scales = "us"`)
		}
	}
	return nil
}

// gateTwice: gates sized by the rule take no size from the job.
func gateTwice(j *Job) *Problem {
	by, _ := j.Text("casting.gate_by")
	for _, key := range []string{"casting.gate", "casting.gate_length"} {
		if _, given := j.given[key]; given && by == "modulus" {
			return j.against(key, `contradicts casting.gate_by = "modulus", which finds it for each part`, "leave "+key+` out, or set casting.gate_by = "given"`)
		}
	}
	return nil
}
