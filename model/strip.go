package model

import (
	"math"

	"claspwright/model/blank"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/metal"
	"claspwright/params"
)

// Strip is a leaf of rolled strip, apart from the block that is cast for it. The tongue of the finished stage holds both.
type Strip struct {
	Root  Part // the cast root, finished
	Leaf  Part // the strip, folded
	Alloy params.Alloy
	Blank Blank
}

// Blank is the flat piece that the strip is bent from, mm, finished: u along it from the root end, y across from the middle.
type Blank struct {
	Tab       blank.Strip  // from the root to the top of the tab
	Shoulders blank.Strip  // from the root to the shoulders
	Temper    blank.Temper // of the sheet where it is bent
	Low, High float64      // flat length by DIN 6935, and if the sheet is hard, where Tab.Flat goes by its temper
	Outline   [][2]float64 // the cut line, anticlockwise
	Round     float64      // radius of the tab's corners
	Holes     [][2]float64 // centres of the rivets' holes
	Hole      float64      // their diameter
	MassG     float64      // of the blank
}

// rolled builds cast root, strip and blank.
func (c *Commission) rolled(prove bool) (err error) {
	if !c.Lock.Rolled() {
		return nil
	}
	tol, _ := c.Job.Number("mesh.tolerance")
	s := &Strip{Root: Part{Name: "tongue", Stage: clasp.Finished}, Leaf: Part{Name: LeafPart, Stage: clasp.Finished}}
	if s.Root.Solid, err = c.Lock.Root(clasp.Finished); err != nil {
		return err
	}
	if s.Leaf.Solid, err = c.Lock.Strip(); err != nil {
		return err
	}
	for _, p := range []*Part{&s.Root, &s.Leaf} {
		if err = p.facet(tol, prove); err != nil {
			return err
		}
		p.VolumeMM3, p.AreaMM2 = contour.Volume(p.Mesh), contour.Area(p.Mesh)
	}
	if s.Alloy, err = c.stripAlloy(); err != nil {
		return err
	}
	s.Blank = flatten(c.Lock, temperOf(condition(c.Job)))
	s.Blank.MassG = s.Blank.area() * c.Lock.Leaf * metal.Density(s.Alloy) / 1000
	c.Strip = s
	return nil
}

// LeafPart names the strip among parts.
const LeafPart = "leaf"

// cast is what of a finished half comes from the caster: all of it, but for the strip of a tongue.
func (c *Commission) cast(name string) *Part {
	if name == "tongue" && c.Strip != nil {
		return &c.Strip.Root
	}
	return c.part(name)
}

// stripAlloy is the alloy of the leaf: the strip's own, or the tongue's.
func (c *Commission) stripAlloy() (params.Alloy, error) {
	for _, key := range []string{"strip.alloy", "tongue.alloy"} {
		if id, given := c.Job.Text(key); given && (key == "tongue.alloy" || ofStrip(c.Job)) {
			return c.Job.Alloy(id)
		}
	}
	id, _ := c.Job.Text("metal.alloy")
	return c.Job.Alloy(id)
}

// condition is the state of the leaf: as given; else that of hard-rolled strip which no solder has annealed; else the table's.
func condition(job *params.Job) string {
	word, given := job.Text("tongue.condition")
	if !given && hardRolled(job) {
		return "hammered"
	}
	return word
}

func hardRolled(job *params.Job) bool {
	fix, _ := job.Text("strip.fix")
	return ofStrip(job) && fix != "solder"
}

func ofStrip(job *params.Job) bool {
	made, _ := job.Text("tongue.make")
	return made == "strip"
}

// temperOf is how soft the sheet is when it is bent: hard-rolled, or annealed and, if need be, hardened after.
func temperOf(condition string) blank.Temper {
	if condition == "hammered" {
		return blank.Hard
	}
	return blank.Soft
}

// flatten lays the lock's strip out flat.
func flatten(l *clasp.Lock, temper blank.Temper) Blank {
	b := Blank{Temper: temper, Round: clasp.TabEase}
	b.Tab, b.Shoulders = unfolded(l, blank.Neutral(temper))
	din, _ := unfolded(l, blank.NeutralDIN(l.Fold, l.Leaf))
	hard, _ := unfolded(l, blank.Neutral(blank.Hard))
	b.Low, b.High = din.Flat(), hard.Flat()
	from := l.XSeat + l.SeatPlay
	step := l.XFold - l.Lap() - from
	slit := b.Shoulders.Flat() - (l.XSlit-l.XTip)/math.Cos(l.Climb())
	half := [][2]float64{{0, l.LowerWidth / 2}, {step, l.LowerWidth / 2}, {step, l.UpperWidth / 2}, {b.Shoulders.Flat(), l.UpperWidth / 2},
		{b.Shoulders.Flat(), l.NotchWidth / 2}, {slit, l.NotchWidth / 2}, {slit, l.TabWidth / 2}, {b.Tab.Flat(), l.TabWidth / 2}}
	for _, p := range half {
		b.Outline = append(b.Outline, [2]float64{p[0], -p[1]})
	}
	for i := len(half) - 1; i >= 0; i-- {
		b.Outline = append(b.Outline, half[i])
	}
	if l.Fix == "rivet" {
		b.Hole = l.Rivet
		b.Holes = [][2]float64{{l.RivetX - from, -l.RivetY}, {l.RivetX - from, l.RivetY}}
	}
	return b
}

// unfolded follows the strip's outside from its root end: along the floor, round the fold, level, up by the climb, and at mid-width round into
// the tab. The bend where the leaf begins to climb is made over a rod; it is drawn sharp.
func unfolded(l *clasp.Lock, share float64) (tab, shoulders blank.Strip) {
	climb := l.Climb()
	sin, cos := math.Sincos(climb)
	axis := l.XTip + l.TabThickness + l.TabBend                      // of the bend into the tab
	height := l.ZTip + (l.XTip-axis)*math.Tan(climb) + l.TabBend/cos // where it stands
	begin := axis - l.TabBend*sin                                    // of that bend, on the leaf's top
	start := blank.Strip{Thickness: l.Leaf, Share: share, X: l.XSeat + l.SeatPlay, Z: l.ZLeaf}
	legs := func(rest ...blank.Leg) []blank.Leg {
		return append([]blank.Leg{
			{Length: l.XFold - start.X, Bend: blank.Bend{Angle: math.Pi, Radius: l.Fold}},
			{Length: l.XFold - l.XKnee, Bend: blank.Bend{Angle: -climb}},
		}, rest...)
	}
	tab, shoulders = start, start
	tab.Legs = legs(blank.Leg{Length: (l.XKnee - begin) / cos, Bend: blank.Bend{Angle: climb - math.Pi/2, Radius: l.TabBend}},
		blank.Leg{Length: l.TabTop() - height})
	shoulders.Legs = legs(blank.Leg{Length: (l.XKnee - l.XTip) / cos})
	return tab, shoulders
}

// area of the outline, mm2, the tab's corners square.
func (b Blank) area() float64 {
	sum := 0.0
	for i, p := range b.Outline {
		q := b.Outline[(i+1)%len(b.Outline)]
		sum += p[0]*q[1] - p[1]*q[0]
	}
	return math.Abs(sum) / 2
}

// Strips are the parts that a leaf of strip adds to the finished lock: none, or the strip.
func (c *Commission) Strips() []Part {
	if c.Strip == nil {
		return nil
	}
	return []Part{c.Strip.Leaf}
}
