package clasp

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/letter"
	"claspwright/model/solid"
	"claspwright/params"
)

// Mark is the lettering on the block's underside, mm.
type Mark struct {
	Make   string // "none", "engraved", "raised"
	Text   string
	Height float64      // of its capitals
	Stroke float64      // the thinnest that is kept, and the narrowest gap
	Depth  float64      // below the finished underside, where that comes highest
	Thin   float64      // its thinnest stroke or narrowest gap
	What   string       // where that is
	X, Z   float64      // middle of the letters along the chain; height of their ground
	Line   *letter.Line // nil without letters
}

// frame is what a sunk field stands out beyond raised letters at least, mm; common practice, no source.
const frame = 0.3

// border is what the letters' field has beyond them.
func (m Mark) border() float64 {
	if m.Make == "raised" {
		return math.Max(frame, m.Stroke)
	}
	return 0
}

// size is what the letters fill at a height of capitals, across and along the chain.
func (m Mark) size(height float64) (across, along float64) {
	return height*(m.Line.Hi.X-m.Line.Lo.X) + 2*m.border(), height*(m.Line.Hi.Y-m.Line.Lo.Y) + 2*m.border()
}

// patch is where the letters stand.
func (m Mark) patch() patch {
	across, along := m.size(m.Height)
	return patch{m.X - along/2, m.X + along/2, across / 2}
}

// marked finds hallmark and letters, which come beside it.
func (d *deriver) marked() error {
	if err := d.hallmark(); err != nil {
		return err
	}
	l := d.l
	m := &l.Mark
	m.Make, _ = d.job.Text("mark.make")
	m.Depth = d.set("mark.depth")
	m.Stroke = d.set("mark.stroke")
	if m.Make == "none" {
		return nil
	}
	free := l.underBlock()
	if l.Hallmark.Place != "none" {
		free.x0 += l.Hallmark.Width + markMargin
	}
	texts, given, err := d.texts()
	if err != nil {
		return err
	}
	var no error
	for _, text := range texts {
		try := *m
		if no = d.letter(&try, text, free); no == nil {
			*m = try
			d.noteMark(given)
			return nil
		}
	}
	return no
}

// texts are what the letters may say, the first that fits.
func (d *deriver) texts() (texts []string, given bool, err error) {
	if text, ok := d.job.Text("mark.text"); ok {
		return []string{text}, true, nil
	}
	width := fmt.Sprintf("%.4g", d.l.Width)
	fine, err := d.fineness()
	if err != nil || fine == 0 {
		return []string{width}, false, err
	}
	mark := fmt.Sprintf("%.4g", fine)
	return []string{width + " " + mark, mark}, false, nil
}

// fineness is the lower of box and tongue, 0 where they are of two metals or of none.
func (d *deriver) fineness() (float64, error) {
	box, _ := d.job.Text("metal.alloy")
	a, err := d.job.Alloy(box)
	if err != nil {
		return 0, err
	}
	for _, key := range []string{"tongue.alloy", "strip.alloy"} {
		id, given := d.job.Text(key)
		if !given || key == "strip.alloy" && !d.l.Rolled() {
			continue
		}
		b, err := d.job.Alloy(id)
		switch {
		case err != nil:
			return 0, err
		case a.Metal != b.Metal:
			return 0, nil
		case b.Fineness < a.Fineness:
			a = b
		}
	}
	return a.Fineness, nil
}

// letter sets a text in what is free of the underside, or says what is in the way.
func (d *deriver) letter(m *Mark, text string, free patch) error {
	line, err := letter.Set(text)
	var missing *letter.Missing
	switch {
	case errors.As(err, &missing):
		return &Refusal{Key: "mark.text", Say: fmt.Sprintf("%q: %s", text, missing), Nearest: "letters, digits and signs of ASCII and Latin-1"}
	case err != nil:
		return err
	case !line.Seen():
		return &Refusal{Key: "mark.text", Say: fmt.Sprintf("%q has nothing to cut", text), Nearest: `text such as "12.4 585"`}
	}
	m.Text, m.Line = text, line
	least := Up(line.Least(m.Stroke))
	m.Height = d.orElseQuiet("mark.height", math.Max(1, least))
	what, wide := line.Narrowest(m.Height)
	m.What, m.Thin = what, wide
	across, along := m.size(0)
	most := Down(math.Min((free.long()-along)/(line.Hi.Y-line.Lo.Y), (2*free.y-across)/(line.Hi.X-line.Lo.X)))
	switch fits := most >= least && most >= leastOf("mark.height"); {
	case !fits:
		return d.tooLong(text, line, least, most, (free.long()-along)/(line.Hi.Y-line.Lo.Y))
	case m.Height < least-1e-9:
		return &Refusal{Key: "mark.height", Say: fmt.Sprintf("%.4g mm leaves %s %.2f mm wide, less than mark.stroke, %.4g mm", m.Height, what, wide, m.Stroke), Nearest: fmt.Sprintf("from %.2f to %.2f mm for this text", least, most)}
	case m.Height > most+1e-9:
		return &Refusal{Key: "mark.height", Say: fmt.Sprintf("%.4g mm is too high for the underside of the block, %.2f x %.2f mm free", m.Height, 2*free.y, free.long()), Nearest: fmt.Sprintf("at most %.2f mm for this text", most)}
	}
	m.X = (free.x0 + free.x1) / 2
	m.Z = d.l.highest(m.patch()) + m.Depth
	if over := d.l.over(m.patch(), m.Z); over < overMark-1e-9 {
		return &Refusal{Key: "mark.depth", Say: fmt.Sprintf("%.4g mm leaves %.2f mm of metal over the letters", m.Depth, over), Nearest: "a smaller mark.depth, or a shorter mark.text on a domed underside"}
	}
	return nil
}

// tooLong refuses a text that does not fit at any height that prints.
// along is the height that the block's length leaves.
func (d *deriver) tooLong(text string, line *letter.Line, least, most, along float64) error {
	what, _ := line.Narrowest(1)
	say := fmt.Sprintf("%q fits under the block up to %.2f mm high and needs %.2f mm, for %s", text, math.Max(0, most), least, what)
	few := int(float64(len([]rune(text))) * most / least)
	if few < 1 || along*0.999 <= most {
		return &Refusal{Key: "mark.text", Say: say, Nearest: "a longer lock.block, a smaller mark.stroke, no hallmark.place, or mark.make = \"none\""}
	}
	return &Refusal{Key: "mark.text", Say: say, Nearest: fmt.Sprintf("about %d letters, letters with wider strokes, or a smaller mark.stroke", few)}
}

// orElseQuiet is a key as given or by rule, not noted yet.
func (d *deriver) orElseQuiet(key string, rule float64) float64 {
	if v, given := d.job.Number(key); given {
		return v
	}
	return rule
}

// noteMark notes text and height.
func (d *deriver) noteMark(given bool) {
	m := d.l.Mark
	d.num("mark.height", m.Height)
	k, _ := params.Lookup("mark.text")
	origin := "rule: " + k.Rule
	if given {
		origin = d.job.Origin("mark.text")
	}
	d.l.Resolved = append(d.l.Resolved, params.Resolved{Key: "mark.text", Text: m.Text, IsText: true, Origin: origin})
}

func leastOf(key string) float64 {
	k, _ := params.Lookup(key)
	return k.Min
}

// letters are what engraved letters take out of the block, or the field round raised ones.
func (l *Lock) letters() ([]*solid.Solid, error) {
	m := l.Mark
	if m.Line == nil {
		return nil, nil
	}
	at := fromBelow(r3.Vec{X: m.X, Z: m.Z})
	deep := m.Z + beyond
	var cut []*solid.Solid
	for _, s := range m.Line.Shapes(m.Height, tagLetter) {
		from := 0.0
		if m.Make == "raised" {
			from = -lap
		}
		p := solid.New(solid.NewPrism(s.Outer, from, deep+lap, tagLetter).WithEnds(tagLetter, tagHidden), at)
		var holes []*solid.Solid
		for _, h := range s.Holes {
			holes = append(holes, solid.New(solid.NewPrism(h, from-lap, deep+2*lap, tagLetter).WithEnds(tagHidden, tagHidden), at))
		}
		if len(holes) > 0 {
			p = solid.Cut(p, holes...)
		}
		cut = append(cut, p)
	}
	if m.Make == "engraved" {
		return cut, nil
	}
	p := m.patch()
	field, err := solid.NewBlock(r3.Vec{X: p.x0, Y: -p.y, Z: -beyond}, r3.Vec{X: p.x1, Y: p.y, Z: m.Z}, tagLetter)
	if err != nil {
		return nil, err
	}
	return []*solid.Solid{solid.Cut(solid.New(field, solid.Upright), cut...)}, nil
}

// LetterRoom is the rectangle of the underside in which the letters stand, with the field round raised ones: from x0 to x1 and from -y to y.
func (l *Lock) LetterRoom() (x0, x1, y float64) {
	p := l.Mark.patch()
	return p.x0, p.x1, p.y
}

// Unlettered is the lock without its letters, for measuring what they would hide: their strokes have a limit of their own.
func (l *Lock) Unlettered() *Lock {
	bare := *l
	bare.Mark.Line = nil
	return &bare
}
