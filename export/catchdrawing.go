package export

import (
	"fmt"
	"html"
	"io"
	"math"
	"strings"

	"claspwright/model"
	"claspwright/model/catch"
)

// svg is a drawing in millimetres: its strokes, in the order in which they are laid down.
type svg struct {
	b       strings.Builder
	at      [2]float64 // where the origin of what is drawn lies on the page
	scale   float64
	mirrors bool // draws V downwards
}

// place moves what follows: its origin, and how many times as large it is drawn.
func (s *svg) place(x, y, scale float64) { s.at, s.scale = [2]float64{x, y}, scale }

func (s *svg) x(u float64) float64 { return s.at[0] + s.scale*u }

func (s *svg) y(v float64) float64 {
	if s.mirrors {
		v = -v
	}
	return s.at[1] - s.scale*v
}

func (s *svg) add(format string, args ...any) { fmt.Fprintf(&s.b, format+"\n", args...) }

// Classes of strokes.
const (
	outlined = "o" // edges
	wired    = "w" // wire in full width
	middled  = "m" // middle lines
	measured = "d" // dimensions
)

func (s *svg) line(class string, u0, v0, u1, v1 float64) {
	s.add(`<line class="%s" x1="%.3f" y1="%.3f" x2="%.3f" y2="%.3f"/>`, class, s.x(u0), s.y(v0), s.x(u1), s.y(v1))
}

func (s *svg) circle(class string, u, v, r float64) {
	s.add(`<circle class="%s" cx="%.3f" cy="%.3f" r="%.3f"/>`, class, s.x(u), s.y(v), s.scale*r)
}

func (s *svg) rect(class string, u0, v0, u1, v1 float64) {
	x0, y0, x1, y1 := s.x(u0), s.y(v0), s.x(u1), s.y(v1)
	s.add(`<rect class="%s" x="%.3f" y="%.3f" width="%.3f" height="%.3f"/>`, class, math.Min(x0, x1), math.Min(y0, y1), math.Abs(x1-x0), math.Abs(y1-y0))
}

// words stand on the page, not in the drawing's scale; anchor is start, middle or end.
func (s *svg) words(x, y float64, anchor, format string, args ...any) {
	s.add(`<text x="%.3f" y="%.3f" text-anchor="%s">%s</text>`, x, y, anchor, html.EscapeString(fmt.Sprintf(format, args...)))
}

// level is a dimension along U at the height v, with leads from the heights from0 and from1.
func (s *svg) level(u0, u1, v, from0, from1 float64, format string, args ...any) {
	s.line(measured, u0, from0, u0, v)
	s.line(measured, u1, from1, u1, v)
	s.line(measured, u0, v, u1, v)
	s.tick(u0, v)
	s.tick(u1, v)
	s.words((s.x(u0)+s.x(u1))/2, s.y(v)-0.8, "middle", format, args...)
}

// upright is a dimension along V at u.
func (s *svg) upright(v0, v1, u, from0, from1 float64, format string, args ...any) {
	s.line(measured, from0, v0, u, v0)
	s.line(measured, from1, v1, u, v1)
	s.line(measured, u, v0, u, v1)
	s.tick(u, v0)
	s.tick(u, v1)
	s.words(s.x(u)+0.8, (s.y(v0)+s.y(v1))/2+0.9, "start", format, args...)
}

// tick is the slanted stroke at the end of a dimension line.
func (s *svg) tick(u, v float64) {
	x, y := s.x(u), s.y(v)
	s.add(`<line class="d" x1="%.3f" y1="%.3f" x2="%.3f" y2="%.3f"/>`, x-0.6, y+0.6, x+0.6, y-0.6)
}

// loop draws both halves of a loop's middle line.
func (s *svg) loop(class string, width float64, p catch.Path) {
	for _, mirrored := range []bool{false, true} {
		s.mirrors = mirrored
		var d strings.Builder
		q, _ := p[0].At(0)
		fmt.Fprintf(&d, "M%.3f %.3f", s.x(q.U), s.y(q.V))
		for _, piece := range p {
			q, _ = piece.At(piece.Length)
			if piece.Radius == 0 {
				fmt.Fprintf(&d, " L%.3f %.3f", s.x(q.U), s.y(q.V))
				continue
			}
			wide, sweep := 0, 0 // clockwise on the page is 1
			if piece.Length > math.Pi*piece.Radius {
				wide = 1
			}
			if (piece.Turn < 0) != mirrored {
				sweep = 1
			}
			fmt.Fprintf(&d, " A%.3f %.3f 0 %d %d %.3f %.3f", s.scale*piece.Radius, s.scale*piece.Radius, wide, sweep, s.x(q.U), s.y(q.V))
		}
		s.add(`<path class="%s" stroke-width="%.3f" d="%s"/>`, class, s.scale*width, d.String())
	}
	s.mirrors = false
}

// The page, mm.
const (
	catchPageWide = 190.0
	catchPageHigh = 186.0
)

const catchStyle = `text{font-family:sans-serif;font-size:2.7px;fill:#000}text.n{font-size:1.8px}` +
	`.o{fill:none;stroke:#000;stroke-width:.25}.s{fill:#ddd;stroke:#000;stroke-width:.25}.w{fill:none;stroke:#c8a13a}` +
	`.m{fill:none;stroke:#000}.d{fill:none;stroke:#06c;stroke-width:.15}.c{fill:none;stroke:#000;stroke-width:.15;stroke-dasharray:2 .6 .4 .6}`

// WriteCatch draws the safety catch for the bench, in millimetres: the loop five times as large with its dimensions and as large as
// it is, the wire before it is bent with marks where each bend begins and ends, how stud and tube stand, and where on the
// lock. Printed at 100 % the parts marked 1:1 can be laid on.
func WriteCatch(w io.Writer, c *model.Commission) error {
	if c == nil || c.Catch == nil {
		return fmt.Errorf("export: the lock has no safety catch to draw")
	}
	s := &svg{}
	s.add(`<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g">`, catchPageWide, catchPageHigh, catchPageWide, catchPageHigh)
	s.add(`<style>%s</style><rect width="%g" height="%g" fill="#fff"/>`, catchStyle, catchPageWide, catchPageHigh)
	s.words(8, 9, "start", "Safety catch, %s, sides: %s. %s wire, hard drawn. Print at 100 %%: lengths in mm.", chain(c), c.Lock.Catch.Sides, c.Catch.Alloy.ID)
	s.large(c)
	s.standing(c)
	s.wire(c)
	s.onLock(c)
	s.steps(c)
	s.add(`</svg>`)
	_, err := io.WriteString(w, s.b.String())
	return err
}

// large is the loop five times as large, and once as large as it is.
func (s *svg) large(c *model.Commission) {
	k, l, d := c.Catch, c.Catch.Loop, c.Lock.Catch
	scale := math.Min(5, 80/k.Long)
	s.place(16, 48, scale)
	s.words(8, 16, "start", "Loop, %s:1; radii to the middle of the wire", short(scale, 2))
	s.loop(wired, l.Wire, k.Path)
	s.loop(middled, 0.02, k.Path)
	s.rect(outlined, -d.Outside/2, -l.Tube/2, d.Outside/2, l.Tube/2)
	s.circle(outlined, l.Reach, 0, l.Ball/2)
	tip := k.Long - l.Wire/2
	s.circle(outlined, tip, 0, k.Bead()/2)
	low, high := -k.Wide/2-0.8, k.Wide/2+0.5
	s.level(0, l.Reach, low, -l.Tube/2, 0, "reach %s", short(l.Reach, 2))
	s.level(0, k.Long, low-1.1, -l.Tube/2, 0, "%s over the wire", short(k.Long, 2))
	widest := tip - l.Eye
	if l.Eye < k.Wide/2-l.Wire/2-1e-9 {
		widest = l.Bend()
	}
	s.upright(-k.Wide/2, k.Wide/2, k.Long+3.2, widest, widest, "%s wide", short(k.Wide, 2))
	s.upright(-l.Half()+l.Wire/2, l.Half()-l.Wire/2, k.Long+0.8, l.Reach, l.Reach, "%s", short(l.Ball-l.Snap, 2))
	s.words(s.x(l.Reach), s.y(high)-0.2, "middle", "waist R %s", short(l.Waist(), 2))
	s.words(s.x(tip-l.Eye), s.y(0)+1, "middle", "R %s", short(l.Eye, 2))
	s.words(s.x(0)-4, s.y(high)-4, "start", "bend R %s", short(l.Bend(), 2))
	s.place(130, 48, 1)
	s.words(128, 16, "start", "1:1")
	s.loop(wired, l.Wire, k.Path)
	s.rect(outlined, -d.Outside/2, -l.Tube/2, d.Outside/2, l.Tube/2)
	s.circle(outlined, l.Reach, 0, l.Ball/2)
}

// standing shows across the chain how stud and tube stand on the side.
func (s *svg) standing(c *model.Commission) {
	l, d := c.Catch.Loop, c.Lock.Catch
	s.words(8, 84, "start", "Stud on the box, tube on the block, 5:1, seen along the side")
	s.place(28, 106, 5) // U along the side, V out of it
	s.rect("s", -3, -1.2, 3, 0)
	if d.Dimple > 0 {
		s.rect(outlined, -d.Neck/2-0.05, -d.Dimple, d.Neck/2+0.05, 0)
	}
	s.rect("s", -d.Neck/2, -d.Dimple, d.Neck/2, d.Centre)
	s.circle("s", 0, d.Centre, l.Ball/2)
	for _, side := range []float64{-1, 1} {
		s.add(`<circle cx="%.3f" cy="%.3f" r="%.3f" fill="#c8a13a"/>`, s.x(side*l.Half()), s.y(d.Lies), s.scale*l.Wire/2)
	}
	s.upright(0, d.Overhang(), 2.2, 1.2, 0, "%s", short(d.Overhang(), 2))
	s.upright(0, d.Centre, -l.Half()-l.Wire/2-1.8, 0, 0, "%s", short(d.Centre, 2))
	s.level(-l.Ball/2, l.Ball/2, d.Overhang()+0.5, d.Centre, d.Centre, "ball %s", short(l.Ball, 2))
	s.words(s.x(0), s.y(-1.2)+3.4, "middle", "neck %s, dimple %s deep", short(d.Neck, 2), short(d.Dimple, 2))
	s.place(84, 106, 5)
	s.rect("s", -3, -1.2, 3, 0)
	s.add(`<rect class="o" fill="#fff" style="fill:#fff" x="%.3f" y="%.3f" width="%.3f" height="%.3f"/>`, s.x(-d.SeatHalf()), s.y(0), 10*d.SeatHalf(), 5*d.Seat)
	s.circle("s", 0, d.Lies, d.Outside/2)
	s.add(`<circle cx="%.3f" cy="%.3f" r="%.3f" fill="#c8a13a"/>`, s.x(0), s.y(d.Lies), s.scale*l.Wire/2)
	s.upright(-d.Seat, 0, 2.2, d.SeatHalf(), d.SeatHalf(), "seat %s deep", short(d.Seat, 2))
	s.words(s.x(0), s.y(-1.2)+3.4, "middle", "tube %s outside, %s bore, %s long", short(d.Outside, 3), short(d.Bore, 2), short(l.Tube, 2))
}

// wire is the straight wire, as large as it is, with marks where bends begin and end.
func (s *svg) wire(c *model.Commission) {
	k, l := c.Catch, c.Catch.Loop
	s.words(128, 84, "start", "Wire to cut, 1:1: %s long, %s thick", short(k.Cut, 2), short(l.Wire, 2))
	s.place(128, 96, 1)
	s.rect("s", 0, -l.Wire/2, k.Cut, l.Wire/2)
	for i, m := range bendMarks(k) {
		s.line(measured, m, -2, m, 2)
		s.add(`<text class="n" x="%.3f" y="%.3f" text-anchor="middle">%d</text>`, s.x(m), s.y(2.6+2*float64(i%2)), i+1)
	}
	var list []string
	for i, m := range bendMarks(k) {
		list = append(list, fmt.Sprintf("%d: %s", i+1, short(m, 2)))
	}
	s.words(128, 104, "start", "marks from the left end:")
	s.words(128, 108, "start", "%s", strings.Join(list[:4], ", "))
	s.words(128, 112, "start", "%s", strings.Join(list[4:], ", "))
}

// bendMarks are where arcs begin and end on the straight wire, from its left end, mm.
func bendMarks(k *model.Catch) (marks []float64) {
	s := -catch.Ends / 2
	for _, piece := range k.Path[:len(k.Path)-1] {
		s += piece.Length
		marks = append(marks, s)
	}
	for i := len(marks) - 1; i >= 0; i-- {
		marks = append(marks, k.Cut-marks[i])
	}
	return marks
}

// onLock is the lock's side with the loop on it, twice as large.
func (s *svg) onLock(c *model.Commission) {
	l, d, k := c.Lock, c.Lock.Catch, c.Catch
	scale := math.Min(2, math.Min((catchPageWide-30)/(l.BoxLength+l.Block+l.FaceGap), 22/l.Thickness))
	s.words(8, 121, "start", "Place on the side, %s:1; block left, box right; the side seen from outside, first side", short(scale, 2))
	s.place(12+scale*(l.Block+l.FaceGap), 125+scale*l.Thickness, scale)
	s.rect(outlined, -l.FaceGap-l.Block, 0, -l.FaceGap, l.Thickness)
	s.rect(outlined, 0, 0, l.BoxLength, l.Thickness)
	s.rect("s", d.XTube-d.SeatHalf(), d.Z-k.Loop.Tube/2-0.05, d.XTube+d.SeatHalf(), d.Z+k.Loop.Tube/2+0.05)
	s.circle("s", d.XStud, d.Z, k.Loop.Ball/2)
	at := s.at
	s.at = [2]float64{s.x(d.XTube), s.y(d.Z)}
	s.loop(wired, k.Loop.Wire, k.Path)
	s.at = at
	s.level(d.XTube, 0, -3.2/scale, d.Z, 0, "")
	s.level(0, d.XStud, -3.2/scale, 0, d.Z, "")
	s.words(s.x(d.XTube), s.y(0)+6.5, "end", "tube %s", short(-d.XTube, 2))
	s.words(s.x(d.XStud), s.y(0)+6.5, "start", "stud %s from the joint", short(d.XStud, 2))
	s.upright(0, d.Z, l.BoxLength+1.2, l.BoxLength, d.XStud, "%s", short(d.Z, 2))
}

// steps are what to do, and to mind.
func (s *svg) steps(c *model.Commission) {
	k := c.Catch
	y := catchPageHigh - 29
	var lines []string
	for _, text := range []string{
		fmt.Sprintf("Solder tube and stud before the leaf is hardened. Bend the loop hard, round pins, and never anneal it after; its ends stand %s apart in the tube.", short(catch.Ends, 2)),
		fmt.Sprintf("Grip bead %s at the end of the outer eye, by laser or with a heat sink: heat takes the spring out of the wire.", short(k.Bead(), 2)),
		fmt.Sprintf("Over the ball %.1f N, and %.0f MPa in the wire at the waist. The loop swings outwards, away from the skin; both ways it goes over the ball.", k.Force, k.Stress),
		"Goggles: a wire end that springs out of the pliers can hit an eye. Pickle and rinse the tube before the loop goes in. Local codes go before this sheet.",
	} {
		lines = append(lines, wrap(text, 128)...)
	}
	for i, line := range lines {
		s.words(8, y+4*float64(i), "start", "%s", line)
	}
}
