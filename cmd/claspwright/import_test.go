package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "claspwright/"

// allowed lists, for each package, which packages of this module its program code may import. Imports run one way:
// the command, export, model, params; inside model the root alone puts the packages together.
var allowed = map[string][]string{
	"cmd/claspwright": {"export", "model", "model/clasp", "params"},
	"export":          {"model", "model/*", "params"},
	"model":           {"model/*", "params"},
	"model/clasp":     {"model/letter", "model/solid", "params"},
	"model/letter":    {"model/solid"},
	"model/setting":   {"model/solid", "params"},
	"model/chain":     {"model/solid", "params"},
	"model/contour":   {"model/solid"},
	"model/survey":    {"model/solid"},
	"model/motion":    {"model/solid", "model/spring"},
	"model/solid":     {},
	"model/metal":     {"params"},
	"model/casting":   {"params"},
	"model/spring":    {"params"},
	"model/fit":       {"params"},
	"model/life":      {},
	"model/blank":     {},
	"model/catch":     {},
	"model/learn":     {},
	"model/layer":     {},
	"model/finding":   {},
	"params":          {},
}

func mayImport(from, to string) bool {
	if to == "model/finding" && strings.HasPrefix(from, "model") {
		return true
	}
	for _, a := range allowed[from] {
		if a == to || strings.HasSuffix(a, "/*") && strings.HasPrefix(to, strings.TrimSuffix(a, "*")) {
			return true
		}
	}
	return false
}

func TestImportsRunOneWay(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || len(d.Name()) > 2 && d.Name()[0] == '.') {
			return filepath.SkipDir
		}
		if strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go") {
			rel, _ := filepath.Rel("../..", filepath.Dir(path))
			from := filepath.ToSlash(rel)
			seen[from] = true
			checkImports(t, from, path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{"cmd/claspwright", "export", "model", "model/clasp", "model/contour", "model/solid", "params"} {
		if !seen[p] {
			t.Errorf("%s was not read", p)
		}
	}
}

func checkImports(t *testing.T, from, path string) {
	t.Helper()
	if _, known := allowed[from]; !known {
		t.Errorf("%s: package %s has no row in this test", path, from)
	}
	f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	for _, spec := range f.Imports {
		name, _ := strconv.Unquote(spec.Path.Value)
		if to, own := strings.CutPrefix(name, module); own && !mayImport(from, to) {
			t.Errorf("%s: %s may not import %s", path, from, to)
		}
	}
}

// The rules themselves: what they must forbid.
func TestImportRulesForbid(t *testing.T) {
	for _, c := range [][2]string{
		{"params", "model"}, {"model", "export"}, {"export", "cmd/claspwright"}, {"model/casting", "model/solid"},
		{"model/contour", "params"}, {"model/metal", "model/clasp"}, {"model/solid", "model/contour"}, {"params", "model/finding"},
	} {
		if mayImport(c[0], c[1]) {
			t.Errorf("%s may import %s", c[0], c[1])
		}
	}
	if !slices.Contains(allowed["model/clasp"], "model/solid") || !mayImport("model/fit", "model/finding") {
		t.Error("the rules forbid what they must allow")
	}
}
