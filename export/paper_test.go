package export

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"claspwright/model"
)

// paperJobs are locks whose papers have the most to say.
var paperJobs = [][]string{
	{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow", "chain.wear=bracelet"},
	{"chain.width=20", "chain.thickness=8", "chain.crown=30", "metal.alloy=au585-white-ni", "tongue.alloy=au750-white-ni", "lock.floor=loose", "chain.wear=bracelet",
		"catch.sides=both", "casting.growth_z=1.02", "paper.size=letter", "job.name=the second of three for the shop in the old mill"},
	{"chain.width=14", "chain.thickness=6", "metal.alloy=ag925", "tongue.make=strip", "strip.alloy=au750-yellow", "lock.end=cradle", "paper.size=letter"},
	{"chain.width=14", "chain.thickness=6", "metal.alloy=Au 75, Ag 5, Cu 20", "tongue.make=opened", "lock.end=lug", "lock.floor=closed", "core.holes=2", "chain.wear=necklace"},
}

// pagesOf writes both papers.
func pagesOf(t *testing.T, c *model.Commission) map[string][]byte {
	t.Helper()
	pics, err := pictures(c)
	if err != nil {
		t.Fatal(err)
	}
	items, err := papers(c, pics)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, it := range items {
		var b bytes.Buffer
		if err := it.write(&b); err != nil {
			t.Fatal(err)
		}
		out[it.name] = b.Bytes()
	}
	return out
}

var (
	pageObject = regexp.MustCompile(`/Type /Page\b`)
	mediaBox   = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)
)

// Every paper is one page of the size asked for, whatever the lock has to say, and the same bytes each time.
func TestPapersAreOnePageEach(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for i, sets := range paperJobs {
		c := commission(t, sets...)
		first := pagesOf(t, c)
		again := first
		if i < 2 { // one of each size
			again = pagesOf(t, c)
		}
		if len(first) != 2 {
			t.Fatalf("%d papers", len(first))
		}
		want := "595.28 841.89" // A4 is 210 x 297 mm (ISO 216), in points of 1/72 inch
		if strings.Contains(strings.Join(sets, " "), "letter") {
			want = "612.00 792.00" // 8.5 x 11 inch (ANSI/ASME Y14.1)
		}
		for name, data := range first {
			if n := len(pageObject.FindAll(data, -1)); n != 1 {
				t.Errorf("%v: %s has %d pages", sets, name, n)
			}
			if m := mediaBox.FindSubmatch(data); m == nil || string(m[1])+" "+string(m[2]) != want {
				t.Errorf("%v: %s is %s, want %s", sets, name, m, want)
			}
			if !bytes.Equal(data, again[name]) {
				t.Errorf("%v: %s differs from run to run", sets, name)
			}
			if bytes.Contains(data, []byte("/CreationDate (D:20000101")) != true {
				t.Errorf("%v: %s carries a time of its own", sets, name)
			}
		}
	}
}

// What does not fit one page in the smallest letters is an error, and nothing is written.
func TestPaperTooLong(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	c := commission(t, paperJobs[0]...)
	var b bytes.Buffer
	err := onePage(&b, c, func(p *paper) error {
		for range 200 {
			p.row("line", "more")
		}
		return nil
	})
	if err == nil || !strings.Contains(err.Error(), "longer than its page") || b.Len() > 0 {
		t.Errorf("%v, %d bytes", err, b.Len())
	}
}

// The route has what the lock needs and nothing of other locks.
func TestRouteFitsTheLock(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for i, v := range []struct{ has, not []string }{
		{[]string{"catch", "280 to 300 C, 1 to 2 h"}, []string{"leaf of strip", "close the leaf", "floor", "core holes"}},
		{[]string{"catch", "floor", "hardens on slow cooling"}, []string{"leaf of strip", "close the leaf", "core holes"}},
		{[]string{"leaf of strip", "blank.svg", "cradles"}, []string{"close the leaf"}},
		{[]string{"close the leaf", "core holes", "no heat: a connecting link", "orders"}, []string{"catch", "floor"}},
	} {
		all := ""
		for _, s := range route(commission(t, paperJobs[i]...)) {
			all += s.name + ": " + s.do + "\n"
		}
		for _, w := range v.has {
			if !strings.Contains(all, w) {
				t.Errorf("%v: no %q in\n%s", paperJobs[i], w, all)
			}
		}
		for _, w := range v.not {
			if strings.Contains(all, w+":") {
				t.Errorf("%v: %q in\n%s", paperJobs[i], w, all)
			}
		}
	}
}
