package clasp

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/contour"
	"claspwright/model/letter"
	"claspwright/model/solid"
	"claspwright/params"
)

// marked derives a lock with a plain leaf by rule, which letters do not depend on.
func markedLock(t *testing.T, sets ...string) (*Lock, error) {
	t.Helper()
	j, err := params.Parse("test", nil, append([]string{"chain.width=14", "chain.thickness=6", "metal.alloy=au750-yellow"}, sets...))
	if err != nil {
		t.Fatal(err)
	}
	return Derive(j, "gold", nil)
}

// meshed proves a solid's mesh and gives its volume.
func meshed(t *testing.T, what string, s *solid.Solid) float64 {
	t.Helper()
	m, err := contour.Of(s, 0.005)
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	if _, err = contour.Verify(m, s, 0.005); err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	return contour.Volume(m)
}

// green is the area of a text's letters at a height by Green's theorem on the font's own Bezier curves, counters taken off. It holds for letters
// whose contours do not overlap.
func green(t *testing.T, text string, height float64) (a float64) {
	t.Helper()
	l, err := letter.Set(text)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range l.Glyphs {
		for _, c := range g {
			a += c.Area() * height * height
		}
	}
	return a
}

// What letters take out of the block, or leave standing in their field, is the area of their outlines times the depth; at each stage, proven.
func TestVolumeOfLetters(t *testing.T) {
	bare, err := markedLock(t)
	if err != nil {
		t.Fatal(err)
	}
	for _, sets := range [][]string{
		{"mark.make=engraved"},
		{"mark.make=engraved", "mark.text=AB 8%", "mark.depth=0.35", "hallmark.place=block"},
		{"mark.make=raised", "mark.text=585"},
		{"mark.make=raised", "mark.text=No. 6", "mark.stroke=0.15", "mark.depth=0.3"},
	} {
		l, err := markedLock(t, sets...)
		if err != nil {
			t.Fatal(err)
		}
		for _, stage := range []Stage{Finished, Casting} {
			name := fmt.Sprint(sets, stage)
			was, _ := bare.Tongue(stage)
			is, err := l.Tongue(stage)
			if err != nil {
				t.Fatal(err)
			}
			m := l.Mark
			deep := m.Depth + l.Stock.at(stage).Face
			want := green(t, m.Text, m.Height)
			if m.Make == "raised" {
				across, along := m.size(m.Height)
				want = across*along - want
			}
			want *= deep
			if got := meshed(t, name, was) - meshed(t, name, is); math.Abs(got-want) > 0.004*want+0.002 {
				t.Errorf("%s: %.4f mm3 taken away, want %.4f", name, got, want)
			}
		}
	}
}

// Read from below, an L has its stem at the reader's left and its foot at the lower right: seen with the box above, left is -y.
func TestLettersAreNotMirrored(t *testing.T) {
	l, err := markedLock(t, "mark.make=engraved", "mark.text=L")
	if err != nil {
		t.Fatal(err)
	}
	s, err := l.Tongue(Finished)
	if err != nil {
		t.Fatal(err)
	}
	cut := func(right, up float64) bool { // in halves of the letter's box, from its middle, as a reader from below has them
		m := l.Mark
		w, h := m.Height*(m.Line.Hi.X-m.Line.Lo.X)/2, m.Height*(m.Line.Hi.Y-m.Line.Lo.Y)/2
		// looking up with +x ahead, the right hand is at +y
		return s.Eval(r3.Vec{X: m.X + up*h, Y: right * w, Z: 0.05}) > 0
	}
	for _, c := range []struct {
		right, up float64
		want      bool
	}{{-0.9, 0.9, true}, {-0.9, -0.9, true}, {0.9, -0.9, true}, {0.9, 0.9, false}, {0.5, 0.5, false}} {
		if cut(c.right, c.up) != c.want {
			t.Errorf("at %g to the right and %g up: cut %v", c.right, c.up, !c.want)
		}
	}
}

// A lock that asks for neither is the lock it was; hallmark and letters keep apart and within the block, on any underside.
func TestLettersAndHallmarkHaveTheirPlaces(t *testing.T) {
	plain, err := markedLock(t)
	if err != nil {
		t.Fatal(err)
	}
	if cut, err := plain.marks(Stock{}); err != nil || len(cut) > 0 {
		t.Errorf("by default %d tools cut the block, %v", len(cut), err)
	}
	made := 0
	r := rand.New(rand.NewPCG(5, 6))
	for range 400 {
		sets := []string{fmt.Sprintf("chain.width=%.2f", 8+20*r.Float64()), fmt.Sprintf("chain.thickness=%.2f", 5.5+2*r.Float64()),
			"mark.make=" + []string{"engraved", "raised"}[r.IntN(2)], "hallmark.place=block", fmt.Sprintf("mark.text=%d", r.IntN(1000)),
			fmt.Sprintf("lock.block=%.2f", 5+6*r.Float64()), "lock.end=" + []string{"pad", "cradle"}[r.IntN(2)]}
		if r.IntN(2) == 0 {
			sets = append(sets, fmt.Sprintf("chain.underside=%.1f", 60+100*r.Float64()))
		}
		l, err := markedLock(t, sets...)
		var no *Refusal
		if errors.As(err, &no) {
			continue
		}
		if err != nil {
			t.Fatalf("%v: %v", sets, err)
		}
		made++
		h, m, free := l.Hallmark.patch(), l.Mark.patch(), l.underBlock()
		if m.x0 < h.x1+markMargin-1e-9 || h.x0 < free.x0-1e-9 || m.x1 > free.x1+1e-9 || m.y > free.y+1e-9 || h.y > free.y+1e-9 {
			t.Errorf("%v: hallmark %+v, letters %+v, free %+v", sets, h, m, free)
		}
		s, err := l.Tongue(Casting)
		if err != nil {
			t.Fatalf("%v: %v", sets, err)
		}
		for _, p := range []r3.Vec{{X: h.x0 + 0.01, Y: h.y - 0.01, Z: l.Hallmark.Z - l.Stock.Face}, {X: h.x1 - 0.01, Y: 0.01 - h.y, Z: l.Hallmark.Z - l.Stock.Face}} {
			if d := s.Eval(p); math.Abs(d) > 1e-6 {
				t.Errorf("%v: the flat's corner is %.4f mm from the surface", sets, d)
			}
		}
	}
	t.Logf("%d of 400 made", made)
	if made < 100 {
		t.Errorf("only %d made", made)
	}
}

// Random texts of ASCII and Latin-1: a sound mesh or a refusal that names the key.
func TestRandomTexts(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	made, refused := 0, map[string]int{}
	for range 70 {
		n := 1 + r.IntN(4)
		text := []rune{}
		for range n {
			c := rune('!' + r.IntN(94))
			if r.IntN(3) == 0 {
				c = rune(0xa1 + r.IntN(95))
			}
			text = append(text, c)
		}
		sets := []string{"mark.make=" + []string{"engraved", "raised"}[r.IntN(2)], "mark.text=" + string(text), fmt.Sprintf("mark.stroke=%.2f", 0.1+0.1*r.Float64()),
			fmt.Sprintf("mark.depth=%.2f", 0.05+0.4*r.Float64()), fmt.Sprintf("lock.block=%.1f", 6+5*r.Float64())}
		if r.IntN(2) == 0 {
			sets = append(sets, fmt.Sprintf("mark.height=%.2f", 1.5+4*r.Float64()))
		}
		j, err := params.Parse("test", nil, append([]string{"chain.width=16", "chain.thickness=6.5", "metal.alloy=au750-yellow"}, sets...))
		if err != nil {
			continue // quotes and blanks
		}
		l, err := Derive(j, "gold", nil)
		var no *Refusal
		switch {
		case errors.As(err, &no) && strings.HasPrefix(no.Key, "mark.") && no.Nearest != "":
			refused[no.Key]++
			continue
		case err != nil:
			t.Fatalf("%q: %v", sets, err)
		}
		made++
		if l.Mark.Thin < 0.1-1e-6 {
			t.Errorf("%q: a stroke of %.3f mm", sets, l.Mark.Thin)
		}
		end, err := l.block(l.Stock)
		if err != nil {
			t.Fatalf("%q: %v", sets, err)
		}
		meshed(t, fmt.Sprintf("%q", sets), end)
	}
	t.Logf("%d made, refused %v", made, refused)
	if made < 30 {
		t.Errorf("only %d made", made)
	}
}

func TestLettersThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		sets      []string
		key, says string
	}{
		{[]string{"mark.text=中"}, "mark.text", "has no '中'"},
		{[]string{"mark.text=a line that is far too long"}, "mark.text", "fits under the block up to"},
		{[]string{"mark.text=58", "mark.height=0.9"}, "mark.height", "less than mark.stroke"},
		{[]string{"mark.text=58", "mark.height=7"}, "mark.height", "is too high"},
		{[]string{"mark.text=58", "mark.stroke=0.6"}, "mark.text", "needs"},
		{[]string{"hallmark.place=block", "hallmark.width=5"}, "mark.text", "fits under the block up to"},
		{[]string{"hallmark.place=block", "hallmark.width=5", "lock.block=4"}, "hallmark.width", "does not fit"},
		{[]string{"hallmark.place=block", "chain.width=9", "hallmark.length=10"}, "hallmark.length", "does not fit"},
	} {
		_, err := markedLock(t, append([]string{"mark.make=engraved"}, c.sets...)...)
		var no *Refusal
		if !errors.As(err, &no) || no.Key != c.key || !strings.Contains(no.Say, c.says) || no.Nearest == "" {
			t.Errorf("%v: got %v, want %s: ... %s", c.sets, err, c.key, c.says)
		}
		t.Logf("%v: %v; %s", c.sets, err, hint(no))
	}
}

func hint(no *Refusal) string {
	if no == nil {
		return ""
	}
	return no.Nearest
}

// Round raised letters the field is as wide as the gaps that are kept.
func TestFieldIsAsWideAsAGap(t *testing.T) {
	l, err := markedLock(t, "mark.make=raised", "mark.text=1", "mark.stroke=0.45")
	if err != nil {
		t.Fatal(err)
	}
	s, err := l.Tongue(Finished)
	if err != nil {
		t.Fatal(err)
	}
	x0, x1, y := l.LetterRoom()
	for _, p := range []r3.Vec{{X: x0 + 0.44, Z: 0.1}, {X: x1 - 0.44, Y: -0.1, Z: 0.1}, {X: l.Mark.X, Y: y - 0.44, Z: 0.1}, {X: l.Mark.X, Y: 0.44 - y, Z: 0.1}} {
		if s.Eval(p) < 0 {
			t.Errorf("metal at %v, in a field from x %.2f to %.2f, y %.2f", p, x0, x1, y)
		}
	}
}
