package model

import (
	"context"
	"errors"
	"fmt"
	"math"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/metal"
	"claspwright/params"
)

// Grove is how the castings of many locks are planted: trees by alloy.
type Grove struct {
	Flask casting.Flask
	Locks int
	Trees []AlloyTree
}

// AlloyTree is all castings of one alloy, in flasks that are filled alike.
type AlloyTree struct {
	Alloy    params.Alloy
	Castings int
	Tree     casting.Tree // of one flask, as the largest part needs it
	Flasks   int
	Each     int // castings in a full flask
	CastingG float64
	GatesG   float64
	TrunksG  float64
	ButtonsG float64
	LossG    float64
	SafetyG  float64 // melted over that, so that no flask runs short
	MeltG    float64 // all of it
	FineG    float64 // fine metal in MeltG
}

// planted is one casting that hangs on a tree.
type planted struct {
	casting.Hanging
	gates float64 // g
}

// Plant finds how the castings of locks go into flasks of one size, each alloy apart. Every casting takes a place as large as
// the largest of its alloy needs. A part that does not go into the flask is a *clasp.Refusal.
// pieces of each lock are cast; diameter and height are the flask's inside, mm.
func Plant(ctx context.Context, jobs []*params.Job, pieces int, diameter, height float64) (*Grove, error) {
	flask := casting.Flask{Diameter: diameter, Height: height}
	g := &Grove{Flask: flask, Locks: pieces * len(jobs)}
	hang := map[string][]planted{}
	alloys := map[string]params.Alloy{}
	first := map[string]*params.Job{} // what the first lock of an alloy has of button and loss holds for its flasks
	var order []string
	for i, job := range jobs {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		c, err := Make(ctx, job, Want{Stages: []clasp.Stage{clasp.Casting}})
		if err != nil {
			return nil, fmt.Errorf("lock %d: %w", i+1, err)
		}
		if err := c.feed(Want{Weights: true}); err != nil {
			return nil, err
		}
		own, err := c.ownAlloys()
		if err != nil {
			return nil, err
		}
		for _, part := range c.Lock.Parts() {
			a := own[alloyOf(part)]
			if first[a.ID] == nil {
				order, first[a.ID], alloys[a.ID] = append(order, a.ID), job, a
			}
			for range pieces {
				hang[a.ID] = append(hang[a.ID], c.hang(part, a, i+1))
			}
		}
	}
	for _, id := range order {
		t, err := plantAlloy(first[id], alloys[id], hang[id], flask)
		if err != nil {
			return nil, err
		}
		g.Trees = append(g.Trees, t)
	}
	return g, nil
}

// hang is a casting as it hangs by the gate at its closed end.
func (c *Commission) hang(part string, a params.Alloy, lock int) planted {
	p := c.at(part, clasp.Casting)
	lo, hi := contour.Bounds(p.Mesh)
	gate := c.gateOf(part)
	rho := metal.Density(a) / 1000
	volume := gate.Volume()
	if made, _ := c.Job.Text("tongue.make"); part == clasp.PartTongue && made != "strip" {
		volume += casting.TabGate().Volume()
	}
	return planted{casting.Hanging{Name: fmt.Sprintf("the %s of lock %d", part, lock), Out: hi.X - lo.X - p.Stub.Length, Across: hi.Y - lo.Y, Up: hi.Z - lo.Z,
		GateLength: gate.Length, Gram: p.Casting() * rho}, volume * rho}
}

// plantAlloy fills flasks with the castings of one alloy.
func plantAlloy(job *params.Job, a params.Alloy, all []planted, flask casting.Flask) (AlloyTree, error) {
	var hanging []casting.Hanging
	t := AlloyTree{Alloy: a, Castings: len(all)}
	for _, p := range all {
		hanging = append(hanging, p.Hanging)
		t.CastingG += p.Gram
		t.GatesG += p.gates
	}
	tree, err := casting.Plan(flask, hanging...)
	var no *casting.NoRoom
	if errors.As(err, &no) {
		return t, &clasp.Refusal{Key: "flask", Say: no.Error(), Nearest: "a larger flask, or shorter gates"}
	}
	if err != nil {
		return t, err
	}
	t.Tree, t.Each = tree, min(tree.Places, len(all))
	t.Flasks = (len(all) + tree.Places - 1) / tree.Places
	rho := metal.Density(a)
	button, given := job.Number("casting.button")
	if !given {
		button = math.NaN()
	}
	loss, _ := job.Number("casting.loss")
	for i := range t.Flasks { // the button goes by what is in the flask
		in := min((i+1)*tree.Places, len(all)) - i*tree.Places
		share, trunk := float64(in)/float64(len(all)), tree.TrunkGram(in, rho)
		t.TrunksG += trunk
		o := casting.ArrangeGates([]float64{t.CastingG*share + t.GatesG*share + trunk}, nil, 0, rho, metal.Fine(a), button, loss)
		t.ButtonsG += o.ButtonG
		t.LossG += o.LossG
	}
	poured := t.CastingG + t.GatesG + t.TrunksG + t.ButtonsG + t.LossG
	t.SafetyG = casting.Safety * poured
	t.MeltG = poured + t.SafetyG
	t.FineG = t.MeltG * metal.Fine(a)
	return t, nil
}
