package export

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/params"
)

// closedLength is how much of the chain's length the closed lock takes, from the outermost of the finished parts.
func closedLength(c *model.Commission) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range at(c, clasp.Finished) {
		a, b := contour.Bounds(p.Mesh)
		lo, hi = min(lo, a.X), max(hi, b.X)
	}
	return hi - lo
}

// columns are the keys that a run's table shows: the three that every lock has, and those that vary.
func (r *RunResult) columns() []params.Key {
	var out []params.Key
	for _, name := range []string{"chain.width", "chain.thickness", "metal.alloy"} {
		k, _ := params.Lookup(name)
		out = append(out, k)
	}
	for _, k := range r.Run.Varied() {
		if !slices.ContainsFunc(out, func(o params.Key) bool { return o.Name == k.Name }) {
			out = append(out, k)
		}
	}
	return out
}

// WriteCSV writes the table of the run: a header with units, then a row a lock; commas, decimal points, UTF-8. Figures
// of locks that were not built are empty.
func (r *RunResult) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	head := []string{"lock", "status"}
	for _, k := range r.columns() {
		head = append(head, columnHead(k.Name, k.Unit))
	}
	head = append(head, "length (mm)", "finished (g)", "casting (g)", "fine metal (g)", "order (g)", "worst grade", "reason")
	if err := out.Write(head); err != nil {
		return err
	}
	for _, row := range r.Rows {
		if err := out.Write(r.cells(row)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func columnHead(name, unit string) string {
	if unit == "" {
		return name
	}
	return name + " (" + unit + ")"
}

func (r *RunResult) cells(row RunRow) []string {
	cells := []string{row.Name, row.Status}
	for _, k := range r.columns() {
		n, text, _ := row.job.Value(k.Name)
		if k.Kind == params.Number {
			text = short(n, toMM)
		}
		cells = append(cells, text)
	}
	figures := []string{"", "", "", "", ""}
	if row.built() {
		w := row.Weight
		for i, v := range []float64{row.Length, w.Finished, w.Casting, w.Fine, w.Order} {
			figures[i] = strconv.FormatFloat(v, 'f', 3, 64)
		}
	}
	return append(append(cells, figures...), string(row.Worst), row.Reason)
}

// built says that there are figures of a lock, whether its files were written or not.
func (row RunRow) built() bool { return row.Status == RowMade || row.Status == RowStopped }

// total is what the locks of one alloy come to.
type total struct {
	Alloy    string `json:"alloy"`
	Pieces   int    `json:"pieces"`
	Finished figure `json:"finished_g"`
	Casting  figure `json:"casting_g"`
	Order    figure `json:"order_g"` // each lock cast for itself, with gates and button of its own
	sums     [3]float64
}

// totals count the locks that have a folder, by alloy in the order in which the alloys appear.
func (r *RunResult) totals() []total {
	out := []total{}
	for _, row := range r.Rows {
		if !row.Folder {
			continue
		}
		_, alloy, _ := row.job.Value("metal.alloy")
		i := slices.IndexFunc(out, func(t total) bool { return t.Alloy == alloy })
		if i < 0 {
			i = len(out)
			out = append(out, total{Alloy: alloy})
		}
		t := &out[i]
		t.Pieces++
		for j, v := range [3]float64{row.Weight.Finished, row.Weight.Casting, row.Weight.Order} {
			t.sums[j] += v
		}
		t.Finished, t.Casting, t.Order = gram(t.sums[0]), gram(t.sums[1]), gram(t.sums[2])
	}
	return out
}

type runRow struct {
	Lock     string  `json:"lock"`
	Status   string  `json:"status"`
	Folder   string  `json:"folder,omitempty"` // in the run's folder
	Given    object  `json:"given"`            // width, thickness, alloy and every key that varies
	Length   *figure `json:"length_mm,omitempty"`
	Finished *figure `json:"finished_g,omitempty"`
	Casting  *figure `json:"casting_g,omitempty"`
	Fine     *figure `json:"fine_g,omitempty"`
	Order    *figure `json:"order_g,omitempty"`
	Worst    string  `json:"worst_grade,omitempty"`
	Reason   string  `json:"reason,omitempty"`
	Remedy   string  `json:"remedy,omitempty"`
}

// WriteJSON writes the run as one JSON document: a row a lock, and totals by alloy.
func (r *RunResult) WriteJSON(w io.Writer) error {
	return writeJSON(w, struct {
		SchemaVersion int      `json:"schema_version"`
		Tool          string   `json:"tool"`
		Locks         int      `json:"locks"`
		Made          int      `json:"made"`
		Rows          []runRow `json:"rows"`
		Totals        []total  `json:"totals"`
	}{schemaVersion, signature(), len(r.Rows), r.Made(), each(r.Rows, r.rowOf), r.totals()})
}

func (r *RunResult) rowOf(row RunRow) runRow {
	out := runRow{Lock: row.Name, Status: row.Status, Worst: string(row.Worst), Reason: row.Reason, Remedy: row.Remedy, Given: object{}}
	if row.Folder {
		out.Folder = row.Name
	}
	for _, k := range r.columns() {
		n, text, _ := row.job.Value(k.Name)
		if k.Kind == params.Number {
			out.Given = append(out.Given, entry{k.Name, mm(n)})
		} else {
			out.Given = append(out.Given, entry{k.Name, text})
		}
	}
	if row.built() {
		l, w := mm(row.Length), weightOf(row.Weight)
		out.Length, out.Finished, out.Casting, out.Fine, out.Order = &l, &w.Finished, &w.Casting, &w.Fine, &w.Order
	}
	return out
}

// WriteTable writes the run for a terminal: a line a lock, then totals by alloy.
func (r *RunResult) WriteTable(w io.Writer, dir string) error {
	var b strings.Builder
	longest := len("lock")
	for _, row := range r.Rows {
		longest = max(longest, len(row.Name))
	}
	fmt.Fprintf(&b, "%-*s  %-7s  %9s  %10s  %9s  %7s  %s\n", longest, "lock", "status", "length mm", "finished g", "casting g", "order g", "worst")
	for _, row := range r.Rows {
		fmt.Fprintf(&b, "%-*s  %-7s  ", longest, row.Name, row.Status)
		if row.Status == RowMade {
			fmt.Fprintf(&b, "%9.2f  %10.2f  %9.2f  %7.2f  %s\n", row.Length, row.Weight.Finished, row.Weight.Casting, row.Weight.Order, row.Worst)
			continue
		}
		fmt.Fprintf(&b, "%s\n", row.Reason)
	}
	for _, t := range r.totals() {
		fmt.Fprintf(&b, "%s: %s, finished %.2f g, casting %.2f g, order %.2f g with a button for each\n", t.Alloy, pieces(t.Pieces), t.sums[0], t.sums[1], t.sums[2])
	}
	fmt.Fprintf(&b, "%d of %d locks made, in %s with run.csv and run.json\n", r.Made(), len(r.Rows), dir)
	_, err := io.WriteString(w, b.String())
	return err
}

func pieces(n int) string {
	if n == 1 {
		return "1 lock"
	}
	return fmt.Sprintf("%d locks", n)
}
