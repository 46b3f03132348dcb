package export

import (
	"fmt"
	"math"
	"strings"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/params"
)

// task is one step at the bench.
type task struct{ name, do string }

// route is the order of work for this lock. Common practice, no source, but for what it says of heat (params.HardeningOf) and of the pull
// test (20 N for 10 s, a fashion buyer's test; common practice).
func route(c *model.Commission) []task {
	l := c.Lock
	steps := []task{
		{"weigh in", weighIn(c)},
		{"clean", "saw off the gates, pickle, rinse the chamber until nothing seeps out; look for investment in its corners"},
	}
	steps = append(steps, leafTasks(c)...)
	if l.Slitted() {
		steps = append(steps, task{"fit", fmt.Sprintf("dry, soft: chamber and lips first, then the plate's edges until it slides with %.2f mm on each side; saw or file the slits clean; rears of both heads last, "+
			"a stroke on each in turn, until both snap in together with %.2f mm end play; break no edge that catches by more than 0.05", c.Fit.SideClearance, c.Fit.EndPlay)})
	} else {
		steps = append(steps, foldedFit(c))
	}
	steps = append(steps, boxTasks(l)...)
	steps = append(steps, joinTasks(c)...)
	steps = append(steps,
		task{"profile", "closed, file chain and lock to one profile, face and sides; sand"},
		task{"mark", "sponsor's and fineness mark " + markPlace(c) + ", away from leaf, lip and roof; the assay office must see all parts, the tongue included"},
		hardenTask(c),
		setTask(c),
		task{"prove", proveLine(c)},
		stonesTask(c),
		task{"finish", "pre-polish, set stones that the heat would have harmed, polish, clean by a method that the stones bear, rinse the chamber; weigh out, keep the lemel" + pressBoth(l)},
	)
	return steps
}

// pressBoth is what the wearer of two tabs must know.
func pressBoth(l *clasp.Lock) string {
	switch {
	case l.Double():
		return "; tell the wearer: press both tabs at once, pressed singly the lock stays caught; a tab that hangs loose is seen to before the chain is worn again"
	case l.Slitted():
		return "; tell the wearer: pinch both tabs together, pressed singly the lock stays caught"
	}
	return ""
}

// stonesTask tells a setter how deep the metal is. The wall that stays is what the caster fills; how much of a roof a setter may take is his to judge.
func stonesTask(c *model.Commission) task {
	l := c.Lock
	stays := number(c, "casting.wall")
	return task{"stones", fmt.Sprintf("over the chamber, that is on the box from the meeting face to %.1f mm behind it, the roof is %.2f mm thick: no seat, pilot hole or drill deeper than %.2f mm there, so that %.2f mm stay; "+
		"none within 1 mm of notch and lip; a deep stone belongs over the block or the end wall", l.BoxLength-l.EndWall, l.Roof, max(l.Roof-stays, 0), stays)}
}

// setTask bends the spring to its place.
func setTask(c *model.Commission) task {
	how := fmt.Sprintf("with a thin steel wedge in the fold lift the leaf until it stands %.2f mm under the roof when closed", c.Fit.TopGap)
	if c.Lock.Slitted() {
		how = fmt.Sprintf("with a thin steel wedge in each slit spread the flanks until both heads stand %.2f mm off the walls when closed", c.Fit.TopGap)
	}
	return task{"set", how + "; close and open twenty times, then look at spring and shoulders under a lens"}
}

// foldedFit fits a folded leaf, or two of them.
func foldedFit(c *model.Commission) task {
	rear, snaps := "rear of the shoulders last, a stroke at a time", "it snaps in"
	if c.Lock.Double() {
		rear, snaps = "rears of the shoulders last, a stroke on each leaf in turn", "both snap in together"
	}
	return task{"fit", fmt.Sprintf("dry, soft: chamber and lip first, then neck and edges of the leaf until the tongue slides with %.2f mm on each side; a thin file under the tip sets the stop; "+
		"%s, until %s with %.2f mm end play; break no edge that catches by more than 0.05", c.Fit.SideClearance, rear, snaps, c.Fit.EndPlay)}
}

func weighIn(c *model.Commission) string {
	var parts []string
	for _, p := range c.Pours {
		parts = append(parts, fmt.Sprintf("%.2f g of %s", p.Order.CastingG, p.Alloy.ID))
	}
	s := "castings without gates should weigh " + strings.Join(parts, " and ") + ", within 10 %"
	if len(c.Weights) > 0 {
		s += fmt.Sprintf("; finished %.2f g", c.Weights[0].Finished)
	}
	return s
}

// leafTasks bring the leaf into its form.
func leafTasks(c *model.Commission) []task {
	l := c.Lock
	switch {
	case l.Opening > 0:
		return []task{{"close the leaf", fmt.Sprintf("cast opened by %.0f degrees: anneal the fold line alone and close it over a rod of %.2f mm until the leaves lie %.2f mm apart", l.Opening*180/math.Pi, 2*l.Fold, 2*l.Fold)}}
	case c.Strip != nil:
		fix := map[string]string{
			"rivet": "two rivets, headed while the leaf is backed by steel", "laser": "a laser seam round its root",
			"solder": "solder at its root, a heat sink on the leaf: it is soft there afterwards",
		}[text(c, "strip.fix")]
		return []task{{"leaf of strip", "cut and bend it by blank.svg, burnish the edges of the fold; it goes on last, with " + fix}}
	}
	return nil
}

// boxTasks close what is open in the box.
func boxTasks(l *clasp.Lock) (out []task) {
	if l.Loose() {
		out = append(out, task{"floor", "reach the lip's inner face and the chamber from below first; then solder the floor in, hard, the mouth painted with a stop-off"})
	}
	if n := len(l.XCoreHoles); n > 0 {
		out = append(out, task{"core holes", fmt.Sprintf("plug %d bore(s) of %.1f mm with wire, solder, file flush inside too", n, l.CoreHole)})
	}
	return out
}

// joinTasks are the solderings that anneal the leaf.
func joinTasks(c *model.Commission) (out []task) {
	l := c.Lock
	if c.Catch != nil {
		out = append(out, task{"catch", fmt.Sprintf("by catch.svg: hard-solder the tube upright in its seat on the block and the stud on the box; the loop of hard wire, %.1f mm cut, goes in cold at the very end", c.Catch.Cut)})
	}
	ends := map[string]string{
		"pad":    "end links halved, square to the run, soldered to the pads, one half turned by 180 degrees to the other, as links lean one way",
		"cradle": "end links let into the cradles and soldered along their wire",
		"lug":    "no heat: a connecting link through each lug, its seam soldered or lasered away from the lock",
	}[l.End]
	keep := ""
	if l.End != "lug" {
		keep = "; stop-off in the mouth and on the leaf, no solder nearer than 2 mm to the mouth; grip the block, never the leaf; the leaf is soft afterwards; quench, pickle, rinse with soda"
	}
	return append(out, task{"to the chain", ends + keep})
}

// hardenTask gives the leaf its spring.
func hardenTask(c *model.Commission) task {
	a, err := leafAlloy(c)
	if err != nil {
		return task{"harden", "by what the alloy's maker gives"}
	}
	counted := "the numbers here count on the leaf being " + text(c, "tongue.condition") + "; "
	h, ok := params.HardeningOf(a)
	if !ok {
		return task{"harden", counted + "nothing is known here of hardening " + a.ID + " by heat: ask its maker"}
	}
	s := counted
	if h.Quench != "" {
		s += "quench " + h.Quench + "; "
	}
	s += h.Harden
	if h.Bake > 0 {
		s += "; after the last soldering, before polishing and before stones that do not bear it (diamond, ruby, sapphire that are untreated, and zirconia do)"
	}
	if h.Kind == params.Memory {
		s += " (from memory of " + h.Source + ")"
	} else {
		s += " (" + h.Source + ")"
	}
	return task{"harden", s + "; what its maker says goes first"}
}

// leafAlloy is what the leaf is made of.
func leafAlloy(c *model.Commission) (params.Alloy, error) {
	if c.Strip != nil {
		return c.Strip.Alloy, nil
	}
	return c.Job.Alloy(text(c, "tongue.alloy"))
}

// proveLine are the forces to look for with a spring balance.
func proveLine(c *model.Commission) string {
	s := ""
	if r := c.Spring; r != nil && r.Result != nil {
		push, tab := r.Closes()[1], "the tab"
		if r.Leaves > 1 {
			tab = "each tab, the other held down"
		}
		s = fmt.Sprintf("with a spring balance: closes at about %.1f N (%.0f g), opens at about %.1f N on %s (%.0f g); ", push, grams(push), r.Release.Force, tab, grams(r.Release.Force))
	}
	return s + "hang 2 kg (20 N) on the closed lock for 10 s, five times, over a soft bench; then turn and shake it: it must not open"
}

// grams is what a balance shows for a force in N.
func grams(n float64) float64 { return n / 9.80665 * 1000 }

// markPlace is where the hallmark goes: on its flat where one is kept.
func markPlace(c *model.Commission) string {
	if s := model.Hallmarking(c.Lock); s != "" {
		return "on the " + s
	}
	return "on the block's underside or end"
}
