package clasp

import (
	"fmt"
	"math"

	"claspwright/params"
)

// Derive finds every dimension of the lock. What the job gives is kept; the rest follows from the rules of the key
// table and of this file. metal is the base metal of the box's alloy; top is the
// crown as fitted to readings, nil where chain.crown holds. It fails with a *Refusal when no such lock can
// exist.
func Derive(job *params.Job, metal string, top *Top) (*Lock, error) {
	d, err := solve(job, metal, top)
	if err != nil {
		return nil, d.tooHollow(err)
	}
	if err := d.check(); err != nil {
		return nil, err
	}
	if err := d.catch(); err != nil {
		return d.l, err
	}
	return d.l, d.marked()
}

// solve derives as often as it takes: how far a hollowed underside comes up follows from the lengths, which the leaf decides, which the
// height decides.
func solve(job *params.Job, metal string, top *Top) (*deriver, error) {
	rise := 0.0
	for {
		d := &deriver{job: job, l: &Lock{Metal: metal, HollowRise: rise}, top: top}
		if err := d.derive(); err != nil {
			return d, err
		}
		need, err := d.l.hollow()
		if err != nil || need <= rise+heightSlack {
			return d, err
		}
		rise = need
	}
}

func (d *deriver) derive() error {
	d.l.Make, _ = d.job.Text("tongue.make")
	d.chain()
	d.walls()
	if err := d.checkDouble(); err != nil {
		return err
	}
	d.ends()
	if d.l.Slitted() {
		return d.slitted()
	}
	if err := d.height(); err != nil {
		return err
	}
	if err := d.lengths(); err != nil {
		return err
	}
	d.plays()
	d.opened()
	d.places()
	d.stock()
	return d.strip()
}

// deriver fills a Lock step by step and notes where each value came from.
type deriver struct {
	job *params.Job
	l   *Lock
	top *Top // the crown as it was read, nil when the job's key holds
}

// num is the key's value: as given, else the table's default, else the rule's value, noted with the
// rule's words from the table.
func (d *deriver) num(key string, rule float64) float64 {
	k, _ := params.Lookup(key)
	v, given := d.job.Number(key)
	origin := d.job.Origin(key)
	if !given {
		origin = "default"
		if math.IsNaN(v) {
			v, origin = rule, "rule: "+k.Rule
		}
	}
	d.l.Resolved = append(d.l.Resolved, params.Resolved{Key: key, Number: v, Unit: string(k.Unit), Origin: origin})
	return v
}

// set is the value of a key that the table gives a default.
func (d *deriver) set(key string) float64 { return d.num(key, math.NaN()) }

func (d *deriver) chain() {
	l := d.l
	l.Width, l.Thickness = d.set("chain.width"), d.set("chain.thickness")
	l.Crown, l.Edge, l.Underside = d.set("chain.crown"), d.set("chain.edge"), d.set("chain.underside")
	if d.top != nil {
		l.Crown, l.CrownJoin, l.CrownFlank = d.top.Radius, d.top.Join, d.top.Flank
		for i := range l.Resolved {
			if r := &l.Resolved[i]; r.Key == "chain.crown" {
				r.Number, r.Origin = l.Crown, "fitted to chain.heights"
			}
		}
	}
}

// heavyWalls says whether the metal needs the thicker walls: caster's practice for silver and platinum metals. A
// trial casting of brass or bronze has the walls of the gold lock that it stands for.
func heavyWalls(metal string) bool { return metal != "gold" && metal != "copper" }

// greatest chamber width, mm: a wider leaf twists under a central tab and a wider roof sags.
const widestChamber = 14

func (d *deriver) walls() {
	l := d.l
	l.FloorKind, _ = d.job.Text("lock.floor")
	d.looseFloor()
	d.beside()
	n := float64(l.Leaves)
	w := math.Max(math.Max(d.leastWall(), 0.06*l.Width), math.Max((l.Width-l.Partition-n*widestChamber)/2, l.seatWall()))
	l.Wall = d.num("lock.wall", w)
	l.Chamber = (l.Width - 2*l.Wall - l.Partition) / n
	l.Pitch = (n - 1) * (l.Chamber + l.Partition)
}

// leastWall is the thinnest wall beside a chamber by rule, mm.
func (d *deriver) leastWall() float64 {
	if heavyWalls(d.l.Metal) {
		return 0.8
	}
	return 0.7
}

func (d *deriver) floorRule() float64 {
	least := 0.6
	if heavyWalls(d.l.Metal) {
		least = 0.8
	}
	return math.Max(least, 0.10*d.l.Thickness)
}

func (d *deriver) roofRule() float64 {
	least := 0.6
	if heavyWalls(d.l.Metal) {
		least = 0.8
	}
	return math.Max(least, d.l.Chamber/16)
}

// lengths finds everything along x up to the lengths of box and block.
func (d *deriver) lengths() error {
	l := d.l
	l.Travel = l.Engagement + 0.10
	l.FoldRoom = 0.35
	l.Lip = d.num("lock.lip", math.Max(1.1, 0.07*l.Width))
	l.LipSlope = d.set("lock.lip_slope")
	l.EndWall = d.num("lock.end_wall", math.Max(math.Max(0.9, 0.07*l.Width), l.seatWall())+l.groove())
	rest := l.Lip + l.Fold + l.Leaf + l.FoldRoom + l.EndWall
	start := clamp(1.05*l.Width, 8, 15)
	if err := d.fixedBox(rest, &start); err != nil {
		return err
	}
	l.Length = d.num("tongue.length", start)
	l.EndPlay = d.num("tongue.end_play", d.endPlay(l.Length))
	l.BoxLength = d.num("lock.length", rest+l.EndPlay+l.Length)
	l.Block = d.num("lock.block", math.Max(5, 0.45*l.Width))
	l.FaceGap = d.set("lock.face_gap")
	l.Hollow = d.set("lock.hollow")
	return nil
}

// fixedBox finds the leaf's length for a box whose length is given, or says that there is none.
func (d *deriver) fixedBox(rest float64, start *float64) error {
	box, given := d.job.Number("lock.length")
	if !given {
		return nil
	}
	if length, ok := d.job.Number("tongue.length"); ok {
		if want := rest + d.endPlay(length) + length; math.Abs(want-box) > 1e-6 {
			return &Refusal{Key: "lock.length", Say: fmt.Sprintf("%.4g mm contradicts tongue.length %.4g mm, which makes a box of %.3f mm", box, length, want),
				Nearest: "give one of the two and leave the other to its rule"}
		}
		return nil
	}
	*start = d.lengthFor(box - rest)
	if k, _ := params.Lookup("tongue.length"); *start < k.Min || *start > k.Max {
		return &Refusal{Key: "lock.length", Say: fmt.Sprintf("%.4g mm leaves %.4g mm for the leaf, which takes %g to %g mm", box, *start, k.Min, k.Max),
			Nearest: fmt.Sprintf("lock.length from %.2f to %.2f mm", Up(k.Min+d.endPlay(k.Min)+rest), Down(k.Max+d.endPlay(k.Max)+rest))}
	}
	return nil
}

// endPlay is the play that a leaf of the given length needs: its tip swings towards the lip by
// 0.9 d (2t + 2r + g + c)/L as it is pressed.
func (d *deriver) endPlay(length float64) float64 {
	if v, given := d.job.Number("tongue.end_play"); given {
		return v
	}
	l := d.l
	if l.Slitted() {
		return d.slitEndPlay(length)
	}
	return math.Max(0.15, tipSwing(l, length)+0.03)
}

func tipSwing(l *Lock, length float64) float64 {
	return 0.9 * l.Travel * (2*l.Leaf + 2*l.Fold + l.Rise + l.Engagement) / length
}

// lengthFor is the leaf's length that fills room together with its own end play.
func (d *deriver) lengthFor(room float64) float64 {
	length := room - 0.15
	for range 40 {
		length = room - d.endPlay(math.Max(length, 1))
	}
	return length
}

// Up and Down round to a hundredth, mm, away from a limit and yet not by what is rounding alone.
func Up(v float64) float64   { return math.Ceil(v*100-1e-6) / 100 }
func Down(v float64) float64 { return math.Floor(v*100+1e-6) / 100 }

// plays finds what is across: the widths of leaf, tab, notch and window.
func (d *deriver) plays() {
	l := d.l
	l.SidePlay = d.num("tongue.side_play", math.Min(0.07, 0.006*l.Length))
	l.LowerWidth = l.Chamber - 2*l.SidePlay
	l.UpperWidth = l.LowerWidth - 2*0.05
	l.NeckPlay = d.num("tongue.neck_play", math.Min(0.04, 0.006*(l.Pitch+l.LowerWidth)))
	l.PadLength = math.Min(3, l.Length/4)
	l.Chamfer = 0.10
	l.LipRoot, l.LipEntry = 0.2, 0.25
	l.TabWidth = d.num("tab.width", clamp(0.25*l.Width/float64(l.Leaves), 2, 4))
	l.TabThickness = d.tabThickness()
	l.TabHeight = d.num("tab.height", l.Travel+0.4)
	l.NotchWidth = l.TabWidth + 0.3
	d.opening()
}

// places puts everything where it stands.
func (d *deriver) places() {
	l := d.l
	l.XTip = l.Lip + l.EndPlay
	l.XFold = l.XTip + l.Length
	l.XKnee = l.XFold - 0.45*l.Length
	l.XStep = l.XTip + 0.45*l.Length
	l.XFloor = l.Lip + frontFloor
	l.XRear = l.XFold + l.Fold + l.Leaf + l.FoldRoom
	l.XNeck = l.Lip - 0.3
	l.XPad = l.XNeck + l.PadLength
	l.XNotch = l.XTip + l.TabThickness + 0.5
	l.XWindow = l.XFold - 0.2 - l.WindowLength
	l.ZLip = l.Floor + l.Mouth
	l.ZFront = l.ZLip + l.LipDepth
	l.ZLeaf = l.Floor + l.FloorPlay
	l.ZUpper = l.ZLeaf + 2*l.Leaf + 2*l.Fold
	l.ZTip = l.ZLip + l.Engagement
	// The pressed tip's top is 0.10 below the lip's edge; 0.21 below its underside the leaf, bent as it is, has
	// about 0.14 mm to go to the stop. Strip, as thick at the tip as at the fold, bends less there.
	below := 0.21
	if l.Rolled() {
		below = 0.17
	}
	l.Stop = d.num("tongue.stop", below)
	l.ZPad = l.ZLip - 0.10 - l.Taper*l.Leaf - l.Stop
	l.placeCore()
}

func (d *deriver) stock() {
	d.l.Stock = Stock{
		Face: d.set("stock.face"), Pad: d.set("stock.pad"), Meeting: d.set("stock.meeting"), Leaf: d.set("stock.leaf"),
		Shoulder: d.set("stock.shoulder"), Lip: d.set("stock.lip"), Chamber: d.set("stock.chamber"), Tab: d.set("stock.tab"),
		Window: d.set("stock.window"),
	}
}
