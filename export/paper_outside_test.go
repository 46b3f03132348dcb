//go:build outside

package export

import (
	"fmt"
	"strings"
	"testing"
)

// What pdftotext (poppler) reads on the papers are the figures of report.json.
func TestOutsidePapersSayWhatTheReportSays(t *testing.T) {
	for _, sets := range paperJobs {
		c := commission(t, sets...)
		text := map[string]string{}
		for name, data := range pagesOf(t, c) {
			text[name] = readable(t, name, data)
		}
		r := castingReport{orderOf(c.Casting), each(c.Pours, pourOf)}
		said := map[string][]string{"order.pdf": {"Casting order", "50 mm long", fmt.Sprintf("ISO 8062")}, "bench.pdf": {"Bench sheet", "50 mm long", "prove"}}
		for _, p := range r.Pours {
			said["order.pdf"] = append(said["order.pdf"], fmt.Sprintf("%.2f g of %s", float64(p.Order), p.Alloy), fmt.Sprintf("castings %.2f g", float64(p.Casting)))
		}
		for _, p := range each(at(c, "pattern"), partOf) {
			said["order.pdf"] = append(said["order.pdf"], p.File, fmt.Sprintf("%.1f", float64(p.VolumeMM3)))
		}
		f := fitOf(c.Fit)
		said["bench.pdf"] = append(said["bench.pdf"], fmt.Sprintf("%.2f mm end play", float64(f.EndPlay)), fmt.Sprintf("opens at about %.1f N", float64(springOf(c.Spring, yLeaf(c)).Release)))
		for name, words := range said {
			for _, w := range words {
				if !strings.Contains(text[name], w) {
					t.Errorf("%v: %s does not say %q", sets, name, w)
				}
			}
		}
	}
}
