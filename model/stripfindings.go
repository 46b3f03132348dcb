package model

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/blank"
	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/model/metal"
	"claspwright/params"
)

// stripping judges a leaf of rolled strip: how it is bent, seated and fixed.
func (c *Commission) stripping() []finding.Finding {
	if c.Strip == nil {
		return nil
	}
	out := append(c.bending(), c.seating()...)
	out = append(out, c.fixing()...)
	return append(out, c.thumbing())
}

// foldLeast is the least inside radius of a bend in hard strip, in thicknesses: folded sharper it cracks. Common practice, no source.
const foldLeast = 0.5

// bending is what fold and sheet must bear on the bench. How far an alloy can be drawn before it tears is published for hardly any as rolled
// strip, so the strain stands as a note.
func (c *Commission) bending() []finding.Finding {
	l := c.Lock
	at := r3.Vec{X: l.XFold, Z: l.ZLeaf + l.Leaf}
	out := []finding.Finding{
		finding.AtLeast("fold radius of the strip", "x", math.Min(l.Fold, l.TabBend)/l.Leaf, foldLeast, at, finding.Caution,
			"folded as sharp as this, hard strip cracks: a larger tongue.fold or a thinner tongue.leaf"),
		{Check: "strain of the strip's fold", Grade: finding.Note, Unit: "%", Measured: 100 * blank.Strain(l.Leaf, l.Fold), At: at, Say: c.annealing()},
	}
	if state := condition(c.Job); state == "hammered" && l.Fix == "solder" {
		return append(out, remark("temper of the strip", finding.Caution, "solder anneals the strip and takes the hardness that the job gives it: rivets or a laser seam leave it (strip.fix)")...)
	} else if state == "hammered" {
		out = append(out, finding.Finding{Check: "temper of the strip", Grade: finding.Note, Unit: "mm", Measured: 2 * l.Leaf, At: at,
			Say: fmt.Sprintf("roll it from at least this thickness to %.2f mm without annealing, half and more (common practice, no source), and fix it with no more heat than a laser's", l.Leaf)})
	}
	return out
}

// annealing says what to do about the fold.
func (c *Commission) annealing() string {
	say := "the outer side of the fold is drawn by this much; no published data on what such strip bears: bend it in one go over a rod, with the rolling direction along the strip"
	if temperOf(condition(c.Job)) != blank.Hard {
		return say
	}
	soft, _ := params.Strength(c.Strip.Alloy, "annealed")
	say += "; if it cracks, anneal the fold line alone"
	if soft.Yield.Known() && c.Spring != nil && c.Spring.Result != nil {
		say += fmt.Sprintf(", which then has a yield of %.0f MPa and more as it is bent, where the leaf needs %.0f", soft.Yield.Value, c.Spring.Needed())
	}
	return say
}

// seating measures the strip in its seat, on the solids.
func (c *Commission) seating() []finding.Finding {
	l := c.Lock
	f := feeler{c.Strip.Root.Solid, c.Strip.Leaf.Solid}
	behind := r3.Vec{X: l.XSeat + l.SeatPlay + 0.1, Y: l.LowerWidth / 8, Z: l.ZLeaf + l.Leaf*0.4}
	pad := r3.Vec{X: l.RivetX, Z: l.ZLeaf + l.Leaf/2}
	over := f.wall(pad, upZ) + 2*l.Stock.Leaf
	return []finding.Finding{
		finding.AtMost("gap behind the strip", "mm", f.gap(behind, backX), 0.1, behind, finding.Caution, "the strip must butt against the end of its seat, or rivets alone take the push of the lip"),
		finding.AtLeast("root pad over the strip, as cast", "mm", over, 0.4, pad, finding.Caution, "a thin pad over the strip may not fill and lets the rivets pull through; more tongue.rise, tongue.fold or stock.leaf"),
	}
}

const (
	seamDepth   = 0.5 // of the strip's thickness that a laser seam takes. Common practice, no source
	solderShear = 50  // MPa that a lap of hard solder bears at least in shear. Common practice, no source
)

// fixing holds rivets, seam or solder against the pull of the chain, which comes through the leaf as tension in the strip.
func (c *Commission) fixing() []finding.Finding {
	l := c.Lock
	at := r3.Vec{X: l.RivetX, Y: l.RivetY, Z: l.ZLeaf + l.Leaf}
	pull, _ := c.Job.Number("lock.pull")
	var out []finding.Finding
	if l.Fix == "rivet" {
		out = append(out, finding.AtLeast("rivets to an edge", "x", rivetEdge(l)/l.Rivet, clasp.EdgeRule, at, finding.Caution, "nearer than 1.5 diameters the strip tears out: a thinner strip.rivet"))
	}
	check := map[string]string{"rivet": "pull held by the rivets", "laser": "pull held by the seam", "solder": "pull held by the solder"}[l.Fix]
	if l.Fix == "solder" {
		held := solderShear * l.LowerWidth * (l.XPad - l.Toe - l.XSeat - l.SeatPlay)
		return append(out, finding.AtLeast(check, "N", held, pull, at, finding.Caution, "a longer seat: a longer tongue.length"))
	}
	yield, known := softYield(c.Strip.Alloy)
	if !known {
		return append(out, finding.Finding{Check: check, Grade: finding.Note, Unit: "MPa", Measured: pull / holds(l, 1), At: at,
			Say: "asks for this yield of annealed metal, which is not known of this alloy: ask its maker"})
	}
	return append(out, finding.AtLeast(check, "N", holds(l, yield), pull, at, finding.Caution, "pulled harder, the strip comes off the block: thicker rivets (strip.rivet), or another strip.alloy"))
}

// rivetEdge is how near the centre of a rivet comes to an edge of strip or pad, mm.
func rivetEdge(l *clasp.Lock) float64 {
	return min(l.RivetX-l.XSeat-l.SeatPlay, l.XPad-l.Toe-l.RivetX, l.LowerWidth/2-l.RivetY)
}

// holds is the pull, N, at which rivets or seam of annealed metal with a yield in MPa begin to give. Two rivets by shear of the shank, bearing on
// the strip and tearing out of it behind the shank (J. E. Shigley, Mechanical Engineering Design, bolted and riveted joints loaded in shear,
// from memory); the seam, round the strip's end and both sides, by shear. Yield in shear is 1/sqrt(3) of that in tension (von Mises).
func holds(l *clasp.Lock, yield float64) float64 {
	shear := yield / math.Sqrt(3)
	if l.Fix == "laser" {
		long := l.LowerWidth + 2*(l.XPad-l.Toe-l.XSeat-l.SeatPlay)
		return shear * long * seamDepth * l.Leaf
	}
	shank := 2 * math.Pi / 4 * l.Rivet * l.Rivet * shear
	bearing := 2 * l.Rivet * l.Leaf * yield
	tear := 2 * 2 * rivetEdge(l) * l.Leaf * shear
	return min(shank, bearing, tear)
}

// softYield is Rp0.2 of the annealed alloy, MPa, from its hardness where no yield is known.
func softYield(a params.Alloy) (float64, bool) {
	k, _ := params.Strength(a, "annealed")
	if k.Yield.Known() {
		return k.Yield.Value, true
	}
	if k.Hardness.Known() {
		return metal.YieldOfHardness(a.Metal, k.Hardness.Value)
	}
	return 0, false
}

// sideways is the push along the chain that the thumb gives the tab's top at the most, N. Common practice, no source.
const sideways = 10

// thumbing is the bent-up tab as a cantilever from its bend: bending stress 6 F h/(b t2) (any handbook).
func (c *Commission) thumbing() finding.Finding {
	l, s := c.Lock, c.Spring
	t := l.TabThickness
	high := l.TabTop() - l.ZTip
	stress := 6 * sideways * high / (l.TabWidth * t * t)
	at := r3.Vec{X: l.XTip, Z: l.ZTip}
	const check = "thumb tab pushed sideways"
	if !s.Known() {
		return finding.Finding{Check: check, Grade: finding.Note, Unit: "MPa", Measured: stress, At: at, Say: "asks for this yield; round the tab's edges, they are as thin as the strip"}
	}
	return finding.AtMost(check, "MPa", stress, s.Yield.Value, at, finding.Caution, fmt.Sprintf("pushed along the chain with %d N the tab bends over: a wider tab.width, a smaller tab.height or a thicker tongue.leaf", sideways))
}
