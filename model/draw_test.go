//go:build long || outside

package model

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
)

// share is the part of each long campaign that is run: go test -tags long -share 0.1.
var share = flag.Float64("share", 1, "part of each long campaign to run")

// drawn is a random job over the whole key table. It asks the table alone, never the model: required keys are drawn from
// their whole range, every other key keeps its default or rule with probability 0.8.
func drawn(r *rand.Rand) []string {
	var sets []string
	alloys := params.Alloys()
	for _, k := range params.Keys() {
		if !k.Required && r.Float64() < 0.8 {
			continue
		}
		switch {
		case strings.HasSuffix(k.Name, ".alloy") && r.Float64() < 0.1:
			au := 40 + r.IntN(50)
			sets = append(sets, fmt.Sprintf("%s=Au %d, Ag %d, Cu %d", k.Name, au, (100-au)/2, 100-au-(100-au)/2))
		case strings.HasSuffix(k.Name, ".alloy"):
			sets = append(sets, k.Name+"="+alloys[r.IntN(len(alloys))].ID)
		case k.Name == "chain.heights":
			sets = append(sets, drawnReadings(r, sets))
		case k.Name == "mark.text":
			sets = append(sets, "mark.text="+drawnText(r))
		case k.Name == "job.name":
			sets = append(sets, fmt.Sprintf("job.name=commission %d", r.IntN(1000)))
		case k.Name == "casting.grade" || k.Name == "core.holes" || k.Name == "tongue.count":
			sets = append(sets, fmt.Sprintf("%s=%d", k.Name, int(k.Min)+r.IntN(int(k.Max-k.Min)+1)))
		case k.Kind == params.Number:
			sets = append(sets, fmt.Sprintf("%s=%.4g", k.Name, k.Min+(k.Max-k.Min)*r.Float64()))
		case k.Kind == params.Choice:
			sets = append(sets, k.Name+"="+k.Choices[r.IntN(len(k.Choices))])
		}
	}
	return sets
}

// drawnText is up to eight characters of ASCII and Latin-1, the last of them seen.
func drawnText(r *rand.Rand) string {
	text := []rune{}
	for range r.IntN(8) {
		c := rune(' ' + r.IntN(95))
		if r.IntN(3) == 0 {
			c = rune(0xa1 + r.IntN(95))
		}
		text = append(text, c)
	}
	return string(append(text, rune('0'+r.IntN(10))))
}

// drawnReadings reads a crown of a random radius, with a caliper's noise, on the chain of the sets drawn so far.
func drawnReadings(r *rand.Rand, sets []string) string {
	var w, t float64
	for _, s := range sets {
		fmt.Sscanf(s, "chain.width=%g", &w)
		fmt.Sscanf(s, "chain.thickness=%g", &t)
	}
	radius := w * (0.7 + 4*r.Float64())
	var pairs []string
	for range 3 + r.IntN(6) {
		y := w * 0.48 * (2*r.Float64() - 1)
		pairs = append(pairs, fmt.Sprintf("%.2f %.3f", y, t-radius+math.Sqrt(radius*radius-y*y)+0.01*r.NormFloat64()))
	}
	return "chain.heights=" + strings.Join(pairs, ", ")
}

// tally counts reasons.
type tally map[string]int

func (n tally) String() string {
	var keys []string
	for k := range n {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool { return n[keys[i]] > n[keys[j]] || n[keys[i]] == n[keys[j]] && keys[i] < keys[j] })
	s := ""
	for _, k := range keys {
		s += fmt.Sprintf(" %s %d,", k, n[k])
	}
	return s
}

// EachLock makes random locks until there are so many, each of which use is given with the settings that it came from.
// What params refuses and what the model refuses is counted on top, with the key that is in the way. A lock that fails
// otherwise fails the test and counts as made. The same seed gives the same locks. fix is set on every job.
func EachLock(t *testing.T, seed uint64, want int, how Want, use func(sets []string, c *Commission), fix ...string) {
	t.Helper()
	eachOf(t, seed, want, how, func(r *rand.Rand) []string { return append(drawn(r), fix...) }, use)
}

// eachOf is the same of jobs that are drawn in a way of their own.
func eachOf(t *testing.T, seed uint64, want int, how Want, draw func(r *rand.Rand) []string, use func(sets []string, c *Commission)) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 3))
	made, jobs, invalid, refused := 0, 0, tally{}, tally{}
	for ; made < want; jobs++ {
		if jobs > 400000 {
			t.Fatalf("only %d locks from %d jobs", made, jobs)
		}
		sets := draw(r)
		j, err := params.Parse("random", nil, sets)
		if err != nil {
			var ps params.Problems
			if !errors.As(err, &ps) || len(ps) == 0 {
				t.Fatalf("%v: %v", sets, err)
			}
			invalid[ps[0].Key]++
			continue
		}
		c, err := Make(context.Background(), j, how)
		var no *clasp.Refusal
		if errors.As(err, &no) {
			refused[no.Key]++
			continue
		}
		made++
		if err != nil {
			t.Errorf("%v: %v", sets, err)
			continue
		}
		use(sets, c)
	}
	t.Logf("seed %d: %d jobs drawn, %d made", seed, jobs, made)
	t.Logf("not valid:%v", invalid)
	t.Logf("refused:%v", refused)
}

// partsApart says where finished parts of a lock run into each other.
func partsApart(t *testing.T, sets []string, c *Commission) {
	t.Helper()
	parts := Closed(c)
	for i, p := range parts {
		for _, q := range parts[:i] {
			if at, yes := contour.Overlap(p.Mesh, q.Mesh); yes {
				t.Errorf("%v: %s and %s overlap at %v", sets, q.Name, p.Name, at)
			}
		}
	}
}

// Share is the part of a campaign to run, for tests from outside the package.
func Share() float64 { return *share }
