package export

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"hash"
	"os"
	"path/filepath"
	"strings"

	"claspwright/model"
)

const manifestName = "manifest.json"

type manifest struct {
	SchemaVersion int            `json:"schema_version"`
	Tool          string         `json:"tool"`
	Given         string         `json:"job_given"` // the job file as it was given, in the table's order
	Job           object         `json:"job"`
	Files         []manifestFile `json:"files"`
}

type manifestFile struct {
	Name   string `json:"name"` // with slashes, from the folder
	Size   int    `json:"size"` // bytes
	SHA256 string `json:"sha256"`
}

func manifestOf(c *model.Commission, files []manifestFile) manifest {
	m := manifest{SchemaVersion: schemaVersion, Tool: signature(), Job: flat(c.Resolved, value), Files: files}
	if c.Job != nil {
		m.Given = string(c.Job.TOML())
	}
	return m
}

// meter counts and digests what passes through.
type meter struct {
	size   int
	digest hash.Hash
}

func newMeter() *meter { return &meter{digest: sha256.New()} }

func (m *meter) Write(p []byte) (int, error) {
	m.size += len(p)
	return m.digest.Write(p)
}

func (m *meter) entry(name string) manifestFile {
	return manifestFile{Name: name, Size: m.size, SHA256: hex.EncodeToString(m.digest.Sum(nil))}
}

// oldManifest reads which files an earlier run wrote into a folder. ours is false if the folder holds no manifest of
// this program.
func oldManifest(dir string) (names map[string]bool, ours bool) {
	data, err := os.ReadFile(filepath.Join(dir, manifestName))
	if err != nil {
		return nil, false
	}
	var m struct {
		Tool  string
		Files []struct{ Name string }
	}
	if json.Unmarshal(data, &m) != nil || !strings.HasPrefix(m.Tool, Tool+" ") {
		return nil, false
	}
	names = map[string]bool{manifestName: true}
	for _, f := range m.Files {
		names[f.Name] = true
	}
	return names, true
}
