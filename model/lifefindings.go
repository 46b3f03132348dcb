package model

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/finding"
	"claspwright/model/life"
	"claspwright/params"
)

// living are the findings on the lock in use.
func (c *Commission) living() []finding.Finding {
	v, l := c.Life, c.Lock
	fold := l.OnLeaf(r3.Vec{X: l.XFold + l.Fold, Z: l.ZLeaf + l.Leaf + l.Fold})
	out := append(c.worn(), c.camming()...)
	out = append(out, at(l.OnLeaf(r3.Vec{X: l.XTip, Z: l.ZTip}), binding(v.Alloy))...)
	out = append(out, at(fold, cracking(v.Alloy, v.Stand))...)
	return append(out, c.struck()...)
}

func at(p r3.Vec, fs []finding.Finding) []finding.Finding {
	for i := range fs {
		fs[i].At = p
	}
	return fs
}

// worn judges the lock with lip and shoulders worn.
func (c *Commission) worn() []finding.Finding {
	v, l := c.Life, c.Lock
	tip := c.lipAt()
	tab := l.OnLeaf(r3.Vec{X: l.XTip + l.TabThickness/2, Z: l.TabTop()})
	out := []finding.Finding{
		finding.AtLeast("bearing when worn", "mm", v.Worn.Bears, 0.2, tip, finding.Caution, fmt.Sprintf("with %.2f mm worn off lip and shoulder this much still bears; raise tongue.engagement", v.Wear)),
		c.heldWorn(tip),
		finding.AtMost("end play when worn", "mm", v.Worn.EndPlay, 0.5, tip, finding.Note, "worn, the closed lock rattles along the chain; less tongue.end_play, or file the shoulders less"),
	}
	if c.Spring.Result != nil {
		least := leastForce / 2
		if l.Slitted() {
			least = leastPinch / 2
		}
		out = append(out, finding.AtLeast("force to open when worn", "N", v.Worn.Release, least, tab, finding.Caution, "worn, the tab opens at next to nothing; a shorter or thicker leaf, or more tongue.engagement"))
	}
	return out
}

// heldWorn is the pull that the worn lock holds, against the one that is asked for.
func (c *Commission) heldWorn(at r3.Vec) finding.Finding {
	const check = "pull held when worn"
	v := c.Life
	asked, _ := c.Job.Number("lock.pull")
	switch {
	case v.Worn.Flat <= 0:
		return finding.AtLeast(check, "N", 0, asked, at, finding.Caution, fmt.Sprintf("worn by %.2f mm, the shoulders stand on the round of the lip's edge alone; raise tongue.engagement", v.Wear))
	case !v.Known:
		return finding.Finding{Check: check, Grade: finding.Note, Measured: asked, Unit: "N", At: at,
			Say: fmt.Sprintf("asks lip and shoulders for a yield of %.0f MPa", v.Needs)}
	}
	return finding.AtLeast(check, "N", v.Held, asked, at, finding.Caution, c.alone()+fmt.Sprintf("worn by %.2f mm and pulled harder, %s for good; more tongue.engagement, a thicker leaf or lip, or harder metal", v.Wear, v.Gives))
}

// camming judges whether friction holds the shoulders on a lip that leans, new and worn.
func (c *Commission) camming() []finding.Finding {
	v, l := c.Life, c.Lock
	lip := c.lipAt()
	fresh, old := v.Cams[0], v.Cams[1]
	const less = "a smaller lock.lip_slope"
	return []finding.Finding{
		finding.AtMost("slope of the lip's inner face", "deg", l.LipSlope, 6, lip, finding.Stop, slides(fresh, less)),
		friction("catch held by friction", fresh, lip, finding.Stop, slides(fresh, less)),
		friction("catch held by friction when worn", old, lip, finding.Caution, c.slidesWorn(old)),
	}
}

// slidesWorn says the same of the worn lip, on whose rounded edge the shoulders may stand.
func (c *Commission) slidesWorn(old Cams) string {
	v := c.Life
	const more = "more tongue.engagement, and new metal on the lip in time"
	switch {
	case v.Worn.Bears <= 0:
		return fmt.Sprintf("worn by %.2f mm nothing of the shoulders is left behind the lip: pulled, the lock opens by itself; %s", v.Wear, more)
	case old.Least.Slope > c.Lock.LipSlope:
		return fmt.Sprintf("worn by %.2f mm the shoulders stand on the round of the lip's edge: %s", v.Wear, slides(old, more))
	}
	return slides(old, "a smaller lock.lip_slope")
}

// friction grades a catch: it opens by itself at the job's friction, or only where that is at its least.
func friction(check string, c Cams, at r3.Vec, bad finding.Grade, say string) finding.Finding {
	f := finding.AtMost(check, "deg", c.Least.Slope, c.Least.Angle, at, finding.Caution, say)
	switch {
	case c.Usual.Opens:
		f.Grade = bad
	case c.Least.Opens: // at the angle itself too
		f.Grade = finding.Caution
	}
	return f
}

// slides says what a lip that leans does when the chain pulls.
func slides(c Cams, remedy string) string {
	low, mid := c.Least, c.Usual
	slope := low.Slope
	switch {
	case mid.Opens:
		return fmt.Sprintf("pulled, the lock opens by itself: friction holds to %.1f degrees (%.1f where the faces are greased), this is %.1f; the leaf alone lets go %s (%s greased); %s",
			mid.Angle, low.Angle, slope, letsGo(mid), letsGo(low), remedy)
	case low.Opens:
		return fmt.Sprintf("pulled, the lock opens by itself where the faces are greased: friction of %.2f then holds to %.1f degrees, this is %.1f, and the leaf alone lets go %s; dry, it holds to %.1f; %s",
			low.Friction, low.Angle, slope, letsGo(low), mid.Angle, remedy)
	case slope > 0:
		return fmt.Sprintf("pulled, the lip presses the shoulders down, and friction alone holds them, to %.1f degrees (%.1f where the faces are greased); %s", mid.Angle, low.Angle, remedy)
	}
	return fmt.Sprintf("the lip stands square to the pull and presses nothing down; leaning, friction would hold it to %.1f degrees (%.1f where the faces are greased)", mid.Angle, low.Angle)
}

// letsGo is the pull at which the leaf gives up.
func letsGo(c life.Cam) string {
	if math.IsInf(c.Pull, 1) {
		return "at a shake"
	}
	return fmt.Sprintf("at %.0f N", c.Pull)
}

// binding warns of one soft metal on itself. Common practice, no source.
func binding(own [2]params.Alloy) []finding.Finding {
	box, tongue := own[0], own[1]
	if box.Metal != tongue.Metal || !life.Binds(box.Metal, box.Fineness) || !life.Binds(tongue.Metal, tongue.Fineness) {
		return nil
	}
	const mend = "a harder tongue.alloy, lip and shoulders polished along the way they slide, a trace of wax"
	if box.ID == tongue.ID {
		return remark("like metal on like", finding.Caution, fmt.Sprintf("box and tongue are both of %s, which welds to itself and tears where lip and shoulders rub; %s", box.ID, mend))
	}
	return remark("like metal on like", finding.Note, fmt.Sprintf("box and tongue are both of %s, alloys of a metal that tears on its like where lip and shoulders rub; %s", box.Metal, mend))
}

// cracking tells of golds that crack where stress stands in them, of the half that is more at risk. Stress stands in the leaf; the box has what
// stamps and setting leave.
func cracking(own [2]params.Alloy, stand Standing) (worst []finding.Finding) {
	most := -1
	for i, a := range own {
		k, ok := params.CrackingOf(a)
		if !ok || k.Risk == params.NeverCracked {
			continue
		}
		f, risk := cracks(a, k, stand, i == 1 || own[0].ID == own[1].ID), 0
		if k.Risk == params.CracksOften {
			risk = 1
		}
		if f[0].Grade == finding.Caution {
			risk = 2
		}
		if risk >= most {
			worst, most = f, risk
		}
	}
	return worst
}

// cracks is the finding of one half. A class that seldom cracks, with nothing to stress it, is well.
func cracks(a params.Alloy, k params.Cracking, stand Standing, leaf bool) []finding.Finding {
	often, stressed := k.Risk == params.CracksOften, leaf && len(stand.Why) > 0
	grade, how := finding.OK, "seldom"
	switch {
	case often && stressed:
		grade = finding.Caution
	case often || stressed:
		grade = finding.Note
	}
	if often {
		how = "often"
	}
	stress := "stamps and setting stress the box"
	switch {
	case stressed:
		stress = "stress stands in the leaf by " + strings.Join(stand.Why, " and ")
		if stand.Most() > 0 {
			stress += fmt.Sprintf(", up to %.0f MPa", stand.Most())
		}
	case leaf:
		stress = "relaxed as drawn, the leaf must not be kept down by roof or lip"
		if stand.Per01 > 0 {
			stress += fmt.Sprintf(" (%.0f MPa each 0.1 mm)", stand.Per01)
		}
	}
	f := remark("cracking under stress", grade, fmt.Sprintf("%s, %s, cracks %s under stress in chlorine, salt or ammonia: %s; "+
		"after the last bend, before stones, 250 to 350 C for 30 min; no pickle left, no stamp near leaf or lip, off in pools", a.ID, k.Class, how, stress))
	f[0].Unit = "MPa"
	if leaf {
		f[0].Measured = stand.Most()
	}
	return f
}

// struck tells what a blow on the tab does.
func (c *Commission) struck() []finding.Finding {
	v, l := c.Life, c.Lock
	if c.Spring.Result == nil {
		return nil
	}
	say := fmt.Sprintf("frees the shoulders, as a fall of %.1f mm with %d g of chain", v.Falls[0], chainMass)
	if l.Double() {
		say = fmt.Sprintf("and on the other tab at once frees both leaves, as a fall of %.1f mm with %d g of chain; on one tab alone it leaves the other leaf caught", v.Falls[0], chainMass)
	}
	return []finding.Finding{{Check: "blow on the tab", Grade: finding.Note, Measured: v.Blow[0], Unit: "mJ", At: l.OnLeaf(r3.Vec{X: l.XTip + l.TabThickness/2, Z: l.TabTop()}), Say: say}}
}
