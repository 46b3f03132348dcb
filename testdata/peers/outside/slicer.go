package outside

import (
	"archive/zip"
	"encoding/xml"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// SlicedPart is what Debian's prusa-slicer says of one object of a file. Lengths mm, volume mm3.
type SlicedPart struct {
	Name     string
	Size     [3]float64
	Facets   int
	Manifold bool
	Volume   float64
}

// SlicerInfo loads a file and tells its parts (--info), with the names under which the slicer saves them again.
func SlicerInfo(t testing.TB, file string) []SlicedPart {
	t.Helper()
	var parts []SlicedPart
	for _, line := range strings.Split(slicer(t, "--info", file), "\n") {
		if strings.HasPrefix(line, "[") && strings.HasSuffix(line, filepath.Base(file)+"]") {
			parts = append(parts, SlicedPart{})
			continue
		}
		key, value, ok := strings.Cut(line, " = ")
		if !ok || len(parts) == 0 {
			continue
		}
		parts[len(parts)-1].take(key, strings.TrimSpace(value))
	}
	for i, name := range savedNames(t, file) {
		if i < len(parts) {
			parts[i].Name = name
		}
	}
	return parts
}

func (p *SlicedPart) take(key, value string) {
	v, _ := strconv.ParseFloat(value, 64)
	switch key {
	case "size_x":
		p.Size[0] = v
	case "size_y":
		p.Size[1] = v
	case "size_z":
		p.Size[2] = v
	case "number_of_facets":
		p.Facets = int(v)
	case "volume":
		p.Volume = v
	case "manifold":
		p.Manifold = value == "yes"
	}
}

// savedNames are the names of the objects in the file that the slicer writes after it has read this one.
func savedNames(t testing.TB, file string) (names []string) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "saved.3mf")
	slicer(t, "--export-3mf", "--dont-arrange", "-o", out, file)
	var config struct {
		Object []struct {
			Metadata []struct {
				Key   string `xml:"key,attr"`
				Value string `xml:"value,attr"`
			} `xml:"metadata"`
		} `xml:"object"`
	}
	if err := xml.Unmarshal(inZip(t, out, "Metadata/Slic3r_PE_model.config"), &config); err != nil {
		t.Fatal(err)
	}
	for _, o := range config.Object {
		for _, m := range o.Metadata {
			if m.Key == "name" {
				names = append(names, m.Value)
			}
		}
	}
	return names
}

// Slices is what a resin printer would be given.
type Slices struct {
	Layers   int
	Material float64 // mm3, as the slicer adds it up from its layers
}

// resin is a plain resin printer: layers of 0.025 mm, nothing added to the parts and nothing taken away.
const resin = `printer_technology = SLA
layer_height = 0.025
initial_layer_height = 0.025
supports_enable = 0
pad_enable = 0
support_object_elevation = 0
gamma_correction = 1
display_width = 120
display_height = 68
display_pixels_x = 1200
display_pixels_y = 680
bed_shape = 0x0,120x0,120x68,0x68
slice_closing_radius = 0
hollowing_enable = 0
elefant_foot_compensation = 0
absolute_correction = 0
`

// Slice slices a file at 0.025 mm.
func Slice(t testing.TB, file string) (s Slices) {
	t.Helper()
	dir := t.TempDir()
	settings, out := filepath.Join(dir, "resin.ini"), filepath.Join(dir, "out.sl1")
	if err := os.WriteFile(settings, []byte(resin), 0o644); err != nil {
		t.Fatal(err)
	}
	slicer(t, "--load", settings, "--export-sla", "-o", out, file)
	for _, line := range strings.Split(string(inZip(t, out, "config.ini")), "\n") {
		key, value, _ := strings.Cut(line, " = ")
		switch key {
		case "usedMaterial": // millilitres
			s.Material, _ = strconv.ParseFloat(value, 64)
			s.Material *= 1000
		case "numFast", "numSlow":
			n, _ := strconv.Atoi(value)
			s.Layers += n
		}
	}
	return s
}

func slicer(t testing.TB, args ...string) string {
	t.Helper()
	out, err := exec.Command(program(t, "prusa-slicer"), args...).CombinedOutput()
	if err != nil {
		t.Fatalf("prusa-slicer %s: %v: %s", strings.Join(args, " "), err, out)
	}
	return string(out)
}

func inZip(t testing.TB, file, name string) []byte {
	t.Helper()
	z, err := zip.OpenReader(file)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	f, err := z.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	data, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	return data
}
