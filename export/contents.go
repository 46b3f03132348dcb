package export

import (
	"fmt"
	"io"

	"claspwright/model"
	"claspwright/model/clasp"
)

// contents lists the files of a job folder but the manifest, in the order in which they are made.
func contents(c *model.Commission) ([]item, error) {
	items := meshes(c)
	if len(items) == 0 {
		return nil, fmt.Errorf("export: the commission has no meshes to write")
	}
	pictures, err := pictures(c)
	if err != nil {
		return nil, err
	}
	data, err := Report(c)
	if err != nil {
		return nil, err
	}
	return append(append(items, pictures...),
		item{"report.json", func(w io.Writer) error { _, err := w.Write(data); return err }},
		item{"job.toml", func(w io.Writer) error { return WriteJob(w, c.Resolved) }},
		item{"sheet.txt", func(w io.Writer) error { return WriteSheet(w, c) }},
	), nil
}

// meshes are the files of the parts, those for the printer first.
func meshes(c *model.Commission) []item {
	var items []item
	for _, stage := range []clasp.Stage{clasp.Pattern, clasp.Casting, clasp.Finished} {
		for _, p := range at(c, stage) {
			items = append(items, item{file(p), func(w io.Writer) error { return WriteSTL(w, p.Mesh, p.Name, p.Stage) }})
		}
	}
	return items
}

// pictures cuts the lock open and shows it.
func pictures(c *model.Commission) ([]item, error) {
	quarter, err := model.CutView(c)
	if err != nil {
		return nil, fmt.Errorf("closed.png: %w", err)
	}
	half, err := model.SectionView(c)
	if err != nil {
		return nil, fmt.Errorf("section.png: %w", err)
	}
	shoulder, err := model.ShoulderView(c)
	if err != nil {
		return nil, fmt.Errorf("shoulder.png: %w", err)
	}
	return []item{
		{"closed.png", func(w io.Writer) error { return WriteClosed(w, c, quarter) }},
		{"section.png", func(w io.Writer) error { return WriteSection(w, c, half) }},
		{"shoulder.png", func(w io.Writer) error { return WriteShoulder(w, c, shoulder) }},
	}, nil
}

// FileNames lists the files of a job folder, in the order in which they are made.
func FileNames(c *model.Commission) []string {
	var names []string
	for _, it := range meshes(c) {
		names = append(names, it.name)
	}
	return append(names, "closed.png", "section.png", "shoulder.png", "report.json", "job.toml", "sheet.txt", manifestName)
}
