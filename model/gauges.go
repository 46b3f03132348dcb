package model

import (
	"context"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/metal"
	"claspwright/params"
)

// Gauges are what a job is tried with: the plate for the filed crown, printed true to size, and the coupon, cast before or
// with the lock.
type Gauges struct {
	Commission *Commission // of the finished lock alone
	Crown      *clasp.CrownGauge
	Coupon     *clasp.Coupon
	Growth     r3.Vec
	Plate      Part // the crown gauge, true to size
	Casting    Part // the coupon as it comes back
	Pattern    Part // the coupon as it is printed, grown like the lock
	Gram       float64
}

// NewGauges builds and proves both, of the job's lock.
func NewGauges(ctx context.Context, job *params.Job) (*Gauges, error) {
	c, err := Make(ctx, job, Want{})
	if err != nil {
		return nil, err
	}
	g := &Gauges{Commission: c, Growth: growthOf(job, c.Lock.Metal)}
	tol, _ := job.Number("mesh.tolerance")
	if err = g.plate(tol); err != nil {
		return nil, err
	}
	return g, g.coupon(tol)
}

func (g *Gauges) plate(tol float64) (err error) {
	allowance, _ := g.Commission.Job.Number("gauge.allowance")
	if g.Crown, err = g.Commission.Lock.Crowned(allowance); err != nil {
		return err
	}
	g.Plate = Part{Name: clasp.PartCrownGauge, Stage: clasp.Finished, Solid: g.Crown.Solid()}
	if err = g.Plate.facet(tol, true); err != nil {
		return err
	}
	g.Plate.measure()
	return nil
}

func (g *Gauges) coupon(tol float64) (err error) {
	g.Coupon = couponOf(g.Commission)
	g.Casting = Part{Name: clasp.PartCoupon, Stage: clasp.Casting}
	if g.Casting.Solid, err = g.Coupon.Solid(); err != nil {
		return err
	}
	if err = g.Casting.facet(tol/tolShare(clasp.Casting, g.Growth), true); err != nil {
		return err
	}
	g.Casting.measure()
	g.Pattern = Part{Name: clasp.PartCoupon, Stage: clasp.Pattern}
	g.Pattern.grow(&g.Casting, g.Growth)
	if err = g.Pattern.prove(&g.Casting, g.Growth, tol); err != nil {
		return err
	}
	g.Pattern.measure()
	g.Gram, err = couponGram(g.Commission, g.Casting.VolumeMM3)
	return err
}

func (p *Part) measure() { p.VolumeMM3, p.AreaMM2 = contour.Volume(p.Mesh), contour.Area(p.Mesh) }

// couponOf is the coupon of a commission's lock.
func couponOf(c *Commission) *clasp.Coupon {
	step, _ := c.Job.Number("gauge.step")
	return c.Lock.Coupon(step)
}

// couponGram is what a coupon weighs that is cast with the box.
func couponGram(c *Commission, volume float64) (float64, error) {
	own, err := c.ownAlloys()
	if err != nil {
		return 0, err
	}
	return volume * metal.Density(own[alloyOf(clasp.PartBox)]) / 1000, nil
}

// Measures are the coupon's named dimensions.
func (g *Gauges) Measures() []CaliperMeasure { return couponMeasures(g.Coupon, g.Growth) }

// couponMeasures are the coupon's dimensions as cast, which are those it was drawn with, and as printed.
func couponMeasures(c *clasp.Coupon, grow r3.Vec) (out []CaliperMeasure) {
	axes := [3]float64{grow.X, grow.Y, grow.Z}
	for _, m := range c.Measures() {
		v := m.Finished()
		out = append(out, CaliperMeasure{m, v, v * axes[m.Axis]})
	}
	return out
}
