package export

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"claspwright/model"
)

// The same commission draws the same bytes, a picture of the size that is meant.
func TestWayIsTheSameEveryTime(t *testing.T) {
	c := commission(t, plainJob...)
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WriteWay(w, c); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two pictures of one way in differ")
	}
	img, err := png.Decode(&a)
	if err != nil {
		t.Fatal(err)
	}
	if s := img.Bounds().Size(); s.X != wayWide || s.Y != wayHigh {
		t.Errorf("%v pixels", s)
	}
}

// Five stations in the order in which they are passed, the leaf bent further from the first to the last.
func TestWayShowsFiveStations(t *testing.T) {
	ms := momentsOf(commission(t, plainJob...))
	if len(ms) != 5 {
		t.Fatalf("%d stations", len(ms))
	}
	for i := 1; i < len(ms); i++ {
		if ms[i].out >= ms[i-1].out {
			t.Errorf("station %d is %.2f mm out after %.2f", i, ms[i].out, ms[i-1].out)
		}
	}
	for _, m := range ms[:4] {
		if len(m.touches) == 0 {
			t.Errorf("nothing touches: %s", m.title)
		}
	}
}

func TestWayNeedsASpringAndAFolder(t *testing.T) {
	err := WriteWay(&bytes.Buffer{}, &model.Commission{Spring: &model.Spring{Failed: "the strip gives way"}})
	if err == nil || !strings.Contains(err.Error(), "the strip gives way") {
		t.Errorf("without a spring: %v", err)
	}
	path := filepath.Join(t.TempDir(), "none", "way.png")
	if err := SaveWay(path, commission(t, plainJob...)); err == nil || !strings.Contains(err.Error(), path) {
		t.Errorf("into no folder: %v", err)
	}
	dir := t.TempDir()
	if err := SaveWay(filepath.Join(dir, "way.png"), &model.Commission{}); err == nil {
		t.Error("nothing to draw, and no error")
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}
