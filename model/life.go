package model

import (
	"math"

	"claspwright/model/life"
	"claspwright/model/metal"
	"claspwright/params"
)

// Life is the lock after years, and in accidents.
type Life struct {
	Wear  float64 // mm off lip and shoulders, each; of two leaves pulls are held by one alone, forces and blows are those on both tabs
	Catch life.Catch
	Worn  life.Worn
	Cams  [2]Cams         // new and worn
	Held  float64         // N that the worn lock holds without bending for good; 0 when a yield is not known
	Gives string          // what would bend first
	Needs float64         // MPa of yield that the asked pull wants of the worn lock; infinite where nothing is left to bear
	Known bool            // both yields are known
	Yield life.Yields     // of the tongue in its condition, of the box in its own
	Stand Standing        // what stresses the closed leaf
	Blow  [2]float64      // mJ on the tab that free the shoulders, new and worn
	Mass  float64         // g, the lock and an example of a chain
	Falls [2]float64      // mm that so much falls to bring that blow
	Alloy [2]params.Alloy // of box and tongue
}

// Cams is the catch under a pull at the least friction of the range and at the job's.
type Cams struct{ Least, Usual life.Cam }

// Standing is what stresses a leaf that nobody presses.
type Standing struct {
	Per01  float64  // MPa that stand in it for each 0.1 mm by which the closed leaf is kept down
	Preset float64  // MPa from the roof, 0 with the leaf relaxed as drawn
	Cold   float64  // MPa that cold work can have left, 0 without or when the yield is not known
	Why    []string // where it comes from
}

// Most is the greatest stress that can stand, MPa.
func (s Standing) Most() float64 { return math.Max(s.Preset, s.Cold) }

// chainMass is the example of a chain on a lock that falls, g: a light bracelet. Common practice, no source.
const chainMass = 100

// live finds what becomes of the lock.
func (c *Commission) live() error {
	own, err := c.ownAlloys()
	if err != nil {
		return err
	}
	if own[1], err = c.stripAlloy(); err != nil {
		return err
	}
	wear, _ := c.Job.Number("lock.wear")
	l, f, s := c.Lock, c.Fit, c.Spring
	v := &Life{Wear: wear, Alloy: own}
	v.Catch = life.Catch{
		Engagement: f.Engagement, Chamfer: l.Chamfer, Width: l.BearingWidth(), Thick: l.HeadLength(), Lip: l.Lip, LipDepth: l.LipDepth,
		Slope: l.LipSlope, EndPlay: f.EndPlay, Travel: l.Travel, Wear: wear,
	}
	if s.Result != nil {
		v.Catch.Release = s.Opens()
	}
	v.Worn = v.Catch.Worn()
	v.Cams = [2]Cams{c.cams(l.LipSlope, f.Engagement-l.Chamfer), c.cams(v.Worn.Slope, v.Worn.Bears)}
	c.hold(v)
	v.Stand = c.standing(v.Yield.Tongue)
	v.Mass = chainMass
	for _, name := range l.Parts() {
		v.Mass += metal.Density(own[alloyOf(name)]) / 1000 * c.part(name).VolumeMM3
	}
	for i, lost := range []float64{0, 2 * wear} {
		v.Blow[i] = life.Blow(v.Catch.Release, l.Travel, f.Engagement-lost)
		v.Falls[i] = life.Fall(v.Blow[i], v.Mass)
	}
	c.Life = v
	return nil
}

// cams is the catch on a slope whose shoulders are free when they have gone down by drop: the leaf as the shoulders' edge feels it, and the lift that
// the fold gives under a straight pull. Without a spring the leaf holds nothing.
func (c *Commission) cams(slope, drop float64) Cams {
	mu, _ := c.Job.Number("tongue.friction")
	stiff, lift := 0.0, 0.0
	if s := c.Spring; s.Result != nil {
		stiff = s.Case.Force / s.Case.Press
		if s.Pull.Force > 0 {
			lift = s.Pull.RoofN / s.Pull.Force
		}
	}
	return Cams{life.Camming(slope, math.Max(0, mu-0.1), stiff, drop, lift), life.Camming(slope, mu, stiff, drop, lift)}
}

// hold finds the pull that the worn lock holds. The leaf itself does not wear: it holds what it holds new.
func (c *Commission) hold(v *Life) {
	pull, _ := c.Job.Number("lock.pull")
	v.Needs = v.Catch.Needed(pull)
	box := metalIn(v.Alloy[0], boxCondition(c.Spring.Condition))
	v.Yield = life.Yields{Tongue: c.Spring.Yield.Value, Box: box.Yield.Value}
	if v.Known = c.Spring.Known() && box.Known(); !v.Known {
		return
	}
	v.Held, v.Gives = v.Catch.Held(v.Yield)
	if c.Spring.Result == nil {
		return
	}
	p := c.Spring.Pull
	leaf, gives := p.Force*v.Yield.Tongue/math.Max(p.Leaf.Size(), 1e-9), "the fold opens"
	if p.Gives && p.Force < leaf {
		leaf, gives = p.Force, "the leaf folds up"
	}
	if leaf < v.Held {
		v.Held, v.Gives = leaf, gives
	}
}

// boxCondition is that of the box beside a tongue in a condition: nobody hammers a lip, and the chain is soldered to the box.
func boxCondition(tongue string) string {
	if tongue == "hammered" {
		return "annealed"
	}
	return tongue
}

// standing finds what stresses the closed leaf. As drawn nothing does; a roof that keeps it down, cold bends and hammering do, and a first use that
// bends it for good. Age-hardening comes last and takes the stress of cold bends out.
func (c *Commission) standing(yield float64) Standing {
	var st Standing
	if s := c.Spring; s.Result != nil {
		st.Per01 = life.Preset(s.Release.Peak.Size(), c.Lock.Travel, 0.1)
		st.Preset = life.Preset(s.Release.Peak.Size(), c.Lock.Travel, -c.Fit.TopGap)
		if s.Known() && s.Peak.Size() > s.Yield.Value {
			st.Cold, st.Why = life.Bent(yield), append(st.Why, "the first use, which bends it for good")
		}
	}
	if c.Fit.TopGap <= 0 {
		st.Why = append(st.Why, "the roof, which keeps it down")
	}
	how, _ := c.Job.Text("tongue.make")
	if c.Spring.Condition != "age-hardened" && (how == "opened" || how == "strip") {
		st.Cold, st.Why = life.Bent(yield), append(st.Why, "the fold closed cold")
	}
	if c.Spring.Condition == "hammered" {
		st.Cold, st.Why = yield, append(st.Why, "hammering")
	}
	return st
}
