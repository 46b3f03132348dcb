package clasp

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/solid"
)

// PartCoupon is a trial casting: bars along each axis, slots and tongues.
const PartCoupon = "coupon"

// Coupon is a small casting that tells what a caster's growth and fit are before a lock is cast: a bar along each axis, slots
// that widen step by step, and a tongue at each end. Of two coupons the tongue of one is tried in the slots of the other,
// as they come back, nothing filed. It carries no stock: it is cast as drawn. x, y and z are the lock's.
type Coupon struct {
	Play    float64 // the lock's own clearance, a side, which the steps lie round, mm
	Step    float64 // from slot to slot, a side, mm
	Tongues [2]float64
	Slots   []Slot
	Length  float64 // of the bar along x, mm
	arm     float64 // middle of the arm
}

// Slot is one of a coupon's slots.
type Slot struct {
	From, To float64    // along x, mm
	Play     [2]float64 // a side, with each of the tongues, mm; negative where it is narrower
}

// Sizes of the coupon, mm: common practice, no source. Nothing is thinner than walls that are cast, no slot deeper than 1.4 of its width.
const (
	couponBase   = 2.0 // thickness
	couponDeep   = 8.0 // of the base, across
	couponTongue = 3.0
	couponOut    = 3.6 // length of a tongue, a little less than a slot is deep
	couponSlot   = 4.0
	couponWall   = 1.8
	couponSlots  = 6
	couponArm    = 12.0
	couponPost   = 2.5 // thickness of arm and post
	couponHigh   = 15.0
	couponLow    = 1.0 // where the tongues begin, across
	leastPlay    = 0.03
)

// Coupon lays the coupon out for a step, mm a side. The third slot has the lock's own side play; the tongue at the far end
// is narrower by a step, so that the two tongues together try half steps.
func (l *Lock) Coupon(step float64) *Coupon {
	c := &Coupon{Play: max(l.SidePlay, leastPlay), Step: step, Tongues: [2]float64{couponTongue, couponTongue - step}}
	x := couponWall
	for i := range couponSlots {
		play := c.Play + float64(i-2)*step
		wide := couponTongue + 2*play
		c.Slots = append(c.Slots, Slot{x, x + wide, [2]float64{play, play + step/2}})
		x += wide + couponWall
	}
	c.Length = x
	c.arm = (c.Slots[couponSlots/2-1].To + c.Slots[couponSlots/2].From) / 2
	return c
}

// Solid builds the coupon.
func (c *Coupon) Solid() (*solid.Solid, error) {
	a, l := couponPost/2, c.Length
	ps := []r2.Vec{{}, {X: c.arm - a}, {X: c.arm - a, Y: -couponArm}, {X: c.arm + a, Y: -couponArm}, {X: c.arm + a}, {X: l}}
	far, near := couponLow+c.Tongues[1], couponLow+c.Tongues[0]
	ps = append(ps, r2.Vec{X: l, Y: couponLow}, r2.Vec{X: l + couponOut, Y: couponLow}, r2.Vec{X: l + couponOut, Y: far}, r2.Vec{X: l, Y: far}, r2.Vec{X: l, Y: couponDeep})
	for i := len(c.Slots) - 1; i >= 0; i-- {
		s, foot := c.Slots[i], couponDeep-couponSlot
		ps = append(ps, r2.Vec{X: s.To, Y: couponDeep}, r2.Vec{X: s.To, Y: foot}, r2.Vec{X: s.From, Y: foot}, r2.Vec{X: s.From, Y: couponDeep})
	}
	ps = append(ps, r2.Vec{Y: couponDeep}, r2.Vec{Y: near}, r2.Vec{X: -couponOut, Y: near}, r2.Vec{X: -couponOut, Y: couponLow}, r2.Vec{Y: couponLow})
	lo, hi := c.post()
	lo.Z = couponBase / 2 // let into the base
	post, err := solid.NewBlock(lo, hi, PartCoupon)
	if err != nil {
		return nil, err
	}
	return solid.Join(solid.New(solid.NewPrism(polygon(PartCoupon, ps...), 0, couponBase, PartCoupon), solid.Upright), solid.New(post, solid.Upright)), nil
}

// post stands near the far end.
func (c *Coupon) post() (lo, hi r3.Vec) {
	x := c.Length - couponPost
	return r3.Vec{X: x - couponPost, Y: couponLow / 2}, r3.Vec{X: x, Y: couponLow/2 + couponPost, Z: couponHigh}
}

// Measures lists what is read of a coupon. Its bars cast like the face, slots like the chamber, tongues like the leaf; no
// stock is drawn on them.
func (c *Coupon) Measures() []Measure {
	land, mid := couponDeep-couponSlot/2, couponBase/2
	lo, hi := c.post()
	post := r3.Scale(0.5, r3.Add(lo, hi))
	out := []Measure{
		outside(PartCoupon, "bar_x", "the long bar along the chain, end to end, beside the tongues", 0, r3.Vec{Y: land, Z: mid}, 0, c.Length, "face", "face"),
		outside(PartCoupon, "post_x", "the post, along the bar", 0, post, lo.X, hi.X, "face", "face"),
		outside(PartCoupon, "bar_y", "from the end of the arm over the bar, across the chain", 1, r3.Vec{X: c.arm, Z: mid}, -couponArm, couponDeep, "face", "face"),
		outside(PartCoupon, "depth", "the bar, across the chain, at its first end", 1, r3.Vec{X: couponWall / 2, Z: mid}, 0, couponDeep, "face", "face"),
		outside(PartCoupon, "post_y", "the post, across the chain", 1, post, lo.Y, hi.Y, "face", "face"),
		outside(PartCoupon, "bar_z", "the post from underside to top", 2, post, 0, couponHigh, "face", "face"),
		outside(PartCoupon, "base", "the arm, through its thickness", 2, r3.Vec{X: c.arm, Y: -couponArm / 2}, 0, couponBase, "face", "face"),
	}
	for i, s := range c.Slots {
		out = append(out, inside(PartCoupon, fmt.Sprintf("slot_%d", i+1), fmt.Sprintf("slot %d from the first end, inside jaws or pins", i+1), 0, r3.Vec{Y: land, Z: mid}, s.From, s.To, "chamber", "chamber"))
	}
	for i, at := range []float64{-couponOut / 2, c.Length + couponOut/2} {
		out = append(out, outside(PartCoupon, "tongue_"+[]string{"a", "b"}[i], "the tongue at the "+[]string{"first", "far"}[i]+" end, its width",
			1, r3.Vec{X: at, Z: mid}, couponLow, couponLow+c.Tongues[i], "leaf", "leaf"))
	}
	return out
}
