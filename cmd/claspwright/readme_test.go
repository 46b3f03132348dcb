package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"claspwright/export"
	"claspwright/model"
	"claspwright/params"
)

var update = flag.Bool("update", false, "rewrite the generated part of README.md, and fail")

const readmePath = "../../README.md"

func readme(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(readmePath)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

const keysEnd = "```\n<!-- end of keys -->"

// The key table in the README is what the program prints.
func TestREADMEKeys(t *testing.T) {
	text := readme(t)
	_, after, found := strings.Cut(text, "<!-- keys:")
	_, after, opened := strings.Cut(after, "```text\n")
	was, _, closed := strings.Cut(after, keysEnd)
	if !found || !opened || !closed {
		t.Fatal("the markers round the keys are gone from README.md")
	}
	var b bytes.Buffer
	if err := export.WriteKeys(&b, params.Keys()); err != nil {
		t.Fatal(err)
	}
	if was == b.String() {
		return
	}
	if !*update {
		t.Fatal("the keys in README.md are stale: go test ./cmd/claspwright -run README -update")
	}
	now := strings.Replace(text, "```text\n"+was+keysEnd, "```text\n"+b.String()+keysEnd, 1)
	if err := os.WriteFile(readmePath, []byte(now), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Error("README.md was rewritten: read what changed, then run again without -update")
}

// A command of the README with the lines that it says are printed.
type shown struct {
	args  []string
	lines []string
}

// commands are those of the README's indented blocks that call the program, each with the lines below it.
func commands(text string) (out []shown) {
	open := false
	for _, line := range strings.Split(text, "\n") {
		body, indented := strings.CutPrefix(line, "    ")
		args, calls := strings.CutPrefix(body, "go run ./cmd/claspwright ")
		switch {
		case indented && calls:
			out, open = append(out, shown{args: strings.Fields(args)}), true
		case !indented:
			open = false
		case open:
			last := &out[len(out)-1]
			last.lines = append(last.lines, strings.TrimSpace(body))
		}
	}
	return out
}

// Every command of the README runs, and prints what the README says.
func TestREADMECommands(t *testing.T) {
	place := t.TempDir()
	data, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(data, filepath.Join(place, "testdata")); err != nil {
		t.Fatal(err)
	}
	text := readme(t)
	all := commands(text)
	if len(all) < 8 {
		t.Fatalf("only %d commands found", len(all))
	}
	for _, c := range all {
		cmd := exec.Command(os.Args[0], c.args...)
		cmd.Dir, cmd.Env = place, append(os.Environ(), asProgram+"=1")
		printed, err := cmd.CombinedOutput()
		if err != nil {
			t.Errorf("%s: %v\n%s", strings.Join(c.args, " "), err, printed)
		}
		for _, want := range c.lines {
			if hasLine(string(printed), want) {
				continue
			}
			now := likeLine(string(printed), want)
			t.Errorf("%s: does not print\n%q, but\n%q", strings.Join(c.args, " "), want, now)
			if *update && now != "" {
				text = strings.Replace(text, "    "+want+"\n", "    "+now+"\n", 1)
			}
		}
	}
	if *update && text != readme(t) {
		if err := os.WriteFile(readmePath, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// likeLine is the first line that begins as another does, up to its first figure.
func likeLine(text, want string) string {
	start := want
	if i := strings.IndexAny(want, "0123456789"); i > 0 {
		start = want[:i]
	}
	for _, l := range strings.Split(text, "\n") {
		if l = strings.TrimSpace(l); strings.HasPrefix(l, start) {
			return l
		}
	}
	return ""
}

func hasLine(text, want string) bool {
	return slices.ContainsFunc(strings.Split(text, "\n"), func(l string) bool { return strings.TrimSpace(l) == want })
}

func TestCommandsOfAText(t *testing.T) {
	got := fmt.Sprint(commands("a\n\n    go run ./cmd/claspwright keys --json\n    one  two\n\n    three\nb\n    go test\n"))
	if want := "[{[keys --json] [one  two]}]"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// explained are the names in the first column of the README's table of findings.
func explained(t *testing.T) map[string]bool {
	t.Helper()
	_, section, found := strings.Cut(readme(t), "\n## What each finding means\n")
	section, _, closed := strings.Cut(section, "\n## ")
	if !found || !closed {
		t.Fatal("README.md has no section on the findings")
	}
	out := map[string]bool{}
	for _, line := range strings.Split(section, "\n") {
		cells := strings.Split(line, "|")
		if len(cells) < 6 {
			continue
		}
		for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(cells[1], -1) {
			out[m[1]] = true
		}
	}
	return out
}

// judged are jobs that between them run through every branch of the checks.
var judged = [][]string{
	{"chain.width=12.4", "chain.thickness=5.2"}, {"chain.width=8", "chain.thickness=4", "lock.end=cradle"},
	{"chain.width=15", "chain.thickness=6.5", "chain.crown=22", "lock.end=lug"}, {"chain.width=22", "chain.thickness=9.24", "metal.alloy=ag925"},
	{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=Au 37.5, Cu 40, Ni 12.5, Zn 10"},
	{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow", "tongue.make=strip"},
	{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow", "tongue.make=strip", "strip.fix=laser"},
	{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow", "tongue.make=strip", "strip.fix=solder"},
	{"chain.width=20", "chain.thickness=8.4", "tongue.count=2", "metal.alloy=au750-yellow", "lock.floor=closed", "core.holes=1"}, {"chain.width=12.4", "chain.thickness=5.2", "lock.floor=loose"},
	{"chain.width=15", "chain.thickness=6.5", "chain.underside=30", "chain.heights=0 6.5, 3 6.3, -3 6.31, 6 5.7, -6 5.72"},
}

// Every check that a lock can be given is explained in the README, and every check explained there exists: the names
// that real locks return, and those that the program's text holds, should a branch have been missed.
func TestREADMEFindings(t *testing.T) {
	table, returned := explained(t), map[string]bool{}
	for _, sets := range judged {
		job, err := params.Load("", append([]string{"metal.alloy=au585-yellow"}, sets...))
		if err != nil {
			t.Fatal(err)
		}
		c, err := model.Make(context.Background(), job, model.Want{Checks: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range c.Findings {
			returned[f.Check] = true
		}
	}
	for name := range returned {
		if !table[name] {
			t.Errorf("finding %q is not explained in README.md", name)
		}
	}
	written := checkNames(t)
	if len(written) < 20 {
		t.Errorf("only %d names of checks found in the program's text", len(written))
	}
	for _, start := range written {
		if !anyStarts(table, start) {
			t.Errorf("finding %q stands in the program but is not explained in README.md", start)
		}
	}
	for name := range table {
		if !returned[name] && !slices.Contains(written, name) {
			t.Errorf("README.md explains %q, which no check returns", name)
		}
	}
}

func anyStarts(names map[string]bool, start string) bool {
	for name := range names {
		if strings.HasPrefix(name, start) {
			return true
		}
	}
	return false
}

// checkNames reads the names of checks, or what they begin with, from the text of package model.
func checkNames(t *testing.T) (out []string) {
	t.Helper()
	files, err := filepath.Glob("../../model/*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if name, ok := checkName(n); ok {
				out = append(out, name)
			}
			return true
		})
	}
	return out
}

// checkName is the name that a node gives a finding: the field Check, or the first argument of finding.AtLeast,
// finding.AtMost and the local shorthands for them.
func checkName(n ast.Node) (string, bool) {
	switch n := n.(type) {
	case *ast.KeyValueExpr:
		if key, ok := n.Key.(*ast.Ident); ok && key.Name == "Check" {
			return beginning(n.Value)
		}
	case *ast.CallExpr:
		if len(n.Args) < 3 { // a check, a figure or a grade, a sentence
			return "", false
		}
		switch f := n.Fun.(type) {
		case *ast.Ident:
			if slices.Contains([]string{"least", "most", "wall", "remark"}, f.Name) {
				return beginning(n.Args[0])
			}
		case *ast.SelectorExpr:
			if x, ok := f.X.(*ast.Ident); ok && x.Name == "finding" {
				return beginning(n.Args[0])
			}
		}
	}
	return "", false
}

// beginning is a string in the program's text, or what a sum of strings begins with.
func beginning(e ast.Expr) (string, bool) {
	if sum, ok := e.(*ast.BinaryExpr); ok {
		return beginning(sum.X)
	}
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(lit.Value)
	return s, err == nil
}
