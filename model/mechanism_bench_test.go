package model

import (
	"context"
	"runtime/debug"
	"testing"
)

// checked is the sound lock with everything found, for the shares to work on.
func checked(b *testing.B) *Commission {
	b.Helper()
	c := commission(b, Want{Checks: true}, sound...)
	if c.Spring.Result == nil || c.Bench == nil || c.Motion.Turns == nil {
		b.Fatalf("the sound lock has no result: spring %q, turns %q, castings %v", c.Spring.Failed, c.Motion.Tight, c.Bench != nil)
	}
	return c
}

// BenchmarkCheck is what claspwright check waits for, its memory collected as seldom as the command has it.
func BenchmarkCheck(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	j := job(b, sound[:3]...) // sized by its spring
	for b.Loop() {
		if _, err := Make(context.Background(), j, Want{Checks: true}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkShare times the parts of a check one after the other; a check runs them side by side, so they add up to more than it takes.
func BenchmarkShare(b *testing.B) {
	c, ctx := checked(b), context.Background()
	for _, share := range []struct {
		name string
		do   func() error
	}{
		{"sizes", func() error { return c.search("gold", *c.Spring) }},
		{"mesh", func() error {
			for i := range c.Parts {
				if err := c.Parts[i].mesh(c.Lock, 0.005, false); err != nil {
					return err
				}
			}
			return nil
		}},
		{"spring", c.springs},
		{"way", func() error { return c.move(ctx) }},
		{"turns", func() error { c.turn(); return nil }},
		{"fit", c.file},
		{"survey of the box", func() error { c.survey(0, false); return nil }},
		{"survey of the tongue", func() error { c.survey(1, false); return nil }},
		{"findings", func() error { _, err := c.check(); return err }},
	} {
		b.Run(share.name, func(b *testing.B) {
			for b.Loop() {
				if err := share.do(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
