//go:build linux || darwin

package main

import (
	"errors"
	"fmt"
	"os"
	"runtime"
	"runtime/debug"

	"golang.org/x/sys/unix"
)

// leastAddressSpace is what the Go runtime and its threads set aside, mostly without using it. Under 2 GB a small job may
// die in the middle of its work (tried on linux/amd64).
const leastAddressSpace = 2 << 30

// checkLimits refuses to begin what the limits of the session will not let end.
func checkLimits() error {
	if err := checkMemory(); err != nil {
		return err
	}
	return checkFiles()
}

// leastFiles may be open at a time: a spectrum with its folder for each processor, and what is written (a third of it was seen
// in use on two processors).
func leastFiles() int { return 32 + 4*runtime.GOMAXPROCS(0) }

// checkFiles tries whether enough files can be opened, whatever the session has open already. Without the trial a spectrum that
// cannot be opened would look like a fault of the spectrum.
func checkFiles() error {
	var held []*os.File
	defer func() {
		for _, f := range held {
			f.Close()
		}
	}()
	for range leastFiles() {
		f, err := os.Open(os.DevNull)
		if errors.Is(err, unix.EMFILE) || errors.Is(err, unix.ENFILE) {
			return fmt.Errorf("too few files may be open in this session: %d more could be opened, and %d are needed; allow more, such as by ulimit -n 256; nothing was written", len(held), leastFiles())
		}
		if err != nil {
			return nil // whatever it is, it is not the limit
		}
		held = append(held, f)
	}
	return nil
}

// checkMemory refuses to begin what a limit of the session will not let end. A crash for want of memory, which no program of
// this kind can catch, then says so in one line.
func checkMemory() error {
	if os.Getenv(debugVariable) == "" {
		debug.SetTraceback("none")
	}
	var limit unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_AS, &limit); err != nil || limit.Cur >= leastAddressSpace {
		return nil
	}
	return fmt.Errorf("this session is limited to %d MB of address space (ulimit -v), and at least %d MB are needed; nothing was written", limit.Cur>>20, leastAddressSpace>>20)
}
