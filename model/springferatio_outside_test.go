//go:build outside

package model

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"claspwright/model/spring"
)

// ratios are finite elements over spring, least and greatest.
type ratios struct {
	n     int
	names []string
	low   []float64
	high  []float64
}

func (r *ratios) put(name string, v float64) {
	r.names, r.low, r.high = append(r.names, name), append(r.low, v), append(r.high, v)
	r.n = 1
}

func (r *ratios) widen(with ratios) {
	if r.n == 0 {
		*r = ratios{0, slices.Clone(with.names), slices.Clone(with.low), slices.Clone(with.high)}
	}
	for i := range r.names {
		r.low[i], r.high[i] = min(r.low[i], with.low[i]), max(r.high[i], with.high[i])
	}
	r.n++
}

func (r *ratios) String() string {
	s := ""
	for i, name := range r.names {
		s += fmt.Sprintf("%s %.3f", name, r.low[i])
		if r.n > 1 {
			s += fmt.Sprintf(" to %.3f", r.high[i])
		}
		s += "; "
	}
	return s
}

// short is the force, the fold, and the range of all stations in the legs.
func (r *ratios) short() string {
	const first = 4
	head := ratios{1, r.names[:first], r.low[:first], r.high[:first]}
	return fmt.Sprintf("%slegs %.3f to %.3f", head.String(), slices.Min(r.low[first:]), slices.Max(r.high[first:]))
}

// compare is finite elements over spring for one leaf.
func (l leaf) compare(b bentLeaf) (r ratios) {
	c := l.said.Case
	r.put("force", b.Force/c.Force)
	mean, most := 0.0, 0.0
	for _, s := range c.Stresses {
		if s.Part == spring.TheFold {
			mean, most = max(mean, math.Abs(s.Left)), max(most, math.Abs(s.Left*s.Most))
		}
	}
	r.put("fold, mean across", b.Mean/mean)
	r.put("fold,"+middle, b.most(l)/most)
	r.put(worstNode, b.Greatest/most)
	for _, s := range b.At {
		side := "out"
		if s.Inside {
			side = "in"
		}
		says, over := l.says(s)
		name := fmt.Sprintf("%s %.1f %s", s.Part, (l.lock.XFold-s.X)/l.lock.Length, side)
		r.put(name, s.Mean/says)
		r.put(name+middle, s.Across[0]/(says*over))
	}
	return r
}

// allowed is how far finite elements may be from the spring, in parts of 1: force and means across the leaf, and the rest, which
// hang on how stress is spread across. Set after 20 leaves of another seed (20261127), where they lay from 0.960 to 1.018 and
// from 0.949 to 1.083; the spring was not changed for it.
const allowed, allowedAcross = 0.05, 0.10

// judge fails the test where finite elements and spring are too far apart.
func (r *ratios) judge(t *testing.T) {
	t.Helper()
	for i, name := range r.names {
		off := allowed
		if name == worstNode || strings.HasSuffix(name, middle) {
			off = allowedAcross
		}
		if !(r.low[i] >= 1-off && r.high[i] <= 1+off) {
			t.Errorf("%s: finite elements over spring from %.3f to %.3f, allowed is %.2f off 1", name, r.low[i], r.high[i], off)
		}
	}
}

// What is compared at mid-width or where stress is greatest, and not as a mean across.
const middle, worstNode = " middle", "fold, worst node"

// says is the spring's mean stress at a station, and that at mid-width over it, linear between the places that it gives.
func (l leaf) says(s bentAt) (mean, middle float64) {
	k := l.lock
	at := s.X + k.FaceGap
	if s.Part == spring.UpperLeaf {
		slope := (k.ZTip - k.Taper*k.Leaf/2 - k.ZUpper + k.Leaf/2) / (k.XKnee - k.XTip)
		at = k.XFold + k.FaceGap + math.Pi*(k.Fold+k.Leaf/2) + k.XFold - max(s.X, k.XKnee) + max(0, k.XKnee-s.X)*math.Hypot(1, slope)
	}
	var before, after *spring.Stress
	for i := range l.said.Case.Stresses {
		q := &l.said.Case.Stresses[i]
		if q.Part != s.Part {
			continue
		}
		if q.S <= at {
			before = q
		} else if after == nil {
			after = q
		}
	}
	u := (at - before.S) / (after.S - before.S)
	middle = before.Middle + u*(after.Middle-before.Middle)
	if s.Inside {
		return before.Left + u*(after.Left-before.Left), middle
	}
	return before.Right + u*(after.Right-before.Right), middle
}

// bentLeaves are results that are kept in a file.
type bentLeaves []bentLeaf

func readLeaves(t *testing.T) (all bentLeaves) {
	t.Helper()
	data, err := os.ReadFile(*keep)
	if err != nil {
		return nil // none kept yet
	}
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	return all
}

func (all bentLeaves) find(l leaf, size float64, large bool) bentLeaf {
	for _, b := range all {
		if slices.Equal(b.Sets, l.Sets) && b.Metal == l.said.Case.Metal && b.Size == size && b.Large == large {
			return b
		}
	}
	return bentLeaf{}
}

func (all *bentLeaves) add(t *testing.T, b bentLeaf) {
	t.Helper()
	*all = append(*all, b)
	if *keep == "" {
		return
	}
	data, err := json.MarshalIndent(*all, "", " ")
	if err == nil {
		err = os.WriteFile(*keep, data, 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
}
