package model

import (
	"context"
	"errors"
	"math"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/metal"
	"claspwright/params"
)

// volumes are what a lock weighs by, mm3, box then tongue.
type volumes struct{ finished, casting [2]float64 }

// weigh fills the weights table. Walls, and so volumes, differ between metals: a lock is derived, meshed and integrated
// anew for each metal that asks for other dimensions.
func (c *Commission) weigh(ctx context.Context) error {
	own, err := c.ownAlloys()
	if err != nil {
		return err
	}
	mine := c.volumes()
	w, order := weight(c.Job, own, mine)
	id, _ := c.Job.Text("metal.alloy")
	w.Alloy = id
	c.Weights, c.Casting = []Weight{w}, order
	c.resolved("casting.button", order.ButtonG)
	byMetal := map[string]volumes{own[0].Metal: mine}
	refused := map[string]error{}
	for _, a := range params.Alloys() {
		if a.ID == id {
			continue
		}
		v, done := byMetal[a.Metal]
		if !done && refused[a.Metal] == nil {
			v, err = volumesIn(ctx, c.Job, a)
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
		row, _ := weight(c.Job, [2]params.Alloy{a, a}, v)
		if r := refused[a.Metal]; r != nil {
			row = Weight{Density: row.Density, Refused: r.Error()}
		}
		row.Alloy = a.ID
		c.Weights = append(c.Weights, row)
	}
	return nil
}

// resolved fills in a value that only the work itself has shown, unless it was given.
func (c *Commission) resolved(key string, v float64) {
	for i, r := range c.Resolved {
		if r.Key == key && r.Origin != "given" {
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

func (c *Commission) volumes() (v volumes) {
	for i, name := range partNames {
		v.finished[i] = c.at(name, clasp.Finished).VolumeMM3
		v.casting[i] = c.at(name, clasp.Casting).VolumeMM3
	}
	return v
}

// volumesIn integrates the job's lock in another alloy.
func volumesIn(ctx context.Context, job *params.Job, a params.Alloy) (volumes, error) {
	job, err := job.With("metal.alloy=" + a.ID)
	if err != nil {
		return volumes{}, err
	}
	c, err := Make(ctx, job, Want{Stages: []clasp.Stage{clasp.Casting}})
	if err != nil {
		return volumes{}, err
	}
	return c.volumes(), nil
}

// weight is the lock in the alloys of box and tongue: mass = density x volume, 1 cm3 = 1000 mm3.
func weight(job *params.Job, alloys [2]params.Alloy, v volumes) (Weight, casting.Order) {
	w := Weight{Density: metal.Density(alloys[0])}
	var cast [2]float64
	for i, a := range alloys {
		rho := metal.Density(a) / 1000 // g/mm3
		w.Finished += rho * v.finished[i]
		w.Fine += rho * v.finished[i] * a.Fineness / 1000
		cast[i] = rho * v.casting[i]
		w.Casting += cast[i]
	}
	order := pour(job, alloys, cast)
	w.Order = order.OrderG
	return w, order
}

// pour arranges one pour for both parts, or one each when the tongue is of another alloy.
func pour(job *params.Job, alloys [2]params.Alloy, cast [2]float64) casting.Order {
	gate, _ := job.Number("casting.gate")
	length, _ := job.Number("casting.gate_length")
	loss, _ := job.Number("casting.loss")
	button, ok := job.Number("casting.button")
	if !ok {
		button = math.NaN()
	}
	arrange := func(g []float64, a params.Alloy) casting.Order {
		return casting.Arrange(g, metal.Density(a), a.Fineness/1000, gate, length, button, loss)
	}
	if alloys[0].ID == alloys[1].ID {
		return arrange(cast[:], alloys[0])
	}
	a, b := arrange(cast[:1], alloys[0]), arrange(cast[1:], alloys[1])
	return casting.Order{CastingG: a.CastingG + b.CastingG, GatesG: a.GatesG + b.GatesG, ButtonG: a.ButtonG + b.ButtonG,
		LossG: a.LossG + b.LossG, OrderG: a.OrderG + b.OrderG, FineG: a.FineG + b.FineG}
}
