package model

import (
	"context"
	"errors"
	"math"
	"slices"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/metal"
	"claspwright/params"
)

// volumes are what a lock weighs by, mm3, of each of its parts in their order, and of a strip, which is not cast.
type volumes struct {
	parts             []string
	finished, casting []float64
	strip             float64
}

// alloyOf is which of the two alloys, of box and of tongue, a part has: all but the tongue belongs to the box.
func alloyOf(part string) int {
	if part == clasp.PartTongue {
		return 1
	}
	return 0
}

// weigh fills the weights table. Walls, and so volumes, differ between metals: a lock is derived, meshed and integrated
// anew for each metal that asks for other dimensions.
func (c *Commission) weigh(ctx context.Context) error {
	own, err := c.ownAlloys()
	if err != nil {
		return err
	}
	mine := c.volumes()
	leaf, err := c.stripAlloy()
	if err != nil {
		return err
	}
	w, pours := c.weight([3]params.Alloy{own[0], own[1], leaf}, mine)
	id, _ := c.Job.Text("metal.alloy")
	w.Alloy = id
	c.Weights, c.Casting, c.Pours = []Weight{w}, inAll(pours), pours
	c.resolved("casting.button", c.Casting.ButtonG)
	byMetal := map[string]volumes{own[0].Metal: mine}
	refused := map[string]error{}
	for _, a := range params.Alloys() {
		if a.ID == id {
			continue
		}
		v, done := byMetal[a.Metal]
		if !done && refused[a.Metal] == nil {
			v, err = c.volumesIn(ctx, a)
			var r *clasp.Refusal
			switch {
			case errors.As(err, &r):
				refused[a.Metal] = r
			case err != nil:
				return err
			default:
				byMetal[a.Metal] = v
			}
		}
		row, _ := c.weight([3]params.Alloy{a, a, a}, v)
		if r := refused[a.Metal]; r != nil {
			row = Weight{Metal: row.Metal, Fineness: row.Fineness, Density: row.Density, Refused: r.Error()}
		}
		row.Alloy = a.ID
		c.Weights = append(c.Weights, row)
	}
	return nil
}

// resolved fills in a value that only the work itself has shown, unless it was given.
func (c *Commission) resolved(key string, v float64) {
	for i, r := range c.Resolved {
		if r.Key == key && c.Job.Origin(key) == "" {
			c.Resolved[i] = byRule(params.Resolved{Key: key, Number: v, Unit: r.Unit})
		}
	}
}

// ownAlloys are the alloys of box and tongue.
func (c *Commission) ownAlloys() (own [2]params.Alloy, err error) {
	for i, key := range []string{"metal.alloy", "tongue.alloy"} {
		id, given := c.Job.Text(key)
		if i == 1 && !given {
			own[1] = own[0]
			continue
		}
		if own[i], err = c.Job.Alloy(id); err != nil {
			return own, err
		}
	}
	return own, nil
}

func (c *Commission) volumes() volumes {
	v := volumes{parts: c.Lock.Parts(), finished: c.finishedVolumes()}
	for _, name := range v.parts {
		v.casting = append(v.casting, c.at(name, clasp.Casting).Casting())
	}
	if c.Strip != nil {
		v.strip = c.Strip.Leaf.VolumeMM3
	}
	return v
}

// volumesIn integrates the job's lock in another alloy: the same leaf, and walls as that metal asks for; where they leave the leaf too little room, a
// leaf by rule.
func (c *Commission) volumesIn(ctx context.Context, a params.Alloy) (volumes, error) {
	v, err := volumesOf(ctx, c.sized, a)
	var r *clasp.Refusal
	if errors.As(err, &r) && c.sized != c.Job {
		return volumesOf(ctx, c.Job, a)
	}
	return v, err
}

func volumesOf(ctx context.Context, job *params.Job, a params.Alloy) (volumes, error) {
	job, err := job.With("metal.alloy="+a.ID, "tongue.sizes=rule")
	if err != nil {
		return volumes{}, err
	}
	c, err := Make(ctx, job, Want{Stages: []clasp.Stage{clasp.Casting}})
	if err != nil {
		return volumes{}, err
	}
	return c.volumes(), nil
}

// weight is the lock in the alloys of box, tongue and strip: mass = density x volume, 1 cm3 = 1000 mm3.
func (c *Commission) weight(alloys [3]params.Alloy, v volumes) (Weight, []Pour) {
	w := Weight{Metal: alloys[0].Metal, Fineness: alloys[0].Fineness, Density: metal.Density(alloys[0])}
	cast := make([]float64, len(v.parts))
	for i, part := range v.parts {
		a := alloys[alloyOf(part)]
		rho := metal.Density(a) / 1000 // g/mm3
		w.Finished += rho * v.finished[i]
		w.Fine += rho * v.finished[i] * a.Fineness / 1000
		cast[i] = rho * v.casting[i]
		w.Casting += cast[i]
	}
	strip := metal.Density(alloys[2]) / 1000 * v.strip
	w.Finished += strip
	w.Fine += strip * alloys[2].Fineness / 1000
	pours := c.pour([2]params.Alloy{alloys[0], alloys[1]}, v.parts, cast)
	w.Order = inAll(pours).OrderG
	return w, pours
}

// pour arranges one pour for all parts, or two when the tongue is of another alloy. The thumb tab, and with it the
// second gate, belongs to the tongue.
func (c *Commission) pour(alloys [2]params.Alloy, parts []string, cast []float64) []Pour {
	job := c.Job
	loss, _ := job.Number("casting.loss")
	button, ok := job.Number("casting.button")
	if !ok {
		button = math.NaN()
	}
	tabs := 1
	if made, _ := job.Text("tongue.make"); made == "strip" {
		tabs = 0
	}
	arrange := func(a params.Alloy, tabs int, in func(part string) bool) Pour {
		p := Pour{Alloy: a}
		var of []float64
		var gates []casting.Gate
		for i, part := range parts {
			if in(part) {
				p.Parts, of, gates = append(p.Parts, part), append(of, cast[i]), append(gates, c.gateOf(part))
			}
		}
		p.Order = casting.ArrangeGates(of, gates, tabs, metal.Density(a), metal.Fine(a), button, loss)
		return p
	}
	if alloys[0].ID == alloys[1].ID {
		return []Pour{arrange(alloys[0], tabs, func(string) bool { return true })}
	}
	return []Pour{
		arrange(alloys[0], 0, func(part string) bool { return alloyOf(part) == 0 }),
		arrange(alloys[1], tabs, func(part string) bool { return alloyOf(part) == 1 }),
	}
}

// inAll adds up what the pours take.
func inAll(pours []Pour) (sum casting.Order) {
	for _, p := range pours {
		sum.CastingG += p.Order.CastingG
		sum.GatesG += p.Order.GatesG
		sum.ButtonG += p.Order.ButtonG
		sum.LossG += p.Order.LossG
		sum.OrderG += p.Order.OrderG
		sum.FineG += p.Order.FineG
	}
	return sum
}

// FinishedOf is what the parts of one pour weigh when they are finished, g. A leaf of strip is not cast and not counted.
func (c *Commission) FinishedOf(p Pour) float64 {
	v, volume := c.finishedVolumes(), 0.0
	for i, name := range c.Lock.Parts() {
		if slices.Contains(p.Parts, name) {
			volume += v[i]
		}
	}
	return volume * metal.Density(p.Alloy) / 1000
}

// finishedVolumes are those of the parts in their order, mm3, a leaf of strip left out.
func (c *Commission) finishedVolumes() (v []float64) {
	for _, name := range c.Lock.Parts() {
		v = append(v, c.part(name).VolumeMM3)
		if name == clasp.PartTongue && c.Strip != nil {
			v[len(v)-1] -= c.Strip.Leaf.VolumeMM3
		}
	}
	return v
}
