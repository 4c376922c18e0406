// Package parallel shares work among processors. A panic comes up where the work was asked for: nobody could recover it elsewhere.
package parallel

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// Each does the work for all items, as many at a time as there are processors, until the context ends.
func Each[T any](ctx context.Context, items []T, work func(T)) error {
	return Tried(ctx, items, func(_ context.Context, item T) error {
		work(item)
		return nil
	})
}

// Tried is Each for work that may fail, or that the context may end too; the first error or panic ends it. A panic comes up
// whatever error there was before it.
func Tried[T any](ctx context.Context, items []T, work func(ctx context.Context, item T) error) error {
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	var first atomic.Pointer[Mistake]
	for _, item := range items {
		group.Go(func() (err error) {
			defer func() {
				if what := recover(); what != nil {
					m := mistakeOf(what)
					first.CompareAndSwap(nil, m)
					err = m
				}
			}()
			if err := ctx.Err(); err != nil {
				return err
			}
			return work(ctx, item)
		})
	}
	err := group.Wait()
	if m := first.Load(); m != nil {
		panic(m)
	}
	return err
}

// Mistake is a programmer's that a goroutine met: what it panicked with, and where.
type Mistake struct {
	What  any
	Stack []byte
}

func (m *Mistake) Error() string { return fmt.Sprint(m.What) }

// mistakeOf keeps the innermost.
func mistakeOf(what any) *Mistake {
	if m, is := what.(*Mistake); is {
		return m
	}
	return &Mistake{what, debug.Stack()}
}
