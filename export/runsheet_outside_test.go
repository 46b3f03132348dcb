//go:build outside

package export

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// pdftotext (Debian poppler-utils) finds on the sheet of a run every lock by name and what it weighs, and of each alloy what run.json says.
func TestOutsideRunSheet(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "sizes")
	run := readRun(t, "chain.width = [4, 12.4, 14]\nchain.thickness = 5.2\nmetal.alloy = ['ag925', 'au585-yellow']\nmesh.tolerance = 0.02\n")
	if _, err := WriteRun(context.Background(), dir, run, RunOptions{Want: quickWant}); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", filepath.Join(dir, "run.pdf"), "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(out)), " ")
	data, err := os.ReadFile(filepath.Join(dir, "run.json"))
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Rows []struct {
			Lock, Status string
		}
		Totals []struct {
			Alloy                                         string
			Pieces                                        int
			Finished, Casting, Gates, Button, Loss, Order float64
		}
	}
	if err := json.Unmarshal([]byte(strings.ReplaceAll(string(data), `_g"`, `"`)), &doc); err != nil {
		t.Fatal(err)
	}
	for _, a := range doc.Totals {
		want := fmt.Sprintf("%s %d %.2f %.2f %.2f %.2f %.2f %.2f", a.Alloy, a.Pieces, a.Finished, a.Casting, a.Gates, a.Button, a.Loss, a.Order)
		if !strings.Contains(text, want) || a.Order == 0 {
			t.Errorf("no %q in %s", want, text)
		}
	}
	if len(doc.Rows) != 6 || len(doc.Totals) != 2 {
		t.Errorf("%d rows, %d alloys", len(doc.Rows), len(doc.Totals))
	}
	for _, r := range doc.Rows {
		if !strings.Contains(text, r.Lock+" ") {
			t.Errorf("%s is not on the sheet", r.Lock)
		}
	}
	for _, want := range []string{"4 of 6 locks made", "page 1 of 1", "5.2 mm is more than chain.width, 4 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	pages, err := exec.Command("pdftoppm", "-r", "40", "-gray", filepath.Join(dir, "run.pdf"), filepath.Join(dir, "page")).CombinedOutput()
	if err != nil || len(pages) > 0 { // it tells what is wrong with a file
		t.Errorf("pdftoppm: %v %s", err, pages)
	}
}
