package parallel

import (
	"context"
	"errors"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
)

// A panic of any goroutine comes up in the one that asked for the work, with the place where it happened.
func TestPanicsComeUp(t *testing.T) {
	defer func() {
		m, is := recover().(*Mistake)
		if !is || m.Error() != "no such cell" || !strings.Contains(string(m.Stack), "parallel_test.go") {
			t.Errorf("recovered %v", m)
		}
	}()
	items := make([]int, 100)
	err := Each(t.Context(), items, func(int) {
		_ = Each(t.Context(), items, func(int) { panic("no such cell") })
	})
	t.Errorf("came back with %v", err)
}

// A panic comes up even where another goroutine has failed with an ordinary error before.
func TestPanicAfterAnError(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(2)) // at least two at a time
	begun := make(chan struct{})
	defer func() {
		if m, is := recover().(*Mistake); !is || m.Error() != "no such cell" {
			t.Errorf("recovered %v", m)
		}
	}()
	err := Tried(t.Context(), []string{"panics", "fails"}, func(ctx context.Context, item string) error {
		if item == "fails" {
			<-begun
			return errors.New("full")
		}
		close(begun)
		<-ctx.Done() // the error has been noted
		panic("no such cell")
	})
	t.Errorf("came back with %v", err)
}

// Errors of the work and of the context are handed back, and end it.
func TestWorkEndsWithAnError(t *testing.T) {
	full := errors.New("full")
	var done atomic.Int64
	err := Tried(t.Context(), make([]int, 1000), func(ctx context.Context, _ int) error {
		done.Add(1)
		return full
	})
	if !errors.Is(err, full) || done.Load() == 1000 {
		t.Errorf("%v after %d", err, done.Load())
	}
	ended, end := context.WithCancel(t.Context())
	end()
	if err := Each(ended, []int{1}, func(int) { t.Error("worked on") }); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}
