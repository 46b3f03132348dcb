//go:build outside

package export

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
)

// question is what somebody who gets the papers asks, and what answers it.
type question struct{ Who, Ask, Paper, Answer string }

// readable is what pdftotext (poppler) reads on a page, with its spaces run together.
func readable(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// Twenty questions of caster, bench and setter are each answered by a line on the papers, for locks of every make.
func TestOutsidePapersAnswer(t *testing.T) {
	data, err := os.ReadFile("testdata/questions.toml")
	if err != nil {
		t.Fatal(err)
	}
	var list struct{ Question []question }
	if err := toml.Unmarshal(data, &list); err != nil || len(list.Question) < 20 {
		t.Fatal(err, len(list.Question))
	}
	slit := []string{"tongue.make=slit", "chain.width=14", "chain.thickness=3.4", "metal.alloy=au750-yellow"}
	double := []string{"tongue.count=2", "chain.width=20", "chain.thickness=8.4", "metal.alloy=pt950-ru"}
	for i, sets := range append(append([][]string{}, paperJobs...), slit, double) {
		text := map[string]string{}
		for name, data := range pagesOf(t, commission(t, sets...)) {
			text[name] = readable(t, name, data)
		}
		for _, q := range list.Question {
			m := regexp.MustCompile(q.Answer).FindString(text[q.Paper])
			if m == "" {
				t.Errorf("%v: %s does not answer the %s: %s\n%s", sets, q.Paper, q.Who, q.Ask, text[q.Paper])
			} else if i == 0 {
				t.Logf("%s asks: %s\n\t%.200s", q.Who, q.Ask, m)
			}
		}
	}
}
