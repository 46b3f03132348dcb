package params

import (
	"fmt"
	"math"
	"strings"
)

// Height is one thickness of the chain taken across its width, mm.
type Height struct {
	Place     float64 // from mid-width, either side
	Thickness float64 // there, by caliper
}

// Heights are the readings of chain.heights, none when it is not given.
func (j *Job) Heights() []Height {
	text, given := j.Text("chain.heights")
	if !given {
		return nil
	}
	hs, _ := heights(text) // judged when the job was read
	return hs
}

// least and most readings of a crown.
const (
	leastHeights = 3
	mostHeights  = 50
)

// heights reads pairs of place and thickness, such as "0 5.20, 3 5.05, -3 5.04".
func heights(text string) ([]Height, *fault) {
	var out []Height
	places := map[float64]bool{}
	for _, pair := range strings.Split(text, ",") {
		fs := strings.Fields(pair)
		if len(fs) != 2 {
			return nil, &fault{say: fmt.Sprintf("has %q where a place and a thickness should stand", shorten(strings.TrimSpace(pair)))}
		}
		var v [2]float64
		for i, f := range fs {
			n, bad := quantity(f, "mm")
			if bad != nil {
				return nil, &fault{say: fmt.Sprintf("has %q, which %s", shorten(f), bad.say)}
			}
			v[i] = n
		}
		if v[1] <= 0 {
			return nil, &fault{say: fmt.Sprintf("has a thickness of %s mm", plain(v[1]))}
		}
		places[math.Abs(v[0])] = true
		out = append(out, Height{v[0], v[1]})
	}
	switch {
	case len(out) < leastHeights || len(places) < 2:
		return nil, &fault{say: fmt.Sprintf("holds %d readings at %d distances from mid-width; at least %d at 2 are needed", len(out), len(places), leastHeights)}
	case len(out) > mostHeights:
		return nil, &fault{say: fmt.Sprintf("holds %d readings, more than %d", len(out), mostHeights)}
	}
	return out, nil
}

// crownTwice: a crown is read or given, not both.
func crownTwice(j *Job) *Problem {
	if j.Heights() == nil {
		return nil
	}
	if _, given := j.Number("chain.crown"); given {
		return j.against("chain.heights", "contradicts chain.crown, which is given too", "leave one of the two out; the readings give the crown")
	}
	return nil
}

// besideChain: a reading must be taken on the chain.
func besideChain(j *Job) *Problem {
	w, _ := j.Number("chain.width")
	for _, h := range j.Heights() {
		if math.Abs(h.Place) >= w/2 {
			return j.against("chain.heights", fmt.Sprintf("has a reading %s mm from mid-width, beside a chain %s mm wide", plain(h.Place), plain(w)), "places are counted from the middle of the width, to either side")
		}
	}
	return nil
}

// tooDomed: a domed underside must not be rounder than a crown may be, and must leave the sides.
func tooDomed(j *Job) *Problem {
	w, _ := j.Number("chain.width")
	t, _ := j.Number("chain.thickness")
	r, _ := j.Number("chain.underside")
	if r == 0 {
		return nil
	}
	if r < leastCrown*w {
		return j.against("chain.underside", fmt.Sprintf("is less than %s of chain.width, %s mm", plain(leastCrown), plain(w)),
			fmt.Sprintf("give a radius of at least %.3g mm, or 0 for a flat underside", leastCrown*w))
	}
	fall := 0.0
	if c, _ := j.Number("chain.crown"); c >= leastCrown*w {
		fall = c - math.Sqrt(c*c-w*w/4)
	}
	if rise := r - math.Sqrt(r*r-w*w/4); t-fall-rise < leastSide {
		return j.against("chain.underside", fmt.Sprintf("rises by %.2f mm to the sides and leaves less than %d mm of chain.thickness, %s mm, there", rise, leastSide, plain(t)),
			"give a larger radius, or 0 for a flat underside")
	}
	return nil
}
