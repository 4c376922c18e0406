package main

import (
	"errors"
	"fmt"
	"os"
	"runtime/debug"

	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/parallel"
)

// Exit codes. They are promised in the manual.
const (
	exitDone    = 0
	exitFailed  = 1 // done, and at least one cell failed its limits
	exitRefused = 2 // the input or the command line is at fault, and nothing was written
	exitBroken  = 3
)

// errFailed ends a command that is done and found a cell that failed. It is no fault and is not printed.
var errFailed = errors.New("at least one cell failed")

// refusal is a fault of the command line or of a file as a whole, in words for the user.
type refusal struct{ message string }

func (r *refusal) Error() string { return r.message }

func refuse(format string, arguments ...any) error {
	return &refusal{fmt.Sprintf(format, arguments...)}
}

// exitCode tells what an error means for the caller.
func exitCode(err error) int {
	var words *refusal
	var fault *spectrum.Error
	var faults spectrum.Errors
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFailed):
		return exitFailed
	case errors.As(err, &words), errors.As(err, &fault), errors.As(err, &faults):
		return exitRefused
	}
	return exitBroken
}

// debugVariable, when set in the environment, adds the stack to the report of a crash.
const debugVariable = "OHMLEDGER_DEBUG"

// crashed turns a programmer's mistake into an error in one line.
func crashed(mistake any) error {
	stack := debug.Stack()
	if elsewhere, is := mistake.(*parallel.Mistake); is {
		stack, mistake = elsewhere.Stack, elsewhere.What
	}
	if fault, is := mistake.(*health.StoreFault); is {
		return fault
	}
	err := fmt.Errorf("this is a mistake in ohmledger %s, please report it with the job that shows it: %v", version, mistake)
	if os.Getenv(debugVariable) != "" {
		err = fmt.Errorf("%w\n%s", err, stack)
	}
	return err
}

// guarded runs work and returns its panic as an error. A goroutine needs one of its own.
func guarded(work func() error) (err error) {
	defer func() {
		if mistake := recover(); mistake != nil {
			err = crashed(mistake)
		}
	}()
	return work()
}
