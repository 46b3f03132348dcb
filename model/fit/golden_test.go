package fit

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the golden file, and fail")

// The fit of the 12.4 x 5.2 lock, to be read by a person: what a caster of DCTG 4, 5 and 6 delivers and what the bench does with it.
func TestGolden(t *testing.T) {
	var b strings.Builder
	fmt.Fprintln(&b, "Fit of the box lock for a chain of 12.4 x 5.2 mm, flat. Lengths mm, shares of castings in %, 20,000 castings, seed 1.")
	fmt.Fprintln(&b, "Casting tolerance: ISO 8062-3:2007 table 2; the rest of the process is common practice, no source.")
	for _, grade := range []int{4, 5, 6} {
		r := run(t, standard(t, func(_ *Lock, p *Process) { p.Grade = grade }), DefaultSamples, 1)
		write(&b, fmt.Sprintf("DCTG %d", grade), r)
	}
	name := filepath.Join("testdata", "lock-12.4x5.2.txt")
	if *update {
		if err := os.WriteFile(name, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Fatalf("%s was rewritten: read what changed, then run again without -update", name)
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.String(); got != string(want) {
		for i, line := range strings.Split(got, "\n") {
			if w := strings.Split(string(want), "\n"); i >= len(w) || w[i] != line {
				t.Fatalf("%s, line %d:\n%s\nnow:\n%s\n(go test ./model/fit -run Golden -update)", name, i+1, w[min(i, len(w)-1)], line)
			}
		}
		t.Fatalf("%s has lines that are gone", name)
	}
}

func write(b *strings.Builder, title string, r *Result) {
	pc := func(s Share) string { return fmt.Sprintf("%.2f (+-%.2f)", 100*s.Value, 100*s.StdErr) }
	fmt.Fprintf(b, "\n== %s ==\n\n", title)
	for _, row := range []struct {
		name string
		s    Share
	}{{"in tolerance as cast, nothing filed", r.AsCast}, {"can be filed to fit", r.Fileable}, {"of these kept, the file's misses and all", r.Kept}, {"lost", r.Lost},
		{"  already too loose", r.TooLoose}, {"  too tight, not enough metal may go", r.TooTight}, {"  what mends one spoils another", r.Conflict}} {
		fmt.Fprintf(b, "%-42s %s\n", row.name, pc(row.s))
	}
	fmt.Fprintf(b, "%-42s %s\n", "dearest dimension", r.Dearest)
	writeClearances(b, r)
	fmt.Fprintf(b, "\n%-34s %6s %6s %8s %6s %6s\n", "surface", "stock", "may", "filed %", "mean", "95 %")
	for _, s := range r.Surfaces {
		fmt.Fprintf(b, "%-34s %6.2f %6.2f %8.1f %6.3f %6.3f\n", s.Name, s.Stock, s.May, 100*s.Filed.Value, s.Mean, s.P95)
	}
	fmt.Fprintf(b, "\n%-42s %6s %6s %10s %7s  %s\n", "dimension", "+-", "sd", "lost held", "saves", "greatest share of variance")
	for _, d := range r.Dimensions {
		fmt.Fprintf(b, "%-42s %6.3f %6.3f %10.2f %7.2f  %2.0f of %s\n", d.Name, d.Half, d.SD, 100*d.LostHeld.Value, 100*d.Saves, 100*d.Variance, d.Of)
	}
}

func writeClearances(b *strings.Builder, r *Result) {
	limit := func(x float64) string {
		if math.IsInf(x, 0) {
			return "-"
		}
		return fmt.Sprintf("%.3f", x)
	}
	fmt.Fprintf(b, "\n%-44s %6s %6s %6s | %6s %13s %6s %13s %6s | %6s %6s %6s | %6s %13s\n", "clearance", "drawn", "least", "most", "cast", "worst case", "sd", "95 %", "good %",
		"loose", "tight", "confl", "filed", "95 %")
	for _, c := range r.Clearances {
		fmt.Fprintf(b, "%-44s %6.3f %6s %6s | %6.3f %6.3f %6.3f %6.3f %6.3f %6.3f %6.2f | %6.2f %6.2f %6.2f | %6.3f %6.3f %6.3f\n", c.Name, c.Finished, limit(c.Least), limit(c.Most),
			c.Cast, c.Low, c.High, c.SD, c.Low95, c.High95, 100*c.Good.Value, 100*c.TooLoose.Value, 100*c.TooTight.Value, 100*c.Conflict.Value, c.FiledMean, c.FiledLow, c.FiledHigh)
	}
}
