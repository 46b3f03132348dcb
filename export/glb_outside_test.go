//go:build outside

package export

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"claspwright/model/clasp"
	"claspwright/testdata/peers/outside"
)

// npm gltf-validator finds no error and no warning in locks of every kind, counts the facets that were written, and does
// find the faults of files that were spoilt.
func TestOutsideGLB(t *testing.T) {
	for name, sets := range map[string][]string{
		"plain": plainJob, "crowned": crownedJob, "varied": variedJob,
	} {
		c := commission(t, sets...)
		var b bytes.Buffer
		if err := WriteGLB(&b, c); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "lock.glb")
		if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		g := outside.ValidateGLB(t, file)
		t.Logf("%s: validator %s: %d errors, %d warnings, %d infos, %d hints; %d facets, %d materials, %d bytes", name, g.Version,
			g.Issues.Errors, g.Issues.Warnings, g.Issues.Infos, g.Issues.Hints, g.Info.Triangles, g.Info.Materials, b.Len())
		if g.Issues.Errors+g.Issues.Warnings != 0 || g.Info.Generator != signature() || g.Version != "2.0.0-dev.3.10" {
			t.Errorf("%s: %+v", name, g)
		}
		if name == "plain" {
			least := 0
			for _, p := range at(c, clasp.Finished) {
				least += len(p.Mesh.T)
			}
			if g.Info.Triangles < least {
				t.Errorf("%d facets, the halves alone have %d", g.Info.Triangles, least)
			}
		}
	}
}

func TestOutsideGLBValidatorSeesFaults(t *testing.T) {
	var b bytes.Buffer
	if err := WriteGLB(&b, commission(t, plainJob...)); err != nil {
		t.Fatal(err)
	}
	for name, swap := range map[string][2]string{
		"an unknown version":          {`"version":"2.0"`, `"version":"9.0"`},
		"a node that is no unit turn": {`"rotation":[-0.7`, `"rotation":[-0.9`},
		"a mesh without places":       {`"POSITION":`, `"POSITOIN":`},
	} {
		bad := bytes.Replace(b.Bytes(), []byte(swap[0]), []byte(swap[1]), 1)
		file := filepath.Join(t.TempDir(), "bad.glb")
		if err := os.WriteFile(file, bad, 0o644); err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(bad, b.Bytes()) {
			t.Fatalf("%s: nothing was spoilt", name)
		}
		if g := outside.ValidateGLB(t, file); g.Issues.Errors == 0 {
			t.Errorf("%s passes", name)
		}
	}
}
