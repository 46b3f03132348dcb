package model

import (
	"context"
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/solid"
	"claspwright/params"
)

// Make builds what is wanted of a job's lock. It fails with params.Problems or a *clasp.Refusal when the job cannot be
// made, and with another error when a promise of the program itself cannot be kept; it never returns half a commission.
func Make(ctx context.Context, job *params.Job, want Want) (*Commission, error) {
	id, _ := job.Text("metal.alloy")
	alloy, err := job.Alloy(id)
	if err != nil {
		return nil, err
	}
	crown, err := readCrown(job)
	if err != nil {
		return nil, err
	}
	c := &Commission{Job: job, Crown: crown}
	if err := c.size(alloy.Metal, want.Checks); err != nil {
		return nil, err
	}
	lock := c.Lock
	grow := growthOf(job, alloy.Metal)
	c.Resolved = resolve(job, lock, alloy, grow)
	c.knownYield()
	if err = c.feed(want); err != nil {
		return nil, err
	}
	if err = c.tryStubs(); err != nil {
		return nil, err
	}
	if c.Parts, err = c.makeParts(ctx, grow, want); err != nil {
		return nil, err
	}
	if err = c.posed(ctx); err != nil {
		return nil, err
	}
	if err = c.rolled(want.Prove); err != nil {
		return nil, err
	}
	if err = c.makeCatch(); err != nil {
		return nil, err
	}
	if want.Weights {
		if err = c.weigh(ctx); err != nil {
			return nil, err
		}
	}
	c.layers = want.Prove
	if want.Checks {
		if err = c.judge(ctx); err != nil {
			return nil, err
		}
	}
	return c, ctx.Err()
}

// judge measures the closed lock, surveys its parts, computes its spring, moves and turns the tongue, draws castings, and makes
// every finding.
func (c *Commission) judge(ctx context.Context) (err error) {
	c.Fit = measureFit(c.Lock, c.boxed(), c.part(clasp.PartTongue).Solid)
	c.Motion, c.Surveys = &Motion{}, make([]Survey, len(c.Lock.Parts()))
	work := []func() error{ // the longest first, so that cores end together
		func() error { c.survey(1, c.layers); return nil },
		func() error { c.survey(0, c.layers); return nil },
		func() error { c.turn(); return nil },
		func() error {
			if err := c.springs(); err != nil {
				return err
			}
			return c.move(ctx)
		},
		func() error {
			c.Swing = c.measureSwing()
			if !c.Lock.Rolled() && !c.Lock.Slitted() && c.file() != nil {
				c.Bench = nil // the findings say so
			}
			return nil
		},
	}
	for i := 2; i < len(c.Surveys); i++ { // beside box and tongue
		work = append(work, func() error { c.survey(i, c.layers); return nil })
	}
	if err = each(ctx, len(work), func(i int) error { return work[i]() }); err != nil {
		return err
	}
	if err = c.live(); err != nil {
		return err
	}
	c.Findings, err = c.check()
	return err
}

// part is the finished part of that name.
func (c *Commission) part(name string) *Part { return c.at(name, clasp.Finished) }

// boxed is the finished box as it is when its floor is soldered in.
func (c *Commission) boxed() *solid.Solid { return Boxed(Closed(c)) }

// Boxed joins what belongs to the box: the box itself and a loose floor.
func Boxed(parts []Part) *solid.Solid {
	var of []*solid.Solid
	for _, p := range parts {
		if p.Name != clasp.PartTongue {
			of = append(of, p.Solid)
		}
	}
	switch len(of) {
	case 0:
		return nil
	case 1:
		return of[0]
	}
	return solid.Join(of...)
}

func (c *Commission) at(name string, stage clasp.Stage) *Part {
	for i := range c.Parts {
		if c.Parts[i].Name == name && c.Parts[i].Stage == stage {
			return &c.Parts[i]
		}
	}
	return nil
}

// wanted lists the stages to be meshed, finished first; a pattern is grown from its casting, so it brings that along.
func wanted(want Want) []clasp.Stage {
	stages := []clasp.Stage{clasp.Finished}
	has := map[clasp.Stage]bool{}
	for _, s := range want.Stages {
		has[s] = true
	}
	if has[clasp.Casting] || has[clasp.Pattern] || want.Weights {
		stages = append(stages, clasp.Casting)
	}
	if has[clasp.Pattern] {
		stages = append(stages, clasp.Pattern)
	}
	return stages
}

// makeParts meshes, measures and proves every part at every stage, on all cores, results by index.
func (c *Commission) makeParts(ctx context.Context, grow r3.Vec, want Want) ([]Part, error) {
	tol, _ := c.Job.Number("mesh.tolerance")
	lock := c.Lock
	var parts []Part
	for _, stage := range wanted(want) {
		for _, name := range lock.Parts() {
			parts = append(parts, Part{Name: name, Stage: stage, Stub: c.stub(name, stage)})
		}
	}
	base := len(lock.Parts())
	err := each(ctx, len(parts), func(i int) error {
		p := &parts[i]
		if p.Stage == clasp.Pattern {
			return nil
		}
		return p.mesh(lock, tol/tolShare(p.Stage, grow), want.Prove)
	})
	if err != nil {
		return nil, err
	}
	return parts, each(ctx, len(parts), func(i int) error {
		p := &parts[i]
		if p.Stage == clasp.Pattern {
			p.grow(&parts[i-base], grow)
		}
		p.VolumeMM3, p.AreaMM2 = contour.Volume(p.Mesh), contour.Area(p.Mesh)
		if !want.Prove || p.Stage != clasp.Pattern {
			return nil
		}
		return p.prove(&parts[i-base], grow, tol)
	})
}

// tolShare is by how much finer a casting is meshed, so that its pattern keeps the tolerance after growth.
func tolShare(stage clasp.Stage, grow r3.Vec) float64 {
	if stage == clasp.Finished {
		return 1
	}
	return max(grow.X, grow.Y, grow.Z)
}

// VolumeShare is the part of the tolerance that facets of cylinders may use. Chords of a crown all lie on its inner side: at
// 0.005 mm they take 0.1 % off the volume, a quarter of that takes less than 0.03 %, for twice the facets.
const VolumeShare = 0.25

// mesh builds the part's solid and its mesh. Where a mesh that is to be proven fails, as it may where a groove grazes a face and
// a small chord error becomes a large one along it, it is made again with finer chords, twice at most.
func (p *Part) mesh(lock *clasp.Lock, tol float64, prove bool) error {
	var err error
	if p.Solid, err = lock.Build(p.Name, p.Stage); err != nil {
		return fmt.Errorf("%s, %s: %w", p.Name, p.Stage, err)
	}
	if err = p.addStub(lock); err != nil {
		return err
	}
	return p.facet(tol, prove)
}

// facet meshes the part's solid.
func (p *Part) facet(tol float64, prove bool) (err error) {
	for _, finer := range []float64{1, 2, 4} {
		if p.Mesh, err = contour.Finely(p.Solid, tol/finer, VolumeShare); err != nil {
			continue
		}
		if !prove {
			return nil
		}
		if p.Proof, err = contour.Verify(p.Mesh, p.Solid, tol); err == nil {
			return nil
		}
	}
	return fmt.Errorf("%s, %s: %w", p.Name, p.Stage, err)
}

// prove proves a pattern by the proof of the casting that it was grown from; the other stages are proven as they are made.
func (p *Part) prove(casting *Part, grow r3.Vec, tol float64) error {
	var err error
	if p.Proof, err = contour.VerifyGrown(p.Mesh, casting.Mesh, grow, casting.Proof, tol); err != nil {
		return fmt.Errorf("%s, %s: %w", p.Name, p.Stage, err)
	}
	return nil
}
