package export

import (
	"bytes"
	"fmt"
	"io"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"claspwright/model"
	"claspwright/model/clasp"
)

// contents lists the files of a job folder but the manifest, in the order in which they are made.
func contents(c *model.Commission) ([]item, error) {
	items := meshes(c)
	if len(items) == 0 {
		return nil, fmt.Errorf("export: the commission has no meshes to write")
	}
	forms := formsOf(c)
	drawn, err := drawnAll(c, append(slices.Clone(forms), drawingsOf(c)...))
	if err != nil {
		return nil, err
	}
	pictures := drawn[len(forms):]
	data, err := Report(c)
	if err != nil {
		return nil, err
	}
	papers, err := papers(c, pictures)
	if err != nil {
		return nil, err
	}
	return append(append(append(append(items, drawn...), blanks(c)...), papers...),
		item{"report.json", func(w io.Writer) error { _, err := w.Write(data); return err }},
		item{"job.toml", func(w io.Writer) error { return WriteJob(w, c.Resolved) }},
		item{"sheet.txt", func(w io.Writer) error { return WriteSheet(w, c) }},
	), nil
}

// papers are the pages for caster and bench; they show some of the pictures.
func papers(c *model.Commission, pictures []item) ([]item, error) {
	png := map[string][]byte{}
	for _, it := range pictures {
		var b bytes.Buffer
		if err := it.write(&b); err != nil {
			return nil, err
		}
		png[it.name] = b.Bytes()
	}
	var items []item
	for _, d := range pages() {
		var b bytes.Buffer
		if err := d.draw(&b, c, png); err != nil {
			return nil, fmt.Errorf("%s: %w", d.name, err)
		}
		items = append(items, item{d.name, func(w io.Writer) error { _, err := w.Write(b.Bytes()); return err }})
	}
	return items, nil
}

// page is one paper of a job folder.
type page struct {
	name string
	draw func(io.Writer, *model.Commission, map[string][]byte) error
}

func pages() []page {
	return []page{{"order.pdf", WriteOrderPaper}, {"bench.pdf", WriteBenchPaper}}
}

// blanks are the drawings of a leaf of strip.
func blanks(c *model.Commission) []item {
	if c.Strip == nil {
		return nil
	}
	return []item{{"blank.svg", func(w io.Writer) error { return WriteBlank(w, c) }}}
}

// meshes are the files of the parts, those for the printer first.
func meshes(c *model.Commission) []item {
	var items []item
	for _, stage := range []clasp.Stage{clasp.Pattern, clasp.Casting, clasp.Finished} {
		for _, p := range at(c, stage) {
			items = append(items, item{file(p), func(w io.Writer) error { return WriteSTL(w, p.Mesh, p.Name, p.Stage) }})
		}
	}
	for _, p := range c.Strips() {
		items = append(items, item{file(p), func(w io.Writer) error { return WriteSTL(w, p.Mesh, p.Name, p.Stage) }})
	}
	return items
}

// formsOf are the files that hold the lock's shape for other programs, beside the STL files.
func formsOf(c *model.Commission) []drawing {
	var all []drawing
	if len(at(c, clasp.Pattern)) > 0 {
		all = append(all, drawing{"pattern.3mf", WritePattern})
	}
	plan := sync.OnceValues(func() (*plan, error) { return planOf(c) }) // the same for both drawings
	return append(all, drawing{"lock.glb", WriteGLB},
		drawing{"drawing.svg", func(w io.Writer, c *model.Commission) error {
			p, err := plan()
			if err != nil {
				return err
			}
			return p.svg(w, sourceOf(c))
		}},
		drawing{"drawing.dxf", func(w io.Writer, c *model.Commission) error {
			p, err := plan()
			if err != nil {
				return err
			}
			return p.dxf(w, sourceOf(c))
		}})
}

// drawing is one picture of a job folder, or another file that is made in memory beside them.
type drawing struct {
	name string
	draw func(io.Writer, *model.Commission) error
}

// drawings are all pictures of a job folder, in the order in which they are listed.
func drawings() []drawing {
	type writer = func(io.Writer, *model.Commission, []model.Part) error
	whole := func(parts func(*model.Commission) []model.Part, write writer) func(io.Writer, *model.Commission) error {
		return func(w io.Writer, c *model.Commission) error { return write(w, c, parts(c)) }
	}
	cut := func(parts func(*model.Commission) ([]model.Part, error), write writer) func(io.Writer, *model.Commission) error {
		return func(w io.Writer, c *model.Commission) error {
			ps, err := parts(c)
			if err != nil {
				return err
			}
			return write(w, c, ps)
		}
	}
	return []drawing{
		{"closed.png", cut(model.CutView, WriteClosed)}, {"open.png", cut(model.Apart, WriteOpen)},
		{"views.png", whole(model.Shown, WriteViews)}, {"section.png", cut(model.SectionView, WriteSection)},
		{"shoulder.png", cut(model.ShoulderView, WriteShoulder)}, {"across.png", WriteAcross},
	}
}

// drawingsOf are the pictures of a commission: all, and that of the safety catch where there is one.
func drawingsOf(c *model.Commission) []drawing {
	all := drawings()
	if c.Catch != nil {
		all = append(all, drawing{"catch.svg", WriteCatch})
	}
	if len(c.Poses) > 0 {
		all = append(all, drawing{"print.png", WritePrint})
	}
	return all
}

// drawnAll makes files side by side; the result goes by index, so that it does not depend on the cores.
func drawnAll(c *model.Commission, all []drawing) ([]item, error) {
	items := make([]item, len(all))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0)) // each painter holds some megabytes
	for i, d := range all {
		g.Go(func() error {
			data, err := d.data(c)
			items[i] = item{d.name, func(w io.Writer) error { _, err := w.Write(data); return err }}
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	return items, nil
}

func (d drawing) data(c *model.Commission) ([]byte, error) {
	var b bytes.Buffer
	if err := d.draw(&b, c); err != nil {
		return nil, fmt.Errorf("%s: %w", d.name, err)
	}
	return b.Bytes(), nil
}

// FileNames lists the files of a job folder, in the order in which they are made.
func FileNames(c *model.Commission) []string {
	var names []string
	for _, it := range meshes(c) {
		names = append(names, it.name)
	}
	for _, d := range append(formsOf(c), drawingsOf(c)...) {
		names = append(names, d.name)
	}
	for _, it := range blanks(c) {
		names = append(names, it.name)
	}
	for _, d := range pages() {
		names = append(names, d.name)
	}
	return append(names, "report.json", "job.toml", "sheet.txt", manifestName)
}
