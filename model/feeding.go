package model

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/finding"
	"claspwright/model/metal"
	"claspwright/model/solid"
	"claspwright/model/survey"
)

// Feed is how a part is fed while it freezes.
type Feed struct {
	Part    string
	At      r3.Vec     // the hot spot, where the casting is thickest
	Ball    float64    // mm, diameter of the ball of metal there
	Section [3]float64 // mm, moduli of the sections through it square to x, y and z; infinite where nothing cools near
	Modulus float64    // mm, of the body round it
	Gate    casting.Gate
	Rule    casting.Gate // what the modulus rule asks for
}

// near is within how many diameters of the ball, along each axis, metal belongs to the hot spot: then the modulus of a
// lock's block comes out within 7 % of volume over surface.
const near = 1

// feed finds hot spots and gates before the parts are made, if gates follow from them.
func (c *Commission) feed(want Want) error {
	if by, _ := c.Job.Text("casting.gate_by"); by != "modulus" || c.Feeds != nil || !want.Weights && !want.Checks && !c.stubbed() {
		return nil
	}
	for _, part := range c.Lock.Parts() {
		s, err := c.Lock.Build(part, clasp.Casting)
		if err != nil {
			return err
		}
		thick := survey.NewBody(s).Thickest(survey.ThickOptions{Within: 0.05})
		f := hotSpot(part, s, thick.At)
		f.Gate = f.Rule
		if err := c.fitStub(&f.Gate); err != nil {
			return err
		}
		c.Feeds = append(c.Feeds, f)
	}
	return nil
}

// fed finds hot spots where the survey of the finished parts has found them thickest.
func (c *Commission) fed() error {
	if c.Feeds != nil {
		return nil
	}
	feeds := make([]Feed, len(c.Surveys))
	err := each(context.Background(), len(feeds), func(i int) error {
		v := c.Surveys[i]
		s, err := c.Lock.Build(v.Part, clasp.Casting)
		if err != nil {
			return err
		}
		feeds[i] = hotSpot(v.Part, s, v.Thickest.At)
		feeds[i].Gate = c.gateGiven()
		return nil
	})
	if err == nil {
		c.Feeds = feeds
	}
	return err
}

// hotSpot measures a casting round the place where it is thickest. No body cools slower than a plate as thick as the ball, of
// which the modulus is half the thickness.
func hotSpot(part string, s *solid.Solid, at r3.Vec) Feed {
	f := Feed{Part: part, At: at, Ball: 2 * math.Abs(s.Eval(at))}
	f.Section = moduli(s, at, near*f.Ball)
	f.Modulus = math.Min(casting.BodyModulus(f.Section[0], f.Section[1], f.Section[2]), f.Ball/2)
	f.Rule = casting.GateFor(f.Modulus)
	return f
}

// moduli are those of the sections through a point, square to x, y and z, of what lies within so many mm.
func moduli(s *solid.Solid, at r3.Vec, within float64) (m [3]float64) {
	for axis, n := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		x := survey.SectionOf(s, at, n, survey.SectionOptions{Within: within, Step: 0.05})
		if m[axis] = x.Modulus; x.Area > 0 && x.Perimeter == 0 {
			m[axis] = math.Inf(1)
		}
	}
	return m
}

func (c *Commission) gateGiven() casting.Gate {
	d, _ := c.Job.Number("casting.gate")
	l, _ := c.Job.Number("casting.gate_length")
	return casting.Gate{Diameter: d, Length: l}
}

// gateOf is a part's gate.
func (c *Commission) gateOf(part string) casting.Gate {
	for _, f := range c.Feeds {
		if f.Part == part {
			return f.Gate
		}
	}
	return c.gateGiven()
}

// feeding says whether the metal freezes from the parts to their gates to the button, and where a second gate is needed.
func (c *Commission) feeding() (out []finding.Finding, err error) {
	if err := c.fed(); err != nil {
		return nil, err
	}
	thickest := 0.0
	for _, f := range c.Feeds {
		g := casting.RoundModulus(f.Gate.Diameter)
		thickest = math.Max(thickest, g)
		say := fmt.Sprintf("the gate of %.2f mm, modulus %.2f, freezes before the hot spot, %.2f: metal may draw there; the modulus rule asks for one %.1f mm thick and %.1f mm long, or a flat one or two, or have the place hollowed",
			f.Gate.Diameter, g, f.Modulus, f.Rule.Diameter, f.Rule.Length)
		if f.Rule.Cut {
			say += "; even that is less than the rule"
		}
		out = append(out, finding.AtLeast("gate of the "+f.Part+" freezes after it", "x", g/f.Modulus, casting.Feed, f.At, finding.Note, say))
	}
	for _, p := range c.Pours {
		m := casting.ButtonModulus(p.Order.ButtonG, metal.Density(p.Alloy))
		out = append(out, finding.AtLeast("button freezes after the gates", "x", m/thickest, casting.Feed, r3.Vec{}, finding.Note,
			fmt.Sprintf("button and sprue of %.1f g, modulus %.2f mm: more metal, so that they feed to the last", p.Order.ButtonG, m)))
	}
	tab, err := c.tabFeed()
	return append(out, tab...), err
}

// tabFeed compares the thumb tab with the leaf that would have to feed it.
func (c *Commission) tabFeed() ([]finding.Finding, error) {
	l := c.Lock
	if l.Rolled() || l.Opening > 0 {
		return nil, nil // not cast, or turned away from where it is looked for
	}
	cast, err := l.Build(clasp.PartTongue, clasp.Casting)
	if err != nil {
		return nil, err
	}
	at := r3.Vec{X: l.XTip + l.TabThickness/2, Z: (l.ZTip + l.Thickness + l.TabHeight) / 2}
	m := moduli(cast, at, l.TabWidth/2+1)
	tab := casting.BodyModulus(m[0], m[1], m[2])
	leaf := (l.Taper*l.Leaf + l.Stock.Leaf) / 2 // a plate's is half its thickness
	gate := casting.TabGate().Diameter
	say := fmt.Sprintf("the tab, modulus %.2f mm, freezes after the leaf that feeds it, %.2f: it has a second gate of %.1f mm on its top, sawn off later", tab, leaf, gate)
	if d := 4 * casting.Feed * tab; d > gate {
		say += fmt.Sprintf("; the modulus rule asks for %.1f mm", d)
	}
	f := finding.AtMost("tab fed through the leaf", "x", tab/leaf, 1/casting.Feed, at, finding.Note, say)
	if f.Grade == finding.OK {
		f.Say = "the leaf freezes after the tab and feeds it; the second gate on the tab may be left out"
	}
	return []finding.Finding{f}, nil
}
