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
// of locks that were not built are empty, and so are keys that a lock does not give.
func (r *RunResult) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	head := []string{"lock", "status"}
	for _, k := range r.columns() {
		head = append(head, columnHead(k.Name, k.Unit))
	}
	head = append(head, "length (mm)", "finished (g)", "casting (g)", "gates (g)", "button (g)", "fine metal (g)", "order (g)", "worst grade", "reason")
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
	job := r.Run.Job(row.at)
	for _, k := range r.columns() {
		n, text, ok := job.Value(k.Name)
		if ok && k.Kind == params.Number {
			text = short(n, toMM)
		}
		cells = append(cells, text)
	}
	figures := make([]string, 7)
	if row.built() {
		w := row.inAll()
		for i, v := range []float64{row.Length, row.Finished, w.Casting, w.Gates, w.Button, row.Fine, w.Order} {
			figures[i] = strconv.FormatFloat(v, 'f', 3, 64)
		}
	}
	return append(append(cells, figures...), string(row.Worst), row.Reason)
}

// built says that there are figures of a lock, whether its files were written or not.
func (row RunRow) built() bool { return row.Status == RowMade || row.Status == RowStopped }

// total is what the locks of a run take of one alloy.
type total struct {
	Alloy    string `json:"alloy"`
	Pieces   int    `json:"pieces"` // locks that have a part of it
	Finished figure `json:"finished_g"`
	Casting  figure `json:"casting_g"`
	Gates    figure `json:"gates_g"`
	Button   figure `json:"button_g"`
	Loss     figure `json:"loss_g"`
	Order    figure `json:"order_g"` // each lock cast for itself, with gates and button of its own
	sum      RunPour
}

// totals count the locks that have a folder, by alloy in the order in which the alloys appear.
func (r *RunResult) totals() []total {
	out := []total{}
	for _, row := range r.Rows {
		if !row.Folder {
			continue
		}
		for _, p := range row.Pours {
			i := slices.IndexFunc(out, func(t total) bool { return t.Alloy == p.Alloy })
			if i < 0 {
				i = len(out)
				out = append(out, total{Alloy: p.Alloy})
			}
			out[i].Pieces++
			out[i].sum.add(p)
		}
	}
	for i := range out {
		t, s := &out[i], out[i].sum
		t.Finished, t.Casting, t.Gates, t.Button, t.Loss, t.Order = gram(s.Finished), gram(s.Casting), gram(s.Gates), gram(s.Button), gram(s.Loss), gram(s.Order)
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
	Gates    *figure `json:"gates_g,omitempty"`
	Button   *figure `json:"button_g,omitempty"`
	Fine     *figure `json:"fine_g,omitempty"`
	Order    *figure `json:"order_g,omitempty"`
	Worst    string  `json:"worst_grade,omitempty"`
	Reason   string  `json:"reason,omitempty"`
	Remedy   string  `json:"remedy,omitempty"`
}

// WriteJSON writes the run as one JSON document: totals by alloy, and a row a lock.
func (r *RunResult) WriteJSON(w io.Writer) error {
	shard := ""
	if r.Shard.Of > 0 {
		shard = r.Shard.String()
	}
	head := struct {
		SchemaVersion int     `json:"schema_version"`
		Tool          string  `json:"tool"`
		Shard         string  `json:"shard,omitempty"` // the part of the run that this is
		Locks         int     `json:"locks"`
		Made          int     `json:"made"`
		Totals        []total `json:"totals"`
	}{schemaVersion, signature(), shard, len(r.Rows), r.Made(), r.totals()}
	return writeListed(w, head, "rows", func(yield func(any) error) error {
		for _, row := range r.Rows {
			if err := yield(r.rowOf(row)); err != nil {
				return err
			}
		}
		return nil
	})
}

func (r *RunResult) rowOf(row RunRow) runRow {
	out := runRow{Lock: row.Name, Status: row.Status, Worst: string(row.Worst), Reason: row.Reason, Remedy: row.Remedy, Given: object{}}
	if row.Folder {
		out.Folder = row.Name
	}
	job := r.Run.Job(row.at)
	for _, k := range r.columns() {
		n, text, ok := job.Value(k.Name)
		if !ok {
			continue
		}
		if k.Kind == params.Number {
			out.Given = append(out.Given, entry{k.Name, mm(n)})
		} else {
			out.Given = append(out.Given, entry{k.Name, text})
		}
	}
	if row.built() {
		w := row.inAll()
		for to, v := range map[**figure]figure{&out.Length: mm(row.Length), &out.Finished: gram(row.Finished), &out.Casting: gram(w.Casting), &out.Gates: gram(w.Gates),
			&out.Button: gram(w.Button), &out.Fine: gram(row.Fine), &out.Order: gram(w.Order)} {
			*to = &v
		}
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
			w := row.inAll()
			fmt.Fprintf(&b, "%9.2f  %10.2f  %9.2f  %7.2f  %s\n", row.Length, row.Finished, w.Casting, w.Order, row.Worst)
			continue
		}
		fmt.Fprintf(&b, "%s\n", row.Reason)
	}
	for _, t := range r.totals() {
		fmt.Fprintf(&b, "%s: %s, finished %.2f g, casting %.2f g, gates %.2f g, buttons %.2f g, order %.2f g with a button for each\n",
			t.Alloy, pieces(t.Pieces), t.sum.Finished, t.sum.Casting, t.sum.Gates, t.sum.Button, t.sum.Order)
	}
	b.WriteString(r.ending(dir))
	_, err := io.WriteString(w, b.String())
	return err
}

// ending says how many locks there are, and where.
func (r *RunResult) ending(dir string) string {
	s := fmt.Sprintf("%d of %d locks made", r.Made(), len(r.Rows))
	if r.Kept > 0 {
		s += fmt.Sprintf(", rows kept from before: %d", r.Kept)
	}
	if r.Shard.Of > 0 {
		return fmt.Sprintf("part %s: %s, in %s; the tables come when all parts are in one folder: the same command without --shard\n", r.Shard, s, dir)
	}
	return s + ", in " + dir + " with run.csv, run.json and run.pdf\n"
}

func pieces(n int) string {
	if n == 1 {
		return "1 lock"
	}
	return fmt.Sprintf("%d locks", n)
}
