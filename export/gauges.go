package export

import (
	"context"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"claspwright/model"
	"claspwright/model/clasp"
)

const (
	crownGaugeFile = clasp.PartCrownGauge + ".stl"
	couponFile     = clasp.PartCoupon + ".stl"
)

// UsableForGauges says whether WriteGauges could write to a folder. It touches nothing.
func UsableForGauges(dir string) error {
	p, err := locate(dir)
	if err != nil {
		return err
	}
	if p.ours != nil && !p.ours[crownGaugeFile] {
		return &FolderError{dir, "holds an order of this program and no gauges, so it was left as it is", "name a folder of its own with -o"}
	}
	return nil
}

// WriteGauges makes the folder with crown gauge and coupon, by the rules of Write; a folder of another kind that this program wrote
// is left alone too.
func WriteGauges(ctx context.Context, dir string, g *model.Gauges) error {
	if err := UsableForGauges(dir); err != nil {
		return err
	}
	place, err := prepare(dir)
	if err != nil {
		return err
	}
	defer place.discard()
	var done []manifestFile
	for _, it := range gaugeItems(g) {
		if err := ctx.Err(); err != nil {
			return err
		}
		f, err := put(place.temp, it, create)
		if err != nil {
			return err
		}
		done = append(done, f)
	}
	last := item{manifestName, func(w io.Writer) error { return writeJSON(w, manifestOf(g.Commission, done)) }}
	if _, err := put(place.temp, last, create); err != nil {
		return err
	}
	if err := syncFolders(place.temp); err != nil {
		return err
	}
	return place.commit()
}

func gaugeItems(g *model.Gauges) []item {
	mesh := func(name string, p model.Part) item {
		return item{name, func(w io.Writer) error { return WriteSTL(w, p.Mesh, p.Name, p.Stage) }}
	}
	return []item{
		mesh(crownGaugeFile, g.Plate), mesh(couponFile, g.Pattern), mesh("casting/"+couponFile, g.Casting),
		{"gauges.png", func(w io.Writer) error { return WriteGaugesPicture(w, g) }},
		{"gauges.json", func(w io.Writer) error { return WriteGaugesJSON(w, g) }},
		{"gauges.txt", func(w io.Writer) error { return WriteGaugesSheet(w, g) }},
		{"job.toml", func(w io.Writer) error { return WriteJob(w, g.Commission.Resolved) }},
	}
}

// WriteGaugesSheet tells what the gauges measure and how they are used.
func WriteGaugesSheet(w io.Writer, g *model.Gauges) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Gauges for a box lock, chain %s, %s\n\n", chain(g.Commission), metals(g.Commission))
	crownGaugeWords(&b, g)
	if err := couponWords(&b, g); err != nil {
		return err
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func writeLines(b *strings.Builder, lines ...string) {
	for _, s := range lines {
		fmt.Fprintln(b, s)
	}
}

func crownGaugeWords(b *strings.Builder, g *model.Gauges) {
	k := g.Crown
	fmt.Fprintf(b, "CROWN GAUGE, %s: printed true to size, not grown, not cast; %.2f x %.2f x %.2f mm\n", crownGaugeFile, k.Wide, k.High, k.Thick)
	fmt.Fprintf(b, "  go, the end without notches: the finished section with %.3f mm more all round; %.3f mm wide, %.3f mm high at mid-width\n", k.Allowance, k.GoWidth, k.GoHeight)
	fmt.Fprintf(b, "  no-go, the end with a notch at each side: the crown alone, %.3f mm lower; %.3f mm high at mid-width\n", k.Allowance, k.NoGoHeight)
	writeLines(b,
		"  Check both heights and the go's width by caliper before use: a printed gauge is no truer than its printer.",
		"  Lay lock or chain on a flat plate, underside down, and stand the gauge over it, square to the chain.",
		"  Go: both feet must touch the plate. If not, it is too wide, too high or too round: file on where no light shows.",
		"  No-go: the feet must not touch the plate. If they do, the crown has been filed too low. Its width is read by caliper.")
}

func couponWords(b *strings.Builder, g *model.Gauges) error {
	fmt.Fprintf(b, "\nFIT COUPON, %s: pattern, grown by %s; as it should come back: casting/%s, about %.2f g\n", couponFile, growth(g.Commission), couponFile, g.Gram)
	writeLines(b,
		"  Print and cast two, x, y and z turned as the lock's, beside the lock or before it, of its alloy. File nothing; cut the gates off the edge of the arm.",
		"  Try the tongues of one in the slots of the other, by hand alone. The first slot that a tongue enters tells the clearance that this caster needs.",
		"  Read both with a caliper and let learn find growth and stock: claspwright learn --names job.toml lists the dimensions.",
		"  Edges of castings are sharp and gates cut them sharper: break them before handling; eye protection when cutting gates. Local rules come first.")
	fmt.Fprintf(b, "\n  clearance a side, mm; the lock's own side play is %.3f\n", g.Coupon.Play)
	t := tabwriter.NewWriter(b, 2, 0, 2, ' ', 0)
	fmt.Fprint(t, "  slot\twidth\tfirst tongue\tfar tongue\n")
	for i, s := range g.Coupon.Slots {
		fmt.Fprintf(t, "  %d\t%.3f\t%s\t%s\n", i+1, s.To-s.From, clearance(s.Play[0]), clearance(s.Play[1]))
	}
	fmt.Fprint(t, "\n  dimension\tpattern\tas cast\taxis\twhere\n")
	for _, m := range g.Measures() {
		fmt.Fprintf(t, "  %s\t%.3f\t%.3f\t%s\t%s\n", m.Name, m.Pattern, m.Casting, "xyz"[m.Axis:m.Axis+1], m.Say)
	}
	return t.Flush()
}

func clearance(v float64) string {
	if v < 0 {
		return fmt.Sprintf("%.3f, does not enter as drawn", v)
	}
	return fmt.Sprintf("%.3f", v)
}

type gaugesReport struct {
	SchemaVersion int              `json:"schema_version"`
	Tool          string           `json:"tool"`
	Crown         crownGaugeReport `json:"crown_gauge"`
	Coupon        couponReport     `json:"coupon"`
	Parts         []partReport     `json:"parts"`
}

type crownGaugeReport struct {
	File      string `json:"file"`
	Grown     bool   `json:"grown"`
	Allowance figure `json:"allowance_mm"`
	Wide      figure `json:"width_mm"`
	High      figure `json:"height_mm"`
	Thick     figure `json:"thickness_mm"`
	GoWidth   figure `json:"go_width_mm"`
	Go        figure `json:"go_height_mm"`
	NoGo      figure `json:"no_go_height_mm"`
	Land      figure `json:"no_go_land_mm"`
}

type couponReport struct {
	File     string          `json:"file"`
	Growth   [3]figure       `json:"growth"`
	Gram     figure          `json:"casting_g"`
	Play     figure          `json:"side_play_mm"`
	Step     figure          `json:"step_mm"`
	Slots    []slotReport    `json:"slots"`
	Measures []measureReport `json:"dimensions"`
}

type slotReport struct {
	Width figure    `json:"width_mm"`
	Play  [2]figure `json:"clearance_mm"` // a side, with the first and with the far tongue
}

type measureReport struct {
	Name    string `json:"name"`
	Axis    string `json:"axis"`
	Pattern figure `json:"pattern_mm"`
	Casting figure `json:"casting_mm"`
}

// WriteGaugesJSON is what gauges.json holds.
func WriteGaugesJSON(w io.Writer, g *model.Gauges) error {
	k := g.Crown
	r := gaugesReport{SchemaVersion: schemaVersion, Tool: signature(),
		Crown: crownGaugeReport{crownGaugeFile, false, mm(k.Allowance), mm(k.Wide), mm(k.High), mm(k.Thick), mm(k.GoWidth), mm(k.GoHeight), mm(k.NoGoHeight), mm(k.Land)},
		Coupon: couponReport{couponFile, point(g.Growth), gram(g.Gram), mm(g.Coupon.Play), mm(g.Coupon.Step),
			each(g.Coupon.Slots, func(s clasp.Slot) slotReport {
				return slotReport{mm(s.To - s.From), [2]figure{mm(s.Play[0]), mm(s.Play[1])}}
			}),
			each(g.Measures(), func(m model.CaliperMeasure) measureReport {
				return measureReport{m.Name, "xyz"[m.Axis : m.Axis+1], mm(m.Pattern), mm(m.Casting)}
			})},
		Parts: each([]model.Part{g.Plate, g.Casting, g.Pattern}, gaugePart),
	}
	return writeJSON(w, r)
}

// gaugePart is a part with the place of its file in the folder of gauges.
func gaugePart(p model.Part) partReport {
	r := partOf(p)
	if p.Stage == clasp.Finished {
		r.File = p.Name + ".stl"
	}
	return r
}

// GaugesSummary is what the command prints.
func GaugesSummary(w io.Writer, g *model.Gauges, dir string) error {
	_, err := fmt.Fprintf(w, "crown gauge: go and no-go %.3f mm from the finished section; print true to size\ncoupon: %d slots and 2 tongues, clearance %.3f to %.3f mm a side, bars along x, y and z; print grown by %s, cast two, about %.2f g each\nwritten to %s: %s\n",
		g.Crown.Allowance, len(g.Coupon.Slots), g.Coupon.Slots[0].Play[0], g.Coupon.Slots[len(g.Coupon.Slots)-1].Play[1], growth(g.Commission), g.Gram, dir,
		strings.Join(gaugeNames(g), ", "))
	return err
}

func gaugeNames(g *model.Gauges) (names []string) {
	for _, it := range gaugeItems(g) {
		names = append(names, it.name)
	}
	return append(names, manifestName)
}
