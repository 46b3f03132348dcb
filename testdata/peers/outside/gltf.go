package outside

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// GLTF is what npm gltf-validator, the Khronos Group's own, says of a file.
type GLTF struct {
	Version string `json:"validatorVersion"`
	Issues  struct {
		Errors   int `json:"numErrors"`
		Warnings int `json:"numWarnings"`
		Infos    int `json:"numInfos"`
		Hints    int `json:"numHints"`
		Messages []struct {
			Code, Message, Pointer string
		}
	}
	Info struct {
		Generator string
		Triangles int `json:"totalTriangleCount"`
		Materials int `json:"materialCount"`
	}
}

// ValidateGLB runs the validator on a file.
func ValidateGLB(t testing.TB, file string) (g GLTF) {
	t.Helper()
	dir := home(t)
	if _, err := os.Stat(filepath.Join(dir, "node_modules", "gltf-validator")); err != nil {
		t.Fatal("gltf-validator is not installed (npm ci --ignore-scripts in testdata/peers); this check must not be left out")
	}
	cmd := exec.Command(program(t, "node"), filepath.Join(dir, "gltf.mjs"), file)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("gltf-validator: %v", err)
	}
	if err := json.Unmarshal(out, &g); err != nil {
		t.Fatalf("gltf-validator: %v in %q", err, out)
	}
	return g
}
