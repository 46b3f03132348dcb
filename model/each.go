package model

import (
	"context"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// each runs f for 0 to n-1 on all cores. Results go by index, so their order does not depend on the cores; of several
// errors the one with the lowest index is returned. It stops early when ctx ends.
func each(ctx context.Context, n int, f func(i int) error) error {
	errs := make([]error, n)
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range n {
		g.Go(func() error {
			if ctx.Err() == nil {
				errs[i] = f(i)
			}
			return nil
		})
	}
	g.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}
