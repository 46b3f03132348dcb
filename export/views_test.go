package export

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/contour"
	"claspwright/params"
)

// eight locks over the whole range of sizes, flat and crowned, as the pictures are looked at.
var eight = [][]string{
	{"chain.width=8", "chain.thickness=4", "metal.alloy=au585-yellow"},
	{"chain.width=10", "chain.thickness=5", "chain.crown=15", "metal.alloy=au585-yellow"},
	plainJob,
	{"chain.width=12.4", "chain.thickness=5.2", "chain.crown=18.6", "metal.alloy=au585-yellow"},
	{"chain.width=15", "chain.thickness=5.25", "chain.crown=22.5", "metal.alloy=au585-yellow"},
	crownedJob,
	{"chain.width=22", "chain.thickness=9.24", "metal.alloy=ag925"},
	{"chain.width=26", "chain.thickness=13", "chain.crown=39", "metal.alloy=au585-yellow"},
}

// drawnLocks holds commissions by job.
var drawnLocks = map[string]*model.Commission{}

// finished is a commission as far as the pictures need it.
func finished(t testing.TB, sets ...string) *model.Commission {
	t.Helper()
	key := strings.Join(sets, "\n")
	if c := drawnLocks[key]; c != nil {
		return c
	}
	job, err := params.Load("", sets)
	if err != nil {
		t.Fatal(err)
	}
	c, err := model.Make(context.Background(), job, model.Want{Checks: true})
	if err != nil {
		t.Fatal(err)
	}
	drawnLocks[key] = c
	return c
}

// drawnBy draws a picture of a whole commission and reads it back.
func drawnBy(t *testing.T, c *model.Commission, draw func(io.Writer, *model.Commission) error) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := draw(&b, c); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// Every picture is drawn at the ends of the range of sizes and between, and is as wide as a screen.
func TestPicturesOfAllSizes(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for _, sets := range [][]string{eight[0], eight[4], eight[7]} {
		c := finished(t, sets...)
		for _, d := range drawings() {
			img := drawnBy(t, c, d.draw)
			if w := img.Bounds().Dx(); w < 1000 || w > 1600 {
				t.Errorf("%v: %s is %d pixels wide", sets, d.name, w)
			}
		}
	}
}

// In each view the lock is as long and as broad as its mesh at the stated scale, and no view runs into another.
func TestViewsToScale(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for _, sets := range eight {
		c := finished(t, sets...)
		s := viewsSheet{c: c, parts: model.Closed(c), e: extentsOf(model.Closed(c))}
		s.layOut()
		lo, hi := bothBounds(c)
		size := r3.Sub(hi, lo)
		for _, v := range []struct {
			name       string
			at         frame
			wide, high float64
		}{
			{"above", s.above, size.X, size.Y}, {"side", s.side, size.X, size.Z}, {"below", s.below, size.X, size.Y},
			{"tongue's end", s.near, size.Y, size.Z}, {"box's end", s.far, size.Y, size.Z},
		} {
			if w, h := v.at.x1-v.at.x0, v.at.y1-v.at.y0; math.Abs(w-v.wide*float64(s.scale)) > 1e-6 || math.Abs(h-v.high*float64(s.scale)) > 1e-6 {
				t.Errorf("%v: %s is %.2f x %.2f pixels, want %.3f x %.3f mm at %d", sets, v.name, w, h, v.wide, v.high, s.scale)
			}
			if v.at.x0 < margin-1 || v.at.x1 > float64(s.wide-margin)+1 || v.at.y0 < 0 || v.at.y1 > float64(s.high) {
				t.Errorf("%v: %s leaves the sheet: %v", sets, v.name, v.at)
			}
		}
		if s.above.y1 > s.side.y0 || s.side.y1 > s.below.y0 || s.near.y1 > s.far.y0 || s.above.x1 > s.near.x0 {
			t.Errorf("%v: views run into each other", sets)
		}
	}
}

func bothBounds(c *model.Commission) (lo, hi r3.Vec) {
	lo, hi = contour.Bounds(c.Parts[0].Mesh)
	a, b := contour.Bounds(c.Parts[1].Mesh)
	return r3.Vec{X: math.Min(lo.X, a.X), Y: math.Min(lo.Y, a.Y), Z: math.Min(lo.Z, a.Z)},
		r3.Vec{X: math.Max(hi.X, b.X), Y: math.Max(hi.Y, b.Y), Z: math.Max(hi.Z, b.Z)}
}

// The pixels themselves: along a line through the view from above, metal begins and ends where the scale puts it; box
// and tongue stand on their sides; and from below the window shows the tongue.
func TestViewsShowTheLock(t *testing.T) {
	c := finished(t, plainJob...)
	s := viewsSheet{c: c, parts: model.Closed(c), e: extentsOf(model.Closed(c))}
	s.layOut()
	img := drawnBy(t, c, func(w io.Writer, c *model.Commission) error { return WriteViews(w, c, model.Closed(c)) })
	l := c.Lock
	at := func(cam camera, p r3.Vec) string {
		x, y, _ := cam.pixel(p)
		switch c := rgba(img, int(x), int(y)); {
		case c == ground:
			return ""
		case c.R > c.B:
			return "box"
		}
		return "tongue"
	}
	for _, v := range []struct {
		name string
		cam  int
		at   r3.Vec
		want string
	}{
		{"face", 0, r3.Vec{X: l.BoxLength / 2, Y: 1}, "box"}, {"block from above", 0, r3.Vec{X: -l.Block / 2, Y: 1}, "tongue"},
		{"beside the lock", 0, r3.Vec{X: l.BoxLength / 2, Y: -l.Width/2 - 0.2}, ""},
		{"tab", 0, r3.Vec{X: l.XTip + l.TabThickness/2}, "tongue"},
		{"side", 1, r3.Vec{X: l.BoxLength / 2, Z: 1}, "box"}, {"tab from the side", 1, r3.Vec{X: l.XTip + 0.5, Z: l.Thickness + 0.4}, "tongue"},
		{"window", 2, r3.Vec{X: l.XWindow + l.WindowLength/2}, "tongue"}, {"floor", 2, r3.Vec{X: l.XPad}, "box"},
		{"tongue's end", 3, r3.Vec{Y: 1, Z: l.Thickness / 2}, "tongue"}, {"box's end", 4, r3.Vec{Y: 1, Z: l.Thickness / 2}, "box"},
		{"tab from the box's end", 4, r3.Vec{Z: l.Thickness + 0.4}, "tongue"},
	} {
		if got := at(s.cams[v.cam], v.at); got != v.want {
			t.Errorf("%s: shows %q, want %q", v.name, got, v.want)
		}
	}
}

// What is felt in the sections across is what the lock was derived with, by another way than the model's own.
func TestAcrossMeasures(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for _, sets := range eight {
		c := finished(t, sets...)
		stations, err := stationsOf(c)
		if err != nil {
			t.Fatal(err)
		}
		felt := map[string]float64{}
		for _, s := range stations {
			for _, m := range s.gauged {
				felt[m.name] = m.found.mm()
			}
		}
		l := c.Lock
		roof := l.Thickness - l.ZFront
		if l.Crown > 0 { // along the radius of the crown, through the chamber's corner
			roof = l.Crown - math.Hypot(l.Chamber/2, l.ZFront-(l.Thickness-l.Crown))
		}
		for name, want := range map[string]float64{
			"mouth, height": l.Mouth, "neck to lip": l.NeckPlay, "notch, width": l.NotchWidth, "neck to side wall": l.SidePlay,
			"roof at the corner": roof, "upper leaf to side wall": (l.Chamber - l.UpperWidth) / 2,
			"tab to notch, each side": (l.NotchWidth - l.TabWidth) / 2, "neck and root pad, width": l.LowerWidth,
			"roof at mid-width": l.Thickness - l.ZLip, "side wall": l.Wall, "floor": l.Floor, "chamber, width": l.Chamber,
			"lower leaf to side wall": l.SidePlay,
		} {
			if got, there := felt[name]; !there || math.Abs(got-want) > 2e-3 {
				t.Errorf("%v: %s: felt %.4f, want %.4f mm", sets, name, got, want)
			}
		}
	}
}

// A section across lays open what stands at its place and nothing else.
func TestAcrossCutsAtItsPlace(t *testing.T) {
	c := finished(t, plainJob...)
	for _, x := range []float64{0.5, 1.8, 11} {
		parts, err := model.Across(c, x)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range parts {
			cut := 0
			for f, tri := range p.Mesh.T {
				if !isCut(p.Mesh, f) {
					continue
				}
				cut++
				for _, v := range tri {
					if math.Abs(p.Mesh.V[v].X-x) > 1e-5 {
						t.Fatalf("x %.1f, %s: a cut facet at %.6f", x, p.Name, p.Mesh.V[v].X)
					}
				}
			}
			if lo, _ := contour.Bounds(p.Mesh); cut == 0 || math.Abs(lo.X-x) > 1e-5 {
				t.Errorf("x %.1f, %s: %d facets of the cut, begins at %.4f", x, p.Name, cut, lo.X)
			}
		}
	}
}

func drawnApart(t *testing.T, c *model.Commission) []model.Part {
	t.Helper()
	parts, err := model.Apart(c)
	if err != nil {
		t.Fatal(err)
	}
	return parts
}

// Open, the tongue is the same tongue, moved along the chain until its fold is clear of the box.
func TestApart(t *testing.T) {
	c := finished(t, plainJob...)
	apart, closed := drawnApart(t, c), model.Closed(c)
	e := extentsOf(apart)
	if gap := e.boxLo.X - e.tongueHi.X; gap < 1 {
		t.Errorf("the fold stands %.2f mm clear of the box", gap)
	}
	by := drawnOut(c, apart)
	for i, v := range apart[1].Mesh.V {
		if d := r3.Norm(r3.Sub(r3.Sub(v, r3.Vec{X: by}), closed[1].Mesh.V[i])); d > 1e-9 {
			t.Fatalf("vertex %d is off by %g mm", i, d)
		}
	}
	if by > -c.Lock.Length {
		t.Errorf("drawn out by %.2f mm, less than the leaf", -by)
	}
}

// No word points at something that stands behind something else, at any size.
func TestOpenLabelsAreSeen(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for _, sets := range eight {
		c := finished(t, sets...)
		parts := drawnApart(t, c)
		above, under := openPlaces(c.Lock, drawnOut(c, parts))
		all := append(above, under...)
		if seen := seeingMost(parts, all).seen(parts, all); len(seen) != len(all) {
			t.Errorf("%v: only %d of %d places are seen", sets, len(seen), len(all))
		}
	}
	plate := model.Part{Mesh: &contour.Mesh{V: []r3.Vec{{}, {X: 10}, {Z: 10}}, T: [][3]int32{{0, 1, 2}}}}
	for _, v := range []struct {
		at   r3.Vec
		want bool
	}{{r3.Vec{X: 2, Y: 1, Z: 2}, true}, {r3.Vec{X: 2, Y: -1, Z: 2}, false}, {r3.Vec{X: 8, Y: 1, Z: 8}, false}, {r3.Vec{X: 2, Y: 0.05, Z: 2}, false}} {
		if got := fromSide.hides([]model.Part{plate}, v.at); got != v.want {
			t.Errorf("%v hidden: %v", v.at, got)
		}
	}
}

// A dimension stands between its two places, with its words in the middle, or beside it where there is no room.
func TestDimensionWords(t *testing.T) {
	for _, v := range []struct {
		x0, x1 float64
		free   bool // is the line broken in the middle by words
	}{{50, 350, true}, {50, 90, false}} {
		img := blank(500, 60)
		err := lettered(func(_, word font.Face) { dimension{img, word}.level(v.x0, v.x1, 30, 10, 10, "box 16.41") })
		if err != nil {
			t.Fatal(err)
		}
		in := 3.0 // an arrow's head lies within the length, or outside it
		if !v.free {
			in = -3
		}
		if !dark(img, int(v.x0+in), 30) || !dark(img, int(v.x1-in), 30) {
			t.Errorf("%v: no arrows at the ends", v)
		}
		inside, outside := inked(img, int(v.x0)+25, int(v.x1)-25, 18, 29), inked(img, int(v.x1)+25, 480, 18, 29)
		if (inside > 0) != v.free || (outside > 0) == v.free {
			t.Errorf("%v: ink inside %d, outside %d", v, inside, outside)
		}
	}
}

func dark(img image.Image, x, y int) bool { return grey(rgba(img, x, y)) < 160 }

func inked(img image.Image, x0, x1, y0, y1 int) (n int) {
	for y := y0; y < y1; y++ {
		for x := x0; x < x1; x++ {
			if dark(img, x, y) {
				n++
			}
		}
	}
	return n
}

// How long each picture takes; all are made every time.
func BenchmarkPictures(b *testing.B) {
	c := finished(b, plainJob...)
	for _, d := range drawings() {
		b.Run(d.name, func(b *testing.B) {
			for b.Loop() {
				if err := d.draw(io.Discard, c); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run(fmt.Sprintf("all %d", len(drawings())), func(b *testing.B) {
		for b.Loop() {
			if _, err := pictures(c); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// A lug counts into the length of its half, and is named.
func TestViewsNameTheLug(t *testing.T) {
	if testing.Short() {
		t.Skip("the plain run does it")
	}
	for end, want := range map[string]string{"pad": "box", "cradle": "box", "lug": "box and lug"} {
		c := finished(t, append(plainJob[:3:3], "lock.end="+end)...)
		s := viewsSheet{c: c, parts: model.Closed(c), e: extentsOf(model.Closed(c))}
		name, length := "", 0.0
		for _, m := range s.measures() {
			if strings.HasPrefix(m.name, "box") && name == "" {
				name, length = m.name, m.mm
			}
		}
		_, hi := contour.Bounds(c.Parts[0].Mesh)
		if name != want || math.Abs(length-hi.X) > 1e-9 {
			t.Errorf("%s: %q of %.3f mm, want %q of %.3f", end, name, length, want, hi.X)
		}
	}
}
